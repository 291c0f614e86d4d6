from __future__ import annotations

import pytest

from comity.demo.caseload import demo_files
from comity.store import audit
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.models import Account, AuditRecord, StoredEdition
from comity.store.rulebooks import (
    add_edition,
    change_edition,
    loaded_with,
    put_in_force,
    rulebooks_in_force,
    withdraw,
)

pytestmark = pytest.mark.django_db

FILES = demo_files()
TEXT = FILES["rulebooks/XB/2026.yaml"]


def test_a_draft_does_not_count(owner: Account) -> None:
    add_edition(TEXT, actor=owner)
    assert rulebooks_in_force() == ()


def test_an_edition_counts_once_it_is_in_force_and_no_longer_once_withdrawn(owner: Account) -> None:
    edition = put_in_force(add_edition(TEXT, actor=owner), actor=owner)
    assert [each.authority.id for each in rulebooks_in_force()] == [edition.authority]
    assert edition.put_in_force_at is not None
    withdraw(edition, actor=owner)
    assert rulebooks_in_force() == ()


def test_rulebooks_are_read_once_for_what_is_in_force(editions: list[StoredEdition]) -> None:
    assert len(editions) == 4
    assert rulebooks_in_force()[0] is rulebooks_in_force()[0]


def test_an_edition_is_kept_once(owner: Account) -> None:
    edition = add_edition(TEXT, actor=owner)
    with pytest.raises(StoreError, match=f"has the edition {edition.edition} of"):
        add_edition(TEXT, actor=owner)
    assert StoredEdition.objects.count() == 1


def test_a_text_that_is_no_edition_is_refused_with_its_problems(owner: Account) -> None:
    with pytest.raises(UnreadableError) as refused:
        add_edition("titles: [", actor=owner)
    assert refused.value.problems


def test_a_draft_may_have_faults_but_not_count_with_them(owner: Account) -> None:
    edition = add_edition(TEXT, actor=owner)
    faulty = TEXT.replace("margin: 1 month", "margin: a month or so")
    edition = change_edition(edition, faulty, base_version=1, actor=owner)
    with pytest.raises(UnreadableError) as refused:
        put_in_force(edition, actor=owner)
    assert refused.value.problems[0].severity == "error"
    assert rulebooks_in_force() == ()


def test_an_edition_in_force_cannot_be_made_faulty(owner: Account) -> None:
    edition = put_in_force(add_edition(TEXT, actor=owner), actor=owner)
    with pytest.raises(UnreadableError):
        change_edition(edition, "titles: [", base_version=2, actor=owner)
    assert StoredEdition.objects.get().text == TEXT


def test_a_change_of_an_older_version_is_refused(owner: Account) -> None:
    edition = add_edition(TEXT, actor=owner)
    change_edition(edition, TEXT + "# one\n", base_version=1, actor=owner)
    with pytest.raises(StaleError):
        change_edition(edition, TEXT + "# two\n", base_version=1, actor=owner)


def test_a_text_of_another_edition_cannot_take_its_place(owner: Account) -> None:
    edition = add_edition(TEXT, actor=owner)
    with pytest.raises(StoreError, match="add it as a new edition instead"):
        change_edition(edition, FILES["rulebooks/XC/2026.yaml"], base_version=1, actor=owner)


def test_what_would_be_in_force_with_another_text_can_be_looked_at(
    editions: list[StoredEdition],
) -> None:
    edition = next(each for each in editions if each.text == TEXT)
    with_it = loaded_with(TEXT + "# changed\n")
    assert len(with_it.files) == len(editions)
    assert len(loaded_with(without=edition).files) == len(editions) - 1


def test_history_holds_the_text_before_and_after(owner: Account) -> None:
    edition = add_edition(TEXT, actor=owner)
    change_edition(edition, TEXT + "# one\n", base_version=1, actor=owner)
    detail = audit.detail_of(AuditRecord.objects.latest("sequence"))
    assert detail is not None
    assert detail["before"] == TEXT
    assert detail["after"] == TEXT + "# one\n"
