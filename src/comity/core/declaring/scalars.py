"""Every kind of single value, and which Python type stands for which."""

from __future__ import annotations

from fractions import Fraction
from types import MappingProxyType
from typing import Final

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring.amounts import AMOUNT, MONEY, Amount, Money
from comity.core.declaring.codes import COUNTRY, CURRENCY, LANGUAGE
from comity.core.declaring.dates import DATE, PARTIAL_DATE, PERIOD
from comity.core.declaring.estimates import ESTIMATE, Estimate
from comity.core.declaring.quantities import HOURS, NUMBER, SHARE, WHOLE_NUMBER
from comity.core.declaring.texts import IDENTIFIER, LINE, TEXT

SCALARS: Final = MappingProxyType(
    {
        scalar.name: scalar
        for scalar in (
            LINE,
            TEXT,
            IDENTIFIER,
            WHOLE_NUMBER,
            NUMBER,
            SHARE,
            HOURS,
            AMOUNT,
            MONEY,
            COUNTRY,
            CURRENCY,
            LANGUAGE,
            DATE,
            PARTIAL_DATE,
            PERIOD,
            ESTIMATE,
        )
    }
)
SCALAR_BY_TYPE: Final = MappingProxyType(
    {
        str: LINE,
        int: WHOLE_NUMBER,
        Fraction: NUMBER,
        Amount: AMOUNT,
        Money: MONEY,
        PartialDate: PARTIAL_DATE,
        Period: PERIOD,
        Estimate: ESTIMATE,
    }
)
