"""An office for the store's tests: an owner, an adviser, demo editions in force."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.demo.caseload import demo_files
from comity.store.cases import add_case
from comity.store.models import Account, Role
from comity.store.rulebooks import add_edition, put_in_force
from tests.store.postgres import postgres_server

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from comity.store.models import Case, StoredEdition

PASSWORD = "a long enough password"  # noqa: S105 - of a test


@pytest.fixture
def owner(db: None) -> Account:
    return Account.objects.create_account(
        "owner@office.example", PASSWORD, name="Oona Owner", role=Role.OWNER
    )


@pytest.fixture
def adviser(db: None) -> Account:
    return Account.objects.create_account(
        "adviser@office.example", PASSWORD, name="Ada Adviser", role=Role.ADVISER
    )


@pytest.fixture
def editions(owner: Account) -> list[StoredEdition]:
    """Every demo edition, in force."""
    texts = [text for path, text in demo_files().items() if path.startswith("rulebooks/")]
    return [put_in_force(add_edition(text, actor=owner), actor=owner) for text in texts]


@pytest.fixture
def case(owner: Account) -> Case:
    return add_case(file_of("hana"), actor=owner)


def file_of(name: str) -> str:
    """Return a demo applicant's file."""
    return demo_files()[f"applicants/{name}.yaml"]


@pytest.fixture
def changed() -> Callable[[str, str], str]:
    """Return a file with one more comment."""
    return lambda text, comment: f"{text}# {comment}\n"


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """Return the address of a PostgreSQL database, running while tests do."""
    with postgres_server() as address:
        yield address
