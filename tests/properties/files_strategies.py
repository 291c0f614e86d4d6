"""Values and texts for the laws of files: canonical values, and YAML good and bad."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, get_args

from hypothesis import strategies as st

from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from comity.core.declaring import Amount, Money
from comity.core.declaring.amounts import Unit
from comity.core.declaring.fields import fields_of
from comity.core.declaring.iso import COUNTRIES, CURRENCY_DECIMALS, WITHDRAWN_COUNTRIES
from comity.files.decoding import find_unreadable
from tests.samples import Choice, Circle, Colour, EveryValue, Figure, Group, Span

LAST_DAY: Final = parse_partial_date("2250-12-31", margin=None).earliest
_TRICKY: Final = (
    "null", "~", "NO", "on", "yes", "2019", "1:30", "0915", "1e5", "-", "- a", "a: b", "a #b", "#",
    "*a", "&a", "!a", "|", ">", "%", "@", "`", "?", "? a", "a:", ":", "..", "...", "---", "<<", "{",
    "[", "]", "a, b", "'", '"', "\\", "a\tb", "=", "true", "0x1F", "سلام", "名前", "é", "🙂",
    "a\u200db",
)  # fmt: skip


def _is_canonical(text: str) -> bool:
    return text.strip() == text != "" and "\r" not in text and not find_unreadable(text, "")


lines = st.sampled_from(_TRICKY) | st.text(min_size=1, max_size=40).filter(
    lambda text: _is_canonical(text) and "\n" not in text
)
texts = lines | st.lists(lines | st.just("") | st.just("  indented "), max_size=5).map(
    "\n".join
).filter(_is_canonical)
identifiers = st.from_regex(r"[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,2}", fullmatch=True)
numbers = st.fractions(-1_000_000, 1_000_000, max_denominator=100_000)
shares = st.fractions(0, 1, max_denominator=1_000)
amounts = st.builds(
    Amount,
    st.integers(0, 10**9).map(lambda n: Fraction(n, 1000)),
    st.sampled_from(get_args(Unit)),
)
money = st.builds(Money, st.integers(0, 10**12), st.sampled_from(sorted(CURRENCY_DECIMALS)))
countries = st.sampled_from([*sorted(COUNTRIES), *sorted(WITHDRAWN_COUNTRIES), "XA", "ZZ"])
languages = st.sampled_from(["en", "no", "en-GB", "zh-Hant-TW", "es-419", "gsw", "de-CH-1996"])
days = st.integers(0, LAST_DAY)
partial_dates = st.sampled_from(
    [
        "2019",
        "2019-05",
        "2019-05-03",
        "2019-05~",
        "2019?",
        "2019%",
        "201X",
        "2019-XX",
        "..",
        "unknown",
    ]
).map(lambda text: parse_partial_date(text, margin=None))
periods = st.builds(Period, st.integers(0, 600), st.integers(1, 900))
spans = st.tuples(days, days).map(lambda pair: Span(start=min(pair), end=max(pair)))
circles = st.builds(Circle, name=st.none() | identifiers, radius=st.integers(1, 99))
figures: st.SearchStrategy[Figure] = st.recursive(
    circles,
    lambda inner: st.one_of(
        st.builds(Group, parts=st.lists(inner, min_size=1, max_size=3).map(tuple)),
        st.builds(Choice, parts=st.lists(inner, max_size=3).map(tuple)),
    ),
    max_leaves=4,
)


def _optional(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.none() | strategy


every_value = st.builds(
    EveryValue,
    line=_optional(lines),
    text=_optional(texts),
    identifier=_optional(identifiers),
    whole_number=st.integers(0, 10**15 - 1),
    number=_optional(numbers),
    share=_optional(shares),
    hours=_optional(st.integers(0, 168 * 60)),
    amount=_optional(amounts),
    money=_optional(money),
    country=_optional(countries),
    currency=_optional(st.sampled_from(sorted(CURRENCY_DECIMALS))),
    language=_optional(languages),
    date=_optional(days),
    partial_date=_optional(partial_dates),
    period=_optional(periods),
    choice=st.sampled_from(["stated", "seen", 3]),
    colour=_optional(st.sampled_from(Colour)),
    yes_or_no=st.booleans(),
    yes_no_or_unknown=_optional(st.booleans()),
    countries=st.lists(countries, max_size=3).map(tuple),
    lists=st.lists(st.lists(texts, max_size=3).map(tuple), max_size=3).map(tuple),
    hours_by_name=st.dictionaries(lines, st.integers(0, 10_000), max_size=3),
    texts_by_name=_optional(st.dictionaries(lines, texts, max_size=3)),
    span=_optional(spans),
    spans=_optional(st.lists(spans, max_size=3).map(tuple)),
    figure=_optional(figures),
    figures_by_name=st.dictionaries(lines, figures, max_size=3),
)

# ------------------------------------------------------------------------- files, good and bad

_KEYS: Final = [field.key for field in fields_of(EveryValue)]
_VALUES: Final = (
    *_TRICKY, "", "Ward 3", "37,5", "37.5", "-3", "50 %", "24 months", "120 EUR", "nz", "NZ",
    "2019-02-31", "03/05/2019", "2019-05", "P2Y", "unknown", "yes", "maybe", "seen", "red",
    "[NZ, AU]", "0", "+12", "1/3", "-1/3", "0.50",
    "[[a], [b, c]]", "{a: 12, b: 37:30}", "{start: 2019-01-01, end: 2018-01-01}", "{kind: circle}",
    "{kind: circle, radius: 3}", "{all: [{any: []}]}", "{any: [], all: []}", '"\\0"', '"a\\tb"',
    "|\n  a\n  b",
)  # fmt: skip
_entries = st.builds(
    "{}{}: {}".format,
    st.sampled_from(["", "", "", " ", "  ", "- ", "\t"]),
    st.sampled_from(_KEYS) | lines,
    st.sampled_from(_VALUES) | st.sampled_from(_VALUES).map('"{}"'.format) | lines,
)
yaml_like = st.lists(_entries | lines | st.just("---"), max_size=8).map("\n".join)
any_text = yaml_like | st.text() | st.text("[]{}:,-?!&*#|>'\"%@` \n\t\\0a", max_size=60)
any_bytes = st.binary() | any_text.map(lambda text: text.encode("utf-8", "surrogatepass"))
