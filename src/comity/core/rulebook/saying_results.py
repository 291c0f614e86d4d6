"""Words for requirements about language tests, examinations, certificates and papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from comity.core.days.period import Period
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    Combining,
    ExaminationPassed,
    LanguageProved,
    LanguageTest,
    PaperHeld,
    Photo,
    Stage,
)
from comity.core.rulebook.naming import examination_said
from comity.core.rulebook.phrases import (
    either,
    given,
    number,
    registration_scope,
    run_on,
    share,
    spoken,
    together,
)
from comity.core.rulebook.saying import clause, phrase, readings

_CERTIFICATES = {
    "good standing": "a certificate of good standing",
    "criminal record": "a criminal record certificate",
    "health": "a health certificate",
}
_OUTCOMES = {
    "booked": "booked",
    "awaiting": "sat and awaiting its result",
    "passed": "passed",
    "failed": "failed at least once",
}


def _age_limit(age: Period, at: str) -> str:
    return f"at most {age} old at {at}"


@phrase.register
def _language(requirement: LanguageProved, at: str) -> str:
    tests = "; or ".join(_test(test) for test in requirement.tests)
    age = given(requirement.greatest_age, lambda limit: f"results {_age_limit(limit, at)}")
    return run_on(f"a language test: {tests}", age, by="; ")


def _test(test: LanguageTest) -> str:
    results = (
        given(test.overall, lambda least: f"{least} overall"),
        given(test.parts, _parts),
    )
    said = together(result for result in results if result)
    return run_on(
        test.test,
        given(test.language, lambda tag: f"({tag})"),
        f"with at least {said}" if said else "",
    )


def _parts(parts: Mapping[str, str]) -> str:
    """Return the parts with their results, those that ask the same said together."""
    by_result: dict[str, list[str]] = {}
    for part, result in parts.items():
        by_result.setdefault(result, []).append(part)
    return together(f"{result} in {_each_of(names)}" for result, names in by_result.items())


def _each_of(names: list[str]) -> str:
    return run_on("each of" if len(names) > 1 else "", together(names))


@readings.register
def _language_readings(requirement: LanguageProved, at: str) -> tuple[str, ...]:
    age = given(
        requirement.greatest_age,
        lambda limit: (
            f"The {limit} are counted after the day of the sitting, of combined sittings "
            f"the older one, their last day included; {at} must fall inside them"
        ),
    )
    tests = tuple(sentence for test in requirement.tests for sentence in _test_readings(test))
    return (*tests, age) if age else tests


def _test_readings(test: LanguageTest) -> Iterator[str]:
    if test.scale is not None:
        yield f"{test.test} is graded, from lowest to highest, {', '.join(test.scale)}"
    if test.excluded_places is not None:
        yield f"{test.test} sat in this way does not count: {either(test.excluded_places)}"
    yield f"{test.test}: {_combined(test.combining)}"


def _combined(combining: Combining | None) -> str:
    if combining is None:
        return "sittings may not be combined"
    floors = (
        given(combining.least_overall, lambda least: f"{least} overall"),
        given(combining.floor, _parts),
    )
    floor = together(each for each in floors if each)
    return run_on(
        f"the best parts of two sittings at most {combining.within} apart may be combined",
        f"if each sitting has at least {floor}" if floor else "",
        by=", ",
    )


@phrase.register
def _examination(requirement: ExaminationPassed, at: str) -> str:
    outcomes = either(_OUTCOMES[outcome] for outcome in requirement.outcomes)
    return run_on(
        f"{examination_said(requirement.examination)} {outcomes}",
        given(requirement.least_score, lambda score: f"with a score of at least {number(score)}"),
        _stages(requirement),
        given(requirement.after, lambda event: f"sat after {_event(event, requirement)}"),
        given(requirement.attempts, lambda most: f"within {_attempts(most, requirement)}"),
        given(requirement.validity, lambda time: f"valid for {time} after the pass"),
        given(requirement.remedial, lambda owed: f"{_failures(requirement)}: {clause(owed, at)}"),
        by=", ",
    )


def _event(event: str, requirement: ExaminationPassed) -> str:
    """Return the event after which attempts count."""
    if event == "registration ended":
        which = registration_scope(requirement.registrations)
        return run_on("the end of the last registration", which)
    return {"qualification": "the last qualification", "last practice": "the last practice"}[event]


def _failures(requirement: ExaminationPassed) -> str:
    count = requirement.remedial_after or 1
    return f"after {count} {'failure' if count == 1 else 'failures'} also"


def _stages(requirement: ExaminationPassed) -> str:
    if not requirement.stages:
        return ""
    stages = together(_stage(stage) for stage in requirement.stages)
    order = ", in this order" if requirement.stages_in_order else ""
    within = given(requirement.stages_within, lambda time: f", all within {time}")
    return f"in its stages {stages}{order}{within}"


def _stage(stage: Stage) -> str:
    score = given(stage.least_score, lambda least: f"(at least {number(least)})")
    return run_on(stage.label or spoken(stage.id), score)


def _attempts(most: int, requirement: ExaminationPassed) -> str:
    attempts = "attempt" if most == 1 else "attempts"
    if requirement.attempts_count == "application":
        scope = "at each per application" if requirement.stages else "per application"
    else:
        scope = f"{'at each' if requirement.stages else 'in all'}, earlier applications counted"
    return f"{most} {attempts} {scope}"


@readings.register
def _examination_readings(requirement: ExaminationPassed, at: str) -> tuple[str, ...]:
    sentences = (
        given(
            requirement.after,
            lambda _: "An attempt on the day of that event or before it does not count",
        ),
        "A pass counts only from the first pass of the stage before on"
        if requirement.stages_in_order
        else "",
        given(requirement.wait, lambda time: f"Between two attempts lie at least {time}"),
        given(
            requirement.bar,
            lambda time: f"After the last attempt allowed, attempts start anew {time} later",
        ),
        given(
            requirement.validity,
            lambda _: f"The last day of its validity counts; {at} must fall inside it",
        ),
    )
    return tuple(sentence for sentence in sentences if sentence)


@phrase.register
def _certificate(requirement: CertificateHeld, at: str) -> str:
    sent = {"directly": "sent directly by its issuer", "by applicant": "handed in by the applicant"}
    return run_on(
        run_on(
            _CERTIFICATES[requirement.of],
            given(requirement.authorities, lambda names: f"from {either(names)}"),
            given(requirement.countries, lambda codes: f"of {either(codes)}"),
            given(requirement.greatest_age, lambda age: _age_limit(age, at)),
        ),
        given(requirement.sent, lambda way: sent[way]),
        by=", ",
    )


@readings.register
def _certificate_readings(requirement: CertificateHeld, at: str) -> tuple[str, ...]:
    return tuple(
        f"The {age} are counted after the day of issue, their last day included; "
        f"{at} must fall inside them"
        for age in (requirement.greatest_age,)
        if age is not None
    )


@phrase.register
def _paper(requirement: PaperHeld, at: str) -> str:
    return run_on(
        f'the paper "{requirement.paper}", {requirement.status}',
        given(requirement.forms, lambda forms: f"as {either(forms)}"),
        given(requirement.certified_by, lambda names: f"a copy certified by {either(names)}"),
        given(requirement.issuers, lambda names: f"issued by {either(names)}"),
        given(requirement.countries, lambda codes: f"from {either(codes)}"),
        given(requirement.languages, lambda tags: f"in {either(tags)} or translated into it"),
        given(requirement.translated_by, lambda names: f"any translation by {either(names)}"),
        given(requirement.legalised, lambda ways: f"legalised ({either(ways)})"),
        given(requirement.greatest_age, lambda age: _age_limit(age, at)),
        given(requirement.remaining_validity, lambda time: f"valid for {time} more after {at}"),
        given(requirement.photo, _photo),
        by=", ",
    )


def _photo(photo: Photo) -> str:
    face = (
        given(photo.least_face, lambda least: f"at least {share(least)}"),
        given(photo.greatest_face, lambda most: f"at most {share(most)}"),
    )
    faces = together(end for end in face if end)
    return run_on(
        given(photo.width_mm, lambda size: f"{number(size)} mm wide"),
        given(photo.height_mm, lambda size: f"{number(size)} mm high"),
        f"the face {faces} of its height" if faces else "",
        by=", ",
    )


@readings.register
def _paper_readings(requirement: PaperHeld, at: str) -> tuple[str, ...]:
    sentences = (
        given(
            requirement.greatest_age,
            lambda age: f"The {age} are counted after the day of issue, their last day included",
        ),
        given(
            requirement.remaining_validity,
            lambda time: f"The {time} are counted after {at} and end on or before its last day",
        ),
    )
    return tuple(sentence for sentence in sentences if sentence)
