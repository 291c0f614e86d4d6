"""A bank of one item of each kind, a form of it, and sittings of the applicant."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from comity.core.exam.scoring import answer_to
from comity.desk import clock
from comity.service.mock_forms import MadeForm
from comity.store import sittings as store
from comity.store.item_banks import add_bank
from comity.store.mock_exams import FormFacts, Terms, add_form, content_of, give_form
from comity.store.models import Sitting

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.store.models import Account, Case, ExamForm, ItemBank

HALF = "50 %"
START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

BANK = """\
bank: every-kind
title: One of each kind
author: first-writer
cases:
  - id: ward
    vignette: An invented woman of 54 years has eaten little for two weeks.
items:
  - id: zinc-best
    domain: assessment
    level: recall
    case: ward
    stem: Which option is the best one here?
    options: {a: Option red, b: Option green, c: Option blue}
    answer: b
    errors: {a: takes red for secret-error-one, c: takes blue for secret-error-two}
    explanation: Green because of secret-explanation-one.
    study: [secret-study-one]
    source: secret-source-one, 2020
  - id: zinc-several
    domain: nutrients
    level: apply
    stem: Which of these hold here?
    options: {a: First thing, b: Second thing, c: Third thing}
    answers: [a, c]
    errors: {b: secret-error-three}
    explanation: secret-explanation-two.
    source: secret-source-two, 2021
  - id: zinc-number
    domain: assessment
    level: apply
    stem: How much energy is asked for?
    number: 1450
    within: 10
    unit: kcal/d
    errors: {"1600": secret-error-four}
    explanation: secret-explanation-three.
    source: secret-source-three, 2022
    high_risk: yes
  - id: zinc-matching
    domain: population
    level: judge
    stem: Match each line with one option.
    lines: {one: Line one, two: Line two}
    options: {x: Choice x, y: Choice y, z: Choice z}
    matches: {one: y, two: x}
    explanation: secret-explanation-four.
    source: secret-source-four, 2023
"""
SECRETS = ("secret-", "zinc-", "answer: b", "is_right", "verdict-met", "✓ Right")


class Clock:
    """A clock that stands still until it is set on."""

    def __init__(self) -> None:
        self.now = START

    def pass_minutes(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)


@pytest.fixture
def time_stands(monkeypatch: pytest.MonkeyPatch) -> Clock:
    standing = Clock()
    monkeypatch.setattr(clock, "instant", lambda: standing.now)
    return standing


@pytest.fixture
def bank(owner: Account) -> ItemBank:
    return add_bank(BANK, actor=owner)


@pytest.fixture
def form(bank: ItemBank, owner: Account) -> ExamForm:
    made = MadeForm(BANK, 4, {"zinc-number": ("A caution of the model.",)}, ())
    facts = FormFacts(name="First form", minutes=10, to_pass=HALF, bank=bank)
    return add_form(made, facts, actor=owner, now=START)


@pytest.fixture
def sitting(form: ExamForm, case: Case, owner: Account, time_stands: Clock) -> Sitting:
    (given,) = give_form(form, [case], actor=owner, now=time_stands.now)
    return given


@pytest.fixture
def running(sitting: Sitting, applicant: Account, time_stands: Clock) -> Sitting:
    return store.begin(sitting, actor=applicant, now=time_stands.now)


@pytest.fixture
def practice(form: ExamForm, case: Case, owner: Account, applicant: Account) -> Sitting:
    terms = Terms(mode=Sitting.Mode.PRACTICE)
    (given,) = give_form(form, [case], actor=owner, now=START, terms=terms)
    return store.begin(given, actor=applicant, now=START)


@pytest.fixture
def answered(running: Sitting, time_stands: Clock) -> Callable[..., None]:
    """Return a function that answers a question as another window would."""

    def answering(place: int, *chosen: str, number: str = "") -> None:
        item = content_of(running.form).items[place - 1]
        row = store.answers_of(running).get(item.id)
        store.save_answer(
            running,
            item.id,
            answer_to(item, chosen=chosen, number=number),
            base_version=0 if row is None else row.version,
            now=time_stands.now,
        )

    return answering
