"""The demo's office: invented people with a password that everybody knows, in demo mode only."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import Day, date_from_day
from comity.demo.caseload import demo_applicants, demo_files
from comity.store import audit
from comity.store.cases import add_action, add_case, add_note
from comity.store.demo_exams import put_exams
from comity.store.errors import StoreError
from comity.store.models import Account, Action, Case, Holder, Note, Office, Role
from comity.store.rulebooks import add_edition, put_in_force
from comity.store.spans import refresh_all
from comity.store.writing import writing

if TYPE_CHECKING:
    from datetime import date

OWNER: Final = "owner@demo.example"
ADVISER: Final = "adviser@demo.example"
APPLICANT: Final = "hana@demo.example"
PASSWORD: Final = "demonstration"  # noqa: S105 - it opens nothing outside demo mode
APPLICANTS_CASE: Final = "hana"
_HOUR: Final = time(8, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class DemoAction:
    """Something to do in a demo case; `days` from the demo's day."""

    case: str
    text: str
    holder: Holder
    days: int

    @property
    def is_for_applicant(self) -> bool:
        """Whether the applicant sees it."""
        return self.holder is Holder.APPLICANT


NOTES: Final = (
    ("leilani", "Wrote that she can sit the language test on short notice."),
    ("soren", "Will look for the first pay slip; his mother keeps his papers."),
    ("oluwaseun", "Prefers a call after eight, when the children sleep."),
    ("eunbi", "Two sources of the Register disagree about the passport; not her mistake."),
    ("titilope", "First message came by the messenger; answer there, in short lines."),
)
ACTIONS: Final = (
    DemoAction("leilani", "Send the application while the test counts", Holder.ADVISER, 7),
    DemoAction("mehtap", "Ask for a new certificate of status", Holder.APPLICANT, 2),
    DemoAction("soren", "Send the first pay slip", Holder.APPLICANT, 10),
    DemoAction("eunbi", "Ask the Registrar which passport rule counts", Holder.AUTHORITY, -3),
    DemoAction("thu", "Confirm that the post goes on until January", Holder.EMPLOYER, 21),
    DemoAction("zdenka", "Letter on the curriculum of the old degree", Holder.SCHOOL, 14),
    DemoAction("hana", "Send the original of the degree to be seen", Holder.APPLICANT, 5),
    DemoAction("rosalind", "Hand in the missing units of education", Holder.ADVISER, 9),
)


def is_demo_mode() -> bool:
    """Tell whether this process was started for the demo."""
    return os.environ.get("COMITY_DEMO") == "1"


def refuse_outside_demo() -> None:
    """Refuse to open the demo's office, whose passwords everybody knows, as a real one.

    Raises
    ------
    StoreError
        When the office is the demo's and the process was not started for the demo.
    """
    if not is_demo_mode() and Office.objects.filter(is_demo=True).exists():
        msg = (
            "this is the demo's office, whose passwords everybody knows; "
            "start it with --demo, or set COMITY_HOME to another folder for an office of your own"
        )
        raise StoreError(msg)


def fill_demo_office(today: Day) -> Office:
    """Fill an empty office with the demo's rulebooks, applicants, people, notes and actions.

    What is there already stays as it is, so it may be called at every start.

    Parameters
    ----------
    today : Day
        The demo's day; what is to be done is due around it.

    Raises
    ------
    StoreError
        Outside demo mode, or in an office of real people.
    """
    if not is_demo_mode():
        msg = "the demo's office is filled in demo mode only; start with --demo"
        raise StoreError(msg)
    office = Office.objects.first()
    if office is None:
        if Account.objects.exists() or Case.objects.exists():
            raise StoreError(_REAL)
        return _filled(today)
    if not office.is_demo:
        raise StoreError(_REAL)
    return office


_REAL: Final = "this is an office of real people; set COMITY_HOME to another folder for the demo"


def _filled(today: Day) -> Office:
    """Fill the office in one transaction, so that a start broken off leaves nothing behind."""
    day = date_from_day(today)
    with writing():
        office = Office.objects.create(
            pk=1,
            name="Fair Winds Advisers (demonstration)",
            contact="office@demo.example",
            is_demo=True,
            shows_readiness=True,
        )
        owner, adviser = _people()
        audit.record("office/started", actor=owner, detail={"demo": True})
        _put_editions_in_force(owner)
        cases = {case.reference: case for case in _cases(owner, adviser)}
        _invite_hana(cases[APPLICANTS_CASE])
        _put_work(cases, adviser, day)
        put_exams(cases, owner=owner, adviser=adviser, hana=APPLICANTS_CASE, day=day)
        refresh_all()
    return office


def _people() -> tuple[Account, Account]:
    owner = Account.objects.create_account(OWNER, PASSWORD, name="Odile Okonjo", role=Role.OWNER)
    adviser = Account.objects.create_account(
        ADVISER, PASSWORD, name="Anselm Adeyemi", role=Role.ADVISER
    )
    return owner, adviser


def _put_editions_in_force(owner: Account) -> None:
    for path, text in demo_files().items():
        if path.startswith("rulebooks/"):
            put_in_force(add_edition(text, actor=owner), actor=owner)


def _cases(owner: Account, adviser: Account) -> list[Case]:
    return [
        add_case(each.text, actor=owner, adviser=adviser if place % 3 else owner, file=each.file)
        for place, each in enumerate(demo_applicants())
    ]


def _invite_hana(case: Case) -> None:
    case.account = Account.objects.create_account(
        APPLICANT, PASSWORD, name=case.name, role=Role.APPLICANT
    )
    case.save(update_fields=["account"])


def _put_work(cases: dict[str, Case], adviser: Account, day: date) -> None:
    for name, text in NOTES:
        add_note(cases[name], text, actor=adviser)
    for each in ACTIONS:
        add_action(
            cases[each.case],
            each.text,
            actor=adviser,
            holder=each.holder,
            due=day + timedelta(days=each.days),
            is_for_applicant=each.is_for_applicant,
        )
    # On the demo's pages nothing is from a day that has not come.
    for rows in (Case.objects, Note.objects, Action.objects):
        rows.update(created_at=datetime.combine(day, _HOUR))
