"""An office of many, filled and then served: ``python -m tests.bench.desk.serving FOLDER N``."""

from __future__ import annotations

import json
import os
import sys
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

N_USERS = 50
N_THREADS = 8
_AT_ONCE = 500


def main(folder: Path, n_applicants: int) -> None:
    """Fill the office, write down who is signed in, and serve until told to stop."""
    os.environ.update(
        COMITY_HOME=str(folder), COMITY_DEMO="1", DJANGO_SETTINGS_MODULE="tests.bench.desk.settings"
    )
    import django  # noqa: PLC0415 - the environment comes first

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415
    from waitress.server import create_server  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    said = fill(n_applicants)
    from comity.desk.wsgi import application  # noqa: PLC0415

    server: Any = create_server(application, host="127.0.0.1", port=0, threads=N_THREADS)
    said["port"] = server.effective_port
    (folder / "office.tmp").write_text(json.dumps(said), encoding="utf-8")
    (folder / "office.tmp").rename(folder / "office.json")
    server.run()


def fill(n_applicants: int) -> dict[str, Any]:
    """Fill an office with the demo's people over and over; return sessions and cases to ask for."""
    from django.conf import settings  # noqa: PLC0415
    from django.test import Client  # noqa: PLC0415

    from comity.desk import clock  # noqa: PLC0415
    from comity.desk.accounts.starting import BACKEND  # noqa: PLC0415
    from comity.store.demo import fill_demo_office  # noqa: PLC0415
    from comity.store.models import Account, Case, Role  # noqa: PLC0415

    fill_demo_office(clock.today_at())
    originals = list(Case.objects.prefetch_related("spans", "marks").order_by("reference"))
    for number in range(3):
        Account.objects.create_account(
            f"m{number}@demo.example", "no password at all", name=f"Member {number}", role="adviser"
        )
    members = list(Account.objects.exclude(role=Role.APPLICANT).order_by("pk"))
    numbers = range(n_applicants - len(originals))
    for first in range(0, len(numbers), _AT_ONCE):
        _copy(originals, numbers[first : first + _AT_ONCE], members)
    sessions = []
    for number in range(N_USERS):
        client = Client()
        client.force_login(members[number % len(members)], backend=BACKEND)
        sessions.append(client.cookies[settings.SESSION_COOKIE_NAME].value)
    return {
        "cookie": settings.SESSION_COOKIE_NAME,
        "form_cookie": settings.CSRF_COOKIE_NAME,
        "sessions": sessions,
        "cases": list(_asked_for(n_applicants)),
    }


def _copy(originals: Sequence[Any], numbers: range, members: Sequence[Any]) -> None:
    """Add copies of the demo's cases under other names, with their rows, actions and records."""
    from comity.desk import clock  # noqa: PLC0415
    from comity.store import audit  # noqa: PLC0415
    from comity.store.models import Action, Case, Mark, Span  # noqa: PLC0415
    from comity.store.writing import writing  # noqa: PLC0415

    today = clock.now().date()
    cases, actions = [], []
    spans: list[Any] = []
    marks: list[Any] = []
    for number in numbers:
        original = originals[number % len(originals)]
        case = _renamed(original, number, members[number % len(members)])
        cases.append(case)
        for kind, rows, kept in ((Span, original.spans, spans), (Mark, original.marks, marks)):
            for row in rows.all():
                columns = [each.attname for each in kind._meta.concrete_fields]
                same = {name: getattr(row, name) for name in columns if name != "id"}
                kept.append(kind(**{**same, "case_id": case.pk}))
        if number % 5 == 0:
            case.next_day = today + timedelta(days=number % 120 - 60)
            actions.append(Action(case=case, text="Ask for the letter", due=case.next_day))
    with writing():
        Case.objects.bulk_create(cases)
        for several in (spans, marks, actions):
            type(several[0]).objects.bulk_create(several, batch_size=2000)
        for case in cases:
            audit.record("case/added", actor=case.adviser, case=case, detail={"n": 1})


def _renamed(original: Any, number: int, adviser: Any) -> Any:  # noqa: ANN401 - rows of models
    from comity.store.models import Case  # noqa: PLC0415

    reference, name = f"b-{number:05}", f"{original.name} {number}"
    lines = original.document.splitlines(keepends=True)
    heads = {"applicant:": f"applicant: {reference}\n", "name:": f"name: {name}\n"}
    document = "".join(heads.get(line.split(" ")[0], line) for line in lines)
    return Case(
        reference=reference,
        name=name,
        document=document,
        adviser=adviser,
        spans_of=original.spans_of,
    )


def _asked_for(n_applicants: int) -> Iterator[dict[str, str]]:
    """Yield cases of all kinds with a post to change, and the mark of that post."""
    from comity.service.editing import mark_of  # noqa: PLC0415
    from comity.store.converters import applicant_of  # noqa: PLC0415
    from comity.store.models import Case  # noqa: PLC0415

    step = max(1, n_applicants // 60)
    for case in Case.objects.filter(reference__startswith="b-").order_by("reference")[::step]:
        applicant = applicant_of(case)
        posts = applicant.facts.practice
        if posts:
            yield {
                "id": str(case.pk),
                "entry": posts[0].id,
                "base": mark_of(applicant, "practice", posts[0].id),
            }


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
