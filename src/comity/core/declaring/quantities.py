"""Values that are numbers: whole numbers, numbers, shares, hours and minutes."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Final, TypeAlias

from comity.core.declaring.scalar import Scalar, refuse

# More digits than any count, fee or score has; Python refuses to convert some thousands of them.
_MAX_DIGITS: Final = 15
_WHOLE: Final = re.compile(r"[-+]?[0-9]+", re.ASCII)
_DECIMAL: Final = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?", re.ASCII)
_RATIO: Final = re.compile(r"(-?[0-9]+)/([0-9]+)", re.ASCII)
_PERCENT: Final = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?%", re.ASCII)
_CLOCK: Final = re.compile(r"([0-9]+):([0-5][0-9])", re.ASCII)
_COMMA: Final = re.compile(r"[-+]?[0-9]+,[0-9]{1,2}( ?%)?", re.ASCII)
_GROUPED: Final = re.compile(r"[-+]?[0-9]{1,3}([,' ][0-9]{3})+(\.[0-9]+)?", re.ASCII)


def check_digits(text: str) -> None:
    """Refuse a text that can be no number here, saying how to write the one that is meant.

    Raises
    ------
    ScalarError
        On a decimal comma, a grouping sign, or more digits than any amount has.
    """
    if _COMMA.fullmatch(text):
        refuse(f"write a point in place of the comma: {text.replace(',', '.')}")
    if _GROUPED.fullmatch(text):
        refuse(f"write the number without grouping: {re.sub(r'''[,' ]''', '', text)}")
    if any(sum(map(str.isdigit, number)) > _MAX_DIGITS for number in text.split("/")):
        refuse(f"write a number of at most {_MAX_DIGITS} digits")


def _parse_whole(text: str) -> int:
    check_digits(text)
    if not _WHOLE.fullmatch(text):
        refuse("write digits only, without unit" if re.match(r"[0-9]", text) else "")
    return int(text)


def parse_decimal(text: str) -> Fraction:
    """Return the exact value of a decimal number with a point.

    Raises
    ------
    ScalarError
        When the text is anything else; the sentence says how to mend it.
    """
    check_digits(text)
    if not _DECIMAL.fullmatch(text):
        refuse("write digits only, without unit" if re.match(r"[0-9]", text) else "")
    return Fraction(text)


def _parse_ratio(text: str) -> Fraction | None:
    match = _RATIO.fullmatch(text)
    if match is None:
        return None
    above, below = (int(part) for part in match.groups())
    if below == 0:
        refuse("nothing can be divided by zero")
    return Fraction(above, below)


def _parse_number(text: str) -> Fraction:
    check_digits(text)
    ratio = _parse_ratio(text)
    return parse_decimal(text) if ratio is None else ratio


def write_decimal(number: Fraction) -> str:
    """Return the shortest decimal text of a number, or a ratio where that is long or never ends.

    Examples
    --------
    >>> write_decimal(Fraction(75, 2)), write_decimal(Fraction(1, 3))
    ('37.5', '1/3')
    """
    places = next((n for n in range(_MAX_DIGITS) if 10**n % number.denominator == 0), None)
    if places is None or abs(scaled := int(number * 10**places)) >= 10**_MAX_DIGITS:
        return f"{number.numerator}/{number.denominator}"
    return write_fixed(scaled, places)


def write_fixed(scaled: int, places: int) -> str:
    """Return a number of 10**-places parts as decimal text with all its places.

    Examples
    --------
    >>> write_fixed(12000, 2), write_fixed(-5, 1)
    ('120.00', '-0.5')
    """
    sign = "-" if scaled < 0 else ""
    digits = str(abs(scaled)).zfill(places + 1)
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else sign + digits


def _parse_share(text: str) -> Fraction:
    check_digits(text)
    percent = _PERCENT.fullmatch(text)
    ratio = _parse_ratio(text)
    if percent:
        share = Fraction(percent.group(1)) / 100
    else:
        share = parse_decimal(text) if ratio is None else ratio
    if not 0 <= share <= 1:
        has_lost_its_sign = share in range(2, 101) and not (ratio or percent)
        sentence = f"write {text} %" if has_lost_its_sign else "a share lies between 0 and 100 %"
        refuse(sentence)
    return share


def _write_share(share: Fraction) -> str:
    percent = write_decimal(share * 100)
    return f"{share.numerator}/{share.denominator}" if "/" in percent else f"{percent} %"


def _parse_hours(text: str) -> int:
    clock = _CLOCK.fullmatch(text)
    if clock and len(text) <= _MAX_DIGITS:
        return int(clock.group(1)) * 60 + int(clock.group(2))
    hours = parse_decimal(text)
    if hours < 0:
        refuse("hours cannot be negative")
    minutes = hours * 60
    if minutes.denominator != 1:
        refuse(f"write hours and minutes, as {_write_hours(round(minutes))}")
    return int(minutes)


def _write_hours(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return f"{hours}:{rest:02}" if rest else str(hours)


WHOLE_NUMBER: Final = Scalar(
    name="whole number",
    noun="a whole number",
    code="F403",
    example="90",
    parse=_parse_whole,
    write=str,
    # A number in quotes is text to editors, and the same number to us.
    schema={"type": ["integer", "string"], "pattern": "^[-+]?[0-9]+$"},
)
NUMBER: Final = Scalar(
    name="number",
    noun="a number",
    code="F404",
    example="7.5",
    parse=_parse_number,
    write=write_decimal,
    schema={"type": ["number", "string"], "pattern": "^(-?[0-9]+/[0-9]+|[-+]?[0-9]+(\\.[0-9]+)?)$"},
)
SHARE: Final = Scalar(
    name="share",
    noun="a share of a whole",
    code="F405",
    example="50 %",
    parse=_parse_share,
    write=_write_share,
    schema={
        "type": ["number", "string"],
        "minimum": 0,
        "maximum": 1,
        "pattern": "^([0-9]+/[0-9]+|[0-9]+(\\.[0-9]+)?( ?%)?)$",
    },
)
HOURS: Final = Scalar(
    name="hours",
    noun="a number of hours",
    code="F406",
    example="37.5",
    parse=_parse_hours,
    write=_write_hours,
    schema={
        "type": ["number", "string"],
        "minimum": 0,
        "pattern": "^([0-9]+:[0-5][0-9]|[0-9]+(\\.[0-9]+)?)$",
    },
)

Share: TypeAlias = Annotated[Fraction, SHARE]
Hours: TypeAlias = Annotated[int, HOURS]
