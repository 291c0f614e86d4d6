"""The list of rulebooks, an edition to read, and what changed between two."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import pytest

from comity.service.rulebooks import shown
from comity.store.converters import edition_in
from comity.store.models import StoredEdition
from tests.desk.editions import all_kept, demo_text, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Opened = Callable[[Account | None], Client]

PAGES = (
    "/rulebooks",
    "/rulebooks/new",
    "/rulebooks/refresh",
    "/rulebooks/xa-council/2027",
    "/rulebooks/xa-council/2027/edit",
    "/rulebooks/xa-council/2027/new-from",
    "/rulebooks/xa-council/2027/diff/2025",
    "/rulebooks/xa-council/2027/impact",
    "/rulebooks/xa-council/2027/impact/part",
    "/rulebooks/xa-council/2027/put-in-force",
)
POSTS = (
    "/rulebooks/new",
    "/rulebooks/check",
    "/rulebooks/refresh",
    "/rulebooks/xa-council/2027/edit",
    "/rulebooks/xa-council/2027/new-from",
    "/rulebooks/xa-council/2027/put-in-force",
    "/rulebooks/xa-council/2025/withdraw",
)


def words(client: Client, address: str) -> str:
    """Return what a page says, in one line."""
    response = client.get(address)
    assert response.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


@pytest.mark.usefixtures("old", "new", "case")
class TestWhoGetsIn:
    """Rulebooks are the office's own work."""

    @pytest.mark.parametrize("who", ["owner", "adviser"])
    def test_members_see_every_page(
        self, who: str, client_of: Opened, request: pytest.FixtureRequest
    ) -> None:
        client = client_of(request.getfixturevalue(who))
        assert {page: client.get(page).status_code for page in PAGES} == dict.fromkeys(PAGES, 200)

    @pytest.mark.parametrize("who", ["applicant", "outsider"])
    def test_applicants_find_nothing_there(
        self, who: str, client_of: Opened, request: pytest.FixtureRequest
    ) -> None:
        client = client_of(request.getfixturevalue(who))
        assert {client.get(page).status_code for page in PAGES} == {404}
        assert {client.post(page).status_code for page in POSTS} == {404}
        assert StoredEdition.objects.get(edition="2027").state == "draft"

    def test_nobody_in_particular_is_sent_to_sign_in(self, client_of: Opened) -> None:
        client = client_of(None)
        for response in (*map(client.get, PAGES), *map(client.post, POSTS)):
            assert response.status_code == 302
            assert response["Location"].startswith("/sign-in")

    def test_what_is_not_there_is_not_found(self, owner: Account, client_of: Opened) -> None:
        client = client_of(owner)
        for page in PAGES[3:]:
            assert client.get(page.replace("2027", "1999", 1)).status_code == 404


# ---------------------------------------------------------------------------------------- list


def test_the_list_names_authorities_editions_states_and_readings(
    owner: Account, client_of: Opened
) -> None:
    all_kept()
    StoredEdition.objects.filter(edition="2027").update(state="draft")
    said = words(client_of(owner), "/rulebooks")
    assert "Cindral Board of Dietetics" in said
    assert "Halvenian Council of Nutrition Professions XA" in said
    newest = said.index("2027 draft")
    assert newest < said.index("2025 in force")
    assert "where submission falls from 2026-01-01 on 9 Nov 2026" in said


def test_a_stale_edition_is_marked_with_the_day_it_should_have_been_read(
    owner: Account, client_of: Opened
) -> None:
    text = demo_text("XC", "2026").replace("read: 2026-11-09", "read: 2024-11-09", 1)
    kept("XC", "2026", text=text)
    said = words(client_of(owner), "/rulebooks")
    assert "to be read again" in said
    assert "should have been read again by 9 Sept 2025" in said
    page = words(client_of(owner), "/rulebooks/xc-board/2026")
    assert "was last read against its sources on 9 November 2024" in page


def test_an_office_without_rules_is_told_how_to_begin(owner: Account, client_of: Opened) -> None:
    assert "No rules are read yet" in words(client_of(owner), "/rulebooks")


def test_an_edition_that_cannot_be_read_is_listed_all_the_same(
    owner: Account, client_of: Opened
) -> None:
    kept("XA", "2027", state="draft", text="rulebook: [")
    assert "xa-council" in words(client_of(owner), "/rulebooks")
    said = words(client_of(owner), "/rulebooks/xa-council/2027")
    assert "This text cannot be read yet" in said


# ------------------------------------------------------------------------------------- reading


@pytest.mark.parametrize(("folder", "name"), [("XA", "2025"), ("XB", "2026"), ("XC", "2026")])
def test_the_page_says_every_sentence_of_the_edition_in_order(
    folder: str, name: str, owner: Account, client_of: Opened
) -> None:
    stored = kept(folder, name)
    said = words(client_of(owner), f"/rulebooks/{stored.authority}/{name}")
    edition, _problems = edition_in(stored.text)
    at = 0
    for section in shown(edition)["sections"]:
        for line in section["lines"]:
            text = " ".join(line["text"].split())
            at = said.find(text, at)
            assert at >= 0, text


def test_an_invented_rulebook_says_so(
    old: StoredEdition, owner: Account, client_of: Opened
) -> None:
    said = words(client_of(owner), f"/rulebooks/{old.authority}/{old.edition}")
    assert "Fictional: invented for demonstration; no such authority exists." in said


@pytest.mark.usefixtures("old", "new")
def test_the_difference_goes_from_the_earlier_edition_to_the_later(
    owner: Account, client_of: Opened
) -> None:
    client = client_of(owner)
    one = words(client, "/rulebooks/xa-council/2027/diff/2025")
    other = words(client, "/rulebooks/xa-council/2025/diff/2027")
    assert one == other
    assert "from edition 2025 to edition 2027" in one
    assert "Course in Halvenian food law" in one
