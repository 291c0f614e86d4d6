"""Rulebooks: their model, what is wrong in them, what they say, what changed."""

from comity.core.rulebook.checks import check_edition, check_editions
from comity.core.rulebook.diff import Change, changes
from comity.core.rulebook.model import (
    Authority,
    Case,
    Condition,
    Deems,
    Document,
    Edition,
    Examination,
    Fee,
    Grant,
    Milestone,
    PaperAsked,
    Pathway,
    Renewal,
    Rulebook,
    Sitting,
    Title,
)
from comity.core.rulebook.prose import Line, lines, sentence
from comity.core.rulebook.prose_editions import Section, sections
from comity.core.rulebook.steps import Gets, Party, Step, TimeLimit

__all__ = [
    "Authority",
    "Case",
    "Change",
    "Condition",
    "Deems",
    "Document",
    "Edition",
    "Examination",
    "Fee",
    "Gets",
    "Grant",
    "Line",
    "Milestone",
    "PaperAsked",
    "Party",
    "Pathway",
    "Renewal",
    "Rulebook",
    "Section",
    "Sitting",
    "Step",
    "TimeLimit",
    "Title",
    "changes",
    "check_edition",
    "check_editions",
    "lines",
    "sections",
    "sentence",
]
