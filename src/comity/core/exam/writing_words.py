"""English words by which an item gives itself away, and words that tell readers nothing."""

from __future__ import annotations

import re
from typing import Final

_STOP_WORDS: Final = (
    "a about above after all also among an and any are as at be because been before best between"
    " both but by can could did do does each every few first following for from had has have he"
    " her his how if in into is it its likely many may more most much must next no not of on one"
    " only or other over per should shows some such than that the their them then there these they"
    " this those through to two under until up was were what when where which while who whose why"
    " will with within would years"
)
STOP_WORDS: Final = frozenset(_STOP_WORDS.split())
DETERMINERS: Final = re.compile(r"\b(always|never|only|all|none|completely|entirely|every)\b", re.I)
NEGATIONS: Final = re.compile(r"\b(not|except|without|never|cannot)\b|n't\b", re.I)
NEGATIVE_OPTION: Final = re.compile(r"\b(not|except|without)\b|n't\b", re.I)
NEGATIVE_QUESTION: Final = re.compile(
    r"\b(not|except|never|cannot|least (likely|suited|suitable|appropriate|useful|probable))\b"
    r"|n't\b"
)
CLAUSES: Final = re.compile(
    r"\b(who|whose|when|if|because|since|although|while|until|whether)\b[^,?]*"
)
NONE_OF_THEM: Final = re.compile(r"\b(none|neither) of (the (above|options|others)|these)\b", re.I)
ALL_OF_THEM: Final = re.compile(r"\b(all|both|any) of (the (above|options|others)|these)\b", re.I)
_ONE: Final = r"(?:\(?(?:[A-F]|[1-6]|I{1,3}|IV|V)\)?)"
COMBINED: Final = re.compile(
    rf"(?:both )?{_ONE}(?:(?:, ?| and |, and | & | or ){_ONE})+(?: only)?|{_ONE} only|both [A-F] .*"
)
BLANK: Final = re.compile(r"_{2,}|[:…]\s*$|\.\.\.\s*$")
# A stem that breaks off there is completed by the option.
OPEN_END: Final = re.compile(
    r"\b(is|are|was|were|be|the|an?|to|by|of|for|in|with|from|as|at|on|than|that|except)$", re.I
)
IMPERATIVE: Final = re.compile(
    r"(?:^|[.;:?]\s+|, )(calculate|choose|classify|compute|determine|estimate|find|give|identify|"
    r"indicate|match|name|order|pick|rank|select|state|write|mark|round)\b",
    re.I,
)
UNFOCUSED: Final = re.compile(
    r"which (one )?(of the following|of these|statement)s?( statements?)?( about [^?]*)?"
    r" (is|are) (true|correct|right|false|wrong|incorrect)",
    re.I,
)
DATED: Final = re.compile(
    r"\b(current|latest|newest|most recent|recently|new) (\w+ )?(guideline|guidance|recommendation"
    r"|evidence|consensus|rule|law|edition)s?\b|\bas of today\b|\bnowadays\b",
    re.I,
)
_PAIRS: Final = (
    "increase decrease|increases decreases|increased decreased|high low|higher lower|raise lower"
    "|raised lowered|more less|rises falls|rise fall|before after|acute chronic|positive negative"
    "|start stop|begin end|hyper hypo|above below|faster slower|earlier later|add remove"
    "|over under|gain loss|hyperkalaemia hypokalaemia|hyperglycaemia hypoglycaemia"
    "|hypernatraemia hyponatraemia|soluble insoluble|saturated unsaturated|upper lower|wet dry"
    "|overestimates underestimates|falls rises|maximum minimum|longer shorter"
)
OPPOSITES: Final = frozenset(frozenset(pair.split()) for pair in _PAIRS.split("|"))
