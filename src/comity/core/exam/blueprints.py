"""How much of an examination each domain and level is: shares that sum, weighed anew at will."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from comity.core.declaring import Complaint, Identifier, Share, Text, declared
from comity.core.declaring.quantities import write_decimal
from comity.core.exam.items import Bank, Level

_WHOLE: Final = Fraction(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """The shares of what is asked of the mind."""

    recall: Share = declared("Share of items that ask for what is known.", example="20 %")
    apply: Share = declared("Share of items that ask to use it.", example="55 %")
    judge: Share = declared("Share of items that ask to weigh and decide.", example="25 %")

    def of(self, level: Level) -> Fraction:
        """Return the share of a level."""
        return {Level.RECALL: self.recall, Level.APPLY: self.apply}.get(level, self.judge)

    def complaints(self) -> Iterator[Complaint]:
        """Yield shares that are no whole."""
        yield from _sum_complaints(("recall",), "levels", self.recall + self.apply + self.judge)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a domain that has its own share."""

    id: Identifier = declared("Id, which items may name as their domain.", example="tube-feeding")
    name: Text = declared("What people call it.")
    share: Share = declared("Share of the whole examination.", example="7 %")


@dataclass(frozen=True, slots=True, kw_only=True)
class Domain:
    """What an examination asks about."""

    id: Identifier = declared("Id, which items name.", example="assessment")
    name: Text = declared("What people call it.")
    share: Share = declared("Share of the whole examination.", example="18 %")
    numeric: Share | None = declared("Share of its items that calculate.", default=None)
    levels: Levels | None = declared("Its levels, where they differ.", default=None)
    parts: tuple[Part, ...] = declared("Parts with their own share.", default=())

    def complaints(self) -> Iterator[Complaint]:
        """Yield parts that do not make up the domain."""
        if self.parts and (total := sum(part.share for part in self.parts)) != self.share:
            yield Complaint(
                "X207",
                ("parts",),
                "the shares of the parts must sum to the share of the domain",
                got=_percent(Fraction(total)),
                expected=_percent(self.share),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Blueprint:
    """How an examination is made up: domains and levels with their shares."""

    blueprint: Identifier = declared("Id of the blueprint.", example="dietetics-outline")
    title: Text | None = declared("What people call it.", default=None)
    authority: Identifier | None = declared("Id of the authority that examines.", default=None)
    edition: Identifier | None = declared("Id of the rulebook edition it follows.", default=None)
    source: Text | None = declared("Where the shares come from.", default=None)
    n_items: int | None = declared("Items in a form.", default=None, at_least=1, key="items")
    minutes: int | None = declared("Time for a form, in minutes.", default=None, at_least=1)
    pass_mark: Share | None = declared("Share of the items that passes.", default=None)
    levels: Levels = declared("Shares of the levels.")
    domains: tuple[Domain, ...] = declared("Domains with their shares.", at_least=1)

    def complaints(self) -> Iterator[Complaint]:
        """Yield shares that are no whole, and ids given twice."""
        total = sum((domain.share for domain in self.domains), Fraction(0))
        yield from _sum_complaints(("domains",), "domains", total)
        yield from self._repeated()

    def _repeated(self) -> Iterator[Complaint]:
        first: dict[str, tuple[str | int, ...]] = {}
        for path, id_ in self._ids():
            if first.setdefault(id_, path) != path:
                yield Complaint(
                    "X208",
                    path,
                    "a domain must be given once in a blueprint",
                    hint="add up the two shares, or give this one another id",
                    related=((first[id_], "first given here"),),
                )

    def _ids(self) -> Iterator[tuple[tuple[str | int, ...], str]]:
        for number, domain in enumerate(self.domains):
            yield ("domains", number, "id"), domain.id
            for place, part in enumerate(domain.parts):
                yield ("domains", number, "parts", place, "id"), part.id

    def domain_of(self, id_: str) -> Domain | None:
        """Return the domain with an id, or with a part of that id."""
        return next(
            (d for d in self.domains if id_ == d.id or any(id_ == part.id for part in d.parts)),
            None,
        )


def reweighted(blueprint: Blueprint, weights: Mapping[str, Fraction]) -> Blueprint:
    """Return a blueprint with other weights of its domains, brought to a whole.

    Parameters
    ----------
    blueprint : Blueprint
        Domains that `weights` leaves out keep their share as their weight.
    weights : mapping
        From ids of domains to weights >= 0, of which not all are zero. Parts keep their
        proportion.

    Raises
    ------
    ValueError
        When a domain is unknown, a weight is negative or nothing weighs anything.

    Examples
    --------
    >>> half = Levels(recall=Fraction(1), apply=Fraction(0), judge=Fraction(0))
    >>> two = tuple(Domain(id=id_, name=id_, share=Fraction(1, 2)) for id_ in "ab")
    >>> other = reweighted(
    ...     Blueprint(blueprint="x", levels=half, domains=two), {"a": Fraction(3, 2)}
    ... )
    >>> [str(domain.share) for domain in other.domains]
    ['3/4', '1/4']
    """
    unknown = weights.keys() - {domain.id for domain in blueprint.domains}
    if unknown:
        message = f"no domain of {blueprint.blueprint} has the id {sorted(unknown)[0]!r}"
        raise ValueError(message)
    asked = [weights.get(domain.id, domain.share) for domain in blueprint.domains]
    if min(asked) < 0 or sum(asked) <= 0:
        message = f"weights must be zero or more, and one of them more: {[*map(str, asked)]}"
        raise ValueError(message)
    total = sum(asked, Fraction(0))
    domains = (
        _with_share(domain, weight / total)
        for domain, weight in zip(blueprint.domains, asked, strict=True)
    )
    return replace(blueprint, domains=tuple(domains))


def _with_share(domain: Domain, share: Fraction) -> Domain:
    times = share / domain.share if domain.share else Fraction(0)
    parts = tuple(replace(part, share=part.share * times) for part in domain.parts)
    if parts and not domain.share:
        parts = tuple(replace(part, share=share / len(parts)) for part in parts)
    return replace(domain, share=share, parts=parts)


def quotas(blueprint: Blueprint, n_items: int) -> Mapping[tuple[str, Level], int]:
    """Return how many items of each domain and level a form of `n_items` holds.

    Whole numbers that sum to `n_items`, first over the domains and then within each, by largest
    remainder; ties go to what stands first in the blueprint.
    """
    by_domain = apportioned([domain.share for domain in blueprint.domains], n_items)
    cells: dict[tuple[str, Level], int] = {}
    for domain, count in zip(blueprint.domains, by_domain, strict=True):
        levels = domain.levels or blueprint.levels
        counts = apportioned([levels.of(level) for level in Level], count)
        cells |= {(domain.id, level): n for level, n in zip(Level, counts, strict=True)}
    return cells


def apportioned(shares: list[Fraction], n_items: int) -> tuple[int, ...]:
    """Return whole numbers in proportion to shares that sum to 1, by largest remainder.

    Examples
    --------
    >>> apportioned([Fraction(1, 2), Fraction(1, 3), Fraction(1, 6)], 10)
    (5, 3, 2)
    """
    exact = [share * n_items for share in shares]
    counts = [int(each) for each in exact]
    by_rest = sorted(range(len(exact)), key=lambda n: (counts[n] - exact[n], n))
    for n in by_rest[: n_items - sum(counts)]:
        counts[n] += 1
    return tuple(counts)


def unknown_domains(bank: Bank, blueprint: Blueprint) -> Iterator[Complaint]:
    """Yield a complaint for each item of a bank whose domain the blueprint does not know."""
    for number, item in enumerate(bank.items):
        if blueprint.domain_of(item.domain) is None:
            yield Complaint(
                "X212",
                ("items", number, "domain"),
                f"the domain of an item must be one of the blueprint {blueprint.blueprint}",
                got=f"'{item.domain}'",
                expected=", ".join(domain.id for domain in blueprint.domains),
            )


def _sum_complaints(path: tuple[str], what: str, total: Fraction) -> Iterator[Complaint]:
    if total != _WHOLE:
        yield Complaint(
            "X207",
            path,
            f"the shares of the {what} must sum to 100 %",
            got=_percent(total),
            expected="100 %",
            hint=f"{_percent(abs(total - _WHOLE))} {'too much' if total > 1 else 'is missing'}",
        )


def _percent(share: Fraction) -> str:
    return f"{write_decimal(share * 100)} %"
