"""The page on readiness of ``comity brief``: asked for by the adviser, told by their office."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from comity.cli.options import day_of, refuse

if TYPE_CHECKING:
    from comity.brief.readying import ReadyPage
    from comity.cli.options import Clock


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedReady:
    """What was typed about readiness."""

    responses: Path | None
    exam_on: str | None
    tell: bool
    person: str | None = None
    hours_a_week: float | None = None
    bank: list[Path] | None = None
    blueprint: Path | None = None

    @property
    def inputs(self) -> list[Path]:
        """The files that are read."""
        named = (self.responses, self.blueprint, *(self.bank or ()))
        return [path for path in named if path is not None]


def ready_page_for(asked: AskedReady, *, applicant: str, clock: Clock) -> ReadyPage | None:
    """Return the page on readiness; None where it is not to be told, or rests on too little.

    Parameters
    ----------
    asked : AskedReady
    applicant : str
        Id of the applicant, under which they answered unless another was typed.
    clock : Clock
    """
    if asked.responses is None:
        return None
    if not asked.tell:
        typer.echo(
            "Readiness stays out of the brief; --tell-readiness puts it in, where your office tells"
            " applicants.",
            err=True,
        )
        return None
    exam_on = day_of(asked.exam_on, "--exam-on")
    if exam_on is None:
        msg = "say the day of the examination."
        raise typer.BadParameter(msg, param_hint="--exam-on")
    # Figures load slowly, and a brief without readiness does not need them.
    from comity.cli.exam_options import (  # noqa: PLC0415
        bank_of,
        blueprint_of,
        marked_of,
        refuse_sentence,
    )
    from comity.core.exam.planned_study import ReadinessError  # noqa: PLC0415
    from comity.core.exam.responses import ResponsesError  # noqa: PLC0415
    from comity.service.brief_readiness import ready_page  # noqa: PLC0415
    from comity.service.exam_readiness import Wanted, known_of, prepare  # noqa: PLC0415
    from comity.service.exam_responses import no_such_person  # noqa: PLC0415

    today, person = clock.today_at(), asked.person or applicant
    bank, outline = bank_of(asked.bank), blueprint_of(asked.blueprint)
    marked = marked_of(asked.responses, bank, as_data=False, today=today)
    if person not in marked.people:
        refuse([no_such_person(person, marked.people)], {})
    wanted = Wanted(person=person, exam=exam_on, hours_a_week=asked.hours_a_week)
    try:
        known = known_of(marked.dated(default=today), bank, outline, today=today)
        prepared = prepare(known, wanted)
    except (ReadinessError, ResponsesError) as error:
        refuse_sentence(error)
    page = ready_page(prepared)
    if page is None:
        reasons = "; ".join(prepared.now.reasons) or "the pass mark is not known"
        typer.echo(f"Readiness stays out of the brief: {reasons}.", err=True)
    return page
