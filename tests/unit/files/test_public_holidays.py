"""Public holidays against the statutes that name them."""

from __future__ import annotations

import pytest
from holidays import country_holidays

from comity.core.days.calendar import iso
from comity.files.public_holidays import UnknownCountryError, public_holidays


def test_france_keeps_the_eleven_days_of_its_labour_code() -> None:
    """Code du travail, article L3133-1 (from memory); Easter 2027 is on 28 March."""
    assert [iso(each) for each in public_holidays("FR", [2027]).days] == [
        "2027-01-01",
        "2027-03-29",
        "2027-05-01",
        "2027-05-06",
        "2027-05-08",
        "2027-05-17",
        "2027-07-14",
        "2027-08-15",
        "2027-11-01",
        "2027-11-11",
        "2027-12-25",
    ]


def test_several_years_come_in_order() -> None:
    days = public_holidays("FR", [2028, 2027]).days
    assert list(days) == sorted(days)
    assert len(days) == 22


def test_feasts_whose_day_is_only_estimated_are_told_apart() -> None:
    """The feasts after Ramadan hang on the sighting of the moon; in 2035 nobody knows them yet."""
    indonesia = public_holidays("ID", [2035])
    assert "2035-08-17" in {iso(each) for each in indonesia.certain}  # independence, a fixed day
    listed = country_holidays("ID", years=[2035], language="en_US")
    assert len(indonesia.certain) == sum("estimated" not in name for name in listed.values())
    assert len(indonesia.estimated) == len(listed) - len(indonesia.certain) > 0
    assert len(indonesia.days) == len(listed)


def test_an_invented_country_has_none() -> None:
    with pytest.raises(UnknownCountryError, match="XA"):
        public_holidays("XA", [2027])
