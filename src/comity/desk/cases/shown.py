"""What the pages of a case have in common: the casework behind them and what frames them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.http import Http404

from comity.charts.strip_layout import SUBMISSION
from comity.core.eligibility.assessment import Verdict
from comity.desk import clock
from comity.service.casework import Casework, Document, TitleKey, first_title
from comity.service.casework_strip import page_strip
from comity.store.converters import applicant_of
from comity.store.rulebooks import rulebooks_in_force
from comity.store.spans import verdicts_on

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from django.http import HttpRequest

    from comity.core.eligibility.assessment import Assessment, RequirementResult
    from comity.store.models import Case


_OURS: Final = frozenset({"csrfmiddlewaretoken", "base", "shown"})


def casework_of(case: Case) -> Casework:
    """Return the casework of a case under what is in force, as the document stands."""
    document = Document(case.document, applicant_of(case))
    return Casework(document, rulebooks_in_force(), clock.today_at)


def asked_title(request: HttpRequest) -> str:
    """Return which title a page was asked about, as ``authority/title``; empty for the first.

    Forms of facts send it under another name than ``title``, which is a fact itself.
    """
    is_sent = request.method == "POST"
    return (request.POST if is_sent else request.GET).get("shown") or request.GET.get("title", "")


def chosen_title(
    asked: str,
    case: Case,
    casework: Casework,
    *,
    quick: Mapping[TitleKey, Verdict] | None = None,
) -> TitleKey | None:
    """Return the title that is asked for, or the one to show first; None without rulebooks.

    Raises
    ------
    Http404
        When there is no such title.
    """
    keys = {str(each.key): each.key for each in casework.titles()}
    if asked:
        if asked not in keys:
            raise Http404
        return keys[asked]
    return first_title(quick_verdicts(case, casework) if quick is None else quick)


def quick_verdicts(case: Case, casework: Casework) -> dict[TitleKey, Verdict]:
    """Return the verdicts on today, read from the kept runs of days: which answer to show first."""
    kept = verdicts_on(clock.today_at(), [case.pk]).get(case.pk, {})
    return {
        each.key: kept.get((each.key.authority, each.key.title), Verdict.NOT_MET)
        for each in casework.titles()
    }


def answer_context(casework: Casework, key: TitleKey | None) -> dict[str, Any]:
    """Return what the panel of one answer shows; nothing where no rules are read."""
    if key is None:
        return {"answer": None}
    answer = casework.answer(key)
    strip = page_strip(answer)
    return {
        "answer": answer,
        "key": str(key),
        "rows": tuple(_rows(answer.requirements, casework, names=dict(answer.milestones))),
        "strip": strip,
        "open_runs": answer.windows,
    }


def _rows(
    results: Sequence[RequirementResult],
    casework: Casework,
    *,
    names: Mapping[str, str],
    depth: int = 0,
) -> list[dict[str, Any]]:
    """Return the requirements with their parts, each a row, and what is missing as links."""
    rows: list[dict[str, Any]] = []
    for result in results:
        at = "" if result.at == SUBMISSION else names.get(result.at, result.at)
        missing = casework.facts_named(result.missing)
        rows.append({"result": result, "depth": depth, "missing": missing, "at": at})
        rows += _rows(result.children, casework, names=names, depth=depth + 1)
    return rows


def typed_in(request: HttpRequest) -> dict[str, str]:
    """Return what was typed into the form of a fact, by field; several ticked words as a list."""
    return {
        name: "; ".join(each for each in request.POST.getlist(name) if each)
        for name in request.POST
        if name not in _OURS
    }


def frame(case: Case, *, here: str) -> dict[str, Any]:
    """Return what every page of a case has around its own matter."""
    return {"case": case, "here": here, "charts": True, "today": clock.today_at()}


def answers_context(casework: Casework, key: TitleKey | None) -> dict[str, Any]:
    """Return the cards of all titles."""
    return {"cards": _cards(casework), "key": "" if key is None else str(key)}


def _cards(casework: Casework) -> tuple[tuple[str, Assessment], ...]:
    return tuple((str(each.key), casework.answer(each.key)) for each in casework.titles())
