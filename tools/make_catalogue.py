"""Gather the desk's sentences for translators: ``python -m tools.make_catalogue``.

Writes `django.pot`, from which a language's `django.po` begins, and the catalogue of a language
that nobody speaks: English with accents, a third longer, read from right to left. Pages shown in it
prove that their layout bears other languages, and show at a glance which sentence was not marked.
"""

from __future__ import annotations

import io
import re
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import write_po
from django.conf import settings
from django.utils.translation.template import templatize

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT: Final = Path(__file__).resolve().parent.parent
DESK: Final = ROOT / "src" / "comity" / "desk"
LOCALE: Final = DESK / "locale"
MIRRORED: Final = "qps_Plocm"
KEYWORDS: Final[dict[str, Any]] = {
    "_": None,
    "gettext": None,
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext": (1, 2),
    "ngettext_lazy": (1, 2),
    "pgettext": ((1, "c"), 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
}
# What stands for something else, and must come through a translation unharmed.
_KEPT: Final = re.compile(r"%\(\w+\)[sd]|%[sd%]|\{\w*\}|<[^>]+>|&\w+;")
_ACCENTED: Final = str.maketrans("aceinorsuyzACEINORSUYZ", "áçéíñóŕšúýžÁÇÉÍÑÓŔŠÚÝŽ")
_LONGER: Final = 3  # one more sign for each three
LONG_AGO: Final = datetime(2000, 1, 1, tzinfo=UTC)  # the file changes with its words only
RIGHT_TO_LEFT: Final = "\N{RIGHT-TO-LEFT ISOLATE}%s\N{POP DIRECTIONAL ISOLATE}"


def catalogue() -> Catalog:
    """Return all sentences of the desk's code and templates with the places they stand in."""
    found = Catalog(project="comity", version="", charset="utf-8", fuzzy=False)
    for path in sorted([*DESK.rglob("*.py"), *DESK.rglob("*.html")]):
        place = path.relative_to(ROOT).as_posix()
        for line, message, context in sentences(path):
            found.add(message, locations=[(place, line)], context=context)
    return found


def sentences(path: Path) -> Iterator[tuple[int, Any, str | None]]:
    """Yield line, sentence (or singular and plural) and context of one file."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".html":
        # As Python, the template's other words would be indented by chance.
        text = "\n".join(line.lstrip() for line in templatize(text, origin=str(path)).split("\n"))
    source = io.BytesIO(text.encode("utf-8"))
    options = {"encoding": "utf-8"}
    for line, message, _comments, context in extract("python", source, KEYWORDS, options=options):
        yield line, message, context


def mirrored(sentence: str) -> str:
    """Return a sentence with accents, a third longer, to be read from right to left."""
    parts: list[str] = []
    at = 0
    for kept in _KEPT.finditer(sentence):
        parts += [sentence[at : kept.start()].translate(_ACCENTED), kept.group()]
        at = kept.end()
    parts.append(sentence[at:].translate(_ACCENTED))
    n_more = sum(len(part) for part in parts[::2]) // _LONGER
    return RIGHT_TO_LEFT % f"[{''.join(parts)}{'·' * n_more}]"


def mirrored_catalogue(found: Catalog) -> Catalog:
    """Return the catalogue of the language that nobody speaks."""
    made = Catalog(locale=None, project="comity", version="", charset="utf-8", fuzzy=False)
    made.creation_date = made.revision_date = LONG_AGO
    made.mime_headers = [
        ("Content-Type", "text/plain; charset=utf-8"),
        ("Plural-Forms", "nplurals=2; plural=(n != 1);"),
    ]
    for message in found:
        if not message.id:
            continue
        ids = (message.id,) if isinstance(message.id, str) else tuple(message.id)
        strings = tuple(mirrored(each) for each in ids)
        made.add(message.id, strings if len(ids) > 1 else strings[0], context=message.context)
    return made


def as_pot(found: Catalog) -> str:
    """Return the file translators begin with; without dates, so that it changes with its words."""
    written = io.BytesIO()
    write_po(written, found, width=100, omit_header=True, sort_output=True, include_lineno=False)
    return written.getvalue().decode("utf-8")


def as_mo(made: Catalog) -> bytes:
    """Return a catalogue as programs read it."""
    written = io.BytesIO()
    write_mo(written, made)
    return written.getvalue()


def main() -> int:
    """Write both catalogues."""
    if not settings.configured:
        settings.configure(USE_I18N=False)
    found = catalogue()
    (LOCALE / "django.pot").write_text(as_pot(found), encoding="utf-8")
    folder = LOCALE / MIRRORED / "LC_MESSAGES"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "django.mo").write_bytes(as_mo(mirrored_catalogue(found)))
    print(f"{len(found)} sentences in {LOCALE.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
