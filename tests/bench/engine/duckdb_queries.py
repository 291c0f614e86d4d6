"""The four requirements in SQL, with window functions and ready-made calendar tables."""

# ruff: noqa: S608 - the queries are put together from our own names and numbers

from __future__ import annotations

from typing import Final

import duckdb
import numpy as np
import pandas as pd

from comity.core.days.calendar import FOREVER, Bools
from comity.core.days.dayset import DaySet
from tests.bench.engine import tables
from tests.bench.engine.applicants import AS_AT, HORIZON, Applicants
from tests.bench.engine.ours import ENOUGH, FULL_TIME

SETS: Final = ("r1", "r2", "r3", "r4", "every")
_FROM, _TO = HORIZON

_PRACTICE: Final = """
create or replace temp table practice as
select s.app, greatest(s.start, p.qualified) as start, s.stop, s.pct
from spells s join people p using (app)
where greatest(s.start, p.qualified) < s.stop {more};
"""

_LEVELS: Final = f"""
changes as (
    select app, start as day, pct from practice union all select app, stop, -pct from practice
), days as (
    select app, day, sum(pct)::bigint as pct from changes group by app, day
), levels as (
    select app, day,
        least({FULL_TIME}, (sum(pct) over w)::bigint) as level
    from days
    window w as (partition by app order by day rows between unbounded preceding and current row)
)"""

_ENOUGH: Final = f"""
create or replace temp table r1 as
with {_LEVELS}, moved as (
    select app, day, level - lag(level, 1, 0) over (partition by app order by day) as change
    from levels
), kinks as (
    select app, day, change, -change * day as shift, 0 as gone, 0 as back
    from moved where change != 0
    union all
    select m.app, c.reaches, 0, 0, m.change, -m.change * m.day
    from moved m join calendar c on c.day = m.day where m.change != 0
), running as (
    select app, day as start, lead(day) over w as stop,
        (sum(change) over w)::bigint as level, (sum(gone) over w)::bigint as gone,
        (sum(shift - back) over w)::bigint as shift
    from kinks
    window w as (partition by app order by day rows between unbounded preceding and current row)
), pieces as (
    select r.app, r.start, r.stop, r.gone, c.lag, c.n_changes, r.level - r.gone as slope,
        r.shift + r.level * (r.start + 1) - r.gone * c.first_day - {ENOUGH} as excess
    from running r join calendar c on c.day = r.start where r.start < r.stop
), bounds as (
    select *,
        excess + least(slope * (stop - start - 1), 0) - gone * {tables.SPAN_60} as lowest,
        excess + greatest(slope * (stop - start - 1), 0) + gone * {tables.SPAN_60} as highest
    from pieces
), near as (
    select b.*, case when b.gone = 0 then b.n_changes else c.n_changes end as n_until
    from bounds b join calendar c on c.day = b.stop - 1
    where lowest < 0 and highest >= 0
), numbered as (
    select *, unnest(range(n_changes, n_until + 1)) as n from near
), cut as (
    select b.*,
        case when b.n = b.n_changes then b.start else f.day end as cut,
        case when b.n = b.n_changes then b.lag else f.lag end as lag_at_cut,
        case when b.n = b.n_until then b.stop else t.day end as until
    from numbered b left join lag_changes f on f.n = b.n left join lag_changes t on t.n = b.n + 1
), lines as (
    select app, cut, until, slope,
        excess + slope * (cut - start) + gone * (lag_at_cut - lag) as excess
    from cut
), runs as (
    select app, start, stop from bounds where lowest >= 0
    union all
    select app,
        case when slope > 0 and excess < 0 then cut + (-excess + slope - 1) // slope else cut end,
        case when slope < 0 then least(until, cut + excess // -slope + 1) else until end
    from lines where excess >= 0 or slope > 0
), marked as (
    select app, start, stop,
        coalesce(start != lag(stop) over w, true)::int as is_first
    from runs where start < stop window w as (partition by app order by start)
), grouped as (
    select *, (sum(is_first) over w)::bigint as run from marked
    window w as (partition by app order by start rows between unbounded preceding and current row)
), joined as (
    select app, greatest(min(start), {_FROM}) as start, least(max(stop), {_TO}) as stop
    from grouped group by app, run
)
select * from joined where start < stop;
"""

_UNBROKEN: Final = """
create or replace temp table unbroken as
with marks as (
    select app, start, stop - 1 as last from practice
    union all select app, qualified, qualified from people
), gaps as (
    select app, max(last) over w as last, lead(start, 1, {before}) over w as following
    from marks
    window w as (partition by app order by start rows between unbounded preceding and current row)
)
select g.app, coalesce(min(c.after_24 + 1) filter (c.after_24 + 1 < g.following), {before}) as until
from gaps g join calendar c on c.day = g.last group by g.app;
"""


def _one_run(name: str, start: str, stop: str) -> str:
    """Return the query of a set with one run a person."""
    return f"""
create or replace temp table {name} as
select * from (
    select p.app, greatest({start}, {_FROM}) as start, least({stop}, {_TO}) as stop
    from people p join unbroken u using (app)
    join calendar i on i.day = p.issued join calendar e on e.day = p.expiry
) where start < stop;
"""


_REST: Final = (
    _one_run("r2", "p.qualified", "u.until"),
    _one_run("r3", "p.issued", "i.after_6 + 1"),
    _one_run("r4", "0", "e.last_6 + 1"),
    _one_run(
        "three",
        "greatest(p.qualified, p.issued)",
        "least(u.until, i.after_6 + 1, e.last_6 + 1)",
    ),
    """
create or replace temp table every as
select * from (
    select a.app, greatest(a.start, b.start) as start, least(a.stop, b.stop) as stop
    from r1 a join three b using (app)
) where start < stop;
""",
)

_VERDICTS: Final = f"""
create or replace temp table verdicts as
with {_LEVELS}, amounts as (
    select app, sum(level * (following - day)) as amount
    from (select *, lead(day) over (partition by app order by day) as following from levels)
    group by app
), answers as (
    select p.app, coalesce(a.amount >= {ENOUGH}, false) as r1,
        p.qualified <= {AS_AT} and u.until > {AS_AT} as r2,
        p.issued <= {AS_AT} and i.after_6 >= {AS_AT} as r3, e.last_6 >= {AS_AT} as r4
    from people p left join amounts a using (app) join unbroken u using (app)
    join calendar i on i.day = p.issued join calendar e on e.day = p.expiry
)
select *, r1 and r2 and r3 and r4 as every from answers;
"""


def connect(applicants: Applicants) -> duckdb.DuckDBPyConnection:
    """Return a database in memory with the facts and the calendar."""
    starts, stops, percents = applicants.spells.columns
    connection = duckdb.connect()
    frames = {
        "spells": {"app": applicants.spells.rows, "start": starts, "stop": stops, "pct": percents},
        "people": {
            "app": np.arange(applicants.n_rows),
            "qualified": applicants.qualified,
            "issued": applicants.issued,
            "expiry": applicants.expiry,
        },
        "calendar": {
            "day": tables.DAYS,
            "first_day": tables.FIRST_60,
            "reaches": tables.REACHES_60,
            "lag": tables.LAG_60,
            "n_changes": tables.N_CHANGES_60,
            "after_24": tables.AFTER_24,
            "after_6": tables.AFTER_6,
            "last_6": tables.LAST_6,
        },
        "lag_changes": {
            "n": np.arange(1, tables.CHANGES_60.size + 1),
            "day": tables.CHANGES_60,
            "lag": tables.LAG_60[tables.CHANGES_60],
        },
    }
    for name, columns in frames.items():
        connection.register("frame", pd.DataFrame(columns))
        connection.execute(f"create table {name} as select * from frame")
        connection.unregister("frame")
    return connection


def day_sets(connection: duckdb.DuckDBPyConnection) -> None:
    """Make the tables r1 to r4 and every: app, start, stop."""
    for query in (
        _PRACTICE.format(more=""),
        _ENOUGH,
        _UNBROKEN.format(before=FOREVER),
        *_REST,
    ):
        connection.execute(query)


def verdicts(connection: duckdb.DuckDBPyConnection) -> None:
    """Make the table of verdicts on one day."""
    first = int(tables.FIRST_60[AS_AT])
    connection.execute(_PRACTICE.format(more=f"and greatest(s.start, p.qualified) <= {AS_AT}"))
    connection.execute(_UNBROKEN.format(before=AS_AT + 1))
    connection.execute(
        f"""create or replace temp table practice as
        select app, greatest(start, {first}) as start, least(stop, {AS_AT + 1}) as stop, pct
        from practice where stop > {first}"""
    )
    connection.execute(_VERDICTS)


def to_sets(connection: duckdb.DuckDBPyConnection, n_rows: int) -> tuple[DaySet, ...]:
    """Return the tables as day-sets, to compare."""
    found = []
    for name in SETS:
        query = f"select app, start, stop from {name}"
        columns = connection.execute(query).fetchnumpy()
        rows, starts, stops = (
            np.asarray(columns[each], np.int64) for each in ("app", "start", "stop")
        )
        found.append(DaySet.from_runs(n_rows, rows, starts=starts, ends=stops))
    return tuple(found)


def to_verdicts(connection: duckdb.DuckDBPyConnection) -> Bools:
    """Return the verdicts as an array of shape (5, n_rows), to compare."""
    columns = connection.execute("select r1, r2, r3, r4, every from verdicts order by app")
    return np.array(list(columns.fetchnumpy().values()), np.bool_)
