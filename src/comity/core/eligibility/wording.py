"""The sentences of an assessment: for the applicant in plain words, for all the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import RequirementResult, Verdict
from comity.core.eligibility.view import plain_day
from comity.core.facts.columns import SECTIONS, entries_of
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Edition, Title

DECIDES: Final = "The authority decides; this is an aid to preparing an application, no decision."
NO_ADVICE: Final = "This is no legal or immigration advice."
FICTIONAL: Final = "These rules are invented for demonstration; no such authority exists."
NOTHING_EXCLUDES: Final = (
    "Nothing read so far excludes the applicant; the rules are not wholly read."
)


def cautions(edition: Edition, applicant: Applicant, *, is_stale: bool) -> tuple[str, ...]:
    """Return what must be said beside every answer."""
    found = [
        DECIDES,
        f"Check the authority's current text: it was last read on {iso(edition.read)}.",
    ]
    if is_stale:
        found.append(
            f"That reading is older than {edition.read_again_after}; "
            "read the rules again before relying on this."
        )
    n_stated = n_stated_facts(applicant)
    if n_stated:
        what = "fact is" if n_stated == 1 else "facts are"
        found.append(f"{n_stated} {what} taken as stated; no paper has been seen yet.")
    if not edition.wholly_read:
        found.append(NOTHING_EXCLUDES)
    found.append(NO_ADVICE)
    if edition.fictional:
        found.append(FICTIONAL)
    return tuple(found)


def n_stated_facts(applicant: Applicant) -> int:
    """Return how many entries rest on the applicant's word alone."""
    skipped = {"person", "progress", "reviews", "papers", "declarations"}
    return sum(
        getattr(entry, "evidence", "") == "stated"
        for section in SECTIONS
        if section not in skipped
        for entry in entries_of(applicant, section) or ()
    )


def plain_answer(
    verdict: Verdict,
    *,
    edition: Edition,
    title: Title,
    until: Day | None,
    earliest: Day | None,
    deciding: Sequence[RequirementResult],
) -> str:
    """Return the answer in words a worried applicant understands; never a bare no."""
    who, what = edition.authority.name, title.name
    if verdict is Verdict.MET:
        end = "" if until is None else f" Hand in your application by {plain_day(until)}."
        return f"Yes. As far as we can see, you can apply to {who} as {what} now.{end}"
    if verdict is Verdict.REFER:
        return (
            f"{who} looks at cases like yours one by one. That is not a no: "
            "we help you to write down what speaks for you."
        )
    if verdict is Verdict.UNKNOWN:
        return _open_answer(edition, deciding)
    return _not_yet(who, what, edition=edition, earliest=earliest, deciding=deciding)


def _open_answer(edition: Edition, deciding: Sequence[RequirementResult]) -> str:
    missing = [path for result in deciding for path in result.missing]
    if missing:
        return (
            "We cannot say yet. Something is still missing from your file; "
            "once we have it, we can tell you where you stand."
        )
    if not edition.wholly_read:
        return "So far nothing speaks against you. We have not read all the rules yet."
    return "We cannot say yet; ask us what is still open."


def _not_yet(
    who: str,
    what: str,
    *,
    edition: Edition,
    earliest: Day | None,
    deciding: Sequence[RequirementResult],
) -> str:
    steps = [result.remedy.plain for result in deciding if result.remedy and result.remedy.plain]
    contact = edition.authority.contact
    ask = f" You can also write to {contact}." if contact else ""
    if steps and earliest is not None:
        return (
            f"Not yet, but it can be put right. {' '.join(steps)} "
            f"Then you can apply to {who} as {what} from {plain_day(earliest)}."
        )
    if steps:
        return f"Not yet. {' '.join(steps)} We go through the next steps with you.{ask}"
    label = deciding[0].label if deciding else "one of the rules"
    return (
        f"As the rules stand, one thing is in the way: {label}. Let us look together at what else "
        f"is open to you, and whether to ask {who} to look at your case.{ask}"
    )
