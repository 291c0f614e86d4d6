"""What the commands about examinations read: banks, blueprints and item models, from files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from comity.bank.resources import texts_in
from comity.core.exam.blueprints import Blueprint, unknown_domains
from comity.core.exam.items import Bank
from comity.core.problems import Problem, has_errors, sorted_by_place
from comity.files.item_bank import (
    problem_of,
    read_bank,
    read_blueprint,
    warnings_of,
    warnings_of_form,
)
from comity.files.item_models import load_item_models
from comity.files.nodes import BlockNode
from comity.files.yaml import read_text, read_tree
from comity.service.exam_responses import near
from comity.service.starter_items import starter_bank_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from comity.core.exam.item_models.checking import ReadyModel

OUTLINE: Final = "dietetics.yaml"


@dataclass(frozen=True, slots=True)
class ExamFiles:
    """What stood in the files of an examination.

    Parameters
    ----------
    banks : tuple of Bank
    blueprints : tuple of Blueprint
    models : tuple of ReadyModel
    problems : tuple of Problem
        Errors and warnings, by place.
    texts : mapping
        From files to what stands in them, to show problems.
    """

    banks: tuple[Bank, ...]
    blueprints: tuple[Blueprint, ...]
    models: tuple[ReadyModel, ...]
    problems: tuple[Problem, ...]
    texts: Mapping[str, str]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work; warnings do not."""
        return not has_errors(self.problems)

    @property
    def bank(self) -> Bank:
        """All items of all banks as one."""
        return joined(self.banks)


def joined(banks: Sequence[Bank]) -> Bank:
    """Return several banks as one; items without an author keep that of their bank."""
    if len(banks) == 1:
        return banks[0]
    return Bank(
        bank="together",
        language=banks[0].language,
        fictional=any(bank.fictional for bank in banks),
        cases=tuple(case for bank in banks for case in bank.cases),
        items=tuple(
            replace(item, author=item.author or bank.author)
            for bank in banks
            for item in bank.items
        ),
    )


def read_exam_files(paths: Iterable[Path], *, with_warnings: bool = False) -> ExamFiles:
    """Return what stands in files and folders, each by what it says it is.

    Parameters
    ----------
    paths : iterable of Path
        YAML files, or folders of them.
    with_warnings : bool
        Whether items are looked through for flaws in how they are written.
    """
    found: dict[str, list[Any]] = {"bank": [], "blueprint": []}
    problems: list[Problem] = []
    texts: dict[str, str] = {}
    models: dict[str, str] = {}
    for path in _files_below(paths):
        text, wrong = read_text(path, str(path))
        texts[str(path)] = text
        problems += wrong
        sort = "" if wrong else sort_of(text, str(path))
        if sort == "model":
            models[str(path)] = text
        elif sort in found:
            loaded = (read_bank if sort == "bank" else read_blueprint)(text, str(path))
            found[sort].append(loaded)
            problems += loaded.problems
        elif not wrong:
            problems += _of_no_sort(text, str(path))
    loaded_models = load_item_models(models)
    problems += loaded_models.problems
    blueprints = [each.value for each in found["blueprint"] if each.value is not None]
    for loaded in found["bank"]:
        if loaded.value is not None and len(blueprints) == 1:
            problems += [
                problem_of(e, loaded) for e in unknown_domains(loaded.value, blueprints[0])
            ]
        if with_warnings:
            problems += (*warnings_of(loaded), *warnings_of_form(loaded))
    problems += _in_two_files(found["bank"])
    banks = tuple(each.value for each in found["bank"] if each.value is not None)
    return ExamFiles(
        banks, tuple(blueprints), loaded_models.models, sorted_by_place(problems), texts
    )


def sort_of(text: str, file: str) -> str:
    """Return what a file says it is: bank, blueprint or model; nothing where it does not say."""
    node, _problems = read_tree(text, file)
    if not isinstance(node, BlockNode):
        return ""
    keys = {key.text for key, _ in node.entries}
    if "model" in keys:
        return "model"
    if "blueprint" in keys or "domains" in keys:
        return "blueprint"
    return "bank" if keys & {"bank", "items"} else ""


def starter_files() -> ExamFiles:
    """Return the bank and the blueprint that come with Comity."""
    bank = read_bank(starter_bank_text(), "starter bank")
    blueprint = outline_files()
    return ExamFiles(
        (bank.value,) if bank.value is not None else (),
        blueprint.blueprints,
        (),
        bank.problems,
        {"starter bank": bank.text},
    )


def outline_files() -> ExamFiles:
    """Return the blueprint that comes with Comity."""
    loaded = read_blueprint(texts_in("blueprints")[OUTLINE], OUTLINE)
    found = (loaded.value,) if loaded.value is not None else ()
    return ExamFiles((), found, (), loaded.problems, {OUTLINE: loaded.text})


def shipped_models(names: Sequence[str] = ()) -> ExamFiles:
    """Return item models that come with Comity: those named, or all, which takes seconds."""
    texts = texts_in("models")
    wanted = {
        name: text
        for name, text in texts.items()
        if not names or name.removesuffix(".yaml") in names
    }
    loaded = load_item_models(wanted)
    known = [name.removesuffix(".yaml") for name in texts]
    unknown = [
        Problem(
            "X508",
            "no item model of this name comes with Comity",
            got=repr(name),
            expected=near(name, known),
            hint="or name the file of a model of your own",
        )
        for name in names
        if f"{name}.yaml" not in texts
    ]
    return ExamFiles((), (), loaded.models, (*loaded.problems, *unknown), loaded.texts)


def _files_below(paths: Iterable[Path]) -> Iterable[Path]:
    for path in paths:
        if path.is_dir():
            yield from sorted(path.rglob("*.yaml"))
        else:
            yield path


def _of_no_sort(text: str, file: str) -> tuple[Problem, ...]:
    """Return why a file is none of the sorts that are read."""
    node, problems = read_tree(text, file)
    if node is None:
        return problems
    return (
        Problem(
            "X509",
            "the file is neither a bank, a blueprint nor an item model",
            place=node.place,
            expected="bank:, blueprint: or model: with its id on the first line",
        ),
    )


def _in_two_files(loaded: Sequence[Any]) -> list[Problem]:
    first: dict[str, Any] = {}
    found = []
    for each in loaded:
        for number, item in enumerate(() if each.value is None else each.value.items):
            place = each.place_of(("items", number, "id"))
            other = first.setdefault(item.id, place)
            if other is not place and other is not None and other.file != each.file:
                found.append(
                    Problem(
                        "X204",
                        "an id must be given once in a bank",
                        place=place,
                        got=repr(item.id),
                        hint="answers are kept by it; give this one another",
                        related=((other, "first given here"),),
                    )
                )
    return found
