"""A remedy keeps its word: done, the requirement holds on the day named; and it is the least."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring import Amount
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.edition_days import EditionEvaluation
from comity.core.eligibility.findings_updating import updating_gap
from comity.core.eligibility.remedies import mend
from comity.core.eligibility.view import View, proposals
from comity.core.facts.columns import ASSUMPTIONS, columns_of
from comity.core.facts.model import Applicant, Facts, PracticeSpell, Updating
from comity.core.rulebook.kinds.practising import Practice, UpdatingCap, UpdatingOwed
from comity.core.rulebook.model import Authority, Edition, Rulebook, Title
from tests.properties.effort import examples
from tests.properties.eligibility_strategies import CASES, OTHERS, TODAY, applicants, day

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment
    from comity.core.eligibility.context import Context
    from comity.core.facts.columns import Columns
    from comity.core.rulebook.kinds.base import Requirement

AUTHORITY = Authority(id="xa-council", name="The Council", country="XA")
SHAPES = [
    pytest.param(requirements, sections, id=f"{kind} {number}" if number else kind)
    for kind, shapes in CASES.items()
    if kind not in {"refer", "by hand"}  # what others decide has no remedy with a day
    for number, (requirements, sections) in enumerate(shapes)
]


def edition_of(*requirements: Requirement) -> Edition:
    """Return an edition that asks for some requirements."""
    title = Title(id="dietitian", name="Dietitian", profession="2265", requires=requirements)
    return Edition(
        rulebook="2024", authority=AUTHORITY, read=TODAY, wholly_read=True, titles=(title,)
    )


def view_of(requirement: Requirement, applicant: Applicant, *, assumption: str) -> View:
    """Return the view that an assessment would have, asked today."""
    others = (replace(other, id=name) for name, other in OTHERS.items())
    edition = edition_of(requirement, *others)
    title = edition.titles[0]

    def recontext(columns: Columns) -> Context:
        return EditionEvaluation(edition, columns).context(title)

    columns = columns_of([applicant], today=TODAY, assumptions=ASSUMPTIONS)
    return View(
        applicant=applicant,
        edition=edition,
        title=title,
        context=recontext(columns),
        on=TODAY,
        today=TODAY,
        assumption=assumption,
        confirmed_only=False,
        recontext=recontext,
        across=None,
        reads={},
    )


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(25)
@given(data=st.data())
def test_a_remedy_makes_the_requirement_hold_on_its_day(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    applicant = data.draw(applicants(*sections), label="applicant")
    view = view_of(requirement, applicant, assumption=data.draw(st.sampled_from(ASSUMPTIONS)))
    assume(view.verdict(requirement) is Verdict.NOT_MET)
    mended = mend(requirement, view, wait_until=view.first_day(requirement, TODAY))
    if mended is None or mended.remedy.earliest is None:
        return
    assert mended.remedy.earliest >= TODAY
    done = view.with_applicant(mended.apply(applicant))
    verdict = replace(done, on=mended.remedy.earliest).verdict(requirement)
    assert verdict in {Verdict.MET, Verdict.NOT_APPLICABLE}
    assert "{" not in mended.remedy.what + mended.remedy.plain + mended.remedy.detail


@examples(60)
@given(
    months=st.integers(1, 36), worked=st.integers(0, 900), percent=st.sampled_from([50, 80, 100])
)
def test_working_on_is_proposed_until_the_first_day_that_is_enough(
    months: int, worked: int, percent: int
) -> None:
    full_time = 40 * 60
    asked = Practice(id="p", amount=Amount(Fraction(months), "months"), full_time=full_time)
    post = PracticeSpell(
        id="post",
        start=PartialDate.exact(TODAY - worked),
        end=PartialDate.exact(TODAY - 1),
        hours_a_week=full_time * percent // 100,
    )
    applicant = Applicant(applicant="someone", facts=Facts(practice=(post,)))
    view = view_of(asked, applicant, assumption="continues")
    assume(view.verdict(asked) is Verdict.NOT_MET)
    mended = mend(asked, view, wait_until=None)
    assert mended is not None
    # By hand: full-time days owed, less what the post gave, worked full time from today on.
    owed = Fraction(months * 365, 12) - Fraction(worked * percent, 100)
    n_days = -(-owed.numerator // owed.denominator)
    assert mended.remedy.earliest == TODAY + n_days - 1


@examples(60)
@given(
    done=st.dictionaries(
        st.sampled_from(["supervised practice", "formal study", "private study"]),
        st.integers(0, 300),
    )
)
def test_the_updating_proposed_is_what_lacks_and_of_a_kind_that_can_fill_it(
    done: dict[str, int],
) -> None:
    owed = UpdatingOwed(
        id="u",
        amount=Amount(Fraction(30), "days"),
        hours_a_day=7 * 60,
        within=Period(months=12),
        caps=(UpdatingCap(how="private study", share=Fraction(1, 2)),),
    )
    entries = tuple(
        Updating(
            id=f"u{number}",
            how=how,  # type: ignore[arg-type]
            start=PartialDate.exact(TODAY - 100),
            end=PartialDate.exact(TODAY - 50),
            hours=hours * 60,
        )
        for number, (how, hours) in enumerate(done.items())
    )
    applicant = Applicant(applicant="someone", facts=Facts(updating=entries))
    view = view_of(owed, applicant, assumption="continues")
    lacking, kinds = updating_gap(owed, view, TODAY)
    # By hand: 210 hours are owed, of which private study fills 105 at the most.
    private = min(done.get("private study", 0), 105)
    other = done.get("supervised practice", 0) + done.get("formal study", 0)
    assert lacking == (210 - private - other) * 60
    if lacking > 0:
        assert ("private study" in kinds) == (105 - private >= 210 - private - other)
        offered = proposals(owed, view)
        assert len(offered) == 1
        assert f"{210 - private - other} hour" in offered[0].what


def assessed(requirements: tuple[Requirement, ...], applicant: Applicant) -> Assessment:
    """Return the assessment of an applicant against some requirements, asked today."""
    rulebook = Rulebook(AUTHORITY, (edition_of(*requirements),))
    return assess(applicant, rulebook, title="dietitian", on=TODAY, today=TODAY)


@examples(40)
@given(data=st.data())
def test_an_answer_is_never_a_bare_no_and_its_windows_do_not_overlap(data: st.DataObject) -> None:
    shapes = [shape for kind, shape in CASES.items() if kind not in {"same as"}]
    requirements = tuple(
        replace(data.draw(data.draw(st.sampled_from(shapes))[0][0]), id=f"r{number}")
        for number in range(3)
    )
    applicant = data.draw(applicants("practice", "qualifications", "certificates", "registrations"))
    found = assessed(requirements, applicant)
    assert found.plain_answer
    assert found.plain_answer.rstrip(".").lower() not in {"no", "not met"}
    assert "%" not in found.plain_answer
    ends = [day("1900-01-01") - 1]
    for window in found.windows:
        assert (window.start or 0) > ends[-1]
        ends.append(10**6 if window.until is None else window.until)
