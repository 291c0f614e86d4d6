"""How each kind of requirement is read day by day, for the reference of the rulebook file."""

from __future__ import annotations

from typing import Final

OPENING: Final = """\
A requirement stands for the set of days on which it holds; *the day* below is the day of the check
point, by default that of submission. Facts that are not known, or known in part, make two sets: the
days on which it holds for certain, and those on which it may. "Within 24 months after" ends on the
same day of the month 24 months later, or on that month's last day; the day of the event is not
counted, the last day is. "24 months beginning with" counts the first day, and ends on the day
before the one that bears its number. See [months, two ways](../explanation/months-two-ways.md)."""

DAY_BY_DAY: Final = {
    "all": "Holds on the days on which every part holds. A part that does not apply drops out; if"
    " none applies, neither does the whole.",
    "any": "Holds on the days on which one part holds. With an unknown part and none that holds the"
    " answer is unknown, never no.",
    "at least": "Holds on the days on which at least `k` of the parts hold; parts that do not apply"
    " do not count.",
    "points": "Holds on the days on which the points of the parts that hold reach `needed`; parts"
    " that do not apply give none. Of degrees of which only the highest counts, give each what it"
    " adds to the one below.",
    "not": "Holds on the days on which its part does not. What is unknown or for the authority to"
    " decide stays so.",
    "for each": "Holds on the day if its part holds for every country or authority that matters on"
    " it. One matters if a stay, spell or registration there reaches into the look-back, the day"
    " itself counted; with `least_stay` only if one unbroken stay is at least that long inside it,"
    " with `least_in_all` only if the days of all stays inside it come to that, twelve months being"
    " 365 days."
    " Time before the birthday of `from_age` does not count, and what is `excluded` never matters.",
    "bands": "The time out is that since the last day of practice (or another contact under"
    " `counts`). The day falls into the band in which that time lies, ends included or not as they"
    " are written; it holds if all that the band requires holds. Who never practised is in the last"
    " band. Of registrations, only those passing `registrations` end a gap.",
    "same as": "Holds on the days on which the other requirement holds, what deems it satisfied"
    " included.",
    "conflict": "Holds where all readings hold, fails where all fail, and is for the authority to"
    " decide where they differ.",
    "refer": "Never holds by itself and never fails: the answer is to prepare a case for the"
    " authority.",
    "by hand": "Unknown until a person has entered a verdict with a reason under `reviews` of the"
    " applicant file.",
    "practice": "A total adds up, over the days of the look-back up to and including the day, what"
    " the posts passing `scope` contribute: their hours a week, together at most full time times"
    " `overlap_cap`. It holds while the sum reaches the amount. A `consecutive` run holds while one"
    " run of practice without an idle day lasts at least that long inside the look-back; pauses up"
    " to `greatest_pause` do not break it. With `after`, posts count from that event on.",
    "interruption": "Holds from the first day of `since` for as long as no gap has grown longer"
    " than `greatest`. A gap longer than that hurts for good, or with `look_back` until its last"
    " day has left that time.",
    "recency": "Holds on the day if practice (or another event under `counts`) took place on it or"
    " not longer ago than `within`. Of practice only what passes `scope` counts, of registrations"
    " only those passing `registrations`.",
    "updating": "Adds up the hours of updating that ended by the day and began within the time"
    " before it, each kind at most its share of the required amount. Holds while the sum reaches"
    " the amount.",
    "qualification": "Holds from the day on which one qualification that meets every key is"
    " completed, and as long as `within` allows. A share is taken of the required total, of the"
    " programme's own total or of `hours`; a category that a given curriculum does not name has"
    " none.",
    "registration": "`current` holds while a registration passing every key runs, its first and"
    " last day included; `ever` from its first day on, with `within` until so long after its last."
    " Registrations that touch or overlap make one run. `for_at_least` asks for one run that long"
    " by the day; with `ever` it need not go on, and may lie almost wholly before the time under"
    ' `within`, which looks at its last day alone. For "24 months within the last 5 years" write'
    " `in_all` with `look_back`: the days held inside that time are added up, breaks left out,"
    " twelve months being 365 days.",
    "nationality": "Holds on every day if one of the nationalities is among those listed.",
    "residence": "Holds on every day if the country of residence is among those listed.",
    "age": "Holds from the birthday on which `at_least` is reached, and until the day before the"
    " one on which `below` is.",
    "declaration": "Holds on every day if the answer given is the one asked for; without an answer"
    " it is unknown.",
    "dates": "Holds from the first to the last day, both included; every year anew with the keys"
    " for every year, which may reach over new year.",
    "elapsed": "Holds from `at_least` after the milestone until `within` after it, the last day"
    " included. While the milestone has not happened it fails, unless `happened: no`.",
    "language": "Holds from the day of a sitting that reaches every result asked for, until"
    " `greatest_age` after it. Of two combined sittings the days run from the later one, and the"
    " age is that of the older one.",
    "examination": "Holds from the day of a pass until `validity` after it. A pass counts only"
    " within the attempts allowed, which are counted for each stage by itself; with stages, every"
    " stage has to be passed, with `stages_in_order` each on or after the first pass of the one"
    " before, and with `stages_within` by passes that are all at most that old. With `after`, only"
    " attempts later than the last event of that kind count (and a registration that goes on has"
    " not ended); without such an event none does. The outcome `failed` holds from the first"
    " failure on for good, `booked` until the sitting.",
    "certificate": "Holds from the day of issue until `greatest_age` after it, or until its own"
    " expiry if that is earlier.",
    "paper": "Holds from the day of issue while the paper is valid for `remaining_validity` more"
    " and not older than `greatest_age`.",
    "continuing education": "Adds up the units earned by the day in the cycle in which the day lies"
    " (or in the look-back), capped categories at most their cap. Holds while the sum and every"
    " minimum are reached. With `which: last ended` it is the cycle that ended last before the day"
    " whose units are added up, with `how_many` each of so many that ended last; before as many"
    " have ended it does not hold. Of what was earned in a cycle beyond `units`, at most"
    " `carried_over` counts in the next one, and in no later one.",
}
