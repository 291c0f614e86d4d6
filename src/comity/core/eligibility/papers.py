"""Days of the kinds about certificates and papers."""

from __future__ import annotations

from functools import partial
from operator import eq, ge, le
from typing import Final

import numpy as np

from comity.core.days.calendar import Bools
from comity.core.days.dayset import DaySet
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    folded,
    is_one_of,
    leaf_days,
    remembered,
)
from comity.core.eligibility.triple import Days
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    PaperHeld,
    Photo,
)

STATUS_RANK: Final = {"requested": 0, "received": 1, "accepted": 2}


@leaf_days.register
def _certificate(requirement: CertificateHeld, context: Context) -> Days:
    table = context.columns.table("certificates")
    kept = certificates_passing(requirement, context)
    lasts = table.last_days("expires")
    if requirement.greatest_age is not None:
        lasts = np.minimum(lasts, requirement.greatest_age.after(table.until("issued")))
    yes = DaySet.from_runs(
        context.n_rows,
        table.rows[kept],
        starts=table.since("issued")[kept],
        ends=lasts[kept] + 1,
    )
    return Days.of(context.known("certificates", yes))


@remembered
def certificates_passing(requirement: CertificateHeld, context: Context) -> Bools:
    """Return the certificates that speak of the right thing, from the right issuer."""
    table = context.columns.table("certificates")
    sent = None
    if requirement.sent is not None:
        sent = table.where("sent", lambda value: value == requirement.sent)
    return all_masks(
        table,
        table.where("of", lambda value: value == requirement.of),
        is_one_of(table, "authority", requirement.authorities),
        is_one_of(table, "country", requirement.countries),
        sent,
        bound(table, context, "country", "authority"),
    )


@leaf_days.register
def _paper(requirement: PaperHeld, context: Context) -> Days:
    table = context.columns.table("papers")
    kept = all_masks(table, *papers_passing(requirement, context).values())
    codes, _values = table.codes("issued")
    starts = np.where(codes < 0, 0, table.since("issued"))
    lasts = table.last_days("expires")
    if requirement.greatest_age is not None:
        lasts = np.minimum(lasts, requirement.greatest_age.after(table.until("issued")))
    if requirement.remaining_validity is not None:
        limit = requirement.remaining_validity.last_start(table.until("expires"))
        lasts = np.minimum(lasts, limit)
    yes = DaySet.from_runs(
        context.n_rows, table.rows[kept], starts=starts[kept], ends=lasts[kept] + 1
    )
    return Days.of(context.known("papers", yes))


@remembered
def papers_passing(requirement: PaperHeld, context: Context) -> dict[str, Bools]:
    """Return for each parameter which papers pass it."""
    table = context.columns.table("papers")
    rank = STATUS_RANK[requirement.status]
    kind = folded(requirement.paper)
    filters: dict[str, Bools | None] = {
        "kind": table.where("kind", lambda value: folded(value) == kind),
        "status": table.where("status", lambda value: STATUS_RANK[value] >= rank),
        "form": is_one_of(table, "form", requirement.forms),
        "certified_by": _certified(table, requirement.certified_by),
        "issuer": is_one_of(table, "issuer", requirement.issuers),
        "country": is_one_of(table, "country", requirement.countries),
        "language": _readable(table, requirement),
        "legalised": is_one_of(table, "legalised", requirement.legalised),
        "each": _bound_paper(table, context),
    }
    if requirement.photo is not None:
        filters |= _photo(table, requirement.photo)
    return {name: passes for name, passes in filters.items() if passes is not None}


def _bound_paper(table: Table, context: Context) -> Bools | None:
    """Return the papers of the country, or of the issuer, which a `for each` has come to."""
    each = context.each
    if each is None:
        return None
    return is_one_of(table, "country" if each.field == "country" else "issuer", (each.value,))


def _certified(table: Table, certifiers: tuple[str, ...] | None) -> Bools | None:
    if certifiers is None:
        return None
    texts = {folded(text) for text in certifiers}
    by = table.where("certified_by", lambda value: folded(value) in texts)
    return by | table.where("form", lambda form: form != "certified copy")


def _readable(table: Table, requirement: PaperHeld) -> Bools | None:
    """Return the papers in an accepted language, or translated into one as asked."""
    if requirement.languages is None:
        return None
    accepted = {folded(language) for language in requirement.languages}
    native = table.where("language", lambda value: folded(value) in accepted)
    into = table.where(
        "translated_into", lambda values: any(folded(value) in accepted for value in values)
    )
    by = is_one_of(table, "translated_by", requirement.translated_by)
    return native | (into if by is None else into & by)


def _photo(table: Table, photo: Photo) -> dict[str, Bools]:
    checks = {
        "width": (photo.width_mm, "width_mm", eq),
        "height": (photo.height_mm, "height_mm", eq),
        "least face": (photo.least_face, "face_share", le),
        "greatest face": (photo.greatest_face, "face_share", ge),
    }
    return {
        name: table.where(field, partial(holds, asked))
        for name, (asked, field, holds) in checks.items()
        if asked is not None
    }
