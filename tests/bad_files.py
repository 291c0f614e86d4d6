"""The broken files of ``assets/bad`` and how to read each.

For each problem code there is a file ``CODE.yaml`` (or ``CODE-what.yaml`` for a further case) and
beside it ``CODE.txt`` with exactly what is shown. A comment at the beginning of the first line,
``# read as: an applicant file``, names the reader out of `READERS`; without one it is the first.
To add a code, drop the pair of files; to add a way of reading, add a line to `READERS`.
"""

from __future__ import annotations

import re
from datetime import date
from functools import partial
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Final
from zipfile import ZIP_DEFLATED, ZipFile

from comity.core.days.calendar import day_from_date
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Edition
from comity.files.applicants import LoadedApplicant, read_applicant
from comity.files.decoding import MAX_BYTES
from comity.files.exchange_rates import rates_of
from comity.files.item_bank import (
    load_blueprint,
    read_bank,
    read_blueprint,
    warnings_of,
    warnings_of_form,
)
from comity.files.item_models import load_item_models
from comity.files.qti_package import export_package, import_package
from comity.files.qti_reading import read_item
from comity.files.reading import read
from comity.files.rendering import render
from comity.files.rulebooks import load_rulebook_texts, load_rulebooks
from comity.files.writing import WritingError, write_whole
from comity.files.yaml import read_text, read_tree
from comity.service.assessing import Inputs, read_inputs, read_rulebooks
from comity.service.planning import Wishes
from comity.service.planning_all import plan_all
from comity.service.rulebooks import compare, failed_cases
from tests import exam_files
from tests.samples import EveryValue, Figure, Needed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from comity.core.problems import Problem

FOLDER: Final = Path(__file__).parent / "assets" / "bad"
SORTS: Final = {"an applicant file": Applicant, "a rulebook": Edition}
OUTLINE: Final = (
    Path(__file__).parents[1] / "src" / "comity" / "bank" / "blueprints" / "dietetics.yaml"
)
TODAY: Final = day_from_date(date(2026, 11, 25))
_READ_AS: Final = re.compile(rb"# read as: (.+)")


def shown_for(path: Path) -> str:
    """Return what a user sees of a broken file."""
    first_line = path.read_bytes().split(b"\n", 1)[0]
    match = _READ_AS.match(first_line)
    name = match[1].decode("ascii").strip() if match else next(iter(READERS))
    return READERS[name](path)


def _record(record: type, sorts: Mapping[str, type] | None = None) -> Callable[[Path], str]:
    def reader(path: Path) -> str:
        return _shown(path.read_bytes(), path.name, record, sorts=sorts)

    return reader


def _shown(
    source: Path | bytes, file: str, record: type, *, sorts: Mapping[str, type] | None = None
) -> str:
    text, _ = read_text(source, file)
    node, problems = read_tree(source, file)
    found: tuple[Problem, ...] = problems
    if node is not None:
        found += read(node, record, sorts=sorts).problems
    return render(found, {file: text})


def _padded(path: Path) -> str:
    """Read the file as if its last line were very long."""
    data = path.read_bytes()
    return _shown(data + b"x" * (MAX_BYTES - len(data) + 1), path.name, EveryValue)


def _not_there(path: Path) -> str:
    return _shown(path.with_suffix(".missing"), path.name, EveryValue)


def _written_to(path: Path) -> str:
    """Try to write below the file as if it were a folder."""
    target = path / "brief.pdf"
    try:
        write_whole(target, b"")
    except WritingError as error:
        return render((error.problem,), {}).replace(str(target), f"{path.name}/brief.pdf")
    raise AssertionError(target)


def _files_of(path: Path) -> dict[str, str]:
    """Return the texts of the files that stand in one, each begun by ``# next file: NAME``."""
    first, *others = re.split(r"^# next file: (.+)\n", path.read_text("utf-8"), flags=re.MULTILINE)
    return {path.name: first, **dict(zip(others[::2], others[1::2], strict=True))}


def _rulebook(path: Path) -> str:
    loaded = load_rulebook_texts(_files_of(path), today=TODAY)
    return render(loaded.problems, loaded.texts)


def _rulebook_with_cases(path: Path) -> str:
    loaded = load_rulebook_texts(_files_of(path), today=TODAY)
    return render((*loaded.problems, *failed_cases(loaded)), loaded.texts)


def _empty_folder(path: Path) -> str:
    with TemporaryDirectory() as folder:
        loaded = load_rulebooks([Path(folder)])
        return render(loaded.problems, loaded.texts).replace(folder, path.stem)


def _compared(path: Path, *, is_folder: bool) -> str:
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, text in _files_of(path).items():
            (folder / file).write_text(text, encoding="utf-8")
        new = folder if is_folder else folder / list(_files_of(path))[1]
        found = compare(folder / path.name, new)
        return render(found.problems, found.texts).replace(f"{name}/", "").replace(name, path.stem)


def _assessed(path: Path, *, title: str | None = None) -> str:
    """Read the files as `comity assess` does: an applicant each, or one rulebook and a title."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, text in _files_of(path).items():
            (folder / file).write_text(text, encoding="utf-8")
        files = [folder / file for file in _files_of(path)]
        if title is None:
            found = read_inputs(files, (), today=TODAY)
            return render(found.problems, found.texts).replace(f"{name}/", "")
        loaded = read_rulebooks(files, today=TODAY, title=title)
        return render(loaded.problems, loaded.texts)


def _whole_applicant(path: Path) -> str:
    loaded = read_applicant(path.read_text("utf-8"), path.name)
    return render(loaded.problems, {path.name: loaded.text})


def _rates(path: Path) -> str:
    """Read what stands below the first line as exchange rates."""
    text = path.read_text("utf-8").split("\n", 1)[1]
    _found, problems = rates_of(text.encode("utf-8"), path.name)
    return render(problems, {path.name: text})


def _planned(path: Path, *, sitting: date | None = None) -> str:
    """Make a plan for somebody of whom nothing is known, to be paid in euros."""
    wanted = None if sitting is None else day_from_date(sitting)
    loaded = load_rulebook_texts(_files_of(path), today=TODAY)
    person = LoadedApplicant("a.yaml", Applicant(applicant="a"), (), {}, "")
    inputs = Inputs((person,), loaded, loaded.problems)
    made = plan_all(
        inputs,
        lambda first: Wishes(first, currency="EUR", sitting=wanted),
        today_at=lambda _zone: TODAY,
    )
    return render(made.problems, loaded.texts)


def _item_models(path: Path) -> str:
    loaded = load_item_models(_files_of(path))
    return render(loaded.problems, loaded.texts)


def _bank(path: Path) -> str:
    loaded = read_bank(path.read_text("utf-8"), path.name, blueprint=load_blueprint(OUTLINE).value)
    return render(loaded.problems, {path.name: loaded.text})


def _bank_as_written(path: Path, *, is_form: bool = False) -> str:
    loaded = read_bank(path.read_text("utf-8"), path.name)
    warnings = warnings_of_form(loaded) if is_form else warnings_of(loaded)
    return render((*loaded.problems, *warnings), {path.name: loaded.text})


def _blueprint(path: Path) -> str:
    loaded = read_blueprint(path.read_text("utf-8"), path.name)
    return render(loaded.problems, {path.name: loaded.text})


def _qti_item(path: Path) -> str:
    """Read what stands below the first line as an item of QTI."""
    text = path.read_text("utf-8").split("\n", 1)[1]
    found = read_item(text.encode("utf-8"), path.name)
    return render(found.problems, {path.name: text})


def _long_qti_item(path: Path) -> str:
    """Read it with its paragraph many times."""
    text = path.read_text("utf-8").split("\n", 1)[1].replace("<p/>", "<p/>" * 60_000)
    found = read_item(text.encode("utf-8"), path.name)
    return render(found.problems, {})


def _qti_package(path: Path) -> str:
    """Pack the files that stand in one, and read the package."""
    _itself, *names = _files_of(path)
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name in names:
            archive.writestr(name, _files_of(path)[name].replace("MANY ZEROS", "0" * 2_000_000))
    found = import_package(packed.getvalue(), f"{path.stem}.zip")
    return render(found.problems, found.texts)


def _no_package(path: Path) -> str:
    found = import_package(path.read_bytes(), path.name)
    return render(found.problems, {})


def _exported(path: Path) -> str:
    bank = read_bank(path.read_text("utf-8"), path.name).value
    if bank is None:
        raise AssertionError(path)
    return render(export_package(bank).problems, {})


READERS: Final[Mapping[str, Callable[[Path], str]]] = {
    "a file of every value": _record(EveryValue),
    "a file of needed values": _record(Needed),
    "a figure": _record(Figure),
    "an applicant file": _record(Applicant, SORTS),
    "a file with very long text": _padded,
    "a file that is not there": _not_there,
    "a folder to write into": _written_to,
    "an applicant file as a whole": _whole_applicant,
    "a rulebook": _rulebook,
    "a rulebook asked for the title dietician": partial(_assessed, title="dietician"),
    "item models": _item_models,
    "two applicants": _assessed,
    "an applicant file read for an answer": _assessed,
    "exchange rates": _rates,
    "a rulebook planned for in EUR": _planned,
    "a rulebook planned for a sitting on 2027-03-09": partial(_planned, sitting=date(2027, 3, 9)),
    "a rulebook with its cases": _rulebook_with_cases,
    "an empty folder": _empty_folder,
    "a bank of items": _bank,
    "items for how they are written": _bank_as_written,
    "a form of items": partial(_bank_as_written, is_form=True),
    "a blueprint": _blueprint,
    "an item of QTI": _qti_item,
    "a very long item of QTI": _long_qti_item,
    "a package of QTI": _qti_package,
    "a file that is no package": _no_package,
    "a bank for other programs": _exported,
    "answers": exam_files.answers_shown,
    "a practice asked for p10": exam_files.asked_for_somebody_shown,
    "a practice asked for 2026-11-01": exam_files.asked_too_late_shown,
    "names of item models": exam_files.models_shown,
    "files of an examination": exam_files.files_shown,
    "ratings": exam_files.ratings_shown,
    "real results": exam_files.results_shown,
    "a folder compared with an edition": partial(_compared, is_folder=True),
    "an edition compared with the next": partial(_compared, is_folder=False),
}
