"""How often each check of item writing is right, on items of our own.

The flaws are those of Haladyna, Downing and Rodriguez (2002), Applied Measurement in Education 15,
309-333. Each flawed item names, below topics, the checks that should see its flaws; the labels say
what a reader of the guidelines sees, and some of them no check of ours does.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from comity.core.exam.writing import flaws_of
from comity.files.item_bank import load_bank

ROOT = Path(__file__).parents[5]
PAGE = ROOT / "docs" / "how-to" / "write-items.md"


def told_and_labelled(name: str) -> list[tuple[set[str], set[str]]]:
    bank = load_bank(ROOT / "tests" / "assets" / "items" / f"{name}.yaml").value
    assert bank is not None
    return [
        ({flaw.code for flaw in flaws_of(item)}, {topic.upper() for topic in item.topics})
        for item in bank.items
    ]


def counts() -> tuple[Counter[str], Counter[str], Counter[str]]:
    """Return what was told rightly, told wrongly and missed, by code."""
    items = [*told_and_labelled("good"), *told_and_labelled("flawed")]
    rightly = Counter(code for told, labels in items for code in told & labels)
    wrongly = Counter(code for told, labels in items for code in told - labels)
    missed = Counter(code for told, labels in items for code in labels - told)
    return rightly, wrongly, missed


def table() -> str:
    rightly, wrongly, missed = counts()
    lines = [
        "| check | seen | told wrongly | missed | precision | recall |",
        "|---|---|---|---|---|---|",
    ]
    for code in sorted(rightly | wrongly | missed):
        seen, false, lost = rightly[code], wrongly[code], missed[code]
        figures = f"{seen / (seen + false):.2f} | {seen / (seen + lost):.2f}"
        lines.append(f"| {code} | {seen} | {false} | {lost} | {figures} |")
    seen, false, lost = rightly.total(), wrongly.total(), missed.total()
    figures = f"{seen / (seen + false):.2f} | {seen / (seen + lost):.2f}"
    return "\n".join([*lines, f"| all | {seen} | {false} | {lost} | {figures} |"]) + "\n"


def test_there_are_fifty_good_items_and_fifty_flawed_ones() -> None:
    assert len(told_and_labelled("good")) >= 50
    assert len(told_and_labelled("flawed")) >= 50
    assert all(labels for _told, labels in told_and_labelled("flawed"))


def test_the_page_for_authors_tells_the_figures_of_today() -> None:
    found = table()
    print(found)  # noqa: T201 - to be copied into the page
    assert found in PAGE.read_text(encoding="utf-8")


def test_of_ten_warnings_nine_are_right_and_few_good_items_have_any() -> None:
    rightly, wrongly, missed = counts()
    assert rightly.total() >= 0.9 * (rightly + wrongly).total()
    assert rightly.total() >= 0.8 * (rightly + missed).total()
    n_warned = sum(bool(told) for told, _labels in told_and_labelled("good"))
    assert n_warned <= 3
