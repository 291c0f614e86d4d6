"""The demo's mock examination: a bank, a form with planted faults, a class that sat it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.declaring.quantities import write_decimal
from comity.core.exam.items import BestAnswer, Matching, NumberAnswer
from comity.files.dumping import dump_yaml
from comity.service.mock_forms import MadeForm, Wanted, make_forms
from comity.service.starter_items import starter_bank_text
from comity.store.item_banks import add_bank, bank_in
from comity.store.mock_exams import FormFacts, Terms, add_cohort, add_form, give_form
from comity.store.models import GivenAnswer, Sitting
from comity.store.sittings import begin, hand_in

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from comity.core.exam.items import Bank, Item
    from comity.store.models import Account, Case

N_ITEMS: Final = 20
N_DRAWN: Final = 4
N_PEOPLE: Final = 16
SEED: Final = 20
COHORT: Final = "Autumn evening class"
PRACTICE: Final = "Practice in every part"
N_PRACTISED: Final = 56
_HANA: Final = 0.9
FORM: Final = "Mock examination, autumn"
EXAMINATION: Final = "Halvenian Dietetics Examination (Halvenian Council of Nutrition Professions)"
SHARE_TO_PASS: Final = "62 %"  # noqa: S105 - the share of the examination
MINUTES: Final = 25
_PLANTED: Final = "for the demonstration, one key is wrong on purpose; the figures find it"
_HOUR: Final = time(17, 0, tzinfo=UTC)


def put_exams(
    cases: Mapping[str, Case], *, owner: Account, adviser: Account, hana: str, day: date
) -> None:
    """Put a bank, a form, a class and its sittings into the demo's office; two of them for Hana.

    Answers are thrown with a seed of their own: people who know more are right more often, but for
    one item whose key is wrong, and one that nobody can know.
    """
    rng = np.random.default_rng(SEED)
    stored = add_bank(starter_bank_text(), actor=owner)
    bank = bank_in(stored.text)
    (made,) = make_forms(bank, Wanted(n_items=N_ITEMS, n_drawn=N_DRAWN, seed=SEED, fills_up=True))
    truth = bank_in(made.text)
    planted, wrong = _planted(truth)
    evening = datetime.combine(day, _HOUR) - timedelta(days=7)
    form = add_form(
        MadeForm(dump_yaml(planted), made.n_items, made.cautions, (_PLANTED, *made.notes)),
        FormFacts(
            name=FORM,
            minutes=MINUTES,
            to_pass=SHARE_TO_PASS,
            examination=EXAMINATION,
            bank=stored,
        ),
        actor=adviser,
        now=evening,
    )
    people = [case for name, case in cases.items() if name != hana][:N_PEOPLE]
    add_cohort(COHORT, [*people, cases[hana]], actor=adviser)
    for number, sitting in enumerate(give_form(form, people, actor=adviser, now=evening)):
        ability = 1.6 * (number + 0.5) / N_PEOPLE - 0.5
        _sit(sitting, truth, ability, wrong=wrong, rng=rng, at=evening)
    give_form(form, [cases[hana]], actor=adviser, now=datetime.combine(day, time(8, tzinfo=UTC)))
    terms = Terms(mode=Sitting.Mode.PRACTICE)
    give_form(form, [cases[hana]], actor=adviser, now=evening, terms=terms)
    # One who has practised enough for something to be said of it.
    (broad,) = make_forms(bank, Wanted(n_items=N_PRACTISED, seed=SEED + 1, fills_up=True))
    practised = add_form(
        broad, FormFacts(name=PRACTICE, minutes=60, bank=stored), actor=adviser, now=evening
    )
    (given,) = give_form(practised, [cases[hana]], actor=adviser, now=evening, terms=terms)
    _sit(given, bank_in(broad.text), _HANA, wrong=frozenset(), rng=rng, at=evening)


def _planted(bank: Bank) -> tuple[Bank, frozenset[str]]:
    """Return the bank with a wrong key in its first item of one best answer, and which it is."""
    first = next(item for item in bank.items if isinstance(item, BestAnswer))
    other = next(id_ for id_ in first.options if id_ != first.answer)
    errors = {id_: says for id_, says in first.errors.items() if id_ != other}
    miskeyed = replace(first, answer=other, errors=errors)
    items = tuple(miskeyed if item is first else item for item in bank.items)
    last = [item.id for item in bank.items if isinstance(item, BestAnswer)][-1]
    return replace(bank, items=items), frozenset({last})


def _sit(
    sitting: Sitting,
    truth: Bank,
    ability: float,
    *,
    wrong: frozenset[str],
    rng: np.random.Generator,
    at: datetime,
) -> None:
    begun = begin(sitting, actor=None, now=at)
    rows = [
        GivenAnswer(
            sitting=begun,
            item=item.id,
            answer=_thrown(item, 0.12 if item.id in wrong else _chance(ability), rng),
            version=1,
            answered_at=at + timedelta(minutes=number),
        )
        for number, item in enumerate(truth.items, 1)
    ]
    GivenAnswer.objects.bulk_create(rows)
    hand_in(begun, actor=None, now=at + timedelta(minutes=MINUTES - 1 - float(rng.integers(9))))


def _chance(ability: float) -> float:
    return float(1 / (1 + np.exp(-1.8 * ability)))


def _thrown(item: Item, chance: float, rng: np.random.Generator) -> dict[str, object]:
    """Return an answer that is right by a chance; as the store keeps it."""
    is_right = float(rng.random()) < chance
    if isinstance(item, NumberAnswer):
        return {"number": write_decimal(item.number if is_right else item.number * 10 + 1)}
    if isinstance(item, Matching):
        keys = list(item.matches.values())
        matched = keys if is_right else [*keys[1:], keys[0]]
        return {"matched": [list(pair) for pair in zip(item.matches, matched, strict=True)]}
    others = [each.id for each in item.choices if each.id not in item.keys]
    if is_right or not others:
        return {"chosen": sorted(item.keys)}
    return {"chosen": [others[int(rng.integers(len(others)))]]}
