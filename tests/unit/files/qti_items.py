"""Items of QTI for tests, of our own words, in the shapes of published examples."""

from __future__ import annotations

from typing import Final

V3: Final = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
TEMPLATE: Final = (
    '<qti-response-processing template="https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/'
    'match_correct.xml"/>'
)
KEY_A: Final = "<qti-correct-response><qti-value>a</qti-value></qti-correct-response>"
OPTIONS: Final = (
    '<qti-simple-choice identifier="a">Vitamin A</qti-simple-choice>'
    '<qti-simple-choice identifier="b">Vitamin C</qti-simple-choice>'
    '<qti-simple-choice identifier="c">Folate</qti-simple-choice>'
)

# The rules of feedback by the answer and of points for the right one, written out as in
# 1EdTech, qti-examples, QTI3_BPIG_Examples/items/Example02-feedbackInline.xml (read in 2026).
WRITTEN_OUT: Final = """<qti-response-processing>
  <qti-set-outcome-value identifier="FEEDBACK">
    <qti-variable identifier="RESPONSE"/>
  </qti-set-outcome-value>
  <qti-response-condition>
    <qti-response-if>
      <qti-match>
        <qti-variable identifier="RESPONSE"/>
        <qti-correct identifier="RESPONSE"/>
      </qti-match>
      <qti-set-outcome-value identifier="SCORE">
        <qti-variable identifier="MAXSCORE"/>
      </qti-set-outcome-value>
    </qti-response-if>
  </qti-response-condition>
</qti-response-processing>"""

TURNED_ROUND: Final = """<qti-response-processing>
  <qti-response-condition>
    <qti-response-if>
      <qti-match>
        <qti-variable identifier="RESPONSE"/>
        <qti-correct identifier="RESPONSE"/>
      </qti-match>
      <qti-set-outcome-value identifier="SCORE">
        <qti-base-value base-type="float">0</qti-base-value>
      </qti-set-outcome-value>
    </qti-response-if>
    <qti-response-else>
      <qti-set-outcome-value identifier="SCORE">
        <qti-base-value base-type="float">1</qti-base-value>
      </qti-set-outcome-value>
    </qti-response-else>
  </qti-response-condition>
</qti-response-processing>"""

# Names of 2.1 as in IMS QTI v2.1, Implementation Guide, section 2.1 (a simple multiple choice).
EDITION_2: Final = """<assessmentItem xmlns="http://www.imsglobal.org/xsd/imsqti_{version}"
 identifier="choice" title="Water" adaptive="false" timeDependent="false">
  <responseDeclaration identifier="RESPONSE" cardinality="multiple" baseType="identifier">
    <correctResponse><value>H</value><value>O</value></correctResponse>
    <mapping lowerBound="0" upperBound="2" defaultValue="-2">
      <mapEntry mapKey="H" mappedValue="1"/><mapEntry mapKey="O" mappedValue="1"/>
      <mapEntry mapKey="Cl" mappedValue="-1"/>
    </mapping>
  </responseDeclaration>
  <outcomeDeclaration identifier="SCORE" cardinality="single" baseType="float"/>
  <itemBody>
    <choiceInteraction responseIdentifier="RESPONSE" shuffle="true" maxChoices="0">
      <prompt>Of which elements is water made?</prompt>
      <simpleChoice identifier="H" fixed="false">Hydrogen</simpleChoice>
      <simpleChoice identifier="O">Oxygen</simpleChoice>
      <simpleChoice identifier="Cl">Chlorine</simpleChoice>
    </choiceInteraction>
  </itemBody>
  <responseProcessing
   template="http://www.imsglobal.org/question/qti_{version}/rptemplates/{template}"/>
</assessmentItem>"""


def an_item(
    *,
    prompt: str = "Which vitamin dissolves in fat?",
    options: str = OPTIONS,
    key: str = KEY_A,
    processing: str = TEMPLATE,
    before: str = "",
    after: str = "",
    cardinality: str = "single",
    most: int = 1,
) -> bytes:
    """Return an item of QTI 3.0."""
    return f"""<qti-assessment-item xmlns="{V3}" identifier="fat-soluble" title="Vitamins">
  <qti-response-declaration identifier="RESPONSE" cardinality="{cardinality}"
   base-type="identifier">{key}</qti-response-declaration>
  <qti-item-body>{before}
    <qti-choice-interaction response-identifier="RESPONSE" max-choices="{most}">
      <qti-prompt>{prompt}</qti-prompt>{options}
    </qti-choice-interaction>
  </qti-item-body>{processing}{after}
</qti-assessment-item>""".encode()
