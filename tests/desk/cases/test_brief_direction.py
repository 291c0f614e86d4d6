from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.assets.brief.reading import catalogue

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, Case


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize(
    ("language", "expected"),
    [("ar", ("ar", "/R2L")), ("en", ("en", "/L2R")), ("fr", ("en", "/L2R"))],
)
def test_a_brief_goes_the_way_its_applicant_reads(
    language: str,
    expected: tuple[str, str],
    case: Case,
    applicant: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    case.document = case.document.replace("{language: en}", f"{{language: {language}}}")
    case.save()
    pdf = client_of(applicant).post(f"/cases/{case.pk}/brief.pdf").content
    root = catalogue(pdf)
    assert (root["/Lang"], root["/ViewerPreferences"]["/Direction"]) == expected
