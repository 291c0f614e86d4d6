"""The intake: one question a page, kept at once, taken back, resumed by whoever has the case."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from comity.store.audit import detail_of, verify
from comity.store.cases import add_case, change_document, close_case
from comity.store.models import AuditRecord, Case, Office, StoredEdition
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from django.test.client import _MonkeyPatchedWSGIResponse as Response

    from comity.store.models import Account

    Opened = Callable[[Account | None], Client]


@pytest.fixture(autouse=True)
def rulebooks() -> tuple[StoredEdition, ...]:
    """Keep every edition of the demo, in force."""
    return all_kept()


@pytest.fixture
def new_case(applicant: Account, adviser: Account) -> Case:
    """Return a case of which nothing is known but a name."""
    case = add_case("# From the fair\napplicant: nia\nname: Nia Adeyinka\n", actor=adviser)
    Case.objects.filter(pk=case.pk).update(account=applicant)
    return case


def address(case: Case, more: str = "") -> str:
    """Return where the intake of a case is."""
    return f"/cases/{case.pk}/intake{more}"


def path_in(response: Response) -> str:
    """Return the fact that a page asks for."""
    found = re.search(r'name="path" value="([^"]+)"', response.content.decode())
    assert found is not None, response.content.decode()
    return found.group(1)


def document_of(case: Case) -> str:
    """Return what stands in the case now."""
    return Case.objects.get(pk=case.pk).document


def answer(client: Client, case: Case, **filled: str) -> Response:
    """Answer the question that is asked now."""
    path = path_in(client.get(address(case)))
    return client.post(address(case), {"path": path, **filled})


# --------------------------------------------------------------------------------- who gets in


@pytest.mark.parametrize("who", ["owner", "adviser", "applicant"])
def test_members_and_the_applicant_are_asked(
    who: str, new_case: Case, client_of: Opened, request: pytest.FixtureRequest
) -> None:
    response = client_of(request.getfixturevalue(who)).get(address(new_case))
    assert response.status_code == 200
    assert "6 of 6 licences are still open" in response.content.decode()


@pytest.mark.parametrize("more", ["", "/answers"])
def test_an_outsider_learns_nothing(
    more: str, new_case: Case, outsider: Account, client_of: Opened
) -> None:
    assert client_of(outsider).get(address(new_case, more)).status_code == 404


def test_an_outsider_answers_nothing(new_case: Case, outsider: Account, client_of: Opened) -> None:
    client = client_of(outsider)
    filled = {"path": "qualifications", "written": "Diploma"}
    assert client.post(address(new_case), filled).status_code == 404
    assert client.post(address(new_case, "/back")).status_code == 404
    assert document_of(new_case) == new_case.document


@pytest.mark.parametrize("more", ["", "/answers"])
def test_nobody_in_particular_is_sent_to_sign_in(
    more: str, new_case: Case, client_of: Opened
) -> None:
    response = client_of(None).get(address(new_case, more))
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in")


def test_a_closed_case_is_asked_nothing_and_can_be_read(
    new_case: Case, owner: Account, client_of: Opened
) -> None:
    close_case(new_case, actor=owner)
    client = client_of(owner)
    assert client.get(address(new_case)).status_code == 403
    response = client.get(address(new_case, "/answers"))
    assert response.status_code == 200
    assert "Go on with the questions" not in response.content.decode()


# ----------------------------------------------------------------------------------- questions


def test_an_answer_stands_in_the_document_at_once(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    response = answer(client_of(applicant), new_case, written="BSc Dietetics")
    assert response.status_code == 302
    text = document_of(new_case)
    assert "BSc Dietetics" in text
    assert text.startswith("# From the fair\n")


def test_every_answer_is_in_the_history_with_who_gave_it(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    answer(client_of(applicant), new_case, written="BSc Dietetics")
    record = AuditRecord.objects.filter(case_id=new_case.pk).order_by("-sequence")[0]
    assert (record.action, record.actor) == ("intake/answered", f"account/{applicant.pk}")
    detail = detail_of(record)
    assert detail is not None
    assert (detail["path"], detail["before"]) == ("qualifications", new_case.document)
    assert verify().is_sound


def test_what_one_does_not_know_is_not_asked_again(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    first = path_in(client.get(address(new_case)))
    client.post(address(new_case), {"path": first, "dont-know": "1"})
    assert path_in(client.get(address(new_case))) != first
    assert f"- {first}" in document_of(new_case)


def test_none_is_an_answer(new_case: Case, applicant: Account, client_of: Opened) -> None:
    client = client_of(applicant)
    first = path_in(client.get(address(new_case)))
    client.post(address(new_case), {"path": first, "none": "1"})
    assert f"{first}: []" in document_of(new_case)


def test_what_cannot_be_taken_is_shown_again_with_what_is_amiss(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    response = answer(client_of(applicant), new_case, written="2019-05-03")
    page = response.content.decode()
    assert response.status_code == 422
    assert "That looks like a day; here names are asked for." in page
    assert ">2019-05-03</textarea>" in page
    assert document_of(new_case) == new_case.document


def test_an_empty_answer_is_asked_again(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    response = answer(client_of(applicant), new_case, written="  ")
    assert response.status_code == 422
    assert "Please fill something in" in response.content.decode()


def test_a_question_that_was_answered_elsewhere_keeps_nothing_twice(
    new_case: Case, applicant: Account, adviser: Account, client_of: Opened
) -> None:
    answer(client_of(adviser), new_case, written="BSc Dietetics")
    before = document_of(new_case)
    client = client_of(applicant)
    filled = {"path": "qualifications", "written": "Something else"}
    response = client.post(address(new_case), filled, follow=True)
    assert "That question is no longer open" in response.content.decode()
    assert document_of(new_case) == before


def test_a_fact_that_is_not_asked_for_cannot_be_written(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    filled = {"path": "declarations/conviction", "chosen": "no"}
    client_of(applicant).post(address(new_case), filled)
    assert document_of(new_case) == new_case.document


def test_it_goes_on_where_it_was_left_by_whoever_has_the_case(
    new_case: Case, applicant: Account, adviser: Account, client_of: Opened
) -> None:
    answer(client_of(applicant), new_case, written="BSc Dietetics")
    one, other = (path_in(client_of(who).get(address(new_case))) for who in (applicant, adviser))
    assert one == other != "qualifications"


# ----------------------------------------------------------------------------------- taken back


def test_the_first_question_has_nothing_to_take_back(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    assert "Take my last answer back" not in client.get(address(new_case)).content.decode()
    response = client.post(address(new_case, "/back"), follow=True)
    assert "There is no answer to take back" in response.content.decode()


def test_answers_are_taken_back_one_after_the_other(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    texts, paths = [document_of(new_case)], []
    for filled in ({"written": "BSc Dietetics"}, {"none": "1"}, {"dont-know": "1"}):
        paths.append(path_in(client.get(address(new_case))))
        client.post(address(new_case), {"path": paths[-1], **filled})
        texts.append(document_of(new_case))
    assert len(set(texts)) == 4
    for text, path in zip(reversed(texts[:-1]), reversed(paths), strict=True):
        client.post(address(new_case, "/back"))
        assert document_of(new_case) == text
        assert path_in(client.get(address(new_case))) == path
    assert "Take my last answer back" not in client.get(address(new_case)).content.decode()


def test_another_answer_after_one_taken_back_can_be_taken_back_too(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    answer(client, new_case, written="BSc Dietetics")
    between = document_of(new_case)
    answer(client, new_case, none="1")
    client.post(address(new_case, "/back"))
    answer(client, new_case, **{"dont-know": "1"})
    client.post(address(new_case, "/back"))
    assert document_of(new_case) == between
    client.post(address(new_case, "/back"))
    assert document_of(new_case) == new_case.document


def test_nothing_is_taken_back_over_somebody_else_s_change(
    new_case: Case, applicant: Account, adviser: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    answer(client, new_case, written="BSc Dietetics")
    current = Case.objects.get(pk=new_case.pk)
    change_document(
        current, f"{current.document}# seen\n", base_version=current.version, actor=adviser
    )
    client.post(address(new_case, "/back"))
    assert "BSc Dietetics" in document_of(new_case)
    assert document_of(new_case).endswith("# seen\n")


# ---------------------------------------------------------------------------------------- close


def test_the_end_is_a_plain_answer_with_its_cautions(
    new_case: Case, applicant: Account, client_of: Opened
) -> None:
    client = client_of(applicant)
    response = client.get(address(new_case))
    for _step in range(60):
        if response.status_code == 302:
            break
        client.post(address(new_case), {"path": path_in(response), "dont-know": "1"})
        response = client.get(address(new_case))
    assert response["Location"] == address(new_case, "/answers")
    page = client.get(address(new_case, "/answers")).content.decode()
    assert "Nothing more that you could tell would change it." in page
    assert "The authority decides" in page
    assert "Before you rely on it" in page


def test_beside_everything_that_is_no_yes_stands_a_person(
    case: Case, applicant: Account, client_of: Opened
) -> None:
    page = client_of(applicant).get(address(case, "/answers")).content.decode()
    cards = re.findall(r'class="verdict verdict-([a-z-]+)"', page)
    assert len(cards) == 6
    n_no = sum(kind != "met" for kind in cards)
    assert page.count("desk@lantern.example") == n_no > 0


def test_what_can_be_mended_has_the_nearest_thing_beside_it(
    case: Case, applicant: Account, client_of: Opened
) -> None:
    page = client_of(applicant).get(address(case, "/answers")).content.decode()
    assert "The nearest thing that would help:" in page


def test_an_applicant_reads_no_percentages_and_no_paths(
    case: Case, applicant: Account, client_of: Opened
) -> None:
    page = client_of(applicant).get(address(case, "/answers")).content.decode()
    main = page.partition("<main")[2].partition("</main>")[0]
    assert "%" not in re.sub(r"<[^>]+>", "", main)
    assert "xa-council/" not in main


def test_without_an_address_of_the_office_the_adviser_is_named(
    case: Case, applicant: Account, client_of: Opened
) -> None:
    Office.objects.update(contact="")
    page = client_of(applicant).get(address(case, "/answers")).content.decode()
    assert "your adviser looks at it with you" in page


def test_before_any_rulebook_nothing_is_asked_and_nothing_is_promised(
    new_case: Case, adviser: Account, client_of: Opened
) -> None:
    StoredEdition.objects.all().delete()
    client = client_of(adviser)
    assert "No rules are read yet" in client.get(address(new_case)).content.decode()
    page = client.get(address(new_case, "/answers")).content.decode()
    assert "No rules are read yet, so there is no answer yet." in page
