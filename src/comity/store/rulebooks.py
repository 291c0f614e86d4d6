"""Rulebooks of the office: what is in force, and how an edition comes to be."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from typing import TYPE_CHECKING

from django.db import IntegrityError
from django.utils import timezone

from comity.files.rulebooks import load_rulebook_texts
from comity.store import audit
from comity.store.converters import (
    digest_of,
    edition_file,
    edition_in,
    file_of_edition,
    loaded_edition,
)
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.models import StoredEdition
from comity.store.writing import writing

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Rulebook
    from comity.files.rulebooks import LoadedRulebooks
    from comity.store.models import Account

Key = tuple[tuple[str, str, str], ...]
"""Authority, edition and digest of each edition in force, in order."""

State = StoredEdition.State


def in_force_key() -> Key:
    """Return what is in force, without its texts."""
    rows = StoredEdition.objects.filter(state=State.IN_FORCE).order_by("authority", "edition")
    return tuple(rows.values_list("authority", "edition", "digest"))


def digest_in_force(key: Key | None = None) -> str:
    """Return one digest of everything in force; answers that rest on another are out of date."""
    key = in_force_key() if key is None else key
    return hashlib.sha256(repr(key).encode("utf-8")).hexdigest()


def rulebooks_in_force() -> tuple[Rulebook, ...]:
    """Return the rulebooks whose editions count, read once a process for what is in force."""
    return _read(in_force_key()).rulebooks


def loaded_in_force() -> LoadedRulebooks:
    """Return the same with the places of their values, and their texts."""
    return _read(in_force_key())


def rulebooks_of(key: Key) -> tuple[Rulebook, ...]:
    """Return the rulebooks of what was in force when the key was taken."""
    return _read(key).rulebooks


@lru_cache(maxsize=4)
def _read(key: Key) -> LoadedRulebooks:
    return _loaded(tuple(_texts(key).items()))


def _texts(key: Key) -> dict[str, str]:
    rows = StoredEdition.objects.filter(digest__in=[digest for _a, _e, digest in key])
    texts = {(row.authority, row.edition): row.text for row in rows}
    return {edition_file(a, e): texts[a, e] for a, e, _digest in key}


def loaded_with(
    edition_text: str | None = None,
    *,
    without: StoredEdition | None = None,
    today: Day | None = None,
) -> LoadedRulebooks:
    """Return what would be in force with another edition, or without one that is.

    Parameters
    ----------
    edition_text : str, optional
        Takes the place of an edition of the same authority and id.
    without : StoredEdition, optional
        An edition to leave out.
    today : Day, optional
        The day by which editions may have become stale.
    """
    texts = _texts(in_force_key())
    if without is not None:
        texts.pop(file_of_edition(without), None)
    if edition_text is not None:
        edition, _problems = edition_in(edition_text)
        texts[edition_file(edition.authority.id, edition.rulebook)] = edition_text
    return _loaded(tuple(texts.items()), today)


@lru_cache(maxsize=8)
def _loaded(texts: tuple[tuple[str, str], ...], today: Day | None = None) -> LoadedRulebooks:
    """Return rulebooks read once for the same texts."""
    return load_rulebook_texts(dict(texts), today=today)


def add_edition(text: str, *, actor: Account | None) -> StoredEdition:
    """Keep a new edition as a draft; it may still have faults, but must say whose it is.

    Raises
    ------
    UnreadableError
        When it does not.
    StoreError
        When the office has this edition already.
    """
    edition, _problems = edition_in(text)
    stored = StoredEdition(
        authority=edition.authority.id,
        edition=edition.rulebook,
        text=text,
        digest=digest_of(text),
        changed_by=actor,
    )
    try:
        with writing():
            stored.save(force_insert=True)
            _record("rulebook/edition added", stored, actor=actor)
    except IntegrityError as error:
        msg = f"the office has the edition {stored.edition} of {stored.authority} already"
        raise StoreError(msg) from error
    return stored


def change_edition(
    edition: StoredEdition, text: str, *, base_version: int, actor: Account | None
) -> StoredEdition:
    """Replace an edition's text; one in force has to be sound and keep its name.

    Raises
    ------
    StaleError
        When somebody else has changed it since `base_version`.
    UnreadableError, StoreError
        When the text cannot stand in the edition's place.
    """
    if edition.state == State.IN_FORCE:
        _checked_for_force(text)
    _check_name(edition, text)
    with writing():
        current = StoredEdition.objects.select_for_update().get(pk=edition.pk)
        if current.version != base_version:
            raise StaleError(current)
        before = current.text
        current.text, current.digest = text, digest_of(text)
        current.changed_by = actor
        current.version += 1
        current.save()
        _record("rulebook/edition changed", current, actor=actor, before=before, after=text)
    return current


def put_in_force(edition: StoredEdition, *, actor: Account | None) -> StoredEdition:
    """Let an edition count for answers; refresh the cases' spans afterwards.

    Raises
    ------
    UnreadableError
        When it is not sound together with the editions in force.
    StaleError
        When its text has been changed since it was looked at.
    """
    _checked_for_force(edition.text)
    return _change_state(edition, State.IN_FORCE, actor=actor)


def withdraw(edition: StoredEdition, *, actor: Account | None) -> StoredEdition:
    """Let an edition no longer count; refresh the cases' spans afterwards."""
    return _change_state(edition, State.WITHDRAWN, actor=actor)


def _change_state(
    edition: StoredEdition, state: StoredEdition.State, *, actor: Account | None
) -> StoredEdition:
    with writing():
        current = StoredEdition.objects.select_for_update().get(pk=edition.pk)
        if current.version != edition.version:
            raise StaleError(current)
        before = current.state
        current.state = state
        current.changed_by = actor
        current.version += 1
        if state == State.IN_FORCE:
            current.put_in_force_at = timezone.now()
        current.save()
        _record(f"rulebook/edition {state}", current, actor=actor, before=before, after=state)
    return current


def _checked_for_force(text: str) -> None:
    found = loaded_with(text)
    if not found.is_sound:
        raise UnreadableError(found.problems, text)


def _check_name(edition: StoredEdition, text: str) -> None:
    """Refuse a text that says it is another edition."""
    found = loaded_edition(text, file_of_edition(edition))
    if not found.files:
        if edition.state == State.IN_FORCE or not text.strip():
            raise UnreadableError(found.problems, text)
        return
    says = found.files[0].edition
    if (says.authority.id, says.rulebook) != (edition.authority, edition.edition):
        msg = (
            f"the text is of {says.authority.id} {says.rulebook}; "
            f"here stands {edition.authority} {edition.edition}; add it as a new edition instead"
        )
        raise StoreError(msg)


def _record(action: str, edition: StoredEdition, *, actor: Account | None, **detail: str) -> None:
    named = {
        "authority": edition.authority,
        "edition": edition.edition,
        "digest": edition.digest,
        "version": edition.version,
    }
    audit.record(action, actor=actor, detail={**named, **detail})
