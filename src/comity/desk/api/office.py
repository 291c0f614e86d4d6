"""What concerns the whole office: what needs a person, rulebooks, and the token itself."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from ninja import Query, Router

from comity.core.days.calendar import iso
from comity.desk import clock
from comity.desk.access import member_of
from comity.desk.api.asked import EditionQuery, NeedQuery
from comity.desk.api.bodies import YAML
from comity.desk.api.cases import token_of
from comity.desk.api.endpoints import reading
from comity.desk.api.plain import answered, edition_data, page_of, person, some_of, tagged
from comity.desk.api.refusals import problems_of
from comity.desk.api.shapes import TokenShape
from comity.desk.api.shapes_work import EditionPage, EditionShape, NeedPage
from comity.desk.needs.found import found_for
from comity.desk.needs.words import said
from comity.service.needs import Need, in_order
from comity.store.converters import file_of_edition, loaded_edition
from comity.store.models import StoredEdition

router = Router(tags=["Office"])
MOST_OF_A_SORT = 1000
"""Needs of each sort that are looked for, those due first."""


@router.get("/token", **reading("api-token", TokenShape))
def read_token(request: HttpRequest) -> HttpResponse:
    """Return what is known of the token: whose it is, what it opens, and until when."""
    token = token_of(request)
    return answered(
        {
            "label": token.label,
            "scopes": token.scopes,
            "expires_at": token.expires_at,
            "owner": person(token.account),
            "role": token.account.role,
        }
    )


@router.get("/needs", **reading("api-needs", NeedPage, query=NeedQuery))
def list_needs(request: HttpRequest, asked: Query[NeedQuery]) -> HttpResponse:
    """Return what needs a person now, in the order of the first page."""
    mine = member_of(request) if asked.whose == "mine" else None
    today = clock.today_at()
    needs = found_for(mine, at_most=MOST_OF_A_SORT).needs
    ordered = [
        (group.urgency, need) for group in in_order(needs, today=today) for need in group.needs
    ]
    found, numbers = some_of(ordered, asked, total=len(ordered))
    items = [_need(urgency, need, today=today) for urgency, need in found]
    return answered({**numbers, "items": items})


def _need(urgency: str, need: Need, *, today: int) -> dict[str, object]:
    words = said(need, today=today)
    whose = need.whose
    return {
        "urgency": urgency,
        "sort": need.sort,
        "holder": need.holder,
        "day": None if need.day is None else iso(need.day),
        "case": whose.mark if whose else None,
        "name": whose.name if whose else None,
        "adviser": whose.adviser or None if whose else None,
        "reason": words.reason,
        "action": words.action,
        "address": words.address,
    }


@router.get("/rulebooks", **reading("api-rulebooks", EditionPage, query=EditionQuery))
def list_editions(request: HttpRequest, asked: Query[EditionQuery]) -> HttpResponse:
    """Return the editions of all rulebooks, by authority."""
    del request
    rows = StoredEdition.objects.defer("text").order_by("authority", "edition")
    if asked.authority is not None:
        rows = rows.filter(authority=asked.authority)
    if asked.state is not None:
        rows = rows.filter(state=asked.state)
    found, numbers = page_of(rows, asked)
    return answered({**numbers, "items": [edition_data(each) for each in found]})


@router.get("/rulebooks/{authority}/{edition}", **reading("api-rulebook", EditionShape))
def read_edition(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Return one edition: its text, its titles, and what is wrong with it."""
    del request
    stored = _stored(authority, edition)
    found = loaded_edition(stored.text, file_of_edition(stored))
    read = found.files[0].edition if found.files else None
    data = {
        **edition_data(stored),
        "authority_name": read.authority.name if read else None,
        "titles": [{"id": each.id, "name": each.name} for each in read.titles] if read else [],
        "text": stored.text,
        "problems": problems_of(found.problems),
    }
    return answered(data, version=stored.version)


@router.get(
    "/rulebooks/{authority}/{edition}/text",
    **reading("api-rulebook-text", str, openapi_extra={"x-media-type": YAML}),
)
def read_edition_text(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Return one edition's file as it is kept, comments included."""
    del request
    stored = _stored(authority, edition)
    response = HttpResponse(stored.text.encode("utf-8"), content_type=YAML)
    return tagged(response, stored.version)


def _stored(authority: str, edition: str) -> StoredEdition:
    if not (authority + edition).isprintable():  # Postgres knows no NUL
        raise Http404
    return get_object_or_404(StoredEdition, authority=authority, edition=edition)
