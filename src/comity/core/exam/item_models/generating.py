"""Draws items from a model, the same for the same seed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.equations.equation import OutsideError
from comity.core.exam.item_models.cautions import cautions_of, lines_to_use
from comity.core.exam.item_models.evaluating import (
    EvaluationError,
    Result,
    clean,
    evaluate,
    rounded,
    shown,
)
from comity.core.exam.item_models.item import GeneratedItem, GeneratedOption, Refusal
from comity.core.exam.item_models.texts import filled, with_unit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.item_models.checking import ReadyModel
    from comity.core.exam.item_models.model import Parameter

N_DISTRACTORS: Final = 3
MAX_DRAWS: Final = 500
_SHARE: Final = 0.005


class NoItemError(ValueError):
    """No draw of a model gave an item; the sentence names the last reason."""


@dataclass(frozen=True, slots=True)
class _Answer:
    """What the key comes to and how near counts as the same."""

    value: float | str
    tolerance: float


def generate(
    ready: ReadyModel, rng: np.random.Generator, *, seed: int | None = None, draw: int = 0
) -> GeneratedItem | Refusal:
    """Return one item drawn by chance, or why this draw gives none.

    Parameters
    ----------
    ready : ReadyModel
        A model without flaws.
    rng : numpy.random.Generator
        Sole source of chance.
    seed, draw : int
        What the generator was made of, for provenance.

    Notes
    -----
    A draw is refused where a limit or guard does not hold, an equation is asked outside its range,
    a wrong answer lies within the tolerance of the key, or two answers look the same.
    """
    given = {name: _drawn(each, rng) for name, each in ready.model.parameters.items()}
    try:
        values = _worked_out(ready, given)
        refusal = _unmet(ready, values)
        if refusal is not None:
            return refusal
        answer = _answer_of(ready, values)
    except (EvaluationError, OutsideError) as error:
        return Refusal("range", str(error))
    wrong = _wrong_options(ready, {**values, "key": answer.value}, answer)
    if isinstance(wrong, Refusal):
        return wrong
    chosen = [wrong[index] for index in sorted(rng.permutation(len(wrong))[:N_DISTRACTORS])]
    key = GeneratedOption(_option_text(ready, answer.value), answer.value)
    return _item(ready, values, (key, *chosen), answer=answer, seed=seed, draw=draw)


def item_of_seed(ready: ReadyModel, seed: int) -> GeneratedItem:
    """Return the first item that the draws of a seed give; the same for the same seed.

    Raises
    ------
    NoItemError
        When none of many draws gives one.
    """
    last = ""
    for draw in range(MAX_DRAWS):
        found = generate(ready, np.random.default_rng((seed, draw)), seed=seed, draw=draw)
        if isinstance(found, GeneratedItem):
            return found
        last = found.reason
    message = f"{ready.model.model}: none of {MAX_DRAWS} draws gives an item: {last}"
    raise NoItemError(message)


def _drawn(parameter: Parameter, rng: np.random.Generator) -> float | str:
    if parameter.choices:
        return parameter.choices[int(rng.integers(len(parameter.choices)))]
    low = parameter.low or Fraction(0)
    return float(low + parameter.step * int(rng.integers(parameter.n_steps + 1)))


def _worked_out(ready: ReadyModel, given: Mapping[str, float | str]) -> dict[str, Result]:
    values: dict[str, Result] = dict(given)
    for name, formula in ready.values:
        values[name] = evaluate(formula, values)
    return values


def _unmet(ready: ReadyModel, values: Mapping[str, Result]) -> Refusal | None:
    n_limits = len(ready.model.limits)
    conditions = (*ready.model.limits, *ready.model.guards)
    for index, (formula, condition) in enumerate(zip(ready.conditions, conditions, strict=True)):
        if evaluate(formula, values) is not True:
            reason = f"does not hold: {condition.because}"
            return Refusal("limit", reason) if index < n_limits else Refusal("guard", reason)
    return None


def _answer_of(ready: ReadyModel, values: Mapping[str, Result]) -> _Answer:
    value = evaluate(ready.key, values)
    if isinstance(value, bool) or isinstance(value, str) != bool(ready.model.answers):
        message = "the answer must be a number, or one of the words under answers"
        raise EvaluationError(message)
    if isinstance(value, str):
        if value not in ready.model.answers:
            message = f"'{value}' is none of the answers"
            raise EvaluationError(message)
        return _Answer(value, 0)
    key = ready.model.key
    if key.tolerance is not None:
        return _Answer(value, float(key.tolerance))
    return _Answer(value, max(10.0**-key.places, _SHARE * abs(value)))


def _wrong_options(
    ready: ReadyModel, values: Mapping[str, Result], answer: _Answer
) -> list[GeneratedOption] | Refusal:
    options: list[GeneratedOption] = []
    for wrong, (formula, when) in zip(ready.model.distractors, ready.distractors, strict=True):
        try:
            if when is not None and evaluate(when, values) is not True:
                continue
            value = evaluate(formula, values)
            text = _option_text(ready, value)
        except (EvaluationError, OutsideError):
            continue  # this error leads to no answer here
        assert not isinstance(value, bool)  # noqa: S101 (no text could have been made of it)
        if _is_near(value, answer):
            return Refusal("collision", f"{wrong.error}: leads to the answer, {text}")
        if any(option.text == text or _touch(ready, option.value, value) for option in options):
            return Refusal("collision", f"{wrong.error}: coincides with another error, {text}")
        options.append(GeneratedOption(text, value, wrong.family, wrong.error))
    if len(options) < N_DISTRACTORS:
        return Refusal("range", f"only {len(options)} wrong answers can be worked out")
    return options


def _is_near(value: float | str, answer: _Answer) -> bool:
    if isinstance(value, str) or isinstance(answer.value, str):
        return value == answer.value
    return clean(abs(value - answer.value)) <= answer.tolerance


def _touch(ready: ReadyModel, one: float | str, other: float | str) -> bool:
    """Tell whether two wrong answers differ by less than the last place that is shown."""
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return clean(abs(one - other)) < 10.0**-ready.model.key.places


def _option_text(ready: ReadyModel, value: Result) -> str:
    key = ready.model.key
    if isinstance(value, str):
        if value not in ready.model.answers:
            message = f"'{value}' is none of the answers"
            raise EvaluationError(message)
        return value
    if isinstance(value, bool) or ready.model.answers:
        message = "the answer must be a number, or one of the words under answers"
        raise EvaluationError(message)
    return with_unit(shown(value, key.places), key.unit)


def _item(
    ready: ReadyModel,
    values: Mapping[str, Result],
    options: tuple[GeneratedOption, ...],
    *,
    answer: _Answer,
    seed: int | None,
    draw: int,
) -> GeneratedItem:
    model = ready.model
    texts = {name: _shown(ready, name, value) for name, value in values.items()}
    with_key = {**texts, "key": (options[0].text, "")}
    return GeneratedItem(
        id=f"{model.model}-v{model.version}-{'x' if seed is None else seed}-{draw}",
        model=model.model,
        version=model.version,
        seed=seed,
        draw=draw,
        title=model.title,
        group=model.group,
        domain=model.domain,
        level=model.level,
        life_stage=model.life_stage,
        given=tuple((name, values[name]) for name in model.parameters),
        stem=filled(model.stem, texts),
        use=tuple(filled(line, texts) for line in lines_to_use(ready)),
        options=_in_order(ready, options),
        tolerance=None if isinstance(answer.value, str) else answer.tolerance,
        solution=tuple(filled(step, with_key) for step in model.solution),
        cautions=cautions_of(ready),
        equations=ready.equations,
        source=model.source,
        author=model.author,
    )


def _shown(ready: ReadyModel, name: str, value: Result) -> tuple[str, str]:
    """Return the number of a value as it is shown, and its unit."""
    if isinstance(value, str | bool):
        return str(value), ""
    parameter = ready.model.parameters.get(name)
    declared = ready.model.values[name] if parameter is None else parameter
    return shown(value, declared.places), declared.unit or ""


def _in_order(
    ready: ReadyModel, options: tuple[GeneratedOption, ...]
) -> tuple[GeneratedOption, ...]:
    def place(option: GeneratedOption) -> float:
        if isinstance(option.value, str):
            return ready.model.answers.index(option.value)
        return rounded(option.value, ready.model.key.places)

    return tuple(sorted(options, key=place))
