"""A small network: two checks side by side, a paper that lapses, an application."""

from __future__ import annotations

from typing import Final

from comity.core.days.period import Period
from comity.core.days.workdays import WorkCalendar
from comity.core.plan.network import After, Duration, Network, Sitting, Sittings, Step

FIRST: Final = 46_350
"""Thursday 2026-11-26."""
WEEKDAYS: Final = WorkCalendar()
EXAMINATION: Final = Sittings(
    tuple(Sitting(FIRST + 45 + 60 * k, FIRST + 20 + 60 * k) for k in range(12)),
    p_pass=0.62,
    attempts=4,
    wait=Period(days=30),
)


THREE_MONTHS: Final = Period(months=3)


def route(*, lasts: Period = THREE_MONTHS, sittings: Sittings | None = EXAMINATION) -> Network:
    """Return verification and examination side by side, then submission and decision."""
    papers = {"standing": (5, 40, 12), "police": (5, 60, 20), "health": (2, 15, 5)}
    return Network.of(
        (
            Step("verify", "Verify the degree", "verifier", Duration(20, 90, 35), WEEKDAYS,
                 not_before=FIRST),
            Step("exam", "Pass the examination", "applicant", Duration.fixed(10), WEEKDAYS,
                 not_before=FIRST + 5, sittings=sittings),
            *(
                Step(name, f"Get the {name} certificate", "issuer", Duration(a, b, m), WEEKDAYS,
                     not_before=FIRST, lasts=lasts, used_by=("submit",))
                for name, (a, b, m) in papers.items()
            ),
            Step("submit", "Submit", "applicant", Duration.fixed(0),
                 after=(After("verify"), After("exam"))),
            Step("decide", "Decide", "authority", Duration(10, 60, 25), WEEKDAYS,
                 after=(After("submit"),)),
        )
    )  # fmt: skip
