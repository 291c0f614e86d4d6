"""Our small tables of codes against the copies that other people keep of the registries.

- pycountry 24.6 and later: ISO 3166-1, ISO 3166-3, ISO 639-1 and ISO 4217 as in Debian's iso-codes.
- iso4217: the list one of ISO 4217, as published by its maintenance agency, with minor units.
- Babel: country codes and currency digits of the Unicode CLDR.
"""

from __future__ import annotations

import pycountry
import pytest
from babel import Locale
from babel.numbers import get_currency_precision
from iso4217 import Currency as PublishedCurrency

from comity.core.declaring.iso import (
    COUNTRIES,
    COUNTRY_BY_ALPHA_3,
    CURRENCY_DECIMALS,
    LANGUAGES,
    WITHDRAWN_COUNTRIES,
    is_country,
)

# CLDR counts the digits in use on the market, where these differ from ISO 4217 (CLDR
# supplemental data, currencyData/fractions; seen in Babel 2.18.0).
CLDR_DIFFERS = {
    "AFN",
    "ALL",
    "IQD",
    "IRR",
    "KPW",
    "LAK",
    "LBP",
    "MGA",
    "MMK",
    "RSD",
    "SOS",
    "SYP",
    "YER",
}


def test_countries_of_today_are_those_of_iso_3166_1() -> None:
    assert {country.alpha_3: country.alpha_2 for country in pycountry.countries} == dict(
        COUNTRY_BY_ALPHA_3
    )


def test_withdrawn_countries_are_those_of_iso_3166_3() -> None:
    assert {country.alpha_4 for country in pycountry.historic_countries} == WITHDRAWN_COUNTRIES


def test_languages_are_those_of_iso_639_1() -> None:
    published = {each.alpha_2 for each in pycountry.languages if hasattr(each, "alpha_2")}
    assert published == LANGUAGES


def test_currencies_and_their_decimals_are_those_of_iso_4217() -> None:
    published = {
        each.code: each.exponent for each in PublishedCurrency if each.exponent is not None
    }
    assert published == dict(CURRENCY_DECIMALS)
    assert set(CURRENCY_DECIMALS) <= {each.alpha_3 for each in pycountry.currencies}


def test_decimals_are_those_of_cldr_but_for_currencies_it_counts_by_use() -> None:
    differing = {
        code
        for code, decimals in CURRENCY_DECIMALS.items()
        if get_currency_precision(code) != decimals
    }
    assert differing == CLDR_DIFFERS


def test_every_country_of_today_has_a_name_in_cldr() -> None:
    assert set(Locale("en").territories) >= COUNTRIES


# ISO 3166-1:2020, 8.1.3: user-assigned code elements AA, QM to QZ, XA to XZ, ZZ.
@pytest.mark.parametrize("code", ["AA", "QM", "QZ", "XA", "XK", "XZ", "ZZ"])
def test_user_assigned_codes_are_countries(code: str) -> None:
    assert is_country(code)


@pytest.mark.parametrize("code", ["AB", "QL", "ZY", "XAA", "xa", "UK", "SU", ""])
def test_other_codes_are_not(code: str) -> None:
    assert not is_country(code)
