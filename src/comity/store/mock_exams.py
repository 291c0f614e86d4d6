"""Forms and classes: made and given to applicants, each step with its record."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from django.db import IntegrityError

from comity.core.exam.sittings import most_extra
from comity.store import audit
from comity.store.errors import StoreError
from comity.store.item_banks import bank_in
from comity.store.models import Cohort, CohortPlace, ExamForm, Sitting
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from comity.core.exam.items import Bank
    from comity.service.mock_forms import MadeForm
    from comity.store.models import Account, Case, ItemBank


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFacts:
    """What a form is called and allows.

    Parameters
    ----------
    name : str
    minutes : int
    to_pass : str
        Share that has to be right, as ``62 %``; empty where none is said.
    examination : str
        Of which examination it has its time, in words.
    bank : ItemBank or None
        Where its written items come from.
    """

    name: str
    minutes: int
    to_pass: str = ""
    examination: str = ""
    bank: ItemBank | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """On what terms a form is given: for what, with how much more time, with keys at the end."""

    mode: str = Sitting.Mode.EXAM
    extra_percent: int = 0
    shows_keys: bool = True


# --------------------------------------------------------------------------------- forms


def add_form(made: MadeForm, facts: FormFacts, *, actor: Account | None, now: datetime) -> ExamForm:
    """Keep a form; it never changes after this."""
    with writing():
        form = ExamForm.objects.create(
            name=facts.name,
            bank=facts.bank,
            text=made.text,
            cautions={item: list(said) for item, said in made.cautions.items()},
            n_items=made.n_items,
            minutes=facts.minutes,
            to_pass=facts.to_pass,
            examination=facts.examination,
            notes=list(made.notes),
            made_at=now,
            made_by=actor,
        )
        detail = {
            "form": str(form.pk),
            "name": facts.name,
            "n_items": made.n_items,
            "minutes": facts.minutes,
        }
        audit.record("exam/form made", actor=actor, detail=detail)
    return form


def withdraw_form(form: ExamForm, *, actor: Account | None, now: datetime) -> bool:
    """Keep a form from being given any more; who has it keeps it. False where it was so already."""
    with writing():
        if not ExamForm.objects.filter(pk=form.pk, withdrawn_at=None).update(withdrawn_at=now):
            return False
        detail = {"form": str(form.pk), "name": form.name}
        audit.record("exam/form withdrawn", actor=actor, detail=detail)
    return True


@lru_cache(maxsize=64)
def _content(text: str) -> Bank:
    return bank_in(text)


def content_of(form: ExamForm) -> Bank:
    """Return the items of a form, read once for the same text."""
    return _content(form.text)


# ------------------------------------------------------------------------------- classes


def add_cohort(name: str, cases: Iterable[Case], *, actor: Account | None) -> Cohort:
    """Make a class.

    Raises
    ------
    StoreError
        When the office has a class of this name.
    """
    try:
        with writing():
            cohort = Cohort.objects.create(name=name)
            _put_in(cohort, cases, actor=actor, action="exam/class made")
    except IntegrityError as error:
        msg = f"there is a class with the name {name} already; give this one another"
        raise StoreError(msg) from error
    return cohort


def change_cohort(
    cohort: Cohort, cases: Iterable[Case], *, name: str, actor: Account | None
) -> None:
    """Change who is in a class, and its name; what they have sat stays.

    Raises
    ------
    StoreError
        When another class has this name.
    """
    try:
        with writing():
            cohort.name = name
            cohort.save(update_fields=["name"])
            cohort.places.all().delete()
            _put_in(cohort, cases, actor=actor, action="exam/class changed")
    except IntegrityError as error:
        msg = f"there is a class with the name {name} already; give this one another"
        raise StoreError(msg) from error


def _put_in(cohort: Cohort, cases: Iterable[Case], *, actor: Account | None, action: str) -> None:
    places = [CohortPlace(cohort=cohort, case=case) for case in cases]
    CohortPlace.objects.bulk_create(places)
    # Names of people belong under their own keys; here they are counted.
    audit.record(action, actor=actor, detail={"class": str(cohort.pk), "n_people": len(places)})


# ------------------------------------------------------------------------------- sittings


def give_form(
    form: ExamForm,
    cases: Sequence[Case],
    *,
    actor: Account | None,
    now: datetime,
    terms: Terms | None = None,
) -> tuple[Sitting, ...]:
    """Give a form to applicants; who has it open in this mode already is passed over.

    Raises
    ------
    StoreError
        When the form was withdrawn, or the extra time is out of range.
    """
    terms = terms or Terms()
    if form.withdrawn_at is not None:
        msg = "this form was withdrawn and is not given any more"
        raise StoreError(msg)
    try:
        most_extra(terms.extra_percent)
    except ValueError as error:
        raise StoreError(str(error)) from error
    given = []
    with writing():
        open_ones = Sitting.objects.filter(form=form, mode=terms.mode, settled_at=None)
        having = set(open_ones.values_list("case_id", flat=True))
        for case in cases:
            if case.pk in having:
                continue
            sitting = Sitting.objects.create(
                form=form,
                case=case,
                mode=terms.mode,
                extra_percent=terms.extra_percent,
                shows_keys=terms.shows_keys,
                given_at=now,
                given_by=actor,
            )
            detail = {
                "name": form.name,
                "sitting": str(sitting.pk),
                "mode": str(terms.mode),
                "extra_percent": terms.extra_percent,
            }
            audit.record("exam/form given", actor=actor, case=case, detail=detail)
            given.append(sitting)
    return tuple(given)
