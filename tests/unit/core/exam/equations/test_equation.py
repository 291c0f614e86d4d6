from __future__ import annotations

from math import isfinite

import pytest

from comity.core.exam.equations import (
    EQUATIONS,
    ArgumentError,
    Choice,
    Equation,
    OutsideError,
    Quantity,
    Status,
)

ALL = sorted(EQUATIONS)


def middle_of(equation: Equation) -> dict[str, float | str]:
    """Return inputs of an equation in the middle of their ranges."""
    return {
        each.name: each.words[0] if isinstance(each, Choice) else (each.low + each.high) / 2
        for each in equation.inputs
    }


def test_a_value_outside_the_range_is_refused_in_words() -> None:
    with pytest.raises(OutsideError) as caught:
        EQUATIONS["bmi"].value(weight_kg=70, height_cm=1.75)
    assert str(caught.value) == "bmi: height_cm must lie between 120 and 230 cm: 1.75"


def test_a_word_in_place_of_a_number_is_refused() -> None:
    with pytest.raises(OutsideError) as caught:
        EQUATIONS["lms_z"].value(measured="tall", l=1, m=80, s=0.03)
    assert str(caught.value) == "lms_z: measured must be a number, not 'tall'"


def test_a_score_out_of_range_is_named_without_a_unit() -> None:
    with pytest.raises(OutsideError) as caught:
        EQUATIONS["nrs_2002"].value(nutrition=4, severity=1, age_y=60)
    assert str(caught.value) == "nrs_2002: nutrition must lie between 0 and 3: 4"


def test_an_unknown_word_is_refused_with_the_words_that_are_known() -> None:
    with pytest.raises(OutsideError) as caught:
        EQUATIONS["ibw_devine_1974"].value(sex="man", height_in=70)
    assert str(caught.value) == ("ibw_devine_1974: sex must be one of ('female', 'male'): 'man'")


def test_a_missing_argument_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ArgumentError, match="bmi takes"):
        EQUATIONS["bmi"].value(weight_kg=70)


def test_a_result_that_is_not_defined_is_refused() -> None:
    with pytest.raises(OutsideError, match="risk_ratio is not defined for"):
        EQUATIONS["risk_ratio"].value(a=0, b=0, c=1, d=1)


def test_body_density_has_no_row_below_the_first_age() -> None:
    with pytest.raises(OutsideError, match="no band for male, 16 y"):
        EQUATIONS["body_density_1974"].value(sex="male", age_y=16, skinfolds_mm=40)


def test_friedewald_is_refused_from_400_on() -> None:
    # Friedewald et al. 1972: not valid with triglycerides of 400 mg/dL and more.
    with pytest.raises(OutsideError):
        EQUATIONS["ldl_friedewald_1972"].value(total=250, hdl=40, triglycerides=400)


@pytest.mark.parametrize("name", ALL)
def test_an_equation_says_its_version_constants_and_source(name: str) -> None:
    equation = EQUATIONS[name]
    assert equation.id == name
    assert equation.group[0] in "ABCDEFGHIJKLMNO"
    assert equation.group[1:].isdigit()
    assert all((equation.title, equation.version, equation.states, equation.source))
    assert 1890 <= equation.year <= 2026
    assert equation.status in Status
    assert all(each.low < each.high for each in equation.inputs if isinstance(each, Quantity))


UNDEFINED_IN_THE_MIDDLE = {"number_needed", "break_even"}
"""Equal risks have no number needed; a price equal to its cost never breaks even."""


@pytest.mark.parametrize("name", sorted(set(ALL) - UNDEFINED_IN_THE_MIDDLE))
def test_an_equation_has_an_answer_in_the_middle_of_its_range(name: str) -> None:
    found = EQUATIONS[name].value(**middle_of(EQUATIONS[name]))
    assert isinstance(found, str) or isfinite(found)


@pytest.mark.parametrize("name", sorted(UNDEFINED_IN_THE_MIDDLE))
def test_an_equation_without_an_answer_says_so(name: str) -> None:
    with pytest.raises(OutsideError, match="is not defined for"):
        EQUATIONS[name].value(**middle_of(EQUATIONS[name]))


@pytest.mark.parametrize(
    ("name", "given", "expected"),
    [
        # Half-open age bands: FAO/WHO/UNU 2004 gives 18 to 30 and 30 to 60 years.
        ("schofield_1985", {"sex": "female", "weight_kg": 60, "age_y": 30}, 8.126 * 60 + 845.6),
        ("henry_weight_2005", {"sex": "male", "weight_kg": 70, "age_y": 29.9}, 16.0 * 70 + 545),
        # One row of each pair by sex; constants as published.
        ("ibw_devine_1974", {"sex": "female", "height_in": 62}, 45.5 + 4.6),
        ("ibw_hamwi_1964", {"sex": "male", "height_in": 61}, 0.45359237 * 112),
        ("stature_bassey_1986", {"sex": "male", "demispan_cm": 80}, 169.8),
        ("arm_muscle_area_1982", {"sex": "female", "muac_cm": 28, "skinfold_mm": 12}, 40.22),
        ("mid_parental_height", {"sex": "male", "father_cm": 178, "mother_cm": 163}, 177),
        ("eer_2005", {"sex": "female", "activity": "inactive", "age_y": 40, "height_cm": 160,
                      "weight_kg": 60}, 354.1 - 276.4 + 561.6 + 1161.6),
        ("creatinine_height_index", {"sex": "female", "creatinine_mg": 900, "ibw_kg": 50}, 100),
        ("ireton_jones_spontaneous", {"age_y": 50, "weight_kg": 80, "bmi": 28}, 1470),
        ("protein_quality", {"measure": "PDCAAS", "amino_acid_ratio": 1.2,
                             "digestibility": 0.95}, 1.0),
        ("protein_quality", {"measure": "DIAAS", "amino_acid_ratio": 1.2,
                             "digestibility": 0.95}, 1.14),
        ("label_energy_us", {"kcal": 4}, 0),
        ("label_fat_us", {"fat_g": 0.4}, 0),
        ("vitamin_e_mg", {"form": "natural", "iu": 100}, 67),
        ("lms_z", {"measured": 110, "l": 0, "m": 100, "s": 0.1}, 0.9531),
        ("lms_z_restricted", {"measured": 150, "l": 0, "m": 100, "s": 0.1}, 4.171),
        ("lactation_energy_2023", {"before_kcal": 2000, "months": "0 to 6"}, 2400),
        ("lactation_energy_2005", {"before_kcal": 2000, "months": "7 to 12"}, 2400),
        ("must_score", {"bmi": 18, "loss_percent": 12, "acute_effect": "yes"}, 6),
        ("must_score", {"bmi": 24, "loss_percent": 2, "acute_effect": "no"}, 0),
        ("mst_score", {"lost_kg": 12, "unsure": "no", "poor_appetite": "yes"}, 4),
        ("mst_score", {"lost_kg": 0, "unsure": "yes", "poor_appetite": "no"}, 2),
        ("strong_kids", {"disease": "yes", "looks_thin": "no", "intake_or_losses": "yes",
                         "weight": "no"}, 3),
        ("nrs_2002", {"nutrition": 2, "severity": 1, "age_y": 70}, 4),
        ("glim_stage", {"age_y": 60, "bmi": 21, "loss_percent": 12, "months": 12}, 1),
        ("glim_stage", {"age_y": 60, "bmi": 24, "loss_percent": 3, "months": 4}, 0),
        ("nutric_modified", {"age_y": 76, "apache": 29, "sofa": 10, "comorbidities": 2,
                             "days_before": 1}, 9),
    ],
)  # fmt: skip
def test_each_branch_gives_what_its_publication_says(
    name: str, given: dict[str, float | str], expected: float
) -> None:
    assert EQUATIONS[name].value(**given) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "given", "word"),
    [
        ("frame_size_1980", {"sex": "male", "height_cm": 180, "wrist_cm": 19}, "large"),
        ("frame_size_1980", {"sex": "male", "height_cm": 180, "wrist_cm": 18}, "medium"),
        ("acute_malnutrition_2009", {"muac_mm": 130, "whz": 0, "oedema": "yes"}, "severe"),
        ("acute_malnutrition_2009", {"muac_mm": 130, "whz": 0, "oedema": "no"}, "none"),
        ("kidney_stage_2024", {"egfr": 45}, "G3a"),
        ("kidney_stage_2024", {"egfr": 14.9}, "G5"),
        ("refeeding_risk", {"major": 0, "minor": 2}, "high"),
        ("refeeding_risk", {"major": 0, "minor": 1}, "not high"),
        ("paediatric_z_2015", {"z": -3}, "severe"),
        ("paediatric_z_2015", {"z": -2.4}, "moderate"),
        ("paediatric_z_2015", {"z": -1.2}, "mild"),
        ("paediatric_z_2015", {"z": 0}, "none"),
        ("pg_sga_triage", {"points": 9}, "9 and over"),
        ("pg_sga_triage", {"points": 1}, "0 to 1"),
        ("content_claim", {"percent": 20}, "high"),
        ("content_claim", {"percent": 12}, "good source"),
        ("content_claim", {"percent": 9}, "none"),
    ],
)
def test_each_class_begins_where_its_publication_says(
    name: str, given: dict[str, float | str], word: str
) -> None:
    assert EQUATIONS[name].value(**given) == word
