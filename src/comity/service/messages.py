"""The answer as a message for a messenger: a few plain lines, cautions included."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.brief.plain import PlainPage, plain_page
from comity.brief.wording import wording_of
from comity.core.eligibility.missing import named

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.eligibility.assessment import Assessment
    from comity.core.facts.model import Applicant

MOST_STEPS: Final = 3
MOST_DATES: Final = 2
_FICTIONAL: Final = "Invented for demonstration: no such authority, rule or person exists."


def message_of(
    assessments: Sequence[Assessment],
    *,
    applicant: Applicant,
    contact: str,
    is_fictional: bool = False,
) -> str:
    """Return what to send to the applicant.

    No codes and no percentages; a no never stands alone: what would mend it and a person to write
    to stand beside it.

    Parameters
    ----------
    assessments : sequence of Assessment
        What to tell, all of one day, in order.
    applicant : Applicant
        To whom.
    contact : str
        Whom they may write to.
    is_fictional : bool
        Whether the rules are invented.
    """
    wording = wording_of("en")
    pages = [
        plain_page(
            each, wording=wording, contact=contact, said=lambda paths: named(paths, applicant)
        )
        for each in assessments
    ]
    name = applicant.name or ""
    greeting = f"Hello {name}," if name else "Hello,"
    day = wording.day(assessments[0].on)
    blocks = [
        f"{greeting} this is where you stand on {day}, as far as we can see.",
        *("\n".join(_lines(page)) for page in pages),
        f"Questions? Write to {contact}." if contact else "Questions? Write to your adviser.",
        wording.plain.caution,
        *([_FICTIONAL] if is_fictional else []),
    ]
    return "\n\n".join(blocks).replace("\N{NO-BREAK SPACE}", " ") + "\n"


def _lines(page: PlainPage) -> Iterator[str]:
    yield f"{page.title}, {page.authority}: {page.answer}."
    yield page.sentence
    yield from page.asides
    steps = [f"{step.what} {step.when}".rstrip() for step in page.steps]
    if len(steps) == 1:
        yield f"Next: {steps[0]}"
    else:
        yield from (f"{number}. {step}" for number, step in enumerate(steps[:MOST_STEPS], start=1))
    n_more = len(steps) - MOST_STEPS
    if n_more > 0:
        yield f"After that {'one more thing' if n_more == 1 else f'{n_more} more things'}; ask us."
    yield from page.dates[:MOST_DATES]
