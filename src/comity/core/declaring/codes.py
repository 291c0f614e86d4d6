"""Values that are codes of a standard: countries, currencies, languages."""

from __future__ import annotations

import re
from typing import Annotated, Final, TypeAlias

from comity.core.declaring.iso import (
    COUNTRY_BY_ALPHA_3,
    CURRENCY_DECIMALS,
    LANGUAGES,
    is_country,
    withdrawn_from,
)
from comity.core.declaring.scalar import Scalar, refuse

# Two letters that people use for a country whose code is another.
_OFTEN_MEANT: Final = {"UK": "GB", "EL": "GR"}
_ALPHA_2: Final = 2
# BCP 47 (RFC 5646): language, script, region, variants; what people's papers are written in.
_LANGUAGE_TAG: Final = re.compile(
    r"([a-z]{2,3})(?:-([a-z]{4}))?(?:-([a-z]{2}|[0-9]{3}))?((?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*)",
    re.ASCII | re.IGNORECASE,
)


def _parse_country(text: str) -> str:
    if is_country(text):
        return text
    meant = _countries_meant_by(text.upper())
    return refuse(f"write {' or '.join(meant)}" if meant else f"no country has the code {text}")


def _countries_meant_by(code: str) -> tuple[str, ...]:
    if is_country(code):
        return (code,)
    today = _OFTEN_MEANT.get(code) or COUNTRY_BY_ALPHA_3.get(code)
    return (today,) if today else withdrawn_from(code)


def _parse_currency(text: str) -> str:
    if text in CURRENCY_DECIMALS:
        return text
    code = text.upper()
    return refuse(
        f"write {code}" if code in CURRENCY_DECIMALS else f"no currency has the code {text}"
    )


def _parse_language(text: str) -> str:
    match = _LANGUAGE_TAG.fullmatch(text)
    if match is None:
        refuse()
    language, script, region, variants = match.groups(default="")
    language, region = language.lower(), region.upper()
    if len(language) == _ALPHA_2 and language not in LANGUAGES:
        refuse(f"no language has the code {language}")
    if region.isalpha() and not is_country(region):
        refuse(f"no country has the code {region}")
    parts = (language, script.title(), region, variants.lower().lstrip("-"))
    return "-".join(part for part in parts if part)


COUNTRY: Final = Scalar(
    name="country",
    noun="the code of a country (ISO 3166)",
    code="F409",
    example="NZ",
    parse=_parse_country,
    write=str,
    schema={"type": "string", "pattern": "^([A-Z]{2}|[A-Z]{4})$"},
)
CURRENCY: Final = Scalar(
    name="currency",
    noun="the code of a currency (ISO 4217)",
    code="F410",
    example="EUR",
    parse=_parse_currency,
    write=str,
    schema={"type": "string", "pattern": "^[A-Z]{3}$"},
)
LANGUAGE: Final = Scalar(
    name="language",
    noun="a language tag of BCP 47",
    code="F411",
    example="en-GB",
    parse=_parse_language,
    write=str,
    schema={"type": "string", "pattern": "^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$"},
)

Country: TypeAlias = Annotated[str, COUNTRY]
Currency: TypeAlias = Annotated[str, CURRENCY]
Language: TypeAlias = Annotated[str, LANGUAGE]
