"""Group O: tests, trials, agreement, adequacy of intakes."""

from __future__ import annotations

from math import ceil, erf, exp, log, sqrt
from typing import Final

from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_COUNT: Final = (0, 10_000_000)
_Z: Final = 1.959963984540054  # the normal deviate of 95 %
_TEST: Final = tuple(Quantity(name, "", *_COUNT) for name in ("tp", "fp", "fn", "tn"))
_TABLE: Final = tuple(Quantity(name, "", *_COUNT) for name in ("a", "b", "c", "d"))
_END: Final = Choice("end", ("lower", "upper"))
_SHARES: Final = tuple(
    Quantity(name, "", 0, 1) for name in ("sensitivity", "specificity", "prevalence")
)


def _ppv(*, sensitivity: float, specificity: float, prevalence: float) -> float:
    hit = sensitivity * prevalence
    return hit / (hit + (1 - specificity) * (1 - prevalence))


def _risk_ratio(*, a: float, b: float, c: float, d: float) -> float:
    return a / (a + b) / (c / (c + d))


def _risk_difference(*, a: float, b: float, c: float, d: float) -> float:
    return a / (a + b) - c / (c + d)


def _number_needed(*, a: float, b: float, c: float, d: float) -> float:
    return ceil(round(1 / abs(_risk_difference(a=a, b=b, c=c, d=d)), 9))


def _attributable(*, a: float, b: float, c: float, d: float) -> float:
    return (1 - 1 / _risk_ratio(a=a, b=b, c=c, d=d)) * 100


def _around(ratio: float, error: float, end: str) -> float:
    return exp(log(ratio) + (_Z if end == "upper" else -_Z) * error)


def _risk_ratio_limit(*, a: float, b: float, c: float, d: float, end: str) -> float:
    error = sqrt(1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))
    return _around(_risk_ratio(a=a, b=b, c=c, d=d), error, end)


def _odds_ratio_limit(*, a: float, b: float, c: float, d: float, end: str) -> float:
    return _around(a * d / (b * c), sqrt(1 / a + 1 / b + 1 / c + 1 / d), end)


def _chi_squared(*, a: float, b: float, c: float, d: float, corrected: str) -> float:
    n = a + b + c + d
    apart = abs(a * d - b * c) - (n / 2 if corrected == "yes" else 0)
    return n * max(apart, 0) ** 2 / ((a + b) * (c + d) * (a + c) * (b + d))


def _kappa(*, a: float, b: float, c: float, d: float) -> float:
    n = a + b + c + d
    by_chance = ((a + b) * (a + c) + (c + d) * (b + d)) / n**2
    return ((a + d) / n - by_chance) / (1 - by_chance)


def _wald(*, cases: float, n: float, end: str) -> float:
    share = cases / n
    return share + (_Z if end == "upper" else -_Z) * sqrt(share * (1 - share) / n)


def _wilson(*, cases: float, n: float, end: str) -> float:
    share, square = cases / n, _Z**2
    half = _Z * sqrt(share * (1 - share) / n + square / (4 * n * n))
    return (share + square / (2 * n) + (half if end == "upper" else -half)) / (1 + square / n)


def _normal(z: float) -> float:
    return (1 + erf(z / sqrt(2))) / 2


def _defined(**given: object) -> Equation:
    """Return an equation that is a definition."""
    common = {"version": "definition", "status": Status.DEFINITION, "unit": ""}
    return Equation(**{**common, **given})  # type: ignore[arg-type]


_ALTMAN: Final = {"source": "Altman and Bland, BMJ 308:1552 and 309:102", "year": 1994}
_COHORT: Final = {"source": "definition, exposed in the first row", "year": 1995}

EQUATIONS: Final = (
    _defined(
        id="sensitivity",
        group="O1",
        title="Sensitivity",
        states="true positives ÷ all with the condition",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: tp / (tp + fn),
        **_ALTMAN,
    ),
    _defined(
        id="specificity",
        group="O1",
        title="Specificity",
        states="true negatives ÷ all without the condition",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: tn / (tn + fp),
        **_ALTMAN,
    ),
    _defined(
        id="positive_predictive_value",
        group="O1",
        title="Positive predictive value",
        states="true positives ÷ all positives",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: tp / (tp + fp),
        **_ALTMAN,
    ),
    _defined(
        id="negative_predictive_value",
        group="O1",
        title="Negative predictive value",
        states="true negatives ÷ all negatives",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: tn / (tn + fn),
        **_ALTMAN,
    ),
    _defined(
        id="likelihood_ratio_positive",
        group="O1",
        title="Likelihood ratio of a positive result",
        states="sensitivity ÷ (1 − specificity)",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: tp / (tp + fn) / (fp / (fp + tn)),
        **_ALTMAN,
    ),
    _defined(
        id="likelihood_ratio_negative",
        group="O1",
        title="Likelihood ratio of a negative result",
        states="(1 − sensitivity) ÷ specificity",
        inputs=_TEST,
        compute=lambda tp, fp, fn, tn: fn / (tp + fn) / (tn / (fp + tn)),
        **_ALTMAN,
    ),
    _defined(
        id="ppv_by_prevalence",
        group="O2",
        title="Positive predictive value at a prevalence",
        states="Se × P ÷ (Se × P + (1 − Sp) × (1 − P))",
        inputs=_SHARES,
        compute=_ppv,
        **_ALTMAN,
    ),
    _defined(
        id="risk_ratio",
        group="O3",
        title="Risk ratio",
        states="a ÷ (a + b), divided by c ÷ (c + d)",
        inputs=_TABLE,
        compute=_risk_ratio,
        **_COHORT,
    ),
    _defined(
        id="odds_ratio",
        group="O3",
        title="Odds ratio",
        states="a × d ÷ (b × c)",
        inputs=_TABLE,
        compute=lambda a, b, c, d: a * d / (b * c),
        **_COHORT,
    ),
    _defined(
        id="risk_ratio_limit",
        group="O3",
        title="95 % limit of a risk ratio",
        version="logarithmic",
        states="exp(ln RR ± 1.96 × √(1/a − 1/(a+b) + 1/c − 1/(c+d)))",
        inputs=(*_TABLE, _END),
        compute=_risk_ratio_limit,
        **_COHORT,
    ),
    _defined(
        id="odds_ratio_limit",
        group="O3",
        title="95 % limit of an odds ratio",
        version="logarithmic",
        states="exp(ln OR ± 1.96 × √(1/a + 1/b + 1/c + 1/d))",
        inputs=(*_TABLE, _END),
        compute=_odds_ratio_limit,
        **_COHORT,
    ),
    _defined(
        id="risk_difference",
        group="O3",
        title="Risk difference",
        states="a ÷ (a + b) − c ÷ (c + d)",
        inputs=_TABLE,
        compute=_risk_difference,
        **_COHORT,
    ),
    _defined(
        id="number_needed",
        group="O3",
        title="Number needed to treat or to harm",
        version="rounded up",
        states="1 ÷ risk difference without its sign, up to the next whole person",
        inputs=_TABLE,
        compute=_number_needed,
        source="Cook and Sackett, BMJ 310:452",
        year=1995,
    ),
    _defined(
        id="attributable_percent",
        group="O3",
        title="Attributable fraction among the exposed",
        states="(1 − 1 ÷ RR) × 100",
        inputs=_TABLE,
        compute=_attributable,
        source="definition",
        year=1995,
    ),
    _defined(
        id="chi_squared",
        group="O3",
        title="Chi-squared of a two by two table",
        version="with or without Yates' correction",
        states="n × (|ad − bc| − n/2 when corrected)² ÷ product of the four margins",
        inputs=(*_TABLE, Choice("corrected", ("yes", "no"))),
        compute=_chi_squared,
        source="Pearson; Yates",
        year=1934,
    ),
    _defined(
        id="kappa_1960",
        group="O4",
        title="Cohen's kappa",
        version="1960, two raters, yes or no",
        states="(observed − expected agreement) ÷ (1 − expected agreement)",
        inputs=_TABLE,
        compute=_kappa,
        source="Cohen, Educ Psychol Meas 20:37",
        year=1960,
    ),
    _defined(
        id="proportion_limit_wald",
        group="O5",
        title="95 % limit of a proportion",
        version="Wald",
        states="p ± 1.96 × √(p × (1 − p) ÷ n)",
        inputs=(Quantity("cases", "", *_COUNT), Quantity("n", "", *_COUNT), _END),
        compute=_wald,
        source="Wald",
        year=1943,
    ),
    _defined(
        id="proportion_limit_wilson",
        group="O5",
        title="95 % limit of a proportion",
        version="Wilson",
        states="(p + z²/2n ± z × √(p(1 − p)/n + z²/4n²)) ÷ (1 + z²/n), z = 1.96",
        inputs=(Quantity("cases", "", *_COUNT), Quantity("n", "", *_COUNT), _END),
        compute=_wilson,
        source="Wilson, J Am Stat Assoc 22:209",
        year=1927,
    ),
    _defined(
        id="variation_percent",
        group="O6",
        title="Coefficient of variation",
        states="standard deviation ÷ mean × 100",
        inputs=(Quantity("sd", "", 0, 1e6), Quantity("mean", "", 0.0001, 1e6)),
        unit="%",
        compute=lambda sd, mean: sd / mean * 100,
        source="definition",
        year=1896,
    ),
    _defined(
        id="standard_error",
        group="O6",
        title="Standard error of a mean",
        states="standard deviation ÷ √n",
        inputs=(Quantity("sd", "", 0, 1e6), Quantity("n", "", 1, 1e7)),
        compute=lambda sd, n: sd / sqrt(n),
        source="definition",
        year=1908,
    ),
    _defined(
        id="rate_per",
        group="O6",
        title="Incidence rate or prevalence",
        version="per a number of people or years as stated",
        states="cases ÷ people or person-years × base",
        inputs=(
            Quantity("cases", "", *_COUNT),
            Quantity("total", "", 1, 1e9),
            Quantity("base", "", 1, 1e6),
        ),
        compute=lambda cases, total, base: cases / total * base,
        source="definition",
        year=1976,
    ),
    _defined(
        id="population_attributable_percent",
        group="O6",
        title="Population attributable fraction",
        version="Levin 1953",
        states="P × (RR − 1) ÷ (1 + P × (RR − 1)) × 100",
        inputs=(Quantity("exposed", "", 0, 1), Quantity("rr", "", 0.01, 100)),
        unit="%",
        compute=lambda exposed, rr: exposed * (rr - 1) / (1 + exposed * (rr - 1)) * 100,
        source="Levin, Acta Unio Int Contra Cancrum 9:531",
        year=1953,
    ),
    _defined(
        id="sample_size_proportion",
        group="O6",
        title="Sample size for a proportion",
        version="95 %, rounded up",
        states="1.96² × p × (1 − p) ÷ margin², up to the next whole person",
        inputs=(Quantity("share", "", 0.01, 0.99), Quantity("margin", "", 0.005, 0.3)),
        compute=lambda share, margin: ceil(round(1.96**2 * share * (1 - share) / margin**2, 9)),
        source="definition",
        year=1977,
    ),
    _defined(
        id="below_ear_percent",
        group="O7",
        title="Share of a group with inadequate intake, EAR cut-point",
        version="normal distribution of usual intakes",
        states="share of the normal distribution below (EAR − mean) ÷ standard deviation",
        inputs=(
            Quantity("mean", "", 0, 1e6),
            Quantity("sd", "", 0.0001, 1e6),
            Quantity("ear", "", 0, 1e6),
        ),
        unit="%",
        compute=lambda mean, sd, ear: _normal((ear - mean) / sd) * 100,
        source="Beaton 1994; Institute of Medicine, DRI: Applications in Dietary Assessment",
        year=2000,
    ),
    _defined(
        id="goldberg_ratio",
        group="O8",
        title="Energy intake to basal metabolic rate",
        states="reported energy ÷ basal metabolic rate",
        inputs=(
            Quantity("intake_kcal", "kcal/d", 100, 10000),
            Quantity("bmr_kcal", "kcal/d", 500, 4000),
        ),
        compute=lambda intake_kcal, bmr_kcal: intake_kcal / bmr_kcal,
        source="Black, Int J Obes 24:1119",
        year=2000,
    ),
    _defined(
        id="per_1000_kcal",
        group="O9",
        title="Nutrient density",
        states="amount ÷ energy × 1000",
        inputs=(Quantity("amount", "", 0, 1e6), Quantity("energy_kcal", "kcal", 1, 10000)),
        compute=lambda amount, energy_kcal: amount / energy_kcal * 1000,
        source="definition",
        year=1990,
    ),
)
