"""Group K: the arithmetic of screening scores and diagnosis; no form and no wording of theirs."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import YES_NO
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_BMI: Final = Quantity("bmi", "kg/m²", 8, 80)
_LOSS: Final = Quantity("loss_percent", "%", 0, 60)
_AGE: Final = Quantity("age_y", "y", 18, 110)


def _must(*, bmi: float, loss_percent: float, acute_effect: str) -> float:
    by_bmi = 0 if bmi > 20 else 1 if bmi >= 18.5 else 2
    by_loss = 0 if loss_percent < 5 else 1 if loss_percent <= 10 else 2
    return by_bmi + by_loss + (2 if acute_effect == "yes" else 0)


def _mst(*, lost_kg: float, unsure: str, poor_appetite: str) -> float:
    steps = (lost_kg >= 1) + (lost_kg >= 6) + (lost_kg >= 11) + (lost_kg > 15)
    return (2 if unsure == "yes" else steps) + (poor_appetite == "yes")


def _strong_kids(*, disease: str, looks_thin: str, intake_or_losses: str, weight: str) -> float:
    return 2 * (disease == "yes") + sum(
        word == "yes" for word in (looks_thin, intake_or_losses, weight)
    )


def _glim(*, age_y: float, bmi: float, loss_percent: float, months: float) -> float:
    limit, severe = (20, 18.5) if age_y < 70 else (22, 20)
    recent = months <= 6
    if bmi < severe or loss_percent > (10 if recent else 20):
        return 2
    return 1 if bmi < limit or loss_percent > (5 if recent else 10) else 0


def _nutric(
    *, age_y: float, apache: float, sofa: float, comorbidities: float, days_before: float
) -> float:
    by_age = (age_y >= 50) + (age_y >= 75)
    by_illness = (apache >= 15) + (apache >= 20) + (apache >= 28) + (sofa >= 6) + (sofa >= 10)
    return by_age + by_illness + (comorbidities >= 2) + (days_before >= 1)


def _refeeding(*, major: float, minor: float) -> str:
    return "high" if major >= 1 or minor >= 2 else "not high"


def _by_z(z: float) -> str:
    if z <= -3:
        return "severe"
    return "moderate" if z <= -2 else "mild" if z <= -1 else "none"


def _triage(points: float) -> str:
    bands = ((9, "9 and over"), (4, "4 to 8"), (2, "2 to 3"))
    return next((band for least, band in bands if points >= least), "0 to 1")


EQUATIONS: Final = (
    Equation(
        id="must_score",
        group="K1",
        title="MUST score",
        version="2003",
        states="BMI over 20: 0, 18.5 to 20: 1, under 18.5: 2; loss under 5 %: 0, 5 to 10 %: 1,"
        " over 10 %: 2; acutely ill with nothing eaten for over 5 days: 2",
        inputs=(_BMI, _LOSS, Choice("acute_effect", YES_NO)),
        unit="",
        source="Elia, BAPEN report",
        year=2003,
        status=Status.FROM_MEMORY,
        compute=_must,
    ),
    Equation(
        id="nrs_2002",
        group="K2",
        title="NRS-2002 score",
        version="Kondrup 2003",
        states="the highest of the nutrition scores (0 to 3) + severity of disease (0 to 3) + 1"
        " from 70 years",
        inputs=(
            Quantity("nutrition", "", 0, 3),
            Quantity("severity", "", 0, 3),
            _AGE,
        ),
        unit="",
        source="Kondrup et al., Clin Nutr 22:321",
        year=2003,
        status=Status.CONFIRMED,
        compute=lambda nutrition, severity, age_y: nutrition + severity + (1 if age_y >= 70 else 0),
    ),
    Equation(
        id="mst_score",
        group="K3",
        title="MST score",
        version="1999",
        states="unsure of loss 2; 1 to 5 kg 1, 6 to 10 kg 2, 11 to 15 kg 3, over 15 kg 4;"
        " poor appetite 1",
        inputs=(
            Quantity("lost_kg", "kg", 0, 100),
            Choice("unsure", YES_NO),
            Choice("poor_appetite", YES_NO),
        ),
        unit="",
        source="Ferguson et al., Nutrition 15:458",
        year=1999,
        status=Status.FROM_MEMORY,
        compute=_mst,
    ),
    Equation(
        id="strong_kids",
        group="K4",
        title="STRONGkids score",
        version="2010",
        states="disease 2; clinical impression 1; intake or losses 1; weight 1",
        inputs=tuple(
            Choice(name, YES_NO) for name in ("disease", "looks_thin", "intake_or_losses", "weight")
        ),
        unit="",
        source="Hulst et al., Clin Nutr 29:106",
        year=2010,
        status=Status.CONFIRMED,
        compute=_strong_kids,
    ),
    Equation(
        id="pg_sga_triage",
        group="K5",
        title="PG-SGA band of points",
        version="1996",
        states="0 to 1, 2 to 3, 4 to 8, 9 and over",
        inputs=(Quantity("points", "", 0, 60),),
        unit="",
        source="Ottery, Nutrition 12:S15",
        year=1996,
        status=Status.FROM_MEMORY,
        compute=_triage,
        note="the category A, B or C does not follow from the points",
    ),
    Equation(
        id="glim_stage",
        group="K6",
        title="GLIM stage by weight loss and BMI, an etiologic criterion being met",
        version="2019, general BMI limits",
        states="stage 1: loss over 5 % in 6 months or over 10 % beyond, BMI under 20 (under 22 from"
        " 70 years); stage 2: over 10 % or over 20 %, BMI under 18.5 (under 20 from 70 years);"
        " 0 where neither",
        inputs=(_AGE, _BMI, _LOSS, Quantity("months", "months", 0.25, 60)),
        unit="",
        source="Cederholm et al., Clin Nutr 38:1",
        year=2019,
        status=Status.CONFIRMED,
        compute=_glim,
    ),
    Equation(
        id="nutric_modified",
        group="K7",
        title="Modified NUTRIC score",
        version="2016, without interleukin",
        states="age 50: 1, 75: 2; APACHE II 15: 1, 20: 2, 28: 3; SOFA 6: 1, 10: 2; two or more"
        " comorbidities 1; a day or more in hospital before 1",
        inputs=(
            _AGE,
            Quantity("apache", "", 0, 71),
            Quantity("sofa", "", 0, 24),
            Quantity("comorbidities", "", 0, 15),
            Quantity("days_before", "d", 0, 365),
        ),
        unit="",
        source="Rahman et al., Clin Nutr 35:158",
        year=2016,
        status=Status.FROM_MEMORY,
        compute=_nutric,
    ),
    Equation(
        id="refeeding_risk",
        group="K8",
        title="Refeeding risk by counts of criteria",
        version="NICE CG32",
        states="one major or two minor criteria: high",
        inputs=(Quantity("major", "", 0, 5), Quantity("minor", "", 0, 5)),
        unit="",
        source="NICE, CG32",
        year=2006,
        status=Status.FROM_MEMORY,
        compute=_refeeding,
    ),
    Equation(
        id="paediatric_z_2015",
        group="K9",
        title="Malnutrition of children by z-score",
        version="2015",
        states="z of −1 to −1.9 mild, −2 to −2.9 moderate, −3 and lower severe",
        inputs=(Quantity("z", "", -7, 7),),
        unit="",
        source="Becker et al., Nutr Clin Pract 30:147",
        year=2015,
        status=Status.FROM_MEMORY,
        compute=_by_z,
    ),
)
