"""The calendar against RFC 5545, read back by a reader of its own that shares nothing with it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from comity.files.calendar_feed import Event, calendar_text, uid_of
from tests.unit.core.rulebook.samples import day

ORDER = Event(
    "amara/xa/dietitian/do/order",
    day("2027-03-08"),
    "Ask for the certificate; good standing, Zdeňka’s \\ copy",
    "First line\nSecond line, with a comma and a very long tail that has to be folded "
    "since no line of the file may have more than seventy-five octets: ünïcödé ünïcödé",
    day("2026-11-25"),
    3,
)
DECISION = Event("amara/xa/dietitian/reach/d", day("2026-12-31"), "Decision", "", day("2026-11-25"))


def unfolded(text: str) -> list[str]:
    """Return content lines, RFC 5545 section 3.1: CRLF, folded lines begin with white space."""
    assert "\n" not in text.replace("\r\n", "")
    assert text.endswith("\r\n")
    return re.sub("\r\n[ \t]", "", text).removesuffix("\r\n").split("\r\n")


def parsed(text: str) -> list[dict[str, str]]:
    """Return the components in order, each with its name under BEGIN and values unescaped."""
    found: list[dict[str, str]] = []
    stack: list[dict[str, str]] = []
    for line in unfolded(text):
        name, value = line.split(":", 1)
        if name == "BEGIN":
            stack.append({"BEGIN": value})
        elif name == "END":
            assert stack[-1]["BEGIN"] == value
            found.append(stack.pop())
        else:
            key = name.split(";")[0]
            assert key not in stack[-1]
            # Section 3.3.11: \\ \; \, \n are the only escapes of text.
            stack[-1][key] = re.sub(
                r"\\(.)", lambda match: "\n" if match[1] in "nN" else match[1], value
            )
    assert stack == []
    return found


def test_every_line_is_at_most_75_octets_long() -> None:
    """RFC 5545, section 3.1."""
    lines = calendar_text([ORDER, DECISION]).split("\r\n")
    assert max(len(line.encode("utf-8")) for line in lines) <= 75


def test_what_has_to_stand_in_a_calendar_and_an_event_stands_there_once() -> None:
    """RFC 5545, sections 3.6 (PRODID, VERSION) and 3.6.1 (UID, DTSTAMP, DTSTART)."""
    *inner, calendar = parsed(calendar_text([ORDER, DECISION]))
    assert calendar["BEGIN"] == "VCALENDAR"
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    events = [each for each in inner if each["BEGIN"] == "VEVENT"]
    assert len(events) == 2
    for event in events:
        assert {"UID", "DTSTAMP", "DTSTART", "SUMMARY"} <= set(event)
        assert re.fullmatch(r"\d{8}T\d{6}Z", event["DTSTAMP"])


def test_a_whole_day_ends_on_the_day_after_which_does_not_belong_to_it() -> None:
    """RFC 5545, section 3.6.1: DTEND is exclusive."""
    first = next(e for e in parsed(calendar_text([DECISION])) if e["BEGIN"] == "VEVENT")
    start, end = (date.fromisoformat(first[key]) for key in ("DTSTART", "DTEND"))
    assert (start, end) == (date(2026, 12, 31), date(2027, 1, 1))
    assert end - start == timedelta(days=1)


def test_texts_come_back_as_they_were() -> None:
    event = next(e for e in parsed(calendar_text([ORDER])) if e["BEGIN"] == "VEVENT")
    assert event["SUMMARY"] == ORDER.summary
    assert event["DESCRIPTION"] == ORDER.description


def test_an_alarm_shows_the_summary_some_days_before() -> None:
    """RFC 5545, section 3.6.6: a DISPLAY alarm has ACTION, DESCRIPTION and TRIGGER."""
    components = parsed(calendar_text([ORDER, DECISION]))
    alarms = [each for each in components if each["BEGIN"] == "VALARM"]
    assert [(a["ACTION"], a["DESCRIPTION"], a["TRIGGER"]) for a in alarms] == [
        ("DISPLAY", ORDER.summary, "-P2DT15H")
    ]


def test_an_event_keeps_its_identifier_when_its_day_moves_and_tells_nobody_whose_it_is() -> None:
    moved = Event(ORDER.key, ORDER.on + 9, ORDER.summary, "", ORDER.as_of + 7, 3)
    before, after = (
        next(e for e in parsed(calendar_text([each])) if e["BEGIN"] == "VEVENT")
        for each in (ORDER, moved)
    )
    assert before["UID"] == after["UID"] == uid_of(ORDER.key)
    assert int(after["SEQUENCE"]) > int(before["SEQUENCE"])
    assert "amara" not in before["UID"]
    assert uid_of(ORDER.key) != uid_of(DECISION.key)


def test_the_same_events_give_the_same_text_in_whatever_order_they_come() -> None:
    assert calendar_text([ORDER, DECISION]) == calendar_text([DECISION, ORDER])
