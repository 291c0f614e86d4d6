"""Who may see and do what: one table, and the guards that hold it.

Everybody signs in but for the pages marked `anyone`; that is settled by a middleware, so that a
view without a guard is closed rather than open. A person who is not meant to know of a thing is
told that it is not there.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import wraps
from typing import TYPE_CHECKING, Any, Final, Literal, TypeVar, cast

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponseBase

from comity.store.models import Account, Case

if TYPE_CHECKING:
    from collections.abc import Callable
    from uuid import UUID

View = TypeVar("View", bound="Callable[..., HttpResponseBase]")
May = Literal["read", "change"]


class Guard(StrEnum):
    """Who gets past the door of a page."""

    ANYONE = "anyone"
    SIGNED_IN = "signed in"
    MEMBERS = "members"
    OWNER = "owner"


YES: Final = "yes"
NO: Final = "no"
OWN: Final = "own case"


@dataclass(frozen=True, slots=True)
class Rule:
    """A row of the table: what, and who may.

    `pages` are the beginnings of the URL names that the row speaks of; the longest one decides.
    """

    what: str
    pages: tuple[str, ...]
    owner: str = YES
    adviser: str = YES
    applicant: str = NO
    anyone: str = NO

    @property
    def guard(self) -> Guard:
        """Return the guard that holds the row."""
        if self.anyone == YES:
            return Guard.ANYONE
        if self.applicant != NO:
            return Guard.SIGNED_IN
        return Guard.MEMBERS if self.adviser == YES else Guard.OWNER


TABLE: Final = (
    Rule(
        "Sign in; set up an office nobody has an account in; follow a link that one was given",
        ("desk-sign-in", "desk-start", "desk-invitation", "desk-new-password"),
        applicant=YES,
        anyone=YES,
    ),
    Rule(
        "Sign out; change one's own password and language; sign out elsewhere",
        ("desk-sign-out", "desk-me"),
        applicant=YES,
    ),
    Rule("Issue and revoke one's own API tokens", ("desk-me-token",)),
    Rule(
        "The first page: what needs a person; an applicant is led to their own case",
        ("desk-home",),
        applicant=OWN,
    ),
    Rule("Find, add, import and export applicants", ("desk-applicant",)),
    Rule(
        "Read a case: the answers, the plan, what comes next, papers, what was given out; take the"
        " brief",
        ("desk-case", "desk-case-papers", "desk-case-brief", "desk-case-given", "desk-case-plan"),
        applicant=OWN,
    ),
    Rule(
        "Mark steps of a plan as done, an applicant their own, and take that back; make addresses"
        " of the case's calendar",
        ("desk-case-plan-calendars", "desk-case-plan-done", "desk-case-plan-undone"),
        applicant=OWN,
    ),
    Rule(
        "Enter results of examinations and payments",
        ("desk-case-plan-payment", "desk-case-plan-result"),
    ),
    Rule("Make addresses of a calendar of all cases in one's care", ("desk-me-calendars",)),
    Rule(
        "Read a calendar at the secret address that one was given",
        ("desk-calendar",),
        applicant=YES,
        anyone=YES,
    ),
    Rule(
        "Work on a case: facts, trying facts out, comparisons, messages and letters, actions,"
        " notes, closing it; read its history",
        (
            "desk-case-actions",
            "desk-case-answer",
            "desk-case-compare",
            "desk-case-facts",
            "desk-case-given-settle",
            "desk-case-history",
            "desk-case-letter",
            "desk-case-message",
            "desk-case-notes",
            "desk-case-state",
            "desk-case-what-if",
        ),
    ),
    Rule(
        "See what is kept of a case and who got what of it; take it along; agree to something and"
        " take that back",
        ("desk-case-data",),
        applicant=OWN,
    ),
    Rule("Keep a case for a legal reason, and lift that", ("desk-case-data-hold",)),
    Rule(
        "Erase a case; see what stays of erased ones",
        ("desk-case-data-erase",),
        adviser=NO,
    ),
    Rule("Answer the intake's questions", ("desk-intake",), applicant=OWN),
    Rule("Read, write and compare rulebooks, put editions in force", ("desk-rulebook",)),
    Rule(
        "Write items, make forms and classes, give forms, see what was sat and the figures, change"
        " marks",
        ("desk-exam",),
    ),
    Rule(
        "See how ready somebody is and a plan for study; an applicant in words, where the office"
        " allows it",
        ("desk-case-readiness",),
        applicant=OWN,
    ),
    Rule(
        "Sit the forms that one was given, and see what came of them; nobody sits for another",
        ("desk-sitting",),
        applicant=OWN,
    ),
    Rule("See the office's settings, people and open invitations", ("desk-office",)),
    Rule(
        "Change the office's settings; invite advisers; deactivate people",
        ("desk-office-change", "desk-office-people"),
        adviser=NO,
    ),
    Rule("Invite an applicant to their own case; revoke such a link", ("desk-office-invite",)),
    Rule(
        "Read the description of the API, which tells of nobody",
        ("api-openapi", "api-missing"),
        applicant=YES,
        anyone=YES,
    ),
    Rule("Use the API with a token of one's own, within its scopes", ("api-",)),
)


def rule_of(url_name: str) -> Rule | None:
    """Return the row that speaks of a page, by the longest beginning of its name."""
    fitting = {page: rule for rule in TABLE for page in rule.pages if url_name.startswith(page)}
    return fitting[max(fitting, key=len)] if fitting else None


def member_of(request: HttpRequest) -> Account:
    """Return who asks; only behind a guard."""
    return cast("Account", request.user)


def anyone(view: View) -> View:
    """Open a page to people who have not signed in."""
    marked: Any = login_not_required(view)
    marked.guard = Guard.ANYONE
    return cast("View", marked)


def signed_in(view: View) -> View:
    """Keep a page for people who signed in; applicants among them."""
    return _guarded(view, Guard.SIGNED_IN)


def members_only(view: View) -> View:
    """Keep a page for those who work in the office; for others it is not there."""
    return _guarded(view, Guard.MEMBERS)


def owner_only(view: View) -> View:
    """Keep a page for the office's owner; advisers are told so, for others it is not there."""
    return _guarded(view, Guard.OWNER)


def _guarded(view: View, guard: Guard) -> View:
    @wraps(view)
    def guarded(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponseBase:
        _let_in(request, guard)
        return view(request, *args, **kwargs)

    marked: Any = guarded
    marked.guard = guard
    return cast("View", marked)


def _let_in(request: HttpRequest, guard: Guard) -> None:
    account = request.user
    if not isinstance(account, Account):
        raise Http404
    if guard is not Guard.SIGNED_IN and not account.is_member:
        raise Http404
    if guard is Guard.OWNER and not account.is_owner:
        raise PermissionDenied


def get_case(request: HttpRequest, case_id: UUID, *, may: May = "read") -> Case:
    """Return a case which the person who asks may see; to others it is not there.

    Members see every case of the office, an applicant their own. A closed case can be read; to be
    changed it has to be opened again first.

    Raises
    ------
    Http404
        When there is no such case, or it is none of theirs.
    PermissionDenied
        When a closed case would be changed.
    """
    account = member_of(request)
    cases = Case.objects.select_related("adviser")
    if not account.is_member:
        cases = cases.filter(account=account)
    case = cases.filter(pk=case_id).first()
    if case is None:
        raise Http404
    if may == "change" and case.closed_at is not None:
        raise PermissionDenied
    return case
