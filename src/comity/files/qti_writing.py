"""Items of a bank as QTI 3.0."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING, Final

from comity.core.exam.cautions import cautions_beside
from comity.core.exam.item_models.cautions import EDUCATION, INDEPENDENT
from comity.core.exam.items import BestAnswer, SeveralAnswers
from comity.files.qti_names import QTI_3
from comity.files.qti_reading import CAUTIONS_CLASS, EXPLANATION, VIGNETTE_CLASS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.exam.items import Bank, Item

PACKAGING: Final = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
METADATA: Final = "http://ltsc.ieee.org/xsd/LOM"
ITEM_TYPE: Final = "imsqti_item_xmlv3p0"
SIDECAR: Final = "comity-items.yaml"
_MATCH_CORRECT: Final = "https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/match_correct.xml"
_NAME: Final = re.compile(r"[^\W\d][\w.-]*")
_HEAD: Final = '<?xml version="1.0" encoding="UTF-8"?>\n'


def identifier(id_: str) -> str:
    """Return an id as an identifier of XML, which does not begin with a digit."""
    return id_ if id_[:1].isalpha() else f"_{id_}"


def can_be_written(item: Item) -> bool:
    """Tell whether an item has a shape in the profile, and ids that are names in XML."""
    return isinstance(item, BestAnswer | SeveralAnswers) and all(
        _NAME.fullmatch(identifier(option)) for option in item.options
    )


def item_xml(
    item: BestAnswer | SeveralAnswers, bank: Bank, *, cautions: Mapping[str, tuple[str, ...]]
) -> str:
    """Return an item as QTI 3.0, its cautions before the question."""
    cardinality = "single" if isinstance(item, BestAnswer) else "multiple"
    keys = (item.answer,) if isinstance(item, BestAnswer) else item.answers
    values = "".join(f"<qti-value>{identifier(key)}</qti-value>" for key in keys)
    title = escape(item.stem.split("\n", 1)[0][:100])
    root = (
        f'<qti-assessment-item xmlns="{QTI_3}" identifier="{identifier(item.id)}" title="{title}"'
        f' adaptive="false" time-dependent="false" xml:lang="{escape(bank.language)}">'
    )
    response = f'identifier="RESPONSE" cardinality="{cardinality}" base-type="identifier"'
    return "\n".join(
        (
            f"{_HEAD}{root}",
            f"  <qti-response-declaration {response}>",
            f"    <qti-correct-response>{values}</qti-correct-response>",
            "  </qti-response-declaration>",
            '  <qti-outcome-declaration identifier="SCORE" cardinality="single" base-type="float">',
            "    <qti-default-value><qti-value>0</qti-value></qti-default-value>",
            "  </qti-outcome-declaration>",
            *_feedback_declaration(item),
            "  <qti-item-body>",
            *_rubric(cautions_beside(item, cautions, names_source=False)),
            *_source(item),
            *_vignette(item, bank),
            *_interaction(item),
            "  </qti-item-body>",
            f'  <qti-response-processing template="{_MATCH_CORRECT}"/>',
            *_explanation(item),
            "</qti-assessment-item>",
            "",
        )
    )


def manifest_xml(bank: Bank, items: Sequence[Item]) -> str:
    """Return the manifest of a package with an item a file, and what is ours beside them."""
    title = escape(bank.title or bank.bank)
    resources = [line for item in items for line in _resource(item, bank.language)]
    return "\n".join(
        (
            f'{_HEAD}<manifest xmlns="{PACKAGING}" identifier="{identifier(bank.bank)}">',
            "  <metadata>",
            "    <schema>QTI Package</schema>",
            "    <schemaversion>3.0.0</schemaversion>",
            *_lom(title, (), bank.language, description=f"{EDUCATION} {INDEPENDENT}"),
            "  </metadata>",
            "  <organizations/>",
            "  <resources>",
            *resources,
            f'    <resource identifier="comity-items" type="webcontent" href="{SIDECAR}">',
            f'      <file href="{SIDECAR}"/>',
            "    </resource>",
            "  </resources>",
            "</manifest>",
            "",
        )
    )


def file_of(item: Item) -> str:
    """Return where an item stands in a package."""
    return f"items/{item.id}.xml"


def _resource(item: Item, language: str) -> Iterator[str]:
    name = identifier(item.id)
    yield f'    <resource identifier="{name}" type="{ITEM_TYPE}" href="{file_of(item)}">'
    yield "      <metadata>"
    keywords = (item.domain, item.level, *item.topics)
    yield from _lom(escape(item.stem.split("\n", 1)[0][:100]), keywords, language)
    yield "      </metadata>"
    yield f'      <file href="{file_of(item)}"/>'
    yield "    </resource>"


def _lom(
    title: str, keywords: Sequence[str], language: str, *, description: str = ""
) -> Iterator[str]:
    def said(name: str, text: str) -> str:
        return f'<{name}><string language="{escape(language)}">{text}</string></{name}>'

    yield f'      <lom xmlns="{METADATA}"><general>'
    yield f"        {said('title', title)}"
    if description:
        yield f"        {said('description', escape(description))}"
    yield from (f"        {said('keyword', escape(word))}" for word in keywords)
    yield "      </general></lom>"


def _feedback_declaration(item: Item) -> Iterator[str]:
    if item.explanation or any(option.error for option in item.choices):
        yield (
            '  <qti-outcome-declaration identifier="FEEDBACK" cardinality="multiple"'
            ' base-type="identifier"/>'
        )


def _rubric(cautions: Sequence[str]) -> Iterator[str]:
    yield f'    <qti-rubric-block class="{CAUTIONS_CLASS}" use="instructions" view="candidate">'
    yield "      <qti-content-body>"
    yield from (f"        <p>{escape(line)}</p>" for line in cautions)
    yield "      </qti-content-body>"
    yield "    </qti-rubric-block>"


def _source(item: Item) -> Iterator[str]:
    """Yield the source for tutors: before the end it could give an answer away."""
    yield '    <qti-rubric-block class="comity-source" use="scoring" view="scorer tutor">'
    yield f"      <qti-content-body><p>{escape(item.source)}</p></qti-content-body>"
    yield "    </qti-rubric-block>"


def _vignette(item: Item, bank: Bank) -> Iterator[str]:
    case = next((case for case in bank.cases if case.id == item.case), None)
    if case is not None:
        yield f'    <div class="{VIGNETTE_CLASS}"><p>{_lines(case.vignette)}</p></div>'


def _interaction(item: BestAnswer | SeveralAnswers) -> Iterator[str]:
    most = 1 if isinstance(item, BestAnswer) else 0
    yield (
        '    <qti-choice-interaction response-identifier="RESPONSE" shuffle="false"'
        f' max-choices="{most}">'
    )
    yield f"      <qti-prompt>{_lines(item.stem)}</qti-prompt>"
    for option in item.choices:
        name = identifier(option.id)
        error = (
            f'<qti-feedback-inline outcome-identifier="FEEDBACK" identifier="{name}"'
            f' show-hide="show">{_lines(option.error)}</qti-feedback-inline>'
            if option.error
            else ""
        )
        text = f"{_lines(option.text)}{error}"
        yield f'      <qti-simple-choice identifier="{name}">{text}</qti-simple-choice>'
    yield "    </qti-choice-interaction>"


def _explanation(item: Item) -> Iterator[str]:
    if item.explanation:
        yield (
            f'  <qti-modal-feedback outcome-identifier="FEEDBACK" identifier="{EXPLANATION}"'
            ' show-hide="show">'
        )
        yield f"    <qti-content-body><p>{_lines(item.explanation)}</p></qti-content-body>"
        yield "  </qti-modal-feedback>"


def _lines(text: str) -> str:
    return "<br/>".join(escape(line, quote=False) for line in text.split("\n"))
