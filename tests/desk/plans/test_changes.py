from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.store import audit
from comity.store.converters import applicant_of
from comity.store.models import AuditRecord, Case
from tests.desk.conftest import case_of
from tests.desk.plans.conftest import XA, XB

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("rules")]


def again(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def mark(client: Client, case: Case, step: str, *, on: str = "2026-11-20", title: str = XA) -> int:
    sent = {"shown": title, "name": f"{title}/{step}", "on": on}
    return client.post(f"/cases/{case.pk}/plan/done", sent).status_code


def shown(client: Client, case: Case, title: str = XA) -> str:
    return client.get(f"/cases/{case.pk}/plan/shown?title={title}").content.decode()


@pytest.mark.parametrize(
    ("who", "step", "status"),
    [
        ("owner", "verify", 302),
        ("adviser", "decide", 302),
        ("adviser", "registration", 302),
        ("applicant", "study", 302),
        ("applicant", "verify", 302),
        ("applicant", "decide", 404),
        ("applicant", "registration", 404),
        ("adviser", "sit", 404),
        ("adviser", "dance", 404),
        ("outsider", "study", 404),
    ],
)
def test_who_may_mark_what_as_done(
    who: str,
    step: str,
    status: int,
    case: Case,
    client_of: Callable[[Account | None], Client],
    request: pytest.FixtureRequest,
) -> None:
    client = client_of(request.getfixturevalue(who))
    assert mark(client, case, step) == status
    progress = applicant_of(again(case)).progress
    assert [each.milestone for each in progress] == ([f"{XA}/{step}"] if status == 302 else [])


def test_what_was_done_leaves_the_plan_and_can_be_taken_back(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    assert "Have the degree verified" in shown(client, case)
    mark(client, case, "verify")
    page = shown(client, case)
    assert "Done so far" in page
    assert "20 Nov 2026" in page
    (entry,) = applicant_of(again(case)).progress
    client.post(f"/cases/{case.pk}/plan/undone", {"shown": XA, "entry": entry.id})
    assert applicant_of(again(case)).progress == ()
    actions = AuditRecord.objects.order_by("-sequence").values_list("action", flat=True)[:2]
    assert list(actions) == ["case/step undone", "case/step done"]
    assert audit.verify().is_sound


def test_an_applicant_takes_back_their_own_steps_only(
    case: Case,
    owner: Account,
    applicant: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    mark(client_of(owner), case, "decide")
    (entry,) = applicant_of(again(case)).progress
    sent = {"shown": XA, "entry": entry.id}
    answer = client_of(applicant).post(f"/cases/{case.pk}/plan/undone", sent)
    assert answer.status_code == 404
    assert applicant_of(again(case)).progress == (entry,)


def test_days_to_come_and_no_days_are_refused_beside_the_field(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    for on, says in (("2027-01-01", "still to come"), ("", "on which day")):
        sent = {"shown": XA, "name": f"{XA}/verify", "on": on}
        answer = client.post(f"/cases/{case.pk}/plan/done", sent)
        assert answer.status_code == 422
        assert says in answer.content.decode()
    assert applicant_of(again(case)).progress == ()


# ------------------------------------------------------------------------------------- results


def enter(client: Client, case: Case, **typed: str) -> tuple[int, str]:
    sent = {
        "shown": XA,
        "examination": "halvenian-dietetics",
        "taken": "2026-11-07",
        "outcome": "failed",
        **typed,
    }
    answer = client.post(f"/cases/{case.pk}/plan/result", sent)
    return answer.status_code, answer.content.decode()


@pytest.mark.parametrize(("who", "status"), [("adviser", 200), ("applicant", 404)])
def test_the_form_for_results_is_the_offices(
    who: str,
    status: int,
    case: Case,
    client_of: Callable[[Account | None], Client],
    request: pytest.FixtureRequest,
) -> None:
    client = client_of(request.getfixturevalue(who))
    address = f"/cases/{case.pk}/plan/result?title={XA}"
    assert client.get(address).status_code == status


def test_a_failure_is_kept_with_its_report_and_followed_by_humane_words(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    assert "3 attempts" in shown(client, case)
    status, _page = enter(client, case, score="58.5", domains="Assessment: 61\nTherapy: 52")
    assert status == 302
    (found,) = applicant_of(again(case)).results.examinations or ()
    assert float(found.score or 0) == 58.5
    assert found.domains == {"Assessment": "61", "Therapy": "52"}
    page = shown(client, case)
    for words in (
        "A failed attempt is not the end.",
        "2 attempts are left",
        "The next sitting you can be ready for is on",
        "Another attempt costs",
        "Attempt 1",
        "score 58.5",
        "Therapy: 52",
        "Certificate of good standing: last day",
    ):
        assert words in page, words


def test_after_a_failure_the_page_says_what_runs_out_meanwhile(
    owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    case = case_of("leilani")
    case.document = case.document.replace("outcome: passed", "outcome: failed")
    case.save()
    client = client_of(owner)
    page = shown(client, case)
    assert "These run out before they are needed." in page
    assert "Halvenian or a degree taught in it: last day 18 December 2026" in page


def test_attempts_of_earlier_applications_are_numbered_too(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    enter(client, case, taken="2024-03-01", application="first")
    enter(client, case)
    page = shown(client, case)
    assert "earlier application first" in page
    assert "Attempt 2" in page


def test_a_score_that_is_none_is_said_beside_its_field(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = enter(client_of(owner), case, score="quite good")
    assert status == 422
    assert 'id="id_score-error"' in page
    status, page = enter(client_of(owner), case, domains="good everywhere")
    assert status == 422
    assert 'id="id_domains-error"' in page
    assert not applicant_of(again(case)).results.examinations


def test_a_title_without_examination_takes_no_result(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    address = f"/cases/{case.pk}/plan/result?title=xb-register/associate"
    assert client_of(owner).get(address).status_code == 404


# ------------------------------------------------------------------------------------ payments


def pay(client: Client, case: Case, **typed: str) -> tuple[int, str]:
    sent = {
        "shown": XA,
        "purpose": f"{XA}/application",
        "amount": "410.00 EUR",
        "on": "2026-11-10",
        "receipt": "R 17",
        **typed,
    }
    answer = client.post(f"/cases/{case.pk}/plan/payment", sent)
    return answer.status_code, answer.content.decode()


def test_a_payment_is_kept_and_listed(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    status, _page = pay(client, case, payer="employer", refundable_until="2026-12-31")
    assert status == 302
    (found,) = applicant_of(again(case)).payments
    assert (str(found.amount), found.receipt, found.payer) == ("410.00 EUR", "R 17", "employer")
    page = shown(client, case)
    for words in ("€410.00", "receipt R 17", "by employer", "until 31 Dec 2026"):
        assert words in page, words
    assert AuditRecord.objects.latest("sequence").action == "case/payment entered"


def test_a_second_payment_for_the_same_is_asked_about_first(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    pay(client, case)
    status, page = pay(client, case, on="2026-11-20")
    assert status == 422
    assert "This was paid before: 410.00 EUR on 10 November 2026." in page
    assert 'name="again"' in page
    assert len(applicant_of(again(case)).payments) == 1
    assert pay(client, case, on="2026-11-20", again="on")[0] == 302
    assert len(applicant_of(again(case)).payments) == 2


def test_what_is_no_fee_is_paid_for_in_words(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    status, _page = pay(client, case, purpose="other", other="Sworn translation")
    assert status == 302
    assert "Sworn translation" in shown(client, case)


def test_the_history_tells_what_was_entered(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    mark(client, case, "verify")
    enter(client, case)
    pay(client, case)
    client.post(f"/cases/{case.pk}/plan/calendars", {"label": "phone"})
    page = client.get(f"/cases/{case.pk}/history").content.decode()
    for words in (
        "Marked a step as done",
        "Entered the result of an examination",
        "Entered a payment",
        "Made an address of the calendar",
    ):
        assert words in page, words


def test_a_fee_of_another_attempt_is_no_second_payment(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    for attempt in ("1", "2"):
        status, _page = pay(client, case, purpose=f"{XA}/examination", attempt=attempt)
        assert status == 302
    assert len(applicant_of(again(case)).payments) == 2


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"amount": "a lot"}, "amount"),
        ({"on": "2027-01-01"}, "on"),
        ({"purpose": "other", "other": ""}, "other"),
        ({"purpose": "dancing"}, "purpose"),
        ({"refundable_until": "2026-01-01"}, "refundable_until"),
    ],
)
def test_what_cannot_be_a_payment_is_said_beside_its_field(
    typed: dict[str, str],
    field: str,
    case: Case,
    owner: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    status, page = pay(client_of(owner), case, **typed)
    assert status == 422
    assert f'id="id_{field}-error"' in page
    assert applicant_of(again(case)).payments == ()


def test_before_each_fee_that_is_lost_the_page_says_go_or_wait(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    page = shown(client_of(owner), case)
    start = page.index('id="decisions-head"')
    decisions = page[start : page.index("</section>", start)]
    assert "Wait" in decisions
    assert "Still open:" in decisions
    assert "Certificate of good standing" in decisions
    easy = shown(client_of(owner), case, XB)
    assert "Nothing known stands against it" in easy
