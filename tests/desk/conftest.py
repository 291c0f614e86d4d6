"""The people of an office, a case of one of them, and the demo's rulebooks in force."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client

from comity.demo.caseload import demo_files
from comity.desk.accounts.starting import BACKEND
from comity.store.models import Account, Case, Office, Role, StoredEdition
from comity.store.rulebooks import add_edition, put_in_force

if TYPE_CHECKING:
    from collections.abc import Callable

PASSWORD = "seven quiet lanterns"  # noqa: S105 - of invented people


@pytest.fixture(autouse=True)
def office(db: None) -> Office:
    """Return the office everybody below belongs to."""
    del db
    return Office.objects.create(
        pk=1, name="Lantern Advice", contact="desk@lantern.example, +00 5550 100"
    )


@pytest.fixture
def owner() -> Account:
    """Return who runs the office."""
    return account("olive@lantern.example", "Olive Brandt", Role.OWNER)


@pytest.fixture
def adviser() -> Account:
    """Return a member who does not run it."""
    return account("ade@lantern.example", "Ade Okonjo", Role.ADVISER)


@pytest.fixture
def applicant() -> Account:
    """Return the applicant whose own case is `case`."""
    return account("hana@people.example", "Hana Kwon-Lindqvist", Role.APPLICANT)


@pytest.fixture
def outsider() -> Account:
    """Return an applicant of another case."""
    stranger = account("soren@people.example", "Soren Aalto", Role.APPLICANT)
    case_of("soren", owner=stranger)
    return stranger


@pytest.fixture
def case(applicant: Account, adviser: Account) -> Case:
    """Return the case of `applicant`, in the care of `adviser`."""
    return case_of("hana", owner=applicant, adviser=adviser)


@pytest.fixture
def demo_rulebooks(owner: Account) -> tuple[StoredEdition, ...]:
    """Put the demo's editions in force; return them."""
    texts = [text for path, text in demo_files().items() if path.startswith("rulebooks/")]
    return tuple(put_in_force(add_edition(text, actor=owner), actor=owner) for text in texts)


@pytest.fixture
def client_of() -> Callable[[Account | None], Client]:
    """Return a browser in which somebody has signed in, or nobody."""

    def opened(who: Account | None) -> Client:
        client = Client()
        if who is not None:
            client.force_login(who, backend=BACKEND)
        return client

    return opened


def account(email: str, name: str, role: str) -> Account:
    """Return a new account with the password of these tests."""
    return Account.objects.create_account(email, PASSWORD, name=name, role=role)


def case_of(name: str, *, owner: Account | None = None, adviser: Account | None = None) -> Case:
    """Return a case with the file of one of the demo's people."""
    text = demo_files()[f"applicants/{name}.yaml"]
    full_name = next(line for line in text.splitlines() if line.startswith("name:"))
    return Case.objects.create(
        reference=name,
        name=full_name.removeprefix("name:").strip(),
        document=text,
        account=owner,
        adviser=adviser,
    )
