"""A form sat in a real browser: by keyboard, through a reload, a lost network and the end."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from comity.desk import clock
from comity.store import sittings as store
from comity.store.mock_exams import Terms, give_form
from comity.store.models import GivenAnswer, Sitting
from tests.browser.conftest import sign_in
from tests.desk.mock_exams.conftest import bank, form, sitting, time_stands  # noqa: F401 - fixtures

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

    from comity.store.models import Account, Case, ExamForm, ItemBank
    from tests.desk.mock_exams.conftest import Clock

    Opened = Callable[..., Page]

pytestmark = pytest.mark.django_db(transaction=True)
LONG = 15_000


def saved(page: Page, number: int) -> None:
    expect(page.locator(f"#saved-{number}")).to_contain_text("Saved.", timeout=LONG)


def test_a_form_is_sat_on_a_phone_by_keyboard_alone(
    open_page: Opened,
    check_page: Callable[[Page, str], None],
    applicant: Account,
    sitting: Sitting,  # noqa: F811 - the fixture
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    page = open_page(f"/sittings/{sitting.pk}", applicant, phone=True)
    check_page(page, "sitting-begin")
    page.get_by_role("button", name="Begin: the time runs").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 1 of 4")
    page.get_by_label("Option red").focus()
    page.keyboard.press("ArrowDown")
    saved(page, 1)
    assert GivenAnswer.objects.get().answer == {"chosen": ["b"]}
    expect(page.locator("#place-1")).to_have_class("is-answered")
    time_stands.pass_minutes(4)
    page.reload()
    expect(page.get_by_label("Option green")).to_be_checked()
    expect(page.locator(".exam-clock")).to_have_text("6:00")
    check_page(page, "sitting-question")
    page.reload()  # axe leaves style attributes behind, which htmx would carry over
    page.get_by_role("button", name="Flag question 1").focus()
    page.keyboard.press("Space")
    expect(page.get_by_role("button", name="Flagged question 1")).to_be_focused()
    page.get_by_role("button", name="Save and go on").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 2 of 4")
    for label in ("First thing", "Third thing"):
        page.get_by_label(label).focus()
        page.keyboard.press("Space")
    saved(page, 2)
    page.get_by_role("button", name="Save and go on").click()
    page.get_by_label("Your answer").focus()
    page.keyboard.type("1450")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 4 of 4")
    check_page(page, "sitting-matching")
    page.reload()  # axe leaves style attributes behind, which htmx would carry over
    page.get_by_label("Line one").select_option("y")
    saved(page, 4)
    page.get_by_role("button", name="Save and look over").click()
    expect(page.get_by_text("Every question is answered.")).to_be_visible()
    check_page(page, "sitting-review")
    page.get_by_role("button", name="Hand in").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="3 of 4 right")).to_be_visible()
    check_page(page, "sitting-result")
    ended = Sitting.objects.get()
    assert store.timing_of(ended).minutes_taken(time_stands.now) == 4


def test_an_answer_held_back_by_a_lost_network_arrives_later(
    browser: Browser,
    live_server: LiveServer,
    applicant: Account,
    sitting: Sitting,  # noqa: F811 - the fixture
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    store.begin(sitting, actor=applicant, now=time_stands.now)
    # A context of its own: that a lost network is told on the console is no fault here.
    context = browser.new_context(base_url=live_server.url)
    sign_in(context, applicant, live_server.url)
    page = context.new_page()
    page.goto(f"/sittings/{sitting.pk}/1")
    context.set_offline(True)
    page.get_by_label("Option blue").check()
    expect(page.locator("#saved-1")).to_contain_text("Not saved yet: no connection.")
    page.get_by_role("link", name="Look over and hand in").click()
    expect(page.locator("#saved-1")).to_contain_text("Your last answer is not saved yet.")
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 1 of 4")
    assert not GivenAnswer.objects.filter(version__gt=0).exists()
    context.set_offline(False)
    saved(page, 1)
    assert GivenAnswer.objects.get().answer == {"chosen": ["c"]}
    context.close()


def test_two_windows_ask_before_one_replaces_the_other(
    open_page: Opened,
    applicant: Account,
    sitting: Sitting,  # noqa: F811 - the fixture
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    store.begin(sitting, actor=applicant, now=time_stands.now)
    one = open_page(f"/sittings/{sitting.pk}/1", applicant)
    other = open_page(f"/sittings/{sitting.pk}/1", applicant)
    one.get_by_label("Option red").check()
    saved(one, 1)
    other.get_by_label("Option blue").check()
    expect(other.get_by_text("This question was answered in another window.")).to_be_visible()
    other.get_by_role("button", name="Save what I chose here").click()
    expect(other.get_by_role("heading", level=1)).to_have_text("Question 2 of 4")
    assert GivenAnswer.objects.get().answer == {"chosen": ["c"]}


def test_the_page_leaves_for_the_result_when_the_time_is_up(
    open_page: Opened,
    check_page: Callable[[Page, str], None],
    applicant: Account,
    sitting: Sitting,  # noqa: F811 - the fixture
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    store.begin(sitting, actor=applicant, now=time_stands.now)
    time_stands.pass_minutes(9.95)
    page = open_page(f"/sittings/{sitting.pk}/all", applicant)
    check_page(page, "sitting-all")
    page.reload()  # axe leaves style attributes behind, which htmx would carry over
    page.get_by_label("Option green").check()
    saved(page, 1)
    time_stands.pass_minutes(1)
    expect(page.get_by_role("heading", name="1 of 4 right")).to_be_visible(timeout=LONG)
    expect(page.get_by_text("The time was up.")).to_be_visible()


def test_a_sitting_works_without_a_script(
    open_page: Opened,
    applicant: Account,
    sitting: Sitting,  # noqa: F811 - the fixture
) -> None:
    page = open_page(f"/sittings/{sitting.pk}", applicant, script=False)
    page.get_by_role("button", name="Begin: the time runs").click()
    page.get_by_label("Option green").check()
    page.get_by_role("button", name="Save and go on").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 2 of 4")
    page.get_by_role("link", name="Look over and hand in").click()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="1 of 4 right")).to_be_visible()


def test_the_tutors_pages_hold_at_every_width(
    open_page: Opened,
    check_page: Callable[[Page, str], None],
    owner: Account,
    applicant: Account,
    bank: ItemBank,  # noqa: F811 - the fixture
    form: ExamForm,  # noqa: F811 - the fixture
    sitting: Sitting,  # noqa: F811 - the fixture
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    store.begin(sitting, actor=applicant, now=clock.instant())
    time_stands.pass_minutes(11)
    page = open_page("/exams", owner)
    check_page(page, "exams")
    for name, address in {
        "exam-form-new": "/exams/forms/new",
        "exam-form": f"/exams/forms/{form.pk}",
        "exam-figures": f"/exams/forms/{form.pk}/figures",
        "exam-sitting": f"/exams/sittings/{sitting.pk}",
        "exam-bank": f"/exams/banks/{bank.pk}",
        "exam-bank-edit": f"/exams/banks/{bank.pk}/edit",
        "exam-item": f"/exams/banks/{bank.pk}/items/zinc-best",
        "exam-model": "/exams/models/new",
        "exam-class-new": "/exams/classes/new",
    }.items():
        page.goto(address)
        check_page(page, name)


def test_warnings_stand_beside_the_text_while_one_writes(
    open_page: Opened,
    owner: Account,
) -> None:
    page = open_page("/exams/banks/new", owner)
    text = page.get_by_label("Text of the bank")
    text.fill(text.input_value().replace("c: Haemoglobin", "c: All of the above"))
    expect(page.locator("#problems")).to_contain_text("Go to line", timeout=LONG)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="My items")).to_be_visible()


def test_practice_explains_and_the_case_tells_how_ready(
    open_page: Opened,
    check_page: Callable[[Page, str], None],
    owner: Account,
    applicant: Account,
    form: ExamForm,  # noqa: F811 - the fixture
    case: Case,
    time_stands: Clock,  # noqa: F811 - the fixture
) -> None:
    terms = Terms(mode=Sitting.Mode.PRACTICE)
    (given,) = give_form(form, [case], actor=owner, now=time_stands.now, terms=terms)
    page = open_page("/sittings", applicant, phone=True)
    check_page(page, "sittings")
    page.get_by_role("link", name="First form").click()
    page.get_by_role("button", name="Begin").click()
    page.goto(f"/sittings/{given.pk}/1")
    page.get_by_label("Option red").check()
    page.get_by_role("button", name="Answer").click()
    expect(page.get_by_text("takes red for secret-error-one").first).to_be_visible()
    check_page(page, "sitting-practice")
    page.get_by_role("button", name="Finish this practice").click()
    expect(page.get_by_role("heading", name="0 of 1 right")).to_be_visible()
    member = open_page(f"/cases/{case.pk}/readiness", owner)
    check_page(member, "case-readiness")
