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
        "Files of facts and rules are some kilobytes long. More than 5 MB, or more than 20 000"
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
    "F311": ProblemCode(
        "An id stands twice in a list",
        "Entries are spoken of by their ids in questions and results, so each has its own.",
        "`id: post-2` for the second",
    ),
    "F312": ProblemCode(
        "There is no such paper",
        "A fact names the papers that show it by their ids under `papers`.",
        "Correct the id, or list the paper under `papers` with its kind.",
    ),
    "F321": ProblemCode(
        "A qualification before the age of fifteen",
        "Nobody completes a professional training as a child: one of the two years is a slip. This"
        " and the next three are warnings; the answer is worked out all the same.",
        "`completed: 2014-06-30` for who was born in 1992",
    ),
    "F322": ProblemCode(
        "More hours a week than one person works",
        "More than a hundred hours a week are most often the hours of a month.",
        "`hours_a_week: 37.5`",
    ),
    "F323": ProblemCode(
        "It expires before it was issued",
        "A certificate or paper is valid from its day on.",
        "`issued: 2026-05-01` with `expires: 2027-05-01`",
    ),
    "F324": ProblemCode(
        "A day ahead that should lie behind",
        "What is at hand was issued up to today; so were the facts gone through. A training may be"
        " completed later, but not ten years from now.",
        "`issued: 2025-03-01` where 2052 was written",
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
    "F417": ProblemCode(
        "No length of a step",
        "How long a step takes is a number of days, working days or weeks, or a range of them; the"
        " shorter time stands first, and what it mostly takes lies between the two. Months are not"
        " taken, because how many days a month has depends on where it begins.",
        "`duration: 10 working days`, `duration: 4 to 6 weeks`, or"
        " `duration: 20 to 90 working days, mostly 35`",
    ),
}

_RULEBOOKS: Final = {
    "R101": ProblemCode(
        "No rulebook stands in the folder",
        "A folder of rulebooks holds files that end in `.yaml`, one an edition, or folders"
        " with such files.",
        "Name the folder in which the rulebooks are.",
    ),
    "R102": ProblemCode(
        "The time zone is not known",
        "What day it is depends on where the authority sits, so its zone is one of the IANA list.",
        "`time_zone: Europe/Lisbon`",
    ),
    "R103": ProblemCode(
        "Two editions of one authority have one id",
        "Answers name the edition they rest on, so each has an id of its own.",
        '`rulebook: "2027"` in the later one',
    ),
    "R104": ProblemCode(
        "Two editions apply on the same days",
        "Which of them counts on those days nobody can say. Often the older one lacks its"
        " last day.",
        "`until: 2026-12-31` under `applies` of the older edition",
    ),
    "R105": ProblemCode(
        "No edition applies on some days",
        "Between the last day of one edition and the first of the next, days are left over.",
        "Let the later one begin on the day after, or read the edition in between.",
    ),
    "R106": ProblemCode(
        "An id changed its kind between editions",
        "An id keeps its meaning from edition to edition, so that changes can be told."
        " Another kind of requirement most likely asks for something else.",
        "Give the new requirement an id of its own.",
    ),
    "R107": ProblemCode(
        "The edition is stale",
        "It was last read against its sources longer ago than `read_again_after` allows, so"
        " the rules may have changed since.",
        "Read it again, correct what changed, and set `read` to that day.",
    ),
    "R108": ProblemCode(
        "The edition ends before it begins",
        "Its `until` lies before its `from`, so it would never apply.",
        "`from: 2026-01-01` and `until: 2026-12-31`",
    ),
    "R109": ProblemCode(
        "One edition is compared with one other",
        "A folder of several editions was named where the file of one is asked for.",
        "`comity rulebook diff council/2026.yaml council/2027.yaml`",
    ),
    "R110": ProblemCode(
        "The two editions are of different authorities",
        "What changed can be said of the editions of one authority only.",
        "Name two files of one authority.",
    ),
    "R111": ProblemCode(
        "An id stands twice",
        "Requirements are unique within their title, those inside others included; titles,"
        " cases, milestones, pathways, steps, fees and examinations within their lists.",
        "Give each an id of its own; to ask the same again, use `kind: same as`.",
    ),
    "R112": ProblemCode(
        "A requirement without an id",
        "What stands under a title, a pathway or the renewal is spoken of in answers and kept"
        " from edition to edition, so it has an id. Parts inside need none.",
        "`id: recent-practice`",
    ),
    "R113": ProblemCode(
        "A requirement without a source",
        "Everything asked of an applicant says where it is written. Parts take over the"
        " source of what they stand in, and a pathway's requirements that of the pathway.",
        "`source: {document: registration-rules, section: 4(2)}`",
    ),
    "R114": ProblemCode(
        "There is no such milestone",
        "`at`, `applies_by`, `by`, `reaches`, `since` and a grant's `after` name a milestone"
        " which the title declares. Without `milestones`, there is one: `submission`.",
        "`milestones: [{id: submission, label: Submission}, {id: decision, label: Decision}]`",
    ),
    "R115": ProblemCode(
        "There is no such document",
        "The source looks like the id of a document, but the list under `sources` has none"
        " with it.",
        "Correct the id, add the document to `sources`, or write the document's name in words.",
    ),
    "R116": ProblemCode(
        "`same as` points nowhere",
        "No requirement of the title has this id. One of another title is written `title/id`.",
        "`requirement: dietitian/recent-practice`",
    ),
    "R117": ProblemCode(
        "`satisfies` points nowhere",
        "A deeming names requirements of its title by id.",
        "`satisfies: [recent-practice]`",
    ),
    "R118": ProblemCode(
        "A worked case asks for what is not there",
        "The case names a title or a requirement that this edition does not have.",
        "Correct the id in the case.",
    ),
    "R119": ProblemCode(
        "Requirements in a ring",
        "Following `same as` and `deems` from one requirement leads back to it, so that none"
        " of them says anything. The message names the whole ring.",
        "Write out in one of them what it asks.",
    ),
    "R120": ProblemCode(
        "A paper is for a requirement that is not there",
        "`for_requirement` names a requirement of the title.",
        "Correct the id, or leave `for_requirement` out.",
    ),
    "R121": ProblemCode(
        "There is no such examination",
        "The title lists its examinations, and this one is not among them.",
        "Correct the id, or add it under `examinations`.",
    ),
    "R122": ProblemCode(
        "There is no such step",
        "`after` names other steps of the same title.",
        "Correct the id of the step.",
    ),
    "R123": ProblemCode(
        "A pathway that is never reached",
        "The first pathway that fits applies. One without `when` fits everybody, so those"
        " after it never apply.",
        "Give it a `when`, or put it last.",
    ),
    "R131": ProblemCode(
        "Bands overlap",
        "A length of gap lies in two bands. `from` and `up_to` include their end, `more_than`"
        " and `below` do not; the bands come from the shortest gap to the longest.",
        "`below: 24 months` in the first band, `from: 24 months` in the next",
    ),
    "R132": ProblemCode(
        "A hole between bands",
        "A length of gap lies in no band, so somebody with such a gap could not meet the"
        " requirement. Where nothing is owed, a band says so with an empty list.",
        "`below: 24 months` and `requires: []` in the first band",
    ),
    "R133": ProblemCode(
        "The last band has an upper end",
        "Nobody with a longer gap can meet the requirement. That may be meant; then the"
        " warning does no harm.",
        "Leave out `below` or `up_to` in the last band.",
    ),
    "R134": ProblemCode(
        "A band ends before it begins",
        "Its upper end is shorter than its lower end, so no gap lies in it.",
        "`from: 24 months` and `below: 60 months`",
    ),
    "R135": ProblemCode(
        "A result is not on the test's scale",
        "Grades are compared by their place in `scale`; without a scale results are numbers.",
        "`scale: [D, C, C+, B, A]`",
    ),
    "R136": ProblemCode(
        "The floor names a part that the test does not ask",
        "A floor for combined sittings concerns the parts of which the test asks a result.",
        "Add the part under `parts`, or take it out of `floor`.",
    ),
    "R137": ProblemCode(
        "Not a day of every year",
        "Month and day with two digits each, and a day that every year has.",
        "`ends_on: 03-31`",
    ),
    "R138": ProblemCode(
        "Days that do not fit together",
        "Days of every year need their first and their last; a last day does not lie before"
        " the first.",
        "`every_year_from: 03-01` and `every_year_until: 03-31`",
    ),
    "R139": ProblemCode(
        "Neither a beginning nor an end",
        "Without an end the requirement would hold always, and say nothing.",
        "`at_least: 18 years`",
    ),
    "R140": ProblemCode(
        "A worked case expects nothing",
        "A case without a verdict proves nothing.",
        "`expect: met`",
    ),
    "R141": ProblemCode(
        "The profession is not said by its four digits",
        "A title names its profession by a unit group of ISCO-08, so that titles of several"
        " authorities can be laid side by side.",
        "`profession: 2265`",
    ),
    "R142": ProblemCode(
        "No applicant can meet it",
        "Two values exclude each other: more months than the time looked back at has, an age at"
        " least as high as the one it must be below, a time both longer and shorter than another."
        " It is a warning; the rulebook can be used.",
        "`amount: 24 months` with `look_back: 60 months`",
    ),
    "R150": ProblemCode(
        "A worked case gives another answer",
        "The rulebook, as it is written, gives another verdict than the case expects. One of"
        " the two misreads the authority's text.",
        "Compare both with the text, and correct the one that is wrong.",
    ),
    "R201": ProblemCode(
        "More parts must hold than there are",
        "`k` is at least 1 and at most the number of parts.",
        "`k: 2`",
    ),
    "R202": ProblemCode(
        "Two ends on one side of a band",
        "A band has one lower and one upper end at most: `from` or `more_than`, `below` or"
        " `up_to`.",
        "`from: 24 months`",
    ),
    "R203": ProblemCode(
        "Practice is measured in time",
        "Units and credits measure study; practice is measured in months, years, weeks, days"
        " or hours.",
        "`amount: 24 months`",
    ),
    "R204": ProblemCode(
        "Full time is not said",
        "Months, weeks and days of practice are full-time equivalents. Without the"
        " authority's full-time hours nobody can tell what part-time work counts.",
        "`full_time: 37.5`",
    ),
    "R205": ProblemCode(
        "Updating is measured in hours or days",
        "Other units are not measured.",
        "`amount: 30 days` with `hours_a_day: 7`",
    ),
    "R206": ProblemCode(
        "How long a day of updating is, is not said",
        "An amount in days needs the hours that make one.",
        "`hours_a_day: 7`",
    ),
    "R207": ProblemCode(
        "A cycle or a look-back",
        "Units of continuing education are counted in a cycle or in a trailing time, and in"
        " one of them only.",
        "`look_back: 36 months`",
    ),
    "R208": ProblemCode(
        "A share without its base",
        "A share of the required total needs that total.",
        "`total_hours: 4600`",
    ),
    "R209": ProblemCode(
        "Remedial work without its failures, or the other way round",
        "`remedial` says what is owed and `remedial_after` from which failure on.",
        "`remedial_after: 2`",
    ),
    "R210": ProblemCode(
        "A share of stated hours without the hours, or the other way round",
        "`of: stated hours` takes its base from `hours` beside it; the other bases are the"
        " programme's own or the required total, and take none.",
        "`of: stated hours` with `hours: 4600`",
    ),
    "R211": ProblemCode(
        "A time after another qualification that is not named",
        "`following_within` counts from the qualification whose titles stand in `following`.",
        "`following: [degree]` with `following_within: 2 years`",
    ),
    "R212": ProblemCode(
        "A time looked back at, without what is added up in it",
        "`look_back` of a registration counts the days held inside that time, and `in_all` says how"
        " many there must be. That a registration ended not longer ago than a time is `within`.",
        "`in_all: 24 months` with `look_back: 5 years`",
    ),
    "R213": ProblemCode(
        "Several running cycles",
        "A day lies in one running cycle. `how_many` looks at cycles that have ended.",
        "`which: last ended` with `how_many: 2`",
    ),
}

_ELIGIBILITY: Final = {
    "E101": ProblemCode(
        "Two files have the same applicant",
        "Answers are listed by the applicant's id, so that two files of one id could not be told"
        " apart.",
        "`applicant: amara-2` in one of them, or name the file once",
    ),
    "E102": ProblemCode(
        "No rulebook has this title",
        "What stands after `--title` is the id of a title in one of the rulebooks named, alone or"
        " behind the authority's.",
        "`--title dietitian`, or `--title xa-council/dietitian`",
    ),
}

_PLANS: Final = {
    "P101": ProblemCode(
        "Nobody knows this party",
        "Working days are counted by the weekend and the holidays of whoever acts, so a step and"
        " the marking of an examination name an entry under `parties`. The applicant need not be"
        " listed and acts on any day.",
        "`parties: [{id: council, label: the Council, who: authority}]`, then `party: council`",
    ),
    "P102": ProblemCode(
        "Steps wait for each other",
        "Each of the steps named begins when the next one is done, so that none ever begins.",
        "Remove one name from an `after`.",
    ),
    "P103": ProblemCode(
        "A step and a milestone have one id",
        "Limits run from steps and from milestones, and have to know which is meant.",
        "`id: apply` for the step that reaches the milestone `submission`",
    ),
    "P104": ProblemCode(
        "A limit or a paper points nowhere",
        "A limit runs from a step or milestone of the same title, and a paper is used at a"
        " milestone of it.",
        "`within: [{after: decision, period: 3 months}]`",
    ),
    "P105": ProblemCode(
        "A limit that nobody can keep",
        "The steps that have to come in between take longer, even when each is as short as it can"
        " be, than the limit allows.",
        "Compare limit, durations and waits with the authority's text.",
    ),
    "P106": ProblemCode(
        "A fee that falls due with no step",
        "A plan tells the day on which each fee is paid and cannot do so for this one. It is only"
        " told where the title says how long its steps take.",
        "`step: apply`, or `at: submission`",
    ),
    "P107": ProblemCode(
        "A fee is paid with a step that is not there",
        "`step` is the id of a step of the same title.",
        "`step: apply`",
    ),
    "P108": ProblemCode(
        "A step sits an examination that is not listed",
        "Its sittings and the time to its result are looked up under `examinations`.",
        "`sits: national`, with `examinations: [{id: national, name: National Examination}]`",
    ),
    "P109": ProblemCode(
        "A step proves a requirement that is not there",
        "A step is left out of the plans of those who meet all it proves, so each has to be the id"
        " of a requirement of the title.",
        "`proves: [good-standing]`",
    ),
    "P110": ProblemCode(
        "Sittings close in another order than they are held",
        "Whoever enters first would sit later. Usually a year was mistyped.",
        "`sittings: [{on: 2027-03-06, closes: 2026-12-11}, {on: 2027-07-03, closes: 2027-05-07}]`",
    ),
    "P111": ProblemCode(
        "A week without a working day",
        "A party that never works never ends what it has begun.",
        "`weekend: [Friday, Saturday]`, or `weekend: []` for who acts on any day",
    ),
    "P112": ProblemCode(
        "Entry closes after the sitting",
        "The last day to enter lies on or before the day of the sitting.",
        "`{on: 2027-03-06, closes: 2026-12-11}`",
    ),
    "P113": ProblemCode(
        "No sitting is left",
        "A step sits the examination, and all days listed for it are past. A plan needs one to"
        " come; where it is sat on any day, say so.",
        "`sittings: [{on: 2027-03-06}]`, or `by_appointment: yes`",
    ),
    "P114": ProblemCode(
        "A worked case is planned for another day",
        "The steps, waits, sittings and working days, as the rulebook has them, lead to another day"
        " than the case expects if every step takes its likely time.",
        "Count again from the day of the case, and correct the case or the step.",
    ),
    "P201": ProblemCode(
        "No exchange rates can be read from the file",
        "Rates come from a file of yours in one of the layouts in which the European Central Bank"
        " publishes its reference rates: a table (CSV) with a day in the first column and a"
        " currency in each other one, or XML with a cube for each day.",
        "`Date,USD,GBP` on the first line, `2026-11-25,1.0842,0.8316` on the next",
    ),
    "P202": ProblemCode(
        "A rate without a day",
        "A rate counts from its day on, so that nobody can use one without.",
        "`2026-11-25,1.0842`, or `25 November 2026, 1.0842`",
    ),
    "P203": ProblemCode(
        "An exchange rate that is no number",
        "One euro is worth so many units of the currency: a number above zero with a point.",
        "`1.0842`, or `N/A` on a day for which none was fixed",
    ),
    "P204": ProblemCode(
        "An exchange rate is missing",
        "A fee is asked in another currency than the one to count in, and no rate on or before the"
        " day of the plan is known for it.",
        "`--rates eurofxref-hist.csv` with a file that has the currency, or another `--currency`",
    ),
    "P205": ProblemCode(
        "No public holidays are known for a country",
        "A party keeps the public holidays of a country of which none are known here. Invented"
        " countries have none.",
        "`holidays: [2027-01-01, 2027-05-16]` in place of `holidays_of`",
    ),
    "P206": ProblemCode(
        "No sitting is published on this day",
        "A sitting that is wanted or passed over is one of those the rulebook lists for an"
        " examination of the title, or a working day where it is sat by appointment.",
        "`--sitting 2027-03-06`, with a day the message names; `--sittings-from 2027-03-01` for the"
        " first one from a day on",
    ),
    "P301": ProblemCode(
        "Paid back before it was paid",
        "The last day on which a payment can be had back, and the day on which it was, lie on or"
        " after the payment.",
        "`on: 2026-11-02` and `refundable_until: 2026-12-02`",
    ),
    "P302": ProblemCode(
        "The same is paid for twice",
        "Two payments have the same purpose and the same amount, and neither has been paid back."
        " It is a warning; both are kept.",
        "`attempt: 2` for a second attempt, or `refunded: 2026-11-20` once it has been paid back",
    ),
}

_ITEM_MODELS: Final = {
    "X101": ProblemCode(
        "A formula cannot be read",
        "Formulas hold numbers, names, the signs + - * / ^, brackets, comparisons, `and`, `or`,"
        " `not`, a few functions and equations by their id. Words stand in single quotes.",
        "`formula: weight / (height / 100) ^ 2`",
    ),
    "X102": ProblemCode(
        "A formula uses a name that is not there",
        "A formula knows the parameters of its model and the values said before it.",
        "Say the value above the one that uses it, or put a word in quotes: `sex = 'male'`.",
    ),
    "X103": ProblemCode(
        "A formula calls an equation that is not there",
        "What is called with brackets is a function of the language or the id of an equation. [The"
        " reference of item models](item-models.md) lists both.",
        "`mifflin_simple(sex = sex, weight_kg = weight, height_cm = height, age_y = age)`",
    ),
    "X104": ProblemCode(
        "A call has the wrong arguments",
        "Functions take arguments in order, equations take each of theirs by name.",
        "`bmi(weight_kg = weight, height_cm = height)`",
    ),
    "X105": ProblemCode(
        "A parameter has no sound range",
        "A parameter is drawn from a stepped range, the last value of which the steps reach, or"
        " from two words or more.",
        "`{from: 50, to: 95, step: 0.5, unit: kg}` or `{choices: [female, male]}`",
    ),
    "X106": ProblemCode(
        "A name that formulas cannot use",
        "Names are small letters, digits and underscores; each stands once, and none is a word of"
        " the language or `key`.",
        "`body_weight: {from: 50, to: 95, unit: kg}`",
    ),
    "X107": ProblemCode(
        "A sentence puts in a value that is not there",
        "`{weight}` puts in a parameter or a value with its unit, `{weight.number}` without. Only"
        " the solution, and not the question, may show `{key}`.",
        "`stem: A person of {height} weighs {weight}.`",
    ),
    "X108": ProblemCode(
        "An answer rests on nothing that is stated",
        "The question has to say what to go by. Equations that are called state themselves; where"
        " none is, the model says the rule.",
        '`use: ["Fat gives 9 kcal/g."]`',
    ),
    "X109": ProblemCode(
        "No draw of a model gives an item",
        "A hundred draws were tried and each refused: by a limit or guard, by an equation asked"
        " outside its range, or because answers coincide.",
        "Narrow the ranges, or mend the formula that the reason names.",
    ),
    "X110": ProblemCode(
        "Most draws of a model are refused",
        "Items still come, but of a narrower kind than the ranges promise.",
        "Work one value out of another, as the weight out of a body-mass index that is drawn.",
    ),
    "X111": ProblemCode(
        "Two models have the same name",
        "Items are told apart by the name of their model.",
        "`model: energy-at-rest-women`",
    ),
}

_ITEMS: Final = {
    "X201": ProblemCode(
        "An item has no key",
        "An item says what is right by one of four keys, which also tell what kind of item it is.",
        "`answer: b` for one option, `answers: [a, c]` for several, `number: 1450` for a number,"
        " `matches: {a: x, b: y}` for lines to match; more in [write"
        " items](../how-to/write-items.md)",
    ),
    "X202": ProblemCode(
        "The key is no option",
        "What is right is named by the id of an option, never by its text or its position.",
        "`answer: b` where `options` has a `b`",
    ),
    "X203": ProblemCode(
        "Two options read the same",
        "Small and capital letters, spaces and a stop at the end make no difference to readers. If"
        " one of the two is the key, nobody can tell which.",
        "`options: {a: Ferritin, b: Transferrin}`",
    ),
    "X204": ProblemCode(
        "An id is given twice in a bank",
        "Answers are kept by the id of an item for as long as anybody has sat it.",
        "`id: iron-ferritin-2` for the second",
    ),
    "X205": ProblemCode(
        "The case of an item is not in the file",
        "Items that ask about the same person or place name a case, whose vignette stands once.",
        "`cases: [{id: ward, vignette: ...}]` and `case: ward`",
    ),
    "X206": ProblemCode(
        "An error that no wrong option stands for",
        "Below `errors` stands, by id, what somebody got wrong who chooses a wrong option.",
        "`errors: {a: forgets to divide by the height twice}` where the key is another than a",
    ),
    "X207": ProblemCode(
        "Shares that are no whole",
        "The shares of the domains, and those of the levels, sum to 100 %; those of the parts of a"
        " domain sum to its share. Nothing is stretched in silence.",
        "`levels: {recall: 20 %, apply: 55 %, judge: 25 %}`",
    ),
    "X208": ProblemCode(
        "A domain is given twice in a blueprint",
        "Items name their domain by its id, or that of its part.",
        "one entry with both shares added up, or another `id` for one of them",
    ),
    "X209": ProblemCode(
        "Readings that cannot have been so",
        "The last reading says how far an item has come, so they stand in the order of their days;"
        " and it takes a second person to see what an item really says.",
        "`reviews: [{on: 2026-03-02, by: second-reader, state: read again}]`",
    ),
    "X210": ProblemCode(
        "A line without a match, or a match without a line",
        "Each line to be matched has one right option.",
        "`lines: {a: Iron, b: Zinc}` with `matches: {a: x, b: y}`",
    ),
    "X211": ProblemCode(
        "A wrong number that counts as right",
        "A number which stands for an error must lie outside the tolerance around the right one.",
        "`number: 1450`, `within: 10` and `errors: {1600: takes the weight in pounds}`",
    ),
    "X212": ProblemCode(
        "A domain that the blueprint does not know",
        "Forms are made up by the domains of a blueprint; an item outside them is never drawn.",
        "`domain: assessment`, or a domain more in the blueprint",
    ),
}

_ITEM_WRITING: Final = {
    "X301": ProblemCode(
        "Two items stand in each other's way",
        "Items of nearly the same words measure the same twice, and a stem can tell the "
        "key of another item.",
        "drop one of the two, or name it below `not_with`, so that no form has both",
    ),
    "X302": ProblemCode(
        "A long sentence in the stem",
        "More than 35 words in a sentence test reading.",
        "two sentences",
    ),
    "X303": ProblemCode(
        "An option made of other options",
        "Options such as `A and C` or `2 only` are answered by exclusion.",
        "`answers: [a, c]` for an item with several right options",
    ),
    "X304": ProblemCode(
        "Options stand in the stem",
        "Options are read one below the other; in the stem they are read twice.",
        "each option below `options`, and one question in the stem",
    ),
    "X305": ProblemCode(
        "Words or signs out of place",
        "A doubled word, a bracket never closed, a stop after some of the options but not all.",
        "the same stop, or none, after every option",
    ),
    "X306": ProblemCode(
        "A long stem",
        "More than 80 words that are not told as a case.",
        "`case: ward`, with what is told in the vignette",
    ),
    "X307": ProblemCode(
        "A stem that does not say what to do",
        "It has no question mark, no gap and no word such as Calculate, and no option "
        "completes it.",
        "`stem: Which mineral is low?`",
    ),
    "X308": ProblemCode(
        "The question is not in the stem",
        "A good candidate can answer before reading the options. Stems such as `Which is "
        "true?`, very short ones, and ones with three times as much to read in the "
        "options cannot be answered so.",
        "`stem: Which vitamin do people on warfarin keep steady?`",
    ),
    "X309": ProblemCode(
        "A negative stem",
        "A small `not` is overlooked by people who know the answer.",
        "ask for what is so; where that cannot be, `NOT` in capitals and no negative option",
    ),
    "X310": ProblemCode(
        "Too few or too many options",
        "Fewer than three leave too much to luck; more than five are seldom all plausible.",
        "three or four options that somebody would choose",
    ),
    "X311": ProblemCode(
        "Keys too often at one place",
        "Ten keys or more of a form that gather at one place, or follow a pattern, reward"
        " guessing by place.",
        "shuffle the options; the id stays with its text",
    ),
    "X312": ProblemCode(
        "Numbers out of their order",
        "Numbers that rise are found faster.",
        "`options: {a: 4 kcal, b: 7 kcal, c: 9 kcal}`",
    ),
    "X313": ProblemCode(
        "Two options overlap",
        "Ranges that share values, and an option whose words stand in another, cannot "
        "both be judged alone.",
        "`10 to 19` and `20 to 30`",
    ),
    "X314": ProblemCode(
        "Options of different sorts",
        "Numbers beside words, different units, one option with another first letter: the"
        " odd one is chosen or dropped for its looks.",
        "options of one sort, in one unit",
    ),
    "X315": ProblemCode(
        "The key is much longer",
        "Writers explain the key and not the others; candidates know that.",
        "cut the key, or say as much in the others",
    ),
    "X316": ProblemCode(
        "The key is the longest option too often",
        "Over ten items or more, the longest option is the key more often than by chance "
        "and two standard errors.",
        "longer distractors or shorter keys in some items",
    ),
    "X317": ProblemCode(
        "None of the above",
        "Choosing it shows that somebody knows what is wrong, not what is right.",
        "another distractor",
    ),
    "X318": ProblemCode(
        "All of the above",
        "Whoever knows two of the options to be right knows the key.",
        "`answers: [a, b, c]`, or another distractor",
    ),
    "X319": ProblemCode(
        "A negative option",
        "Together with the stem it is read twice.",
        "`Eat small meals` in place of `Do not eat large meals`",
    ),
    "X320": ProblemCode(
        "Absolute words in wrong options",
        "Always and never are hardly ever right, and candidates know it.",
        "`Less often than others`",
    ),
    "X321": ProblemCode(
        "Only the key takes up a word of the stem",
        "A sound that rings on from the stem gives the key away.",
        "another word in one of the two, or the word in more options",
    ),
    "X322": ProblemCode(
        "An option does not fit the end of the stem",
        "After `a`, `an` or `are` grammar alone rules some options out.",
        "`stem: Which enzyme splits starch?`",
    ),
    "X323": ProblemCode(
        "Only the key catches the eye",
        "Brackets, a year, figures or more decimals that only the key has.",
        "the same in the others, or in none",
    ),
    "X324": ProblemCode(
        "A pair with the key in it",
        "Two opposites, or two near the same, tell that one of them is right.",
        "a second pair, or no pair",
    ),
    "X325": ProblemCode(
        "What is current has no day to be read again",
        "`The current guideline` is another one before long.",
        "`the WHO guideline of 2023`, or `review_by: 2027-12-31`",
    ),
}

_ITEM_EXCHANGE: Final = {
    "X401": ProblemCode(
        "The package cannot be unpacked",
        "A package of items is a zip archive. This file is none, is broken, or is packed in a way"
        " that is not read.",
        "export it again, as a zip archive without a password",
    ),
    "X402": ProblemCode(
        "No QTI of an edition that is read",
        "The namespace of the first element says which edition of QTI a file follows; 3.0, 2.2 and"
        " 2.1 are read.",
        '`<qti-assessment-item xmlns="http://www.imsglobal.org/xsd/imsqtiasi_v3p0" ...>`',
    ),
    "X403": ProblemCode(
        "The file is not well-formed XML",
        "An element was never closed, a sign such as `&` stands by itself, or the file was cut"
        " off.",
        "`&amp;` in place of `&`, and each element closed",
    ),
    "X404": ProblemCode(
        "The XML declares a document type or includes files",
        "Both let a file draw in others, from this machine too, or grow without limit when it is"
        " read. No item needs them.",
        "the item without `<!DOCTYPE ...>`, and what was included written in its place",
    ),
    "X405": ProblemCode(
        "The XML is too large",
        "An item is some kilobytes. More than 5 MB, 50 000 elements or 60 of them within each other"
        " are another kind of file, or meant to do harm.",
        "an item a file",
    ),
    "X406": ProblemCode(
        "The item is outside what is read",
        "Read are items with one question and options to choose from, in plain text. Pictures,"
        " tables, formulas, several questions in one, and parts of points are not; such an item"
        " stays outside whole, since half of it would be another item. Its file is kept.",
        "the item written anew in the bank",
    ),
    "X407": ProblemCode(
        "An item from elsewhere has no key",
        "The file does not say which option is right, or names one that is not there.",
        "`<qti-correct-response><qti-value>b</qti-value></qti-correct-response>`",
    ),
    "X408": ProblemCode(
        "Points given in a way of its own",
        "Some items bring rules by which points are given. Only those for which the right answer"
        " has the point can be taken over; a guess at others could score people wrongly. Its file"
        " is kept.",
        "the item written anew in the bank",
    ),
    "X409": ProblemCode(
        "Something that runs or styles was dropped",
        "Scripts, styles, and what runs on a click have no place in a question. The words around"
        " them were taken over.",
        "the item read again, nothing missing",
    ),
    "X410": ProblemCode(
        "The package is larger than one of items can be",
        "Small archives can unpack to more than a machine holds. More than 10 000 files, 200 MB"
        " unpacked, or a hundred times of what is packed are refused; it is counted while"
        " unpacking, since an archive can lie about it.",
        "fewer items at once, without films and pictures",
    ),
    "X411": ProblemCode(
        "A file of the package has a name or kind that is not safe",
        "Names that lead out of the package, links, archives within the archive, passwords, and two"
        " files of one name are refused before anything is unpacked.",
        "a package made anew from ordinary files",
    ),
    "X412": ProblemCode(
        "The manifest is missing, or names what is not there",
        "`imsmanifest.xml` at the top of a package says which of its files are items. Nothing is"
        " fetched from elsewhere.",
        '`<resource type="imsqti_item_xmlv3p0" href="items/iron.xml">`, and the file beside it',
    ),
    "X413": ProblemCode(
        "An item that other programs will not see",
        "Numbers to write and matchings are kept in a package in a file of ours. Comity reads them"
        " back; others pass over them.",
        "the same asked with options to choose from",
    ),
    "X414": ProblemCode(
        "Items without domain and level",
        "QTI does not say to which domain of a blueprint an item belongs, nor what it asks of the"
        " mind.",
        "the domain said when importing, or `domain: assessment` in the bank",
    ),
}

_ANSWERS: Final = {
    "X501": ProblemCode(
        "The file is no table of answers",
        "Answers come as CSV or Parquet, a row an answer or a row a person; see [read the figures"
        " of items](../how-to/read-item-figures.md).",
        "`person,item,answer,on` on the first line, or `person` and the ids of the items",
    ),
    "X502": ProblemCode(
        "A row that is no answer",
        "An answer has a person and an item; `right` is 1 or 0, and `on` a day up to today.",
        "`p07,iron-stores,a,2026-11-20` below `person,item,answer,on`",
    ),
    "X503": ProblemCode(
        "The same answer is given twice",
        "Of two answers to the same item nobody would know which came first. A second attempt on"
        " another day is no fault.",
        "Keep the first answer, or say the day of each in a column `on`.",
    ),
    "X504": ProblemCode(
        "An answer to an item that the bank does not have",
        "Without its key nothing tells whether the answer is right.",
        "`--bank items.yaml` with the bank from which the form was made",
    ),
    "X505": ProblemCode(
        "This is no answer to the item",
        "An answer is the id of an option, several ids parted by blanks, a number, or lines and"
        " options as `a=x b=y`; where no bank is read, 1 or 0 in a column `right`.",
        "`b`, `a c`, `1450` or `a=x b=y`",
    ),
    "X506": ProblemCode(
        "Nobody of this name has answered",
        "People are told apart by what stands in the column person.",
        "`--person p07` as in the table",
    ),
    "X507": ProblemCode(
        "This cannot be worked out",
        "What is given does not allow what is asked; the message says why.",
        "A day that is still to come, or more answers.",
    ),
    "X508": ProblemCode(
        "No item model of this name comes with Comity",
        "Models that come with Comity go by their names, others by their files.",
        "`comity exam draw bmi`, or `comity exam draw ./my-model.yaml`",
    ),
    "X509": ProblemCode(
        "A file of another sort",
        "Files of examinations say on their first line what they are.",
        "`bank: ward-round`, `blueprint: dietetics-outline` or `model: bmi`",
    ),
    "X510": ProblemCode(
        "This is no table of ratings",
        "A row a judge, a column an item; in each cell the share of people only just good enough"
        " who would know it.",
        "`judge,iron-stores,zinc` on the first line, `first,0.7,55 %` on the next",
    ),
    "X511": ProblemCode(
        "This is no table of results",
        "A row an examination that somebody sat: who, on which day, and whether they passed.",
        "`person,day,passed` on the first line, `p07,2026-10-14,yes` on the next",
    ),
}

PROBLEM_CODES: Final = MappingProxyType(
    {
        **_FILES,
        **_RULEBOOKS,
        **_ELIGIBILITY,
        **_PLANS,
        **_ITEM_MODELS,
        **_ITEMS,
        **_ITEM_WRITING,
        **_ITEM_EXCHANGE,
        **_ANSWERS,
    }
)
