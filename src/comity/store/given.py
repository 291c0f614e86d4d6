"""What was given out of a case, kept as given, and what of it no longer holds."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from comity.core.eligibility.assess import assess
from comity.store import audit
from comity.store.converters import applicant_of, digest_of
from comity.store.keys import seal_whole, unseal_whole
from comity.store.models import Case, Given
from comity.store.rulebooks import in_force_key
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment
    from comity.core.rulebook.model import Rulebook
    from comity.service.assessing import TodayAt
    from comity.store.models import Account


@dataclass(frozen=True, slots=True)
class Answer:
    """What was said on one title, or would be said now.

    `windows` are the open dates that were named, as (from, until, certainty).
    """

    authority: str
    title: str
    on: Day
    assumption: str
    verdict: str
    windows: tuple[tuple[Day | None, Day | None, str], ...] = ()
    authority_name: str = ""
    title_name: str = ""


@dataclass(frozen=True, slots=True)
class Basis:
    """What something given out rested on."""

    document: str
    version: int
    editions: tuple[tuple[str, str, str], ...]
    answers: tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class NoLongerHolds:
    """Something that was said and would be said otherwise now.

    `because` names what has changed: ``facts``, ``rulebook``, or both.
    """

    given: Given
    said: Answer
    now: Answer | None
    because: tuple[str, ...]


def give(  # noqa: PLR0913 - what is given, as what, to whom, by whom, resting on what
    case: Case,
    *,
    sort: str,
    content: bytes,
    media_type: str,
    recipient: str,
    assessments: Sequence[Assessment],
    actor: Account | None,
) -> Given:
    """Keep something given out of a case, with the facts, editions and answers it rests on.

    What the same recipient was told earlier on the same titles is settled by it.
    """
    answers = tuple(answer_of(each) for each in assessments)
    basis = Basis(case.document, case.version, in_force_key(), answers)
    with writing():
        given = Given.objects.create(
            case=case,
            sort=sort,
            recipient=recipient,
            given_by=actor,
            media_type=media_type,
            sha256=hashlib.sha256(content).hexdigest(),
            content=seal_whole(case.pk, content),
            basis=seal_whole(case.pk, _encoded(basis)),
        )
        _settle_earlier(given, basis)
        detail = {
            "given": given.pk,
            "sort": sort,
            "recipient": recipient,
            "media_type": media_type,
            "sha256": given.sha256,
            "version": case.version,
            "editions": basis.editions,
        }
        audit.record(f"given/{sort}", actor=actor, case=case, detail=detail)
    return given


def settle(given: Given, *, actor: Account | None) -> Given:
    """Mark that the recipient knows what has changed since; it is no longer listed."""
    with writing():
        given.settled_at = timezone.now()
        given.save(update_fields=["settled_at"])
        audit.record("given/settled", actor=actor, case=given.case, detail={"given": given.pk})
    return given


def content_of(given: Given) -> bytes | None:
    """Return what was given, as it was given; None when the case was erased."""
    return unseal_whole(given.case_id, given.content)


def basis_of(given: Given) -> Basis | None:
    """Return what it rested on; None when the case was erased."""
    plain = unseal_whole(given.case_id, given.basis)
    if plain is None:
        return None
    found = json.loads(plain)
    return Basis(
        document=found["document"],
        version=found["version"],
        editions=tuple((a, e, d) for a, e, d in found["editions"]),
        answers=tuple(_answer(each) for each in found["answers"]),
    )


def no_longer_holds(
    case: Case | None, rulebooks: Sequence[Rulebook], today_at: TodayAt
) -> tuple[NoLongerHolds, ...]:
    """Return what was said and is otherwise now, because facts or rules have changed.

    An answer is compared on the day of submission it spoke of, so that the passing of days alone
    changes nothing here.

    Parameters
    ----------
    case : Case or None
        One case; None for all that are open.
    rulebooks : sequence of Rulebook
        Those in force.
    today_at : callable
        Gives the day it is at an authority's seat.
    """
    rows = Given.objects.filter(settled_at=None, case__closed_at=None).select_related("case")
    if case is not None:
        rows = rows.filter(case=case)
    editions = in_force_key()
    comparing = _Comparing({each.authority.id: each for each in rulebooks}, editions, today_at)
    return tuple(
        found for given in rows.order_by("-given_at") for found in comparing.changes(given)
    )


@dataclass(frozen=True, slots=True)
class _Comparing:
    """Compares what was said with what is so now."""

    rulebooks: Mapping[str, Rulebook]
    editions: tuple[tuple[str, str, str], ...]
    today_at: TodayAt

    def changes(self, given: Given) -> Iterator[NoLongerHolds]:
        basis = basis_of(given)
        if basis is None:
            return
        is_same_file = digest_of(basis.document) == digest_of(given.case.document)
        for said in basis.answers:
            before, after = (
                {each for each in some if each[0] == said.authority}
                for some in (basis.editions, self.editions)
            )
            because = (
                *(() if is_same_file else ("facts",)),
                *(() if before == after else ("rulebook",)),
            )
            now = self._now(given.case, said) if because else said
            if now is None or not _says_the_same(said, now):
                yield NoLongerHolds(given, said, now, because)

    def _now(self, case: Case, said: Answer) -> Answer | None:
        rulebook = self.rulebooks.get(said.authority)
        if rulebook is None or said.title not in rulebook.titles():
            return None
        today = self.today_at(rulebook.authority.time_zone)
        found = assess(
            applicant_of(case),
            rulebook,
            title=said.title,
            on=said.on,
            today=today,
            assumption="stops" if said.assumption == "stops" else "continues",
        )
        return answer_of(found)


def answer_of(assessment: Assessment) -> Answer:
    """Return what an assessment says, as it is kept."""
    return Answer(
        authority=assessment.authority,
        title=assessment.title,
        on=assessment.on,
        assumption=assessment.assumption,
        verdict=str(assessment.verdict),
        windows=tuple((each.start, each.until, each.certainty) for each in assessment.windows),
        authority_name=assessment.authority_name,
        title_name=assessment.title_name,
    )


def _says_the_same(said: Answer, now: Answer) -> bool:
    """Tell whether two answers agree on the verdict and on the open dates from the day on."""
    return said.verdict == now.verdict and _ahead(said) == _ahead(now)


def _ahead(answer: Answer) -> set[tuple[Day | None, Day | None, str]]:
    """Return the open dates that are not over on the day asked about.

    A run that began earlier is the same whichever day it began on.
    """
    return {
        (None if start is None or start <= answer.on else start, until, certainty)
        for start, until, certainty in answer.windows
        if until is None or until >= answer.on
    }


def _settle_earlier(given: Given, basis: Basis) -> None:
    """Mark what the recipient was told earlier on the same titles as settled."""
    titles = _titles(basis.answers)
    earlier = Given.objects.filter(
        case=given.case, recipient=given.recipient, settled_at=None
    ).exclude(pk=given.pk)
    for each in earlier:
        old = basis_of(each)
        if old is not None and old.answers and _titles(old.answers) <= titles:
            each.settled_at = timezone.now()
            each.save(update_fields=["settled_at"])


def _titles(answers: Iterable[Answer]) -> set[tuple[str, str]]:
    return {(each.authority, each.title) for each in answers}


def _encoded(basis: Basis) -> bytes:
    return json.dumps(asdict(basis), ensure_ascii=False).encode("utf-8")


def _answer(plain: Mapping[str, Any]) -> Answer:
    windows = tuple((a, b, c) for a, b, c in plain["windows"])
    return Answer(**{**plain, "windows": windows})
