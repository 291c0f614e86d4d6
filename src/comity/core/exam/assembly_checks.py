"""Forms checked again, item by item and without the solver's matrices."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import TYPE_CHECKING, Final

from comity.core.exam.assembly_apart import kept_apart
from comity.core.exam.blueprints import quotas

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.exam.assembly_request import Form, Request
    from comity.core.exam.assembly_units import Supply
    from comity.core.exam.blueprints import Blueprint

_NEAR: Final = 1e-6


def faults_of(
    forms: Sequence[Form], supply: Supply, blueprint: Blueprint, *, request: Request
) -> tuple[str, ...]:
    """Return a sentence for each condition that the forms break; none for sound forms."""
    groups = [
        {supply.items[number].id for number in group} for group in kept_apart(supply.items, request)
    ]
    found = [
        fault
        for number, form in enumerate(forms, 1)
        for fault in (
            *_quota_faults(form, blueprint, request),
            *_limit_faults(form, blueprint, request),
            *_item_faults(form, supply, request, apart=groups),
        )
        for fault in (f"form {number}: {fault}",)
    ]
    for (one, a), (other, b) in combinations(enumerate(forms, 1), 2):
        if shared := set(a.items) & set(b.items):
            found.append(f"forms {one} and {other} share {', '.join(sorted(shared))}")
    return tuple(found)


def _quota_faults(form: Form, blueprint: Blueprint, request: Request) -> Iterator[str]:
    n_items = request.n_items_by(blueprint) or 0
    cells = quotas(blueprint, n_items)
    wanted, has = Counter[str](), Counter[str]()
    for (domain, level), n in cells.items():
        wanted[domain] += n
        count = form.counts.get((domain, level), 0)
        has[domain] += count
        if "level" not in request.leave_aside and abs(count - n) > request.slack:
            yield f"{count} items of {domain} at level {level}, not {n}"
    for domain, n in wanted.items():
        if has[domain] != n:
            yield f"{has[domain]} items of {domain}, not {n}"
    if len(form.items) != n_items:
        yield f"{len(form.items)} items, not {n_items}"


def _limit_faults(form: Form, blueprint: Blueprint, request: Request) -> Iterator[str]:
    minutes = request.minutes_by(blueprint)
    if minutes is not None and form.seconds > minutes * 60:
        yield f"{form.seconds} seconds, more than {minutes} minutes"
    for number, (earlier, shared) in enumerate(zip(request.earlier, form.shared, strict=True), 1):
        if shared != len(earlier & set(form.items)) or shared > request.most_shared:
            yield f"{shared} items of earlier form {number}"
    if request.score is not None:
        low, high = request.score
        if not low - _NEAR <= form.expected_score <= high + _NEAR:
            yield f"{form.expected_score:.3f} right answers expected, not {low:g} to {high:g}"


def _item_faults(
    form: Form, supply: Supply, request: Request, *, apart: Sequence[set[str]]
) -> Iterator[str]:
    taken = set(form.items)
    if len(taken) < len(form.items):
        yield "an item twice"
    for group in apart:
        if len(met := sorted(taken & group)) > 1:
            yield f"{' and '.join(met)} meet"
    members: dict[str, set[str]] = {}
    for item in supply.items:
        if item.case is not None:
            members.setdefault(item.case, set()).add(item.id)
    for case, ids in members.items():
        if taken & ids and not ids <= taken:
            yield f"the case {case} is not whole"
    for id_ in sorted(taken & request.without):
        yield f"{id_} was not to be used"
