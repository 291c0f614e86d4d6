"""The sentences of an entry: why it is there, what to do next, who has to move, where one acts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from comity.core.eligibility.assessment import Verdict
from comity.desk.templatetags.desk import day as in_words
from comity.desk.templatetags.desk import verdict_word

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from django.utils.functional import _StrPromise

    from comity.core.days.calendar import Day
    from comity.service.needs import Need

HOLDERS: Final[Mapping[str, _StrPromise]] = {
    "adviser": gettext_lazy("Adviser"),
    "applicant": gettext_lazy("Applicant"),
    "employer": gettext_lazy("Employer"),
    "school": gettext_lazy("School"),
    "authority": gettext_lazy("Authority"),
}
URGENCIES: Final[Mapping[str, _StrPromise]] = {
    "now": gettext_lazy("Now"),
    "this month": gettext_lazy("Within a month"),
    "later": gettext_lazy("Within a quarter"),
    "no day": gettext_lazy("Waiting for an answer"),
}


@dataclass(frozen=True, slots=True)
class Said:
    """An entry in words."""

    need: Need
    reason: str
    action: str
    holder: str
    address: str
    when: str
    """The word before the day."""


def said(need: Need, *, today: Day) -> Said:
    """Return an entry in words."""
    reason, action = _SENTENCES[need.sort](need, today)
    holder = str(HOLDERS[need.holder])
    return Said(need, reason, action, holder, address_of(need), _when(need, today))


def _when(need: Need, today: Day) -> str:
    if need.day is None:
        return ""
    if need.sort == "answer changed":
        return _("said on")
    return _("since") if need.day < today else _("until")


def _changed(need: Need, _today: Day) -> tuple[str, str]:
    because = {
        "facts": _("because the facts have changed since"),
        "rulebook": _("because the rules have changed since"),
    }.get(need.detail, _("because facts and rules have changed since"))
    words = {"title": need.subject, "day": in_words(need.day), "because": because}
    if not need.after:
        sentence = _("What was said on {title} on {day} has no rules to rest on any more.")
        return sentence.format(**words), _("Tell them, and read the rulebook again.")
    if need.before == need.after:
        sentence = _("The open dates named on {day} for {title} are other ones now, {because}.")
        return sentence.format(**words), _("Tell them the new dates.")
    sentence = _("On {day} the answer on {title} was “{before}”; now it is “{after}”, {because}.")
    before, after = verdict_word(need.before), verdict_word(need.after)
    action = _("Tell them, and say what it means.")
    if need.after == Verdict.MET:
        action = _("Tell them the good news.")
    return sentence.format(before=before, after=after, **words), action


def _closing(need: Need, today: Day) -> tuple[str, str]:
    days = (need.day or today) - today
    titles = " · ".join((need.subject, *need.others))
    if days == 0:
        reason = _("Today is the last day to apply: {titles}.")
    else:
        reason = ngettext(
            "Tomorrow, {day}, is the last day to apply: {titles}.",
            "In {n} days, on {day}, the open dates end: {titles}.",
            days,
        )
    reason = reason.format(n=days, day=in_words(need.day), titles=titles)
    return reason, _("Agree on the day of the application, or see what would keep the dates open.")


def _after(need: Need, today: Day) -> tuple[str, str]:
    is_over = need.day is not None and need.day < today
    words = {"title": need.subject, "day": in_words(need.day)}
    reason, action = {
        "claim": (
            _("The licence had to be taken up by {day}: {title}.")
            if is_over
            else _("The licence has to be taken up by {day}, or it is lost: {title}."),
            _("Take it up, and write down the day on the plan."),
        ),
        "renewal-opens": (
            _("Renewal could be asked for from {day} on: {title}.")
            if is_over
            else _("Renewal can be asked for from {day} on: {title}."),
            _("See what renewal asks, and ask for it in time."),
        ),
        "ends": (
            _("The licence ended on {day}: {title}.")
            if is_over
            else _("The licence ends on {day}: {title}."),
            _("Renew it, or write down that it was renewed."),
        ),
        "grace": (
            _("Renewal could be asked for until {day}: {title}.")
            if is_over
            else _("{day} is the last day to ask for renewal: {title}."),
            _("Ask for renewal now, or talk to the authority."),
        ),
    }.get(
        need.detail,
        (
            _("Practice is too old since {day}, and none goes on: {title}.")
            if is_over
            else _("Practice is too old from {day} on, and none goes on: {title}."),
            _("Agree on practice or updating before that day."),
        ),
    )
    return reason.format(**words), action


def _lapsing(need: Need, today: Day) -> tuple[str, str]:
    is_over = need.day is not None and need.day < today
    words = {"what": need.subject, "day": in_words(need.day)}
    if need.detail == "registrations":
        reason = (
            _("The registration with {what} ended on {day}.")
            if is_over
            else _("The registration with {what} ends on {day}.")
        )
        return reason.format(**words), _("Renew it, or write down the new last day.")
    reason = (
        _("The {what} lapsed on {day}.") if is_over else _("The {what} lapses on {day}.")
    ).format(**words)
    if need.holder == "applicant":
        return reason, _("Ask for a new one, and write down when it comes.")
    return reason, _("A new one has been asked for: ask where it is.")


def _due(need: Need, today: Day) -> tuple[str, str]:
    if need.day is not None and need.day < today:
        reason = ngettext("Was due a day ago, on {day}.", "Was due {n} days ago, on {day}.",
                          today - need.day)  # fmt: skip
        return reason.format(n=today - need.day, day=in_words(need.day)), need.subject
    if need.day == today:
        return _("Due today."), need.subject
    return _("Due on {day}.").format(day=in_words(need.day)), need.subject


def _by_hand(need: Need, _today: Day) -> tuple[str, str]:
    reason = _("“{what}” waits for somebody to read it: {title}.")
    return (
        reason.format(what=need.subject, title=need.detail),
        _("Look at it, and enter the verdict with its reason."),
    )


def _question(need: Need, _today: Day) -> tuple[str, str]:
    reason = ngettext(
        "On one title nobody can be told yet: facts are missing.",
        "On {n} titles nobody can be told yet: facts are missing.",
        need.n,
    ).format(n=need.n)
    if need.holder == "applicant":
        return reason, _("Remind them of the questions, or ask them on the telephone.")
    return reason, _("Go on with the questions.")


def _stale(need: Need, _today: Day) -> tuple[str, str]:
    reason = _("Edition {edition} should have been read again by {day}.")
    return (
        reason.format(edition=need.detail, day=in_words(need.day)),
        _("Compare it with the authority's current text, and write down the day."),
    )


_SENTENCES: Final[Mapping[str, Callable[[Need, int], tuple[str, str]]]] = {
    "answer changed": _changed,
    "window closing": _closing,
    "after licence": _after,
    "paper lapsing": _lapsing,
    "action due": _due,
    "by hand": _by_hand,
    "open question": _question,
    "stale edition": _stale,
}


def address_of(need: Need) -> str:
    """Return where one acts on an entry."""
    if need.whose is None:
        return reverse("desk-rulebook-edit", args=(need.place, need.detail))
    case = need.whose.mark
    section, _slash, entry = need.place.partition("/")
    if section == "plan":
        return f"{reverse('desk-case-plan', args=(case,))}?{urlencode({'title': entry})}"
    if entry:
        return reverse("desk-case-facts-one", args=(case, section, entry))
    names = {
        "intake": "desk-intake",
        "history": "desk-case-history",
        "facts": "desk-case-facts",
    }
    return reverse(names.get(need.place, "desk-case"), args=(case,))
