from __future__ import annotations

from datetime import date

import pytest

from comity.brief import typesetting
from comity.brief.typesetting import typeset
from comity.core.days.calendar import day_from_date

ON = day_from_date(date(2026, 11, 25))


def test_pages_instead_of_one_document_are_no_brief(monkeypatch: pytest.MonkeyPatch) -> None:
    class Pages:
        def compile(self, **_options: object) -> list[bytes]:
            return [b"one", b"two"]

    monkeypatch.setattr(typesetting, "_compiler", lambda _template, _data: Pages())
    with pytest.raises(TypeError, match="expected one PDF from Typst, got list"):
        typeset("letter", data={}, on=ON)
