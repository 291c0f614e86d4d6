"""Every problem code: what it means and how a file that has it is mended.

``docs/reference/problems.md`` is made of this table by ``python -m tools.make_problem_reference``;
each code has a broken file ``tests/assets/bad/CODE.yaml`` with its exact message beside it.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final, NamedTuple


class ProblemCode(NamedTuple):
    """What a code stands for.

    Parameters
    ----------
    title : str
        The rule that was broken, as a heading.
    explanation : str
        Why it is one, in a sentence or two.
    mending : str
        What the mended lines look like, or what to do.
    """

    title: str
    explanation: str
    mending: str


_FILES: Final = {
    "F101": ProblemCode(
        "The file is empty",
        "Nothing stands in it but blank lines and comments. Often the wrong file was named, or an"
        " editor had not saved yet.",
        "Write at least one key with its value, as `applicant: amara-n`.",
    ),
    "F102": ProblemCode(
        "The file is not written in UTF-8",
        "Other encodings turn the letters of names into other letters without anyone noticing, so"
        " only UTF-8 is read. A byte-order mark at the beginning does no harm.",
        "Save the file again in your editor with the encoding UTF-8.",
    ),
    "F103": ProblemCode(
        "A character that cannot be seen",
        "Control characters, foreign line ends and signs without width come with pasted text, and"
        " make two words differ that look the same.",
        "Delete the character and type the words beside it anew.",
    ),
    "F104": ProblemCode(
        "A tab before the text of a line",
        "How far a tab reaches depends on the editor; YAML tells what belongs together by spaces.",
        "Replace the tab by spaces: two for each level.",
    ),
    "F105": ProblemCode(
        "The file is not valid YAML",
        "The lines cannot be told apart into keys, values and lists. Usual causes: a colon inside"
        " a value, a quotation mark or bracket never closed, keys of one block that stand at"
        " different depths.",
        '`employer: "Ward 3: dietetics"`, with quotes around a value that holds a colon.',
    ),
    "F106": ProblemCode(
        "A key stands twice in one block",
        "Only one of the two could count, and nobody would know which.",
        "Keep one. For several entries write a list: a hyphen before each.",
    ),
    "F107": ProblemCode(
        "Anchors, aliases, merge keys and tags of YAML",
        "Signs such as `&`, `*`, `!` and `<<` at the beginning of a value make YAML copy or convert"
        " what stands there. Our files do without, so that what you read is all there is.",
        'Write the value out in full; if it is text, put it in quotes: `note: "*see below*"`.',
    ),
    "F108": ProblemCode(
        "Several documents in one file",
        "A line `---` begins another document, and text after `...` stands outside of any.",
        "Delete the line, or give each document a file of its own.",
    ),
    "F109": ProblemCode(
        "The file is too large",
        "Files of facts and rules are some kilobytes long. More than 5 MB, or more than 50 000"
        " values, is most likely another kind of file.",
        "Check the path; give each applicant and each edition a file of its own.",
    ),
    "F110": ProblemCode(
        "The file is nested too deep",
        "No file needs more than a few levels; more than 40 are a slip of brackets or hyphens.",
        "Look for brackets opened and not closed.",
    ),
    "F111": ProblemCode(
        "The file cannot be read",
        "There is no such file, it is a folder, or you may not read it. The system's own words"
        " stand in the message.",
        "Compare the path with the folder's contents.",
    ),
    "F112": ProblemCode(
        "A key must be a word or a few",
        "Before the colon of a line stands a name, never a list, a block or nothing.",
        "`country: NZ`",
    ),
    "F113": ProblemCode(
        "The file cannot be written",
        "The folder does not exist, is full, or you may not write there. Whatever stood in the"
        " file before still stands there.",
        "Make the folder, or name another.",
    ),
    "F201": ProblemCode(
        "A value, a list or a block of keys stands where another is asked for",
        "Some keys hold one value, some a list with a hyphen before each entry, and some a block of"
        " further keys, indented by two spaces.",
        "`stays:` and below it `  - id: stay-1`",
    ),
    "F202": ProblemCode(
        "There is no such key",
        "The key is spelled differently, or stands in the wrong block. A key that is not known"
        " would have no effect, and you would rely on it.",
        "Write the key that the hint names, or move it to where it belongs.",
    ),
    "F203": ProblemCode(
        "A key is missing",
        "The block cannot be understood without it.",
        "Add the key with its value; the hint says what it is for.",
    ),
    "F204": ProblemCode(
        "A key has no value",
        "After the colon stands nothing, and this key needs a value.",
        "Write the value; or delete the line if the key may be left out.",
    ),
    "F205": ProblemCode(
        "There is no such kind",
        "The word decides which further keys the block has.",
        "Write one of the kinds that the message lists.",
    ),
    "F206": ProblemCode(
        "The block does not say its kind",
        "Without it nobody knows which further keys the block has; and it can be of one kind only.",
        "Add a line `kind: practice`.",
    ),
    "F207": ProblemCode(
        "The file is of another sort",
        "A rulebook was named where an applicant file is asked for, or the other way round.",
        "Name the files in their places: `comity assess APPLICANT --rulebook RULEBOOK`.",
    ),
    "F301": ProblemCode(
        "A value is out of its range",
        "It is below the least or above the greatest that can be meant.",
        "Check the value on the paper, and its unit.",
    ),
    "F302": ProblemCode(
        "The end lies before the start",
        "Whatever the missing parts of the dates are, the end comes first.",
        "Compare both dates with the paper that shows them.",
    ),
    "F303": ProblemCode(
        "A list has too few or too many entries",
        "The rule speaks of at least, or at most, so many.",
        "Add the missing entries, or delete what is too much.",
    ),
    "F401": ProblemCode(
        "Not a text",
        "The text is empty, or goes over several lines where one is asked for.",
        "`employer: Northern General`",
    ),
    "F402": ProblemCode(
        "Not an identifier",
        "Ids are how entries are spoken of in questions and results, so they are short: small"
        " letters of a to z, digits, and single hyphens between them.",
        "`id: good-standing`",
    ),
    "F403": ProblemCode(
        "Not a whole number",
        "Digits only, without a unit, a point or grouping.",
        "`level: 6`",
    ),
    "F404": ProblemCode(
        "Not a number",
        "Digits with a point before the decimals, or a fraction of two whole numbers.",
        "`score: 7.5`",
    ),
    "F405": ProblemCode(
        "Not a share of a whole",
        "A percentage, a fraction or a decimal number between nought and one.",
        "`50 %`, `1/2` or `0.5`",
    ),
    "F406": ProblemCode(
        "Not a number of hours",
        "Hours with decimals after a point, or hours and minutes with a colon; never negative.",
        "`hours_a_week: 37.5` or `hours_a_week: 37:30`",
    ),
    "F407": ProblemCode(
        "Not an amount with its unit",
        "A number and one of the units minutes, hours, days, weeks, months, years, units, credits"
        " and points. Months are not converted to hours, so the unit matters.",
        "`24 months`",
    ),
    "F408": ProblemCode(
        "Not an amount of money",
        "A number with a point before the decimals, and the three letters of the currency, with no"
        " more decimals than the currency has.",
        "`savings_a_month: 120.00 EUR`",
    ),
    "F409": ProblemCode(
        "Not the code of a country",
        "Two capital letters of ISO 3166-1; for a country that is no more, the four letters of"
        " ISO 3166-3, since old diplomas keep their country.",
        "`country: NZ`, or `country: CSHH` for Czechoslovakia",
    ),
    "F410": ProblemCode(
        "Not the code of a currency",
        "Three capital letters of ISO 4217.",
        "`currency: EUR`",
    ),
    "F411": ProblemCode(
        "Not a language tag",
        "A language of BCP 47, if need be with its script or country.",
        "`language: en` or `language: pt-BR`",
    ),
    "F412": ProblemCode(
        "Not a day",
        "Year, month and day in this order with hyphens, a day that exists, between the years 1900"
        " and 2250. Other orders mean different days to different readers.",
        "`on: 2019-05-03`",
    ),
    "F413": ProblemCode(
        "Not a day, a month or a year",
        "What is known of a date may be a day, a month or a year; `~` marks one that is"
        " approximate, `?` one that is uncertain, `..` an end that lies ahead.",
        "`2019-05-03`, `2019-05`, `2019`, `2019-05~`",
    ),
    "F414": ProblemCode(
        "Not a length of time",
        "A whole number of days, weeks, months or years, in words or as in ISO 8601.",
        "`24 months` or `P24M`",
    ),
    "F415": ProblemCode(
        "Not one of the words to choose from",
        "The key takes a few words only; the message lists them.",
        "`evidence: seen`",
    ),
    "F416": ProblemCode(
        "Neither yes nor no",
        "What is not known is left out, so that it is asked for.",
        "`registered: yes`",
    ),
}

PROBLEM_CODES: Final = MappingProxyType({**_FILES})
