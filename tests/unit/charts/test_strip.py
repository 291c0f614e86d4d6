from __future__ import annotations

import itertools
import json
from typing import TYPE_CHECKING

import pytest
import vl_convert

from comity.charts.palette import BAR, HAIRLINE, INK, MUTED, PAPER
from comity.charts.span import Span, sensible_span
from comity.charts.strip import strip_parts, strip_spec
from comity.charts.strip_bars import Scale
from comity.charts.strip_marks import Mark
from comity.core.days.calendar import iso
from comity.core.eligibility.assessment import Verdict
from tests.assets.brief import samples
from tests.assets.brief.samples import ON, day, window

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from comity.charts.palette import Spec
    from comity.core.eligibility.assessment import Assessment, Window


def spec_of(assessment: Assessment, *, marks: Sequence[Mark] = ()) -> Spec:
    """Return the strip over its sensible span."""
    return strip_spec(assessment, span=sensible_span(assessment), marks=marks)


def dates(window: Window) -> tuple[str | None, str | None]:
    """Return a window as a bar names it."""
    start, until = (None if end is None else iso(end) for end in (window.start, window.until))
    return start, until


def windows_of(assessment: Assessment, certainty: str) -> set[tuple[str, str | None, str | None]]:
    """Return the windows which a strip has to show, with the label of their row."""
    rows = [
        *((row.label, row.windows) for row in assessment.requirements),
        ("All together", assessment.windows),
    ]
    return {
        (label, *dates(window))
        for label, windows in rows
        for window in windows
        if window.certainty == certainty
    }


@pytest.mark.parametrize("make", [samples.mixed, samples.clear_yes, samples.many])
@pytest.mark.parametrize("certainty", ["certain", "possible"])
def test_every_window_appears_with_its_dates(
    make: Callable[[], Assessment], certainty: str
) -> None:
    assessment = make()
    bars = spec_of(assessment)["datasets"][certainty]
    shown = {(bar["label"], bar["from"], bar["until"]) for bar in bars}
    assert shown == windows_of(assessment, certainty)


def test_every_requirement_has_its_label_and_its_verdict_in_words() -> None:
    assessment = samples.mixed()
    data = spec_of(assessment)["datasets"]
    labels = [" ".join(row["lines"]) for row in data["labels"]]
    verdicts = [" ".join(row["lines"]) for row in data["verdicts"]]
    assert sorted(labels) == sorted(row.label for row in assessment.requirements)
    assert sorted(verdicts) == sorted(
        [row.verdict for row in assessment.requirements] + [assessment.verdict]
    )


def test_possible_bars_are_hatched_over_their_whole_length_and_certain_bars_are_not() -> None:
    data = spec_of(samples.mixed())["datasets"]
    for bar in data["possible"]:
        strokes = [s for s in data["hatching"] if bar["top"] <= s["y2"] and s["y"] <= bar["bottom"]]
        assert min(stroke["x"] for stroke in strokes) == bar["left"]
        assert max(stroke["x2"] for stroke in strokes) == bar["right"]
    for bar in data["certain"]:
        inside = [
            stroke
            for stroke in data["hatching"]
            if bar["top"] <= stroke["y2"] <= bar["bottom"]
            and bar["left"] <= stroke["x"] < bar["right"]
        ]
        assert inside == []


def test_certain_and_possible_differ_without_colour() -> None:
    looks = {layer["name"]: layer["mark"] for layer in spec_of(samples.mixed())["layer"]}
    assert looks["layer_certain"]["fill"] == BAR
    assert looks["layer_possible"]["fill"] == PAPER
    assert looks["layer_possible_outline"]["stroke"] == BAR
    assert looks["layer_hatching"]["type"] == "rule"


def test_no_colour_is_bound_to_data_and_all_are_inks_of_one_palette() -> None:
    layers = spec_of(samples.mixed())["layer"]
    channels = {channel for layer in layers for channel in layer["encoding"]}
    colours = {
        value
        for layer in layers
        for key, value in layer["mark"].items()
        if key in {"fill", "stroke", "color"} and value is not None
    }
    assert channels <= {"x", "x2", "y", "y2", "text", "tooltip"}
    assert colours == {INK, MUTED, HAIRLINE, BAR, PAPER}


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("ink", [INK, MUTED, BAR])
def test_inks_stand_out_from_paper_as_wcag_2_2_asks_of_text(ink: str) -> None:
    assert 1.05 / (luminance(ink) + 0.05) >= 4.5  # success criterion 1.4.3, level AA


def test_the_assessed_day_is_marked_and_named() -> None:
    data = spec_of(samples.mixed())["datasets"]
    assert [mark["day"] for mark in data["assessed"]] == ["2026-11-25"]
    assert "25\u00a0Nov\u00a02026: day of this assessment" in {
        mark["label"] for mark in data["mark_labels"]
    }


def test_a_coming_edition_is_marked() -> None:
    marks = spec_of(samples.mixed())["datasets"]["marks"]
    assert [(mark["day"], mark["label"]) for mark in marks] == [("2028-01-01", "new edition")]


def test_check_points_stand_on_every_row_checked_that_day() -> None:
    assessment = samples.mixed()
    points = spec_of(assessment)["datasets"]["check_points"]
    applicable = [
        row
        for row in assessment.requirements
        if row.at == "submission" and row.verdict is not Verdict.NOT_APPLICABLE
    ]
    assert len(points) == len(applicable) + 1  # and all together
    assert {point["x"] for point in points} == {Scale.time_of(ON)}


def test_a_milestone_with_a_day_gets_check_points_on_its_own_rows() -> None:
    mark = Mark(day("2027-05-01"), "full registration", milestone="registration")
    points = spec_of(samples.mixed(), marks=[mark])["datasets"]["check_points"]
    assert [p["at"] for p in points if p["x"] == Scale.time_of(mark.day)] == ["registration"]


def test_what_is_checked_later_stands_below_all_together() -> None:
    data = spec_of(samples.mixed())["datasets"]
    heights = {row["label"]: row["y"] for row in data["labels"]}
    together = data["together"][0]["y"]
    later = heights.pop(samples.ADAPTATION.label)
    assert max(heights.values()) < together < later
    assert [row["label"] for row in data["headings"]] == [
        "Checked when the application is handed in",
        "Checked later: Full registration",
    ]


def test_windows_that_reach_beyond_the_span_end_in_arrowheads() -> None:
    data = spec_of(samples.clear_yes())["datasets"]
    degree = next(row["y"] for row in data["verdicts"][1:2])
    assert [mark["y"] for mark in data["goes_on"]] == [degree]
    assert len(data["began_before"]) == 4


def test_a_window_of_one_day_in_ten_years_is_still_seen() -> None:
    single = samples.requirement(
        "Short", Verdict.MET, windows=(window("2027-01-01", "2027-01-01"),)
    )
    assessment = samples.assessment(Verdict.MET, requirements=(single,))
    span = Span(ON, ON + 3653)
    bar = strip_spec(assessment, span=span)["datasets"]["certain"][0]
    scale = Scale(span)
    assert bar["right"] - bar["left"] >= scale.time(2.4) - scale.time(0.0)


def test_a_row_without_a_day_says_so_and_one_beyond_the_span_names_it() -> None:
    never = samples.requirement("Never", Verdict.NOT_MET)
    late = samples.requirement("Late", Verdict.NOT_MET, windows=(window("2040-01-01", None),))
    assessment = samples.assessment(
        Verdict.NOT_MET, requirements=(never, late), windows=(window("2040-01-01", None),)
    )
    texts = [row["text"] for row in spec_of(assessment)["datasets"]["empty"]]
    beyond = "holds from 1\u00a0Jan\u00a02040 on"
    assert texts == ["no day found", beyond, beyond]


def test_rows_do_not_overlap() -> None:
    data = spec_of(samples.many())["datasets"]
    bars = sorted({(bar["top"], bar["bottom"]) for bar in data["certain"] + data["possible"]})
    assert all(upper[1] < lower[0] for upper, lower in itertools.pairwise(bars))


def test_parts_show_every_row_once_within_the_height() -> None:
    assessment = samples.many()
    parts = strip_parts(assessment, span=sensible_span(assessment), most_height=745.0)
    labels = [row["label"] for part in parts for row in part["datasets"]["labels"]]
    assert sorted(labels) == sorted(row.label for row in assessment.requirements)
    assert all(part["height"] <= 745.0 for part in parts)
    assert len(parts) == 2


def test_parts_are_filled_evenly_and_no_heading_ends_one() -> None:
    assessment = samples.many()
    parts = strip_parts(assessment, span=sensible_span(assessment), most_height=300.0)
    heights = [part["height"] for part in parts]
    assert min(heights) > 0.5 * max(heights)
    for part in parts:
        headings = [row["y"] for row in part["datasets"]["headings"]]
        rows = [row["y"] for row in part["datasets"]["labels"] + part["datasets"]["together"]]
        assert max(headings, default=0.0) < max(rows)


@pytest.mark.parametrize("make", [samples.mixed, samples.many, samples.hostile])
def test_the_specification_is_plain_json_and_compiles_without_a_warning(
    make: Callable[[], Assessment], capfd: pytest.CaptureFixture[str]
) -> None:
    spec = json.loads(json.dumps(spec_of(make())))
    svg = vl_convert.vegalite_to_svg(spec, allowed_base_urls=[], show_warnings=True)
    assert svg.startswith("<svg")
    assert capfd.readouterr().err == ""


def test_the_same_assessment_gives_the_same_specification() -> None:
    assert spec_of(samples.mixed()) == spec_of(samples.mixed())


def test_the_text_alternative_is_the_description() -> None:
    description = spec_of(samples.clear_yes())["description"].replace("\u00a0", " ")
    assert description.startswith("Open dates: Dietitian, Xandrian Board of Health Professions.")
    assert "Practice within the last two years: met, holds until 30 Jun 2029." in description
    assert description.endswith("All together: met, holds from 1 Sep 2026 until 28 Feb 2027.")
