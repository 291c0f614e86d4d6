"""Headers, cookies, sessions, throttling, errors and logs of the desk as a whole."""

from __future__ import annotations

import io
import logging
import os
import re
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.conf import settings as django_settings
from django.contrib.auth.hashers import identify_hasher
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connection
from django.test import Client, RequestFactory
from django.urls import path as url_path

from comity.desk import clock, errors
from comity.desk import settings as desk_settings
from comity.desk.access import anyone
from comity.desk.logs import SparingFormatter
from comity.desk.urls import urlpatterns as desk_urls
from comity.store.errors import UnreachableError
from comity.store.models import Account, Office
from tests.desk.conftest import PASSWORD

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from django.http import HttpRequest, HttpResponse
    from pytest_django import Settings

    ClientOf = Callable[[Account | None], Client]

ROOT = Path(__file__).resolve().parents[2]
FAULTS: Mapping[str, tuple[Exception, str]] = {
    "full": (OperationalError("database or disk is full"), "The disk of this office is full"),
    "read-only": (
        OperationalError("attempt to write a readonly database"),
        "The office&#x27;s files cannot be written",
    ),
    "locked": (OperationalError("database is locked"), "The office is busy just now"),
    "away": (OperationalError("connection refused"), "The office&#x27;s storage does not answer"),
    "told": (
        UnreachableError("nothing was saved: no space left"),
        "The disk of this office is full",
    ),
}


@anyone
def failing(request: HttpRequest, kind: str) -> HttpResponse:
    """Fail as a view might, with a message that names a person."""
    if kind == "bug":
        raise ValueError("Hana Kwon-Lindqvist, born 1993-06-25")  # noqa: EM101
    if kind == "wrong query":
        raise DatabaseError("no such column: hana")  # noqa: EM101
    raise FAULTS[kind][0]


urlpatterns = [*desk_urls, url_path("failing/<str:kind>", failing, name="failing")]
handler400, handler403 = errors.bad_request, errors.refused
handler404, handler500 = errors.missing, errors.broken


@pytest.fixture
def with_failing_pages(settings: Settings) -> None:
    settings.ROOT_URLCONF = __name__


def test_pages_may_load_and_run_only_what_is_the_desks_own() -> None:
    policy = Client().get("/sign-in").headers["Content-Security-Policy"]
    allowed = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert allowed["default-src"] == "'none'"
    assert (allowed["script-src"], allowed["style-src"]) == ("'self'", "'self'")
    assert allowed["frame-ancestors"] == allowed["base-uri"] == allowed["object-src"] == "'none'"
    assert "unsafe" not in policy


def test_no_template_asks_for_what_the_policy_forbids() -> None:
    forbidden = re.compile(
        r"""<style|\sstyle=|\son(?:click|load|change|input|submit|error|key\w+|focus)=|javascript:|<script>|hx-on|hx-vals=.js:"""
    )
    found = [
        f"{path.name}: {match.group()}"
        for path in (ROOT / "src/comity/desk/templates").rglob("*.html")
        for match in forbidden.finditer(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_no_script_or_sheet_of_ours_keeps_anything_in_the_browser_or_asks_elsewhere() -> None:
    forbidden = re.compile(r"localStorage|sessionStorage|indexedDB|https?://|eval\(|innerHTML")
    ours = [
        path
        for path in (ROOT / "src/comity/desk/static/desk").glob("*.*s")
        if path.suffix in {".js", ".css"}
    ]
    assert [p.name for p in ours if forbidden.search(p.read_text(encoding="utf-8"))] == []
    assert len(ours) >= 3


@pytest.mark.parametrize("path", ["/sign-in", "/me", "/office", "/nothing-here"])
def test_no_page_is_kept_by_a_cache(path: str, owner: Account, client_of: ClientOf) -> None:
    assert client_of(owner).get(path).headers["Cache-Control"] == "no-store"


def test_files_whose_address_names_their_version_are_kept_by_browsers() -> None:
    kept = Client().get("/static/desk/vendor/htmx.org-2.0.11/htmx.min.js")
    ours = Client().get("/static/desk/desk.css")
    assert "immutable" in kept.headers["Cache-Control"]
    assert "immutable" not in ours.headers["Cache-Control"]
    kept.close()
    ours.close()


def test_the_usual_headers_are_there() -> None:
    headers = Client().get("/sign-in").headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"


def test_a_form_from_elsewhere_changes_nothing(owner: Account) -> None:
    client = Client(enforce_csrf_checks=True)
    answer = client.post("/sign-in", {"username": owner.email, "password": PASSWORD})
    assert answer.status_code == 403
    assert "This page had grown too old" in answer.content.decode()
    assert "session" not in client.cookies


def test_the_session_has_a_new_name_after_signing_in(owner: Account) -> None:
    client = Client()
    client.get("/invitation/guess")
    before = client.session.session_key
    client.post("/sign-in", {"username": owner.email, "password": PASSWORD})
    assert client.session.session_key not in {before, None}
    assert client.cookies["session"]["httponly"]
    assert client.cookies["session"]["samesite"] == "Lax"


def test_passwords_are_kept_by_argon2() -> None:
    assert desk_settings.PASSWORD_HASHERS == ["django.contrib.auth.hashers.Argon2PasswordHasher"]


def test_passwords_are_never_kept_as_they_are(owner: Account) -> None:
    assert identify_hasher(owner.password).algorithm
    assert PASSWORD not in owner.password


@pytest.fixture
def advance(monkeypatch: pytest.MonkeyPatch) -> Callable[[timedelta], None]:
    """Return a function that lets time pass."""
    moment: list[datetime] = [clock.instant()]
    monkeypatch.setattr(clock, "instant", lambda: moment[0])

    def advancing(by: timedelta) -> None:
        moment[0] += by

    return advancing


def test_a_session_ends_after_two_idle_hours(
    owner: Account, client_of: ClientOf, advance: Callable[[timedelta], None]
) -> None:
    client = client_of(owner)
    client.get("/me")
    advance(timedelta(hours=1, minutes=59))
    assert client.get("/me").status_code == 200
    advance(timedelta(hours=2, minutes=1))
    assert client.get("/me", follow=True).redirect_chain == [("/sign-in?next=/me", 302)]


def test_a_session_ends_after_twelve_hours_however_busy(
    owner: Account, client_of: ClientOf, advance: Callable[[timedelta], None]
) -> None:
    client = client_of(owner)
    for _hour in range(12):
        assert client.get("/me").status_code == 200
        advance(timedelta(hours=1))
    advance(timedelta(minutes=1))
    answer = client.get("/me", follow=True)
    assert "You were signed out after a while, to keep things safe." in answer.content.decode()


def test_looking_at_pages_does_not_write_at_every_look(
    owner: Account, client_of: ClientOf, advance: Callable[[timedelta], None]
) -> None:
    client = client_of(owner)
    client.get("/me")
    seen = client.session["seen"]
    advance(timedelta(seconds=59))
    client.get("/me")
    assert client.session["seen"] == seen
    advance(timedelta(seconds=2))
    client.get("/me")
    assert client.session["seen"] == seen + 61


def test_guessing_a_password_is_throttled_and_says_so(owner: Account) -> None:
    guess = {"username": owner.email, "password": "not this one at all"}
    answers = [Client().post("/sign-in", guess).status_code for _guess in range(7)]
    assert answers == [422] * 5 + [429] * 2
    right = Client().post("/sign-in", {"username": owner.email, "password": PASSWORD})
    assert right.status_code == 429
    assert "Too many attempts" in right.content.decode()


def test_others_can_sign_in_while_one_address_is_throttled(
    owner: Account, adviser: Account
) -> None:
    for _guess in range(7):
        Client().post("/sign-in", {"username": owner.email, "password": "not this one at all"})
    answer = Client().post("/sign-in", {"username": adviser.email, "password": PASSWORD})
    assert answer.status_code == 302


def test_the_demos_people_sign_in_in_the_demo_only(owner: Account, settings: Settings) -> None:
    given = {"username": owner.email, "password": PASSWORD}
    Office.objects.update(is_demo=True)
    assert Client().post("/sign-in", given).status_code == 422
    settings.DEMO = True
    assert Client().post("/sign-in", given).status_code == 302


def test_real_people_do_not_sign_in_in_the_demo(owner: Account, settings: Settings) -> None:
    settings.DEMO = True
    answer = Client().post("/sign-in", {"username": owner.email, "password": PASSWORD})
    assert answer.status_code == 422


def test_the_demo_says_on_every_page_that_it_is_one(settings: Settings) -> None:
    settings.DEMO = True
    shown = Client().get("/invitation/guess").content.decode()
    assert "Demonstration with invented people. The day here is 25 November 2026." in shown


def test_the_demos_password_is_shown_in_the_demo_only(owner: Account, settings: Settings) -> None:
    assert "demonstration" not in Client().get("/sign-in").content.decode()
    settings.DEMO = True
    assert "demonstration" in Client().get("/sign-in").content.decode()


@pytest.mark.usefixtures("with_failing_pages")
@pytest.mark.parametrize("kind", FAULTS)
def test_a_fault_of_the_storage_has_a_page_that_says_what_to_do(kind: str) -> None:
    answer = Client().get(f"/failing/{kind}")
    assert answer.status_code == 503
    assert answer.headers["Retry-After"] == "5"
    assert FAULTS[kind][1] in answer.content.decode()
    assert "What you last sent was not kept." in answer.content.decode()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("pragma", "back", "said"),
    [
        ("query_only = ON", "query_only = OFF", "files cannot be written"),
        ("max_page_count = 1", "max_page_count = 1073741823", "disk of this office is full"),
    ],
)
def test_a_database_that_takes_nothing_more_has_its_page(
    pragma: str, back: str, said: str, owner: Account, client_of: ClientOf
) -> None:
    client = client_of(owner)
    much = {"label": "x" * 100, "days": "30"}
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")  # pages that other tests set free would still take rows
        cursor.execute(f"PRAGMA {pragma}")
        try:
            answers = [client.post("/me/tokens", much) for _one in range(60)]
        finally:
            cursor.execute(f"PRAGMA {back}")
    assert answers[-1].status_code == 503
    assert said in answers[-1].content.decode()
    n_shown_as_made = sum(answer.status_code == 200 for answer in answers)
    assert owner.tokens.count() == n_shown_as_made
    assert client.get("/me").status_code == 200


@pytest.mark.usefixtures("with_failing_pages")
@pytest.mark.parametrize("kind", ["bug", "wrong query"])
def test_our_own_mistake_has_a_page_that_tells_nothing_of_it(kind: str) -> None:
    answer = Client(raise_request_exception=False).get(f"/failing/{kind}")
    shown = answer.content.decode()
    assert answer.status_code == 500
    assert "Something broke on our side" in shown
    assert "hana" not in shown.lower()


def test_a_session_that_cannot_be_read_has_a_page_too(
    owner: Account, client_of: ClientOf, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = client_of(owner)
    client.raise_request_exception = False

    def away(*_given: object) -> None:
        message = "database is locked"
        raise OperationalError(message)

    monkeypatch.setattr("comity.desk.middleware._keep_or_end", away)
    answer = client.get("/me")
    assert (answer.status_code, "busy just now" in answer.content.decode()) == (503, True)


@pytest.mark.parametrize(
    ("page", "status", "title"),
    [
        (errors.bad_request, 400, "That request could not be read"),
        (errors.refused, 403, "This is not open to you"),
        (errors.missing, 404, "There is nothing here"),
        (errors.broken, 500, "Something broke on our side"),
        (errors.throttled, 429, "Too many attempts"),
    ],
)
def test_error_pages_are_whole_pages_with_a_way_on(
    page: Callable[[HttpRequest], HttpResponse], status: int, title: str
) -> None:
    answer = page(RequestFactory().get("/cases/secret"))
    shown = answer.content.decode()
    assert answer.status_code == status
    assert f"<h1>{title}</h1>" in shown
    assert 'href="/"' in shown
    assert "secret" not in shown


def test_a_host_that_is_not_ours_is_refused() -> None:
    answer = Client().get("/sign-in", headers={"host": "elsewhere.example"})
    assert answer.status_code == 400


@pytest.fixture
def log() -> io.StringIO:
    """Return what the desk's log would say."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(SparingFormatter())
    logging.getLogger("django").addHandler(handler)
    return written


@pytest.mark.usefixtures("with_failing_pages")
def test_the_log_tells_where_it_broke_and_nothing_of_whom(log: io.StringIO) -> None:
    Client(raise_request_exception=False).get("/failing/bug?name=Hana")
    line, kind, *places = log.getvalue().splitlines()
    assert re.fullmatch(
        r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z ERROR django.request: 500 GET /failing/<str:kind>",
        line,
    )
    assert kind == "ValueError"
    assert any("in failing" in place for place in places)
    assert "Hana" not in log.getvalue()


def test_the_log_keeps_no_link(log: io.StringIO) -> None:
    Client().get("/invitation/a-secret-token")
    assert "404 GET /invitation/<str:token>" in log.getvalue()
    assert "a-secret-token" not in log.getvalue()


def test_the_log_keeps_no_address_that_is_none(log: io.StringIO) -> None:
    Client().get("/hana/kwon")
    assert "404 GET an unknown address" in log.getvalue()


def test_a_forged_form_is_logged(log: io.StringIO) -> None:
    Client(enforce_csrf_checks=True).post("/sign-in", {"username": "hana@people.example"})
    assert "403 POST /sign-in" in log.getvalue()
    assert "hana" not in log.getvalue()


def in_production(*arguments: str, home: Path) -> subprocess.CompletedProcess[str]:
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("COMITY_", "DJANGO_"))
    }
    environment = {**kept, "COMITY_HOME": str(home), "COMITY_HOSTS": "desk.lantern.example"}
    command = [sys.executable, "-m", "django", *arguments, "--settings=comity.desk.settings"]
    return subprocess.run(
        command, env=environment, capture_output=True, text=True, check=False, cwd=ROOT
    )


def test_the_settings_of_a_real_office_pass_djangos_own_check(tmp_path: Path) -> None:
    checked = in_production("check", "--deploy", "--fail-level", "INFO", home=tmp_path)
    assert checked.stderr == ""
    assert "no issues" in checked.stdout


def test_a_real_office_speaks_tls_only_and_offers_no_mirrored_language(tmp_path: Path) -> None:
    told = in_production(
        "shell",
        "--no-imports",
        "-c",
        "from django.conf import settings as s; print("
        "s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SECURE_SSL_REDIRECT, s.DEBUG,"
        " s.SECURE_HSTS_SECONDS >= 31536000, len(s.LANGUAGES), s.SESSION_COOKIE_NAME,"
        " s.CSRF_COOKIE_NAME)",
        home=tmp_path,
    )
    assert told.stdout.split() == [
        *("True", "True", "True", "False", "True", "1"),
        *("__Host-session", "__Host-form"),
    ]


def test_no_change_of_a_model_lacks_its_migration() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_secrets_are_in_no_settings_of_the_code() -> None:
    assert len(django_settings.SECRET_KEY) == 64
    assert "secret(" in Path(desk_settings.__file__).read_text(encoding="utf-8")
