"""One item of QTI as an item of a bank, or why it stays outside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.declaring.texts import slug
from comity.core.exam.items import BestAnswer, Level, SeveralAnswers
from comity.core.problems import Place, Problem
from comity.files.qti_names import EDITIONS, QTI_3, as_edition_3
from comity.files.qti_scoring import (
    is_match_correct,
    is_parted,
    is_single,
    keys_of,
    option_id,
)
from comity.files.qti_text import PlainText
from comity.files.qti_xml import parse_xml

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.files.qti_xml import Element

CAUTIONS_CLASS: Final = "comity-cautions"
VIGNETTE_CLASS: Final = "comity-vignette"
EXPLANATION: Final = "explanation"
_BESIDE_STEM: Final = frozenset({"qti-rubric-block", "qti-choice-interaction"})
_MATCHING: Final = ("match_correct", "map_response")
_MOST_NAMED: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """What an item from elsewhere is taken to be, since QTI does not say."""

    domain: str = "imported"
    level: Level = Level.APPLY


@dataclass(frozen=True, slots=True)
class ReadItem:
    """An item that was read; none where it stays outside, and its problems say why.

    Parameters
    ----------
    item : Item or None
        With the domain and level of `Unknown`.
    vignette : str
        What a case of ours told before the stem; an item alone has it in its stem.
    problems : tuple of Problem
        Errors where the file is broken; warnings for what could not be taken over.
    """

    item: BestAnswer | SeveralAnswers | None
    vignette: str
    problems: tuple[Problem, ...]


def read_item(data: bytes, file: str, *, unknown: Unknown | None = None) -> ReadItem:
    """Return the item of an XML text of QTI 3.0, 2.2 or 2.1."""
    root, problems = parse_xml(data, file)
    if root is None:
        return ReadItem(None, "", problems)
    if root.namespace not in EDITIONS:
        return ReadItem(None, "", (_no_edition(root),))
    item = as_edition_3(root)
    if item.name != "qti-assessment-item":
        return ReadItem(None, "", (_outside(item, f"<{root.name}>, which is no item"),))
    return _Reader(item, unknown or Unknown()).read()


@dataclass(frozen=True, slots=True)
class _Asked:
    stem: str
    options: Mapping[str, str]
    errors: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Reader:
    root: Element
    unknown: Unknown

    def read(self) -> ReadItem:
        body = self.root.first("qti-item-body")
        interactions = [e for e in self.root.walk() if e.name.endswith("-interaction")]
        names = [e.name for e in interactions]
        if body is None or names != ["qti-choice-interaction"]:
            got = ", ".join(names[:_MOST_NAMED]) or "nothing to answer"
            return ReadItem(None, "", (_outside(self.root, got),))
        return self._choice(body, interactions[0])

    def _choice(self, body: Element, choice: Element) -> ReadItem:
        declaration = self._declaration(choice)
        if declaration is None:
            return ReadItem(None, "", (self._no_key(choice, "no declaration of the response"),))
        if (other := self._other_scoring()) is not None:
            return ReadItem(None, "", (other,))
        text = PlainText(_BESIDE_STEM)
        vignette, stem = _asked(body, choice, text)
        options, errors = _options(choice, text)
        if len(options) != sum(e.name == "qti-simple-choice" for e in choice.elements):
            return ReadItem(None, "", (_outside(choice, "two options with one identifier"),))
        dropped = tuple(_dropped(element, what) for element, what in text.dropped)
        wrong = self._wrong(text, stem, options) or self._wrong_key(declaration, options)
        if wrong is not None:
            return ReadItem(None, "", (*dropped, wrong))
        item = self._item(_Asked(stem, options, errors), declaration, choice)
        complaints = tuple(
            Problem(c.code, c.message, place=self.root.place, got=c.got, expected=c.expected)
            for c in item.complaints()
        )
        return ReadItem(None if complaints else item, vignette, (*dropped, *complaints))

    def _item(
        self, asked: _Asked, declaration: Element, choice: Element
    ) -> BestAnswer | SeveralAnswers:
        keys = tuple(keys_of(declaration))
        has_one = is_single(declaration, choice)
        kind = BestAnswer if has_one else SeveralAnswers
        return kind(
            id=slug(self.root.attributes.get("identifier", "")) or "item",
            domain=self.unknown.domain,
            level=self.unknown.level,
            stem=asked.stem,
            explanation=self._explanation() or None,
            source=f"imported from {self.root.place.file}",
            options=asked.options,
            errors={id_: says for id_, says in asked.errors.items() if id_ not in keys},
            **({"answer": keys[0]} if has_one else {"answers": keys}),
        )

    def _wrong(self, text: PlainText, stem: str, options: Mapping[str, str]) -> Problem | None:
        if text.lost:
            return _outside(text.lost[0], f"<{text.lost[0].name}> in the text")
        if not stem:
            return _outside(self.root, "no question in it")
        empty = next((id_ for id_, says in options.items() if not says), None)
        return None if empty is None else _outside(self.root, f"an option without words, '{empty}'")

    def _declaration(self, choice: Element) -> Element | None:
        wanted = choice.attributes.get("response-identifier")
        return next(
            (
                e
                for e in self.root.elements
                if e.name == "qti-response-declaration" and e.attributes.get("identifier") == wanted
            ),
            None,
        )

    def _other_scoring(self) -> Problem | None:
        """Return a problem where points are given in another way than for the right answer."""
        processing = self.root.first("qti-response-processing")
        if processing is None:
            return None
        template = processing.attributes.get("template", "")
        if any(name in template for name in _MATCHING) or (
            not template and is_match_correct(processing)
        ):
            return None
        return Problem(
            "X408",
            "the item gives points in its own way and is left out",
            place=processing.place,
            severity="warning",
            got=template or "rules of its own",
            expected="match_correct, map_response, or the same written out",
            hint="write the item anew in the bank; its file is kept",
        )

    def _wrong_key(self, declaration: Element, options: Mapping[str, str]) -> Problem | None:
        keys = tuple(keys_of(declaration))
        if not keys:
            return self._no_key(declaration, "no right answer")
        if strange := [key for key in keys if key not in options]:
            return self._no_key(declaration, f"'{strange[0]}', which is no option")
        if is_parted(declaration) or declaration.attributes.get("base-type") != "identifier":
            return _outside(declaration, "answers that give parts of a point")
        return None

    def _no_key(self, element: Element, got: str) -> Problem:
        return Problem(
            "X407",
            f"the item {self.root.attributes.get('identifier', '')} has no key",
            place=element.place,
            got=got,
            expected="<qti-correct-response> with the identifier of an option",
            hint="set the right answer where the item comes from, and export again",
        )

    def _explanation(self) -> str:
        found = [e for e in self.root.elements if e.name == "qti-modal-feedback"]
        ours = [e for e in found if e.attributes.get("identifier") == EXPLANATION]
        return "\n".join(dict.fromkeys(PlainText().of(e) for e in ours or found))


def _asked(body: Element, choice: Element, text: PlainText) -> tuple[str, str]:
    """Return what a case of ours tells, and the question."""
    vignettes = [e for e in body.elements if e.attributes.get("class") == VIGNETTE_CLASS]
    vignette = "\n".join(text.of(each) for each in vignettes)
    prompt = choice.first("qti-prompt")
    parts = (text.of(_without(body, vignettes)), text.of(prompt) if prompt is not None else "")
    return vignette, "\n".join(filter(None, parts))


def _options(choice: Element, text: PlainText) -> tuple[dict[str, str], dict[str, str]]:
    """Return the texts of options, and the errors that feedback beside them names."""
    aside = PlainText()
    within = PlainText(frozenset({"qti-feedback-inline"}), text.lost, text.dropped)
    options: dict[str, str] = {}
    errors: dict[str, str] = {}
    for simple in choice.elements:
        if simple.name == "qti-simple-choice":
            id_ = option_id(simple.attributes.get("identifier", ""))
            options[id_] = within.of(simple)
            feedback = simple.first("qti-feedback-inline")
            if feedback is not None and (says := aside.of(feedback)):
                errors[id_] = says
    return options, errors


def _without(body: Element, left: list[Element]) -> Element:
    kept = [child for child in body.children if not any(child is each for each in left)]
    return type(body)(body.name, body.namespace, body.attributes, body.place, kept)


def _outside(element: Element, got: str) -> Problem:
    return Problem(
        "X406",
        "the item is outside what is read, and is left out",
        place=element.place,
        severity="warning",
        got=got,
        expected="one question with options to choose from, in plain text",
        hint="write it anew in the bank; its file is kept",
    )


def _dropped(element: Element, what: str) -> Problem:
    return Problem(
        "X409",
        "something that runs or styles was dropped from the text",
        place=element.place,
        severity="warning",
        got=what,
        hint="read the item again: nothing that a person reads should be missing",
    )


def _no_edition(root: Element) -> Problem:
    return Problem(
        "X402",
        "the file is no QTI of an edition that is read",
        place=Place(root.place.file, root.place.line, root.place.column),
        got=f"<{root.name}> of '{root.namespace}'" if root.namespace else f"<{root.name}>",
        expected=f"QTI 3.0 ({QTI_3}), 2.2 or 2.1",
        hint="export it as QTI 3.0",
    )
