"""Single facts changed by programs: the rest of the file stays as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from comity.demo.caseload import demo_files
from comity.store import audit
from comity.store.cases import add_case
from comity.store.converters import applicant_of
from tests.desk.api.conftest import Caller, kind_of, last_record, said

if TYPE_CHECKING:
    from comity.store.models import Account, Case

HANA = demo_files()["applicants/hana.yaml"]


def entries(found: Any, section: str) -> dict[str, Any]:  # noqa: ANN401 - JSON
    return {each["id"]: each for each in found["document"]["facts"][section]}


def test_an_entry_is_changed_added_and_taken_out_and_comments_stay(
    owner: Account, caller: Caller
) -> None:
    case = add_case(f"# The diploma is with the school.\n{HANA}", actor=owner)
    address = f"cases/{case.pk}/facts/practice"
    before = entries(said(caller("GET", f"cases/{case.pk}"), 200), "practice")
    name = next(iter(before))
    found = said(
        caller(
            "PATCH",
            f"{address}/{name}",
            {"version": 1, "fields": {"employer": "Vesterholt Clinic"}},
        ),
        200,
    )
    assert entries(found, "practice")[name] == {**before[name], "employer": "Vesterholt Clinic"}
    assert last_record().action == "case/facts changed"
    detail = audit.detail_of(last_record())
    assert detail is not None
    assert (detail["section"], detail["entry"]) == ("practice", name)

    added = said(
        caller("POST", address, {"version": 2, "fields": {"start": "2019-03", "end": "2020"}}), 201
    )
    [new] = set(entries(added, "practice")) - set(before)
    assert entries(added, "practice")[new]["start"] == "2019-03"

    taken = caller("DELETE", f"{address}/{new}", headers={"If-Match": '"3"'})
    assert set(entries(said(taken, 200), "practice")) == set(before)
    case.refresh_from_db()
    assert case.document.startswith("# The diploma is with the school.\n")
    assert (case.version, audit.verify().is_sound) == (4, True)


def test_a_section_that_is_no_list_is_changed(case: Case, caller: Caller) -> None:
    sent = {"version": 1, "fields": {"name": "Hana Lindqvist"}}
    found = said(caller("PATCH", f"cases/{case.pk}/facts/about", sent), 200)
    assert (found["name"], found["version"]) == ("Hana Lindqvist", 2)


def test_that_there_is_nothing_of_a_section_is_kept(owner: Account, caller: Caller) -> None:
    case = add_case("applicant: nobody\nas_of: 2026-11-25\n", actor=owner)
    found = said(caller("PUT", f"cases/{case.pk}/facts/papers/none", {"version": 1}), 200)
    assert found["document"]["papers"] == []


def test_what_cannot_be_taken_is_told_by_field(case: Case, caller: Caller) -> None:
    name = applicant_of(case).facts.practice[0].id  # type: ignore[index]  # (hana has posts)
    address = f"cases/{case.pk}/facts/practice/{name}"
    sent = {"version": 1, "fields": {"start": "soon", "employr": "Clinic"}}
    problems = said(caller("PATCH", address, sent), 422)["problems"]
    assert [(each["code"], each["at"], each["hint"]) for each in problems] == [
        ("A102", "body/fields/employr", "did you mean employer?")
    ]
    sent = {"version": 1, "fields": {"start": "soon"}}
    [mended] = said(caller("PATCH", address, sent), 422)["problems"]
    assert (mended["code"], mended["at"], mended["got"]) == ("A104", "body/fields/start", "soon")
    assert mended["expected"]
    case.refresh_from_db()
    assert case.version == 1


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("POST", "facts/nothing"),
        ("POST", "facts/about"),
        ("PATCH", "facts/practice"),
        ("PATCH", "facts/practice/nothing"),
        ("PATCH", "facts/about/x"),
        ("PUT", "facts/about/none"),
        ("DELETE", "facts/papers/nothing"),
        ("PATCH", "actions/99999999999999999999999"),
    ],
)
def test_what_is_not_there_is_not_changed(
    method: str, path: str, case: Case, caller: Caller
) -> None:
    sent: dict[str, Any] = {"version": 1, "fields": {"start": "2020"}}
    sent = {"version": 1} if path.endswith("none") or "actions" in path else sent
    headers = {"If-Match": '"1"'} if method == "DELETE" else {}
    body = None if method == "DELETE" else sent
    answer = caller(method, f"cases/{case.pk}/{path}", body, headers=headers)
    assert kind_of(answer, 404) == "not-there"


def test_a_stale_fact_is_told_with_what_stands_there(case: Case, caller: Caller) -> None:
    address = f"cases/{case.pk}/facts/about"
    said(caller("PATCH", address, {"version": 1, "fields": {"name": "Hana K."}}), 200)
    answer = caller("PATCH", address, {"version": 1, "fields": {"name": "Hana L."}})
    assert kind_of(answer, 409) == "stale"
    assert said(answer, 409)["current"]["document"]["name"] == "Hana K."
