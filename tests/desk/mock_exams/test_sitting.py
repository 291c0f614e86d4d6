"""A form as an applicant sits it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from comity.store import sittings as store
from comity.store.models import AuditRecord, GivenAnswer, Sitting
from tests.desk.mock_exams.conftest import SECRETS

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, ExamForm
    from tests.desk.mock_exams.conftest import Clock

    Opened = Callable[[Account | None], Client]

HTMX = {"HX-Request": "true"}


@pytest.fixture
def client(client_of: Opened, applicant: Account) -> Client:
    return client_of(applicant)


def page(sitting: Sitting, tail: str = "") -> str:
    return f"/sittings/{sitting.pk}{tail}"


def text(answer: Any) -> str:  # noqa: ANN401 - what the client gives has no public type
    return str(answer.content.decode())


def test_an_applicant_finds_begins_answers_hands_in_and_sees_the_result(
    client: Client, sitting: Sitting, time_stands: Clock
) -> None:
    assert "First form" in text(client.get("/sittings"))
    assert "4 questions in 10 minutes" in text(client.get(page(sitting)))
    client.post(page(sitting, "/begin"))
    first = client.get(page(sitting), follow=True)
    assert "Question 1 of 4" in text(first)
    time_stands.pass_minutes(1)
    given: dict[int, dict[str, object]] = {
        1: {"chosen": "b"},
        2: {"chosen": ["a", "c"]},
        3: {"number": "1 455"},
        4: {"line-one": "y", "line-two": "z"},
    }
    for number, fields in given.items():
        answer = client.post(page(sitting, f"/{number}/answer"), {**fields, "base_version": 0})
        assert answer.status_code == 302
    assert answer.headers["Location"] == page(sitting, "/review")
    assert "Every question is answered." in text(client.get(page(sitting, "/review")))
    ended = client.post(page(sitting, "/hand-in"), follow=True)
    assert "3 of 4 right" in text(ended)
    assert "To reach the pass mark of this form, 2 were needed: you reached it." in text(ended)
    assert "secret-explanation-one" in text(ended)
    actions = list(AuditRecord.objects.order_by("sequence").values_list("action", flat=True))
    assert actions[-3:] == ["exam/form given", "exam/sitting begun", "exam/handed in"]


@pytest.mark.parametrize(
    "tail",
    ["", "/1", "/2", "/3", "/4", "/all", "/review", "/result", "/time"],
)
def test_nothing_gives_a_question_away_before_the_end(
    client: Client, running: Sitting, answered: Callable[..., None], tail: str
) -> None:
    answered(1, "a")
    answered(3, number="1600")
    shown = text(client.get(page(running, tail), follow=True))
    assert [word for word in SECRETS if word in shown] == []


def test_no_answer_that_is_sent_gives_a_question_away(client: Client, running: Sitting) -> None:
    sent = [
        client.post(page(running, "/1/answer"), {"chosen": "b", "base_version": 0}, headers=HTMX),
        client.post(page(running, "/1/answer"), {"chosen": "a", "base_version": 0}, headers=HTMX),
        client.post(
            page(running, "/3/answer"), {"number": "much", "base_version": 0}, headers=HTMX
        ),
        client.post(page(running, "/1/flag"), {"flagged": "yes"}, headers=HTMX),
        client.post(page(running, "/1/answer"), {"chosen": "c", "base_version": 0}),
    ]
    assert [each.status_code for each in sent] == [200, 409, 422, 200, 409]
    assert [word for each in sent for word in SECRETS if word in text(each)] == []


def test_an_answer_is_acknowledged_and_there_after_a_reload(
    client: Client, running: Sitting
) -> None:
    said = client.post(page(running, "/1/answer"), {"chosen": "c", "base_version": 0}, headers=HTMX)
    assert "Saved." in text(said)
    assert 'value="1" hx-swap-oob="true"' in text(said)
    assert 'value="c" checked' in text(client.get(page(running, "/1")))


def test_the_right_time_is_left_after_a_reload(
    client: Client, running: Sitting, time_stands: Clock
) -> None:
    time_stands.pass_minutes(4.5)
    assert 'data-seconds="330"' in text(client.get(page(running, "/1")))
    assert client.get(page(running, "/time")).json() == {"seconds": 330, "over": False}


def test_extra_time_is_added(client: Client, sitting: Sitting, time_stands: Clock) -> None:
    Sitting.objects.update(extra_percent=50)
    assert "4 questions in 15 minutes" in text(client.get(page(sitting)))
    client.post(page(sitting, "/begin"))
    time_stands.pass_minutes(14)
    assert client.get(page(sitting, "/time")).json() == {"seconds": 60, "over": False}


@pytest.mark.parametrize("headers", [HTMX, {}])
def test_an_answer_after_the_end_is_refused_and_the_ones_before_stay(
    client: Client, running: Sitting, time_stands: Clock, headers: dict[str, str]
) -> None:
    client.post(page(running, "/1/answer"), {"chosen": "b", "base_version": 0})
    time_stands.pass_minutes(10)
    late = client.post(
        page(running, "/2/answer"), {"chosen": "a", "base_version": 0}, follow=True, headers=headers
    )
    assert "came after the end and is not counted" in text(late)
    assert GivenAnswer.objects.get().item == "zinc-best"
    assert "1 of 4 right" in text(client.get(page(running, "/result")))
    client.post(page(running, "/hand-in"))
    records = AuditRecord.objects.filter(action__startswith="exam/").order_by("sequence")
    assert [each.action for each in records][-1] == "exam/time was up"
    assert Sitting.objects.get().handed_in_at is None


def test_two_windows_do_not_overwrite_each_other_silently(client: Client, running: Sitting) -> None:
    send = page(running, "/1/answer")
    client.post(send, {"chosen": "a", "base_version": 0}, headers=HTMX)
    other = client.post(send, {"chosen": "c", "base_version": 0}, headers=HTMX)
    assert other.status_code == 409
    assert "Saved there: Option red" in " ".join(text(other).split())
    assert "not saved: Option blue" in " ".join(text(other).split())
    assert GivenAnswer.objects.get().answer == {"chosen": ["a"]}
    client.post(send, {"chosen": "c", "base_version": 0, "over": "1"}, headers=HTMX)
    assert GivenAnswer.objects.get().answer == {"chosen": ["c"]}


def test_the_same_answer_sent_again_is_acknowledged_again(client: Client, running: Sitting) -> None:
    for _again in range(2):
        said = client.post(
            page(running, "/1/answer"), {"chosen": "a", "base_version": 0}, headers=HTMX
        )
        assert said.status_code == 200
    assert GivenAnswer.objects.get().version == 1


def test_without_a_script_a_conflict_is_asked_about_on_the_page(
    client: Client, running: Sitting
) -> None:
    send = page(running, "/2/answer")
    client.post(send, {"chosen": ["a"], "base_version": 0})
    other = client.post(send, {"chosen": ["b", "c"], "base_version": 0})
    assert other.status_code == 409
    assert '<input type="hidden" name="chosen" value="b">' in text(other)
    assert 'name="over" value="1"' in text(other)


def test_a_question_is_flagged_and_listed(client: Client, running: Sitting) -> None:
    client.post(page(running, "/2/flag"), {"flagged": "yes"})
    assert "You flagged 1 question." in text(client.get(page(running, "/review")))
    client.post(page(running, "/2/flag"))
    assert "You flagged" not in text(client.get(page(running, "/review")))


@pytest.mark.parametrize(
    ("number", "fields", "said"),
    [
        (1, {"chosen": "q"}, "There is no option"),
        (1, {"chosen": ["a", "b"]}, "Choose one option"),
        (3, {"number": "about 5"}, "Write one number in digits"),
        (4, {"line-nine": "x"}, "There is no line"),
    ],
)
def test_what_is_no_answer_is_said_and_not_kept(
    client: Client, running: Sitting, number: int, fields: dict[str, str], said: str
) -> None:
    refused = client.post(page(running, f"/{number}/answer"), {**fields, "base_version": "x"})
    assert refused.status_code == 422
    assert said in text(refused)
    assert not GivenAnswer.objects.exists()


def test_questions_that_are_not_there_and_sittings_not_begun(
    client: Client, sitting: Sitting
) -> None:
    assert client.get(page(sitting, "/1")).headers["Location"] == page(sitting)
    assert client.get(page(sitting, "/result")).headers["Location"] == page(sitting)
    assert client.post(page(sitting, "/hand-in")).headers["Location"] == page(sitting)
    late = client.post(page(sitting, "/1/answer"), {"chosen": "a"})
    assert late.headers["Location"] == page(sitting)
    client.post(page(sitting, "/begin"), {"as": "list"})
    assert client.get(page(sitting, "/5")).status_code == 404
    assert client.post(page(sitting, "/0/answer"), {"chosen": "a"}).status_code == 404


def test_keys_stay_hidden_after_the_end_where_the_office_says_so(
    client: Client, running: Sitting
) -> None:
    Sitting.objects.update(shows_keys=False)
    ended = text(client.post(page(running, "/hand-in"), follow=True))
    assert "0 of 4 right" in ended
    assert [word for word in SECRETS if word in ended] == []


@pytest.mark.parametrize(
    ("who", "status"), [("owner", 302), ("adviser", 302), ("outsider", 404), (None, 302)]
)
def test_only_the_applicant_sits(
    client_of: Opened,
    running: Sitting,
    who: str | None,
    status: int,
    request: pytest.FixtureRequest,
) -> None:
    person = request.getfixturevalue(who) if who else None
    answer = client_of(person).get(page(running))
    assert answer.status_code == status
    sent = client_of(person).post(page(running, "/1/answer"), {"chosen": "b", "base_version": 0})
    assert sent.status_code == (302 if who is None else 404)
    assert not GivenAnswer.objects.exists()


def test_each_item_stands_with_its_cautions(client: Client, running: Sitting) -> None:
    first, third = (text(client.get(page(running, f"/{number}"))) for number in (1, 3))
    assert "Not for patient care." in first
    assert "Local protocols, product labels and your supervisor prevail" in first
    assert "A caution of the model." in third


def test_practice_explains_after_each_answer_and_keeps_the_first(
    client: Client, practice: Sitting
) -> None:
    before = text(client.get(page(practice, "/1")))
    assert "secret-" not in before
    asked = client.post(page(practice, "/1/answer"), {"base_version": 0})
    assert "Answer first, a guess will do." in text(asked)
    told = text(client.post(page(practice, "/1/answer"), {"chosen": "a"}, follow=True))
    for word in ("secret-explanation-one", "secret-error-one", "secret-error-two", "secret-study"):
        assert word in told
    client.post(page(practice, "/1/answer"), {"chosen": "b", "over": "1"})
    assert GivenAnswer.objects.get().answer == {"chosen": ["a"]}


def test_practice_goes_through_every_question_in_an_order_of_its_own(
    client: Client, practice: Sitting
) -> None:
    seen = []
    for _turn in range(4):
        here = client.get(page(practice)).headers["Location"]
        number = int(here.rpartition("/")[2])
        seen.append(number)
        fields = {"chosen": "a"} if number < 3 else {"number": "1", "line-one": "x"}
        client.post(f"{here}/answer", {**fields, "base_version": 0})
    assert sorted(seen) == [1, 2, 3, 4]


def test_a_form_sat_from_two_windows_begins_once(
    applicant: Account, sitting: Sitting, time_stands: Clock
) -> None:
    first = store.begin(sitting, actor=applicant, now=time_stands.now).began_at
    time_stands.pass_minutes(3)
    assert store.begin(sitting, actor=applicant, now=time_stands.now).began_at == first


def test_the_last_question_of_a_list_comes_back_to_the_list(
    client: Client, running: Sitting, form: ExamForm
) -> None:
    assert form.n_items == 4
    sent = {"chosen": "b", "base_version": 0, "go": "all"}
    answer = client.post(page(running, "/1/answer"), sent)
    assert answer.headers["Location"] == page(running, "/all")


def test_in_a_closed_case_nothing_is_sat_but_everything_is_read(
    client: Client, running: Sitting, time_stands: Clock
) -> None:
    running.case.closed_at = time_stands.now
    running.case.save()
    assert client.get(page(running, "/1")).status_code == 200
    for tail in ("/1/answer", "/1/flag", "/hand-in", "/begin"):
        assert client.post(page(running, tail), {"chosen": "b"}).status_code == 403
    assert not GivenAnswer.objects.exists()
