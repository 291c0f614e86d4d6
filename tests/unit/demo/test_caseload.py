"""What the demo shows is proved by assessing it, on the day for which it is written.

All of it is invented; nothing here is a check against the outside.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date, iso
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.core.rulebook.editions import walk
from comity.demo.caseload import demo_applicants, demo_files, demo_rulebooks
from comity.service.licences import licences_of
from comity.service.plan_shown import lapsing_of
from comity.service.planning import Wishes, plan
from comity.service.planning_after import after_failure
from comity.service.rulebooks import failed_cases

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment, Assumption, RequirementResult
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition, Rulebook

TODAY = day_from_date(date(2026, 11, 25))
MAX_DAYS_OF_WEEKS = 28


@cache
def rulebooks() -> Mapping[str, Rulebook]:
    return {each.authority.id: each for each in demo_rulebooks(today=TODAY).rulebooks}


@cache
def applicants() -> Mapping[str, Applicant]:
    return {
        loaded.applicant.applicant: loaded.applicant
        for loaded in demo_applicants()
        if loaded.applicant is not None
    }


@cache
def answer(
    applicant: str,
    title: str,
    *,
    on: Day = TODAY,
    assumption: Assumption = "continues",
    confirmed_only: bool = False,
) -> Assessment:
    authority, name = title.split("/")
    return assess(
        applicants()[applicant],
        rulebooks()[authority],
        title=name,
        on=on,
        today=TODAY,
        assumption=assumption,
        confirmed_only=confirmed_only,
    )


def result(applicant: str, requirement: str) -> RequirementResult:
    authority, title, _ = requirement.split("/")
    found = answer(applicant, f"{authority}/{title}").requirements
    return next(each for each in found if each.id == requirement)


def titles() -> Iterator[str]:
    for rulebook in rulebooks().values():
        yield from (f"{rulebook.authority.id}/{title}" for title in rulebook.titles())


def editions() -> Iterator[Edition]:
    for rulebook in rulebooks().values():
        yield from rulebook.editions


# ---------------------------------------------------------------------------------- the files


def test_every_file_of_the_demo_is_read_without_errors_or_warnings() -> None:
    loaded = [*demo_applicants()]
    assert [problem for each in loaded for problem in each.problems] == []
    assert demo_rulebooks(today=TODAY).problems == ()
    assert len(loaded) + len(demo_rulebooks().files) == len(demo_files())


def test_every_worked_case_gives_the_verdicts_it_expects() -> None:
    assert list(failed_cases(demo_rulebooks(today=TODAY))) == []
    assert all(len(edition.cases) >= 5 for edition in editions())


def test_every_file_begins_by_saying_what_it_shows() -> None:
    for path, text in demo_files().items():
        comment = re.match(r"(?:# .+\n)+", text)
        assert comment, path
        assert comment[0].count(".") >= 1, path


def test_everything_is_marked_as_invented() -> None:
    for edition in editions():
        assert edition.fictional
        assert edition.authority.country in {"XA", "XB", "XC"}
        assert edition.summary is not None
        assert edition.summary.endswith("Invented for demonstration.")


def test_an_applicant_bears_the_name_of_their_file() -> None:
    names = [each.file.removeprefix("applicants/") for each in demo_applicants()]
    assert names == [f"{name}.yaml" for name in applicants()]


def test_three_authorities_have_two_titles_each_and_one_has_a_coming_edition() -> None:
    assert {name: len(each.editions) for name, each in rulebooks().items()} == {
        "xa-council": 2,
        "xb-register": 1,
        "xc-board": 1,
    }
    assert all(len(list(each.titles())) == 2 for each in rulebooks().values())


def test_no_edition_is_stale() -> None:
    assert all(each.read_again_after.after(each.read) >= TODAY for each in editions())
    assert [answer("titilope", title).stale for title in titles()] == [()] * 6


def test_every_requirement_says_where_it_is_written() -> None:
    for edition in editions():
        for title in edition.titles:
            listed = [*title.requires, *(r for p in title.pathways for r in p.requires)]
            for requirement in listed:
                source = requirement.source
                assert source is not None, requirement.id
                assert source.document in edition.sources, requirement.id
                assert source.section, requirement.id


def test_the_rulebooks_use_most_of_the_language() -> None:
    used = set()
    for edition in editions():
        for title in edition.titles:
            whole = [*title.requires, *(r for p in title.pathways for r in p.requires)]
            whole += [deems.when for deems in title.deems]
            used |= {part.kind for each in whole for _, part in walk(each)}
    assert used >= {
        *("all", "any", "at least", "not", "for each", "bands", "same as", "conflict", "refer"),
        *("by hand", "practice", "interruption", "recency", "updating", "qualification"),
        *(
            "registration",
            "certificate",
            "language",
            "examination",
            "paper",
            "continuing education",
        ),
        *("nationality", "age", "declaration", "dates"),
    }


# ------------------------------------------------------------------------------ what they show


def test_between_them_the_applicants_get_every_verdict() -> None:
    asked = ("xa-council/dietitian", "xb-register/dietitian")
    answers = [answer(name, title) for name in applicants() for title in asked]
    whole = {each.verdict for each in answers}
    single = {part.verdict for each in answers for part in each.requirements}
    assert whole == {Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.REFER}
    assert single == set(Verdict)


def test_leilani_is_met_and_her_window_closes_within_weeks() -> None:
    found = answer("leilani", "xa-council/dietitian")
    (window,) = found.windows
    assert found.verdict is Verdict.MET
    assert window.until is not None
    assert iso(window.until) == "2026-12-18"
    assert window.until - TODAY <= MAX_DAYS_OF_WEEKS
    assert result("leilani", "xa-council/dietitian/language").until == window.until


def test_leilanis_confirmed_facts_alone_give_the_same_answer() -> None:
    found = answer("leilani", "xa-council/dietitian", confirmed_only=True)
    assert found.verdict is Verdict.MET
    assert found.windows == answer("leilani", "xa-council/dietitian").windows


def test_hanas_stated_facts_meet_everything_and_the_confirmed_ones_settle_nothing() -> None:
    assert answer("hana", "xb-register/dietitian").verdict is Verdict.MET
    confirmed = answer("hana", "xb-register/dietitian", confirmed_only=True)
    assert confirmed.verdict is Verdict.UNKNOWN
    assert {each.verdict for each in confirmed.requirements} >= {Verdict.UNKNOWN}


def test_the_coming_edition_takes_kofis_answer_away() -> None:
    found = answer("kofi", "xa-council/dietitian")
    (coming,) = found.coming
    assert found.verdict is Verdict.MET
    assert (coming.edition, iso(coming.start)) == ("2027", "2027-02-01")
    assert (coming.verdict_before, coming.verdict_after) == (Verdict.MET, Verdict.NOT_MET)
    assert coming.requirements == ("recent-hours", "food-law")
    later = answer("kofi", "xa-council/dietitian", on=coming.start)
    assert later.verdict is Verdict.NOT_MET
    assert later.requirements[0].id == "xa-council/dietitian/recent-hours"


def test_what_does_not_concern_a_graduate_is_not_applicable_to_yasmin() -> None:
    assert result("yasmin", "xa-council/dietitian/recent-hours").verdict is Verdict.NOT_APPLICABLE
    assert result("yasmin", "xa-council/dietitian/good-standing").verdict is Verdict.NOT_APPLICABLE
    provisional = answer("yasmin", "xa-council/provisional")
    assert provisional.verdict is Verdict.MET
    assert provisional.pathway == "Graduates of the last 18 months"


def test_tomasz_has_used_up_his_attempts() -> None:
    found = result("tomasz", "xa-council/dietitian/examination")
    assert (found.verdict, found.remedy, found.start) == (Verdict.NOT_MET, None, None)
    assert answer("tomasz", "xa-council/dietitian").earliest is None
    assert answer("tomasz", "xc-board/dietitian").verdict is Verdict.MET


def test_sorens_month_without_a_day_leaves_possible_days_before_the_certain_ones() -> None:
    found = answer("soren", "xc-board/dietitian")
    practice = result("soren", "xc-board/dietitian/practice-after-degree")
    assert found.verdict is Verdict.UNKNOWN
    assert practice.missing == ("practice/municipality/start",)
    assert found.next_question == "practice/municipality/start"
    shown = [(w.certainty, iso(w.start or 0), iso(w.until or 0)) for w in found.windows]
    assert shown == [
        ("possible", "2026-11-06", "2026-11-29"),
        ("certain", "2026-11-30", "2027-02-14"),
    ]


def test_waiting_at_work_is_what_mends_thus_answer() -> None:
    practice = result("thu", "xc-board/dietitian/practice-after-degree")
    assert practice.verdict is Verdict.NOT_MET
    assert practice.remedy is not None
    assert practice.remedy.earliest is not None
    assert iso(practice.remedy.earliest) == "2027-01-13"
    found = answer("thu", "xc-board/dietitian")
    assert found.earliest == practice.remedy.earliest
    stopped = answer("thu", "xc-board/dietitian", assumption="stops")
    assert stopped.windows == ()


def test_a_registration_is_deemed_to_satisfy_what_maria_fernanda_cannot_show() -> None:
    for requirement in ("practice-after-degree", "language"):
        found = result("maria-fernanda", f"xb-register/dietitian/{requirement}")
        assert (found.verdict, found.deemed_by) == (Verdict.MET, "cindral-holders")
    assert answer("maria-fernanda", "xb-register/dietitian").verdict is Verdict.MET


def test_the_agreement_with_tamorra_opens_halvenia_to_nadir() -> None:
    for requirement in ("degree", "examination"):
        found = result("nadir", f"xa-council/dietitian/{requirement}")
        assert (found.verdict, found.deemed_by) == (Verdict.MET, "tamorra-agreement")
    assert answer("nadir", "xa-council/dietitian").verdict is Verdict.MET
    assert answer("nadir", "xa-council/provisional").verdict is Verdict.NOT_MET


def test_ingrid_misses_by_eleven_days_what_waiting_would_mend_only_after_years() -> None:
    found = answer("ingrid", "xc-board/dietitian")
    gap = result("ingrid", "xc-board/dietitian/no-long-interruption")
    failing = [each.id for each in found.requirements if each.verdict is Verdict.NOT_MET]
    assert found.verdict is Verdict.NOT_MET
    assert failing == [gap.id]
    assert gap.shortfall is not None
    assert 0 < gap.shortfall < 0.5
    assert gap.start is None or gap.start > day_from_date(date(2031, 1, 1))


def test_barakas_long_absence_is_for_the_return_panel() -> None:
    found = answer("baraka", "xb-register/dietitian")
    assert found.verdict is Verdict.REFER
    assert found.requirements[0].id == "xb-register/dietitian/return-to-practice"
    assert "Return Panel" in found.requirements[0].reason


def test_sources_that_disagree_about_eun_bis_passport_are_both_named() -> None:
    found = result("eunbi", "xb-register/dietitian/passport")
    assert found.verdict is Verdict.REFER
    assert answer("eunbi", "xb-register/dietitian").verdict is Verdict.REFER
    assert len(found.conflict) == 2
    assert {note.section for note in found.conflict} == {"page 11", "question 6"}


def test_mehtaps_certificate_has_run_out_and_is_all_that_is_missing() -> None:
    found = answer("mehtap", "xb-register/dietitian")
    failing = [each for each in found.requirements if each.verdict is not Verdict.MET]
    assert [each.id for each in failing] == ["xb-register/dietitian/status-certificates"]
    assert failing[0].remedy is not None
    before = answer("mehtap", "xb-register/dietitian", on=day_from_date(date(2026, 10, 30)))
    after = answer("mehtap", "xb-register/dietitian", on=day_from_date(date(2026, 10, 31)))
    assert (before.verdict, after.verdict) == (Verdict.MET, Verdict.NOT_MET)


def test_oluwaseun_lacks_seven_hours_that_private_study_cannot_fill() -> None:
    found = result("oluwaseun", "xb-register/dietitian/return-to-practice")
    assert found.verdict is Verdict.NOT_MET
    assert (found.shortfall, found.unit) == (7, "hours")
    assert found.remedy is not None
    assert "private study cannot fill" in found.remedy.what


def test_two_sittings_together_prove_priyankas_language_until_the_older_is_too_old() -> None:
    found = result("priyanka", "xb-register/dietitian/language")
    assert found.verdict is Verdict.MET
    assert (found.start, found.until) == (
        day_from_date(date(2026, 4, 18)),
        day_from_date(date(2028, 2, 11)),
    )


@pytest.mark.parametrize("alone", ["first", "second"])
def test_neither_of_priyankas_sittings_is_enough_alone(alone: str) -> None:
    whole = applicants()["priyanka"]
    kept = tuple(each for each in whole.results.language or () if each.id == alone)
    with_one = replace(whole, results=replace(whole.results, language=kept))
    rulebook = rulebooks()["xb-register"]
    found = assess(with_one, rulebook, title="dietitian", on=TODAY, today=TODAY)
    assert len(kept) == 1
    assert found.verdict is Verdict.NOT_MET
    assert found.requirements[0].id == "xb-register/dietitian/language"


def test_rosalind_lacks_units_of_which_private_reading_gives_no_more() -> None:
    found = answer("rosalind", "xc-board/practising")
    units = result("rosalind", "xc-board/practising/yearly-education")
    season = result("rosalind", "xc-board/practising/season")
    assert found.verdict is Verdict.NOT_MET
    assert (units.verdict, units.amount, units.needed) == (Verdict.NOT_MET, 18, 22)
    assert season.until == day_from_date(date(2026, 12, 11))


def test_almost_everything_about_titilope_is_unknown_and_has_a_next_question() -> None:
    for title in titles():
        found = answer("titilope", title)
        assert found.verdict is Verdict.UNKNOWN
        assert found.next_question
        unknown = [each for each in found.requirements if each.verdict is Verdict.UNKNOWN]
        assert len(unknown) > len(found.requirements) / 2


def test_zdenkas_country_of_training_is_no_more_and_her_long_practice_counts() -> None:
    (diploma,) = applicants()["zdenka"].facts.qualifications or ()
    assert diploma.country == "CSHH"
    adaptation = result("zdenka", "xc-board/dietitian/adaptation")
    assert (adaptation.verdict, adaptation.deemed_by) == (Verdict.MET, "long-practice")
    assert answer("zdenka", "xc-board/dietitian").verdict is Verdict.MET


def test_names_come_from_many_scripts_and_some_are_long() -> None:
    names = [each.name or "" for each in applicants().values()]
    assert sum(bool(re.search(r"[\u0600-\u06ff]", name)) for name in names) >= 2
    assert max(map(len, names)) > 50
    assert all(re.search(r"[A-Za-z]", name) for name in names)
    assert len(set(names)) == len(names) >= 14


def test_the_tutorial_says_of_every_applicant_where_to_look() -> None:
    page = (Path(__file__).parents[3] / "docs" / "tutorial" / "first-assessment.md").read_text(
        encoding="utf-8"
    )
    rows = re.findall(r"^\| ([a-z-]+) \| (?:X[ABC] ([a-z]+)|any) \|", page, re.MULTILINE)
    assert {name for name, _ in rows} == set(applicants())
    known = {title.split("/")[1] for title in titles()}
    assert {title for _, title in rows if title} <= known


def test_zsofia_holds_a_licence_to_renew_and_has_one_to_take_up() -> None:
    books = tuple(rulebooks().values())
    halvenia, tamorra = licences_of(applicants()["zsofia"], books, today=TODAY)
    assert (iso(halvenia.days.opens or 0), iso(halvenia.days.ends or 0)) == (
        "2026-12-11",
        "2027-03-11",
    )
    assert [(each.have, each.needed) for each in halvenia.ledger] == [(43, 57), (4, 6)]
    assert iso(tamorra.days.claim_by or 0) == "2027-02-09"


def test_mehtap_may_sit_again_after_one_failure() -> None:
    wishes = Wishes(TODAY, draws=200)
    found = plan(applicants()["mehtap"], rulebooks()["xa-council"], "dietitian", wishes=wishes)
    (said,) = after_failure(found)
    assert "2 attempts are left" in said
    assert "on 2027-07-03" in said
    assert [each.label for each in lapsing_of(found)] == ["Course in Halvenian food law"]
