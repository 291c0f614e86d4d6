"""What the pages of mock examinations have in common: guarded getters and what frames a sitting."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied
from django.http import Http404

from comity.core.declaring.quantities import SHARE
from comity.desk.access import member_of
from comity.service.mock_sittings import outcome_of, question_of, result_of
from comity.store.mock_exams import content_of
from comity.store.models import Sitting
from comity.store.sittings import answer_in, answers_of, timing_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction
    from uuid import UUID

    from django.http import HttpRequest

    from comity.core.exam.items import Bank
    from comity.core.exam.sittings import Timing
    from comity.service.mock_sittings import Outcome, Question, Result
    from comity.store.models import ExamForm, GivenAnswer


@dataclass(frozen=True, slots=True)
class Place:
    """A question in the list of a sitting: whether it is answered, and flagged."""

    number: int
    is_answered: bool
    is_flagged: bool
    is_here: bool = False


@dataclass(frozen=True, slots=True)
class Sat:
    """A sitting with everything a page asks of it."""

    sitting: Sitting
    bank: Bank
    answers: Mapping[str, GivenAnswer]
    timing: Timing

    @property
    def is_practice(self) -> bool:
        """Whether explanations are shown after each answer."""
        return self.sitting.mode == Sitting.Mode.PRACTICE

    @property
    def n_questions(self) -> int:
        """How many questions it has."""
        return len(self.bank.items)

    @property
    def n_answered(self) -> int:
        """How many of them are answered."""
        return sum(self.is_answered(number) for number in range(1, self.n_questions + 1))

    def row(self, number: int) -> GivenAnswer | None:
        """Return what is kept of a question; None where nothing is."""
        return self.answers.get(self.bank.items[number - 1].id)

    def is_answered(self, number: int) -> bool:
        """Tell whether a question has an answer that is not blank."""
        return not answer_in(self.row(number)).is_blank

    def question(self, number: int) -> Question:
        """Return a question as it is sat."""
        return question_of(
            self.bank, number, answer_in(self.row(number)), cautions=cautions_of(self.sitting.form)
        )

    def outcome(self, number: int) -> Outcome:
        """Return what came of a question; only once that may be told."""
        row = self.row(number)
        return outcome_of(
            self.bank,
            number,
            answer_in(row),
            cautions=cautions_of(self.sitting.form),
            mark=None if row is None else row.mark,
        )

    def result(self) -> Result:
        """Return what came of the sitting; only once it has ended."""
        numbers = range(1, self.n_questions + 1)
        # In practice one stops when one likes: what was not asked is not wrong.
        asked = [each for each in numbers if not self.is_practice or self.is_answered(each)]
        outcomes = [self.outcome(number) for number in asked]
        return result_of(outcomes, share_of(self.sitting.form))

    def places(self, here: int = 0) -> tuple[Place, ...]:
        """Return the questions as the list of a page shows them."""
        found = []
        for number in range(1, self.n_questions + 1):
            row = self.row(number)
            is_flagged = row is not None and row.is_flagged
            found.append(Place(number, self.is_answered(number), is_flagged, number == here))
        return tuple(found)


def own_sitting(request: HttpRequest, sitting_id: UUID) -> Sitting:
    """Return a sitting to the applicant who sits it; nobody sits for somebody else.

    Raises
    ------
    Http404
        When it is not theirs.
    PermissionDenied
        When something would be changed in a closed case.
    """
    found = get_sitting(request, sitting_id)
    if member_of(request).is_member:
        raise Http404
    if request.method == "POST" and found.case.closed_at is not None:
        raise PermissionDenied
    return found


def get_sitting(request: HttpRequest, sitting_id: UUID) -> Sitting:
    """Return a sitting that the person who asks may see; to others it is not there.

    Members see every sitting, an applicant their own.

    Raises
    ------
    Http404
        When there is none, or it is none of theirs.
    """
    account = member_of(request)
    found = Sitting.objects.select_related("form", "case")
    if not account.is_member:
        found = found.filter(case__account=account)
    sitting = found.filter(pk=sitting_id).first()
    if sitting is None:
        raise Http404
    return sitting


def is_part(request: HttpRequest) -> bool:
    """Tell whether a part of a page is asked for; django-htmx puts that on the request."""
    return bool(getattr(request, "htmx", False))


def sat(sitting: Sitting) -> Sat:
    """Return a sitting with its questions, answers and time."""
    return Sat(sitting, content_of(sitting.form), answers_of(sitting), timing_of(sitting))


def cautions_of(form: ExamForm) -> Mapping[str, tuple[str, ...]]:
    """Return what models ask to be said, by item."""
    return {item: tuple(said) for item, said in form.cautions.items()}


def share_of(form: ExamForm) -> Fraction | None:
    """Return which share of a form has to be right; None where none is said."""
    return _share(form.to_pass)


@lru_cache(maxsize=32)
def _share(text: str) -> Fraction | None:
    found: Fraction | None = SHARE.parse(text) if text else None
    return found
