"""Broken files of examinations, read as the commands read them; see `tests.bad_files`."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import day_from_date
from comity.core.exam.planned_study import ReadinessError
from comity.files.exam_results import read_results
from comity.files.item_bank import read_bank, read_blueprint
from comity.files.ratings import read_ratings
from comity.files.rendering import render
from comity.files.responses import read_responses
from comity.service.exam_inputs import read_exam_files, shipped_models
from comity.service.exam_readiness import Wanted, known_of, prepare
from comity.service.exam_responses import mark, no_such_person, not_to_be_had

if TYPE_CHECKING:
    from pathlib import Path

    from comity.core.problems import Problem
    from comity.service.exam_responses import MarkedAnswers

TODAY: Final = day_from_date(date(2026, 11, 25))
BANK: Final = """\
bank: two-items
author: a-writer
items:
  - id: iron-stores
    domain: measures
    level: recall
    stem: Which measure falls first when iron stores run out?
    options: {a: Ferritin, b: Transferrin, c: Haemoglobin}
    answer: a
    source: Invented
  - id: sodium
    domain: measures
    level: apply
    stem: How many milligrams are 2 g?
    number: 2000
    within: 1
    source: Invented
"""
BLUEPRINT: Final = """\
blueprint: measures-only
items: 20
pass_mark: 55 %
levels: {recall: 50 %, apply: 50 %, judge: 0 %}
domains: [{id: measures, name: Measures, share: 100 %}]
"""


def answers_shown(path: Path) -> str:
    """Return what is wrong with a table of answers, held against a bank of two items."""
    marked, text = _marked(path)
    return render(marked.problems, {path.name: text})


def asked_for_somebody_shown(path: Path) -> str:
    """Return what is said when a person is asked for who has not answered."""
    marked, _text = _marked(path)
    return _shown(no_such_person("p10", marked.people))


def asked_too_late_shown(path: Path) -> str:
    """Return what is said when readiness is asked for a day that is over."""
    marked, _text = _marked(path)
    bank, blueprint = read_bank(BANK, "").value, read_blueprint(BLUEPRINT, "").value
    assert bank is not None
    assert blueprint is not None
    known = known_of(marked.dated(default=TODAY), bank, blueprint, today=TODAY)
    try:
        prepare(known, Wanted(person="p01", exam=day_from_date(date(2026, 11, 1))))
    except ReadinessError as error:
        return _shown(not_to_be_had(str(error)))
    raise AssertionError(path)


def models_shown(path: Path) -> str:
    """Return what is said of names of item models."""
    return render(shipped_models(_below(path).split()).problems, {})


def files_shown(path: Path) -> str:
    """Return what is said of a file that may be of any sort."""
    found = read_exam_files([path])
    return render(found.problems, found.texts).replace(str(path), path.name)


def ratings_shown(path: Path) -> str:
    """Return what is wrong with a table of ratings."""
    text = _below(path)
    return render(read_ratings(text, path.name).problems, {path.name: text})


def results_shown(path: Path) -> str:
    """Return what is wrong with a table of real results."""
    text = _below(path)
    return render(read_results(text, path.name, today=TODAY).problems, {path.name: text})


def _below(path: Path) -> str:
    """Return what stands below the first line, which says how to read the file."""
    return path.read_text("utf-8").split("\n", 1)[1]


def _marked(path: Path) -> tuple[MarkedAnswers, str]:
    text = _below(path)
    loaded = read_responses(text.encode("utf-8"), path.name)
    return mark(loaded, read_bank(BANK, "").value, today=TODAY), text


def _shown(problem: Problem) -> str:
    return render((problem,), {})
