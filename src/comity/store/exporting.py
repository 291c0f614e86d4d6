"""Everything an applicant gave, and was given, in one file for them to take along."""

from __future__ import annotations

import hashlib
import io
import json
import mimetypes
import zipfile
from typing import TYPE_CHECKING, Any, Final

from comity.service.applicant_json import applicant_as_json
from comity.store.consents import disclosures
from comity.store.converters import applicant_of
from comity.store.given import content_of, give
from comity.store.models import Given

if TYPE_CHECKING:
    from datetime import datetime

    from comity.store.models import Account, Case

_README: Final = """\
Everything that this office keeps of what you gave it, and what it gave out.

applicant.yaml     your file, as it is kept
applicant.json     the same for programs
account.json       how you sign in
actions.json       what you were asked to do
consents.json      what you agreed to, and took back
calendars.json     at which addresses your calendar could be read; never the address itself
disclosures.json   who got what of your case, and when
sittings.json      examinations you sat here, and what you answered
given/             each brief, message and letter, as it was given
"""


def export(case: Case, *, recipient: str, actor: Account | None, now: datetime) -> bytes:
    """Return a zip of everything of an applicant; it is noted as given out.

    Notes that the office made for itself are not in it.

    Parameters
    ----------
    case : Case
        Whose.
    recipient : str
        Who gets it.
    actor : Account or None
        Who hands it out.
    now : datetime
        When; it dates the files inside.

    Raises
    ------
    UnreadableError
        When this version cannot read the file that an older one kept.
    """
    files = _files(case)
    manifest = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    # What was exported stands elsewhere in the case; kept is which files, not once more what.
    give(
        case,
        sort=Given.Sort.EXPORT,
        content=_json(manifest),
        media_type="application/json",
        recipient=recipient,
        assessments=(),
        actor=actor,
    )
    return _zipped({**files, "SHA256.json": _json(manifest)}, now)


def _files(case: Case) -> dict[str, bytes]:
    files = {
        "README.txt": _README.encode("utf-8"),
        "applicant.yaml": case.document.encode("utf-8"),
        "applicant.json": _json(applicant_as_json(applicant_of(case))),
        "account.json": _json(_account(case.account)),
        "actions.json": _json(_actions(case)),
        "consents.json": _json(
            list(case.consents.order_by("pk").values("purpose", "given_at", "withdrawn_at"))
        ),
        "calendars.json": _json(
            list(case.feeds.order_by("pk").values("label", "made_at", "last_read_at", "revoked_at"))
        ),
        "disclosures.json": _json(
            [
                {"at": each.at, "what": each.what, "to": each.recipient, "sha256": each.sha256}
                for each in disclosures(case)
            ]
        ),
        "sittings.json": _json(_sittings(case)),
    }
    for row in case.given.exclude(sort=Given.Sort.EXPORT).order_by("pk"):
        content = content_of(row)
        if content is not None:
            suffix = mimetypes.guess_extension(row.media_type.split(";")[0]) or ""
            files[f"given/{row.given_at:%Y-%m-%d}-{row.sort}-{row.pk}{suffix}"] = content
    return files


def _account(account: Account | None) -> dict[str, Any] | None:
    if account is None:
        return None
    return {"email": account.email, "name": account.name, "language": account.language}


def _actions(case: Case) -> list[dict[str, Any]]:
    rows = case.actions.filter(is_for_applicant=True).order_by("pk")
    return [dict(each) for each in rows.values("text", "holder", "due", "created_at", "done_at")]


def _sittings(case: Case) -> dict[str, Any]:
    """Return what was sat and answered; no key is in it, others may yet sit the same form."""
    rows = case.sittings.select_related("form").order_by("given_at", "pk")
    columns = ("item", "answer", "is_flagged", "answered_at", "mark", "mark_reason")
    sittings = [
        {
            "form": each.form.name,
            "mode": each.mode,
            "given_at": each.given_at,
            "began_at": each.began_at,
            "handed_in_at": each.handed_in_at,
            "extra_percent": each.extra_percent,
            "answers": list(each.answers.order_by("pk").values(*columns)),
        }
        for each in rows
    ]
    places = case.cohort_places.select_related("cohort").order_by("pk")
    return {"classes": [each.cohort.name for each in places], "sittings": sittings}


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, indent=2, default=str).encode("utf-8")


def _zipped(files: dict[str, bytes], now: datetime) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, date_time=now.timetuple()[:6])
            file.writestr(entry, content, compress_type=zipfile.ZIP_DEFLATED)
    return stream.getvalue()
