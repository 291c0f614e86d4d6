"""How a dataclass says what a file may hold; reader, schema, prose and reference derive from it.

Examples
--------
A declared dataclass. Its annotations stand for kinds of value (``SCALARS``), words to choose from
(``Literal``, ``StrEnum``), yes or no (``bool``), lists (``tuple[X, ...]``), ``Mapping[str, X]``,
other dataclasses and families of them (``Tagged``); they are needed when the program runs.

>>> from collections.abc import Iterator
>>> from dataclasses import dataclass
>>> @dataclass(frozen=True, slots=True, kw_only=True)
... class Spell:
...     country: Country = declared("Country of practice.")
...     hours_a_week: Hours = declared("Contracted hours.", at_most=168 * 60)
...     employer: Text | None = declared("Who employed the applicant.", default=None)
...
...     def complaints(self) -> Iterator[Complaint]:
...         if self.country == "AA" and self.employer is None:
...             yield Complaint("F302", ("employer",), "practice in AA needs an employer")
>>> [(field.key, field.is_required) for field in fields_of(Spell)]
[('country', True), ('hours_a_week', True), ('employer', False)]
"""

from __future__ import annotations

from comity.core.declaring.amounts import Amount, Money
from comity.core.declaring.codes import Country, Currency, Language
from comity.core.declaring.dates import Date
from comity.core.declaring.estimates import Estimate
from comity.core.declaring.fields import Complaint, declared, fields_of
from comity.core.declaring.quantities import Hours, Share
from comity.core.declaring.scalars import SCALARS
from comity.core.declaring.tagged import Tagged
from comity.core.declaring.texts import Identifier, Text

__all__ = [
    "SCALARS",
    "Amount",
    "Complaint",
    "Country",
    "Currency",
    "Date",
    "Estimate",
    "Hours",
    "Identifier",
    "Language",
    "Money",
    "Share",
    "Tagged",
    "Text",
    "declared",
    "fields_of",
]
