"""Forms assembled out of a bank, as banks that can be given out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from comity.core.exam.assembly import assemble

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.exam.assembly_request import Assembled, Form, Infeasible, Request
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.items import Bank


def forms_of(bank: Bank, blueprint: Blueprint, request: Request) -> Assembled | Infeasible:
    """Return forms to a blueprint, or why there can be none."""
    return assemble(bank, blueprint, request)


def form_bank(bank: Bank, form: Form, name: str) -> Bank:
    """Return a form as a bank: its items in their order, with the cases they name."""
    by_id = {item.id: item for item in bank.items}
    items = tuple(by_id[id_] for id_ in form.items)
    named = {item.case for item in items}
    cases = tuple(case for case in bank.cases if case.id in named)
    return replace(bank, bank=name, title=None, cases=cases, items=items)


def assembled_data(found: Assembled, names: Iterable[str]) -> dict[str, object]:
    """Return forms as JSON has them."""
    return {
        "forms": [
            {
                "name": name,
                "items": list(form.items),
                "information": round(form.information, 6),
                "expected_score": round(form.expected_score, 6),
                "minutes": round(form.seconds / 60, 1),
                "counts": [
                    {"domain": domain, "level": level.value, "items": n}
                    for (domain, level), n in form.counts.items()
                ],
                "shared": list(form.shared),
            }
            for name, form in zip(names, found.forms, strict=True)
        ],
        "at": round(found.at, 6),
        "objective": round(found.objective, 6),
        "bound": round(found.bound, 6) if found.bound != float("inf") else None,
        "gap": round(found.gap, 8) if found.gap != float("inf") else None,
        "is_proved": found.is_proved,
        "notes": list(found.notes),
    }


def infeasible_data(found: Infeasible) -> dict[str, object]:
    """Return why there are no forms as JSON has it."""
    return {
        "forms": [],
        "reasons": list(found.reasons),
        "together": list(found.together),
        "is_proved": found.is_proved,
    }
