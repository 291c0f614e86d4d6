"""The four requirements as Polars expressions, on packed keys, without any per-group function."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import polars as pl

from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet
from tests.bench.engine import tables
from tests.bench.engine.applicants import AS_AT, HORIZON, Applicants
from tests.bench.engine.ours import ENOUGH, FULL_TIME

_ROW: Final = 1 << 17
_MASK: Final = _ROW - 1
_CHANGES: Final = pl.Series(tables.CHANGES_60)


@dataclass(frozen=True, slots=True)
class Frames:
    """The facts as a table of spells and a table of people."""

    spells: pl.DataFrame
    people: pl.DataFrame


def frames_of(applicants: Applicants) -> Frames:
    """Return the facts as Polars holds them."""
    starts, ends, percents = applicants.spells.columns
    spells = {"app": applicants.spells.rows, "start": starts, "end": ends, "pct": percents}
    people = {
        "app": np.arange(applicants.n_rows),
        "qualified": applicants.qualified,
        "issued": applicants.issued,
        "expiry": applicants.expiry,
    }
    return Frames(pl.DataFrame(spells), pl.DataFrame(people))


def _entry(table: Ints, day: pl.Expr) -> pl.Expr:
    """Look days up in a table."""
    return pl.lit(pl.Series(table)).gather(day)


def _day(name: str) -> pl.Expr:
    return pl.col(name) & _MASK


def _levels(spells: pl.LazyFrame) -> pl.LazyFrame:
    """Return the capped daily sum as steps: key, level and how it changed."""
    base = pl.col("app") * _ROW
    starts = spells.select(key=base + pl.col("start"), pct=pl.col("pct"))
    ends = spells.select(key=base + pl.col("end"), pct=-pl.col("pct"))
    return (
        pl.concat([starts, ends])
        .sort("key")
        .with_columns(level=pl.col("pct").cum_sum().clip(upper_bound=FULL_TIME))
        .with_columns(change=pl.col("level").diff().fill_null(pl.col("level").first()))
    )


def _since_qualified(frames: Frames) -> pl.LazyFrame:
    qualified = pl.lit(frames.people["qualified"]).gather(pl.col("app"))
    return (
        frames.spells.lazy()
        .with_columns(start=pl.max_horizontal("start", qualified))
        .filter(pl.col("start") < pl.col("end"))
    )


def _enough(frames: Frames) -> pl.DataFrame:
    """Return the runs of R1: 24 months of full time within the trailing 60."""
    kinks = _kinks(_levels(_since_qualified(frames))).collect()
    above = kinks.lazy().filter(pl.col("lowest") >= 0).select("start", "stop")
    near = kinks.lazy().filter((pl.col("lowest") < 0) & (pl.col("highest") >= 0))
    runs = pl.concat([above, _near_runs(near)]).sort("start").collect()
    # Runs that touch are one.
    firsts = runs.filter((pl.col("start") != pl.col("stop").shift(1)).fill_null(value=True))
    lasts = runs.filter((pl.col("stop") != pl.col("start").shift(-1)).fill_null(value=True))
    return pl.DataFrame({"start": firsts["start"], "stop": lasts["stop"]}).select(
        app=pl.col("start") // _ROW,
        start=_day("start").clip(*HORIZON),
        stop=_day("stop").clip(*HORIZON),
    ).filter(pl.col("start") < pl.col("stop"))  # fmt: skip


def _kinks(levels: pl.LazyFrame) -> pl.LazyFrame:
    """Return the stretches between kinks, with the sum's excess and slope by running totals."""
    moved = levels.filter(pl.col("change") != 0).with_columns(day=_day("key"))
    moved = moved.with_columns(offset=-pl.col("change") * pl.col("day"))
    entering = moved.select(
        "key", "change", "offset", drop=pl.lit(0, pl.Int64), back=pl.lit(0, pl.Int64)
    )
    leaving = moved.select(
        key=pl.col("key") - pl.col("day") + _entry(tables.REACHES_60, pl.col("day")),
        change=pl.lit(0, pl.Int64),
        offset=pl.lit(0, pl.Int64),
        drop=pl.col("change"),
        back=pl.col("offset"),
    )
    level, offset, drop, back = (
        pl.col(each).cum_sum() for each in ("change", "offset", "drop", "back")
    )
    day = _day("start")
    length = pl.col("stop") - pl.col("start")
    change = pl.col("slope") * (length - 1)
    slack = pl.col("drop") * tables.SPAN_60
    return (
        pl.concat([entering, leaving])
        .sort("key")
        .select(
            start=pl.col("key"),
            stop=pl.col("key").shift(-1),
            level=level,
            offset=offset - back,
            drop=drop,
        )
        .filter(pl.col("start") < pl.col("stop"))
        .with_columns(
            slope=pl.col("level") - pl.col("drop"),
            excess=pl.col("offset")
            + pl.col("level") * (day + 1)
            - pl.col("drop") * _entry(tables.FIRST_60, day)
            - ENOUGH,
        )
        .with_columns(
            lowest=pl.col("excess") + pl.min_horizontal(change, 0) - slack,
            highest=pl.col("excess") + pl.max_horizontal(change, 0) + slack,
        )
    )


def _near_runs(near: pl.LazyFrame) -> pl.LazyFrame:
    """Return the runs above the threshold in stretches that may reach it, cut where lags change."""
    day = _day("start")
    n_until = _entry(tables.N_CHANGES_60, day + pl.col("stop") - pl.col("start") - 1)
    n_before = _entry(tables.N_CHANGES_60, day)
    cuts = pl.when(pl.col("drop") == 0).then(n_before).otherwise(n_until)
    cut = (
        near.with_columns(piece=pl.int_range(pl.len()), first=n_before, last=cuts)
        .with_columns(n=pl.int_ranges(pl.col("first") - 1, pl.col("last")))
        .explode("n")
        .with_columns(is_head=pl.col("n") == pl.col("first") - 1)
        .with_columns(
            cut=pl.when("is_head")
            .then(pl.col("start"))
            .otherwise(
                pl.col("start") - day
                + pl.lit(_CHANGES).gather(pl.max_horizontal(pl.col("n"), 0))
            )
        )
        .with_columns(
            until=pl.when(pl.col("piece").shift(-1) == pl.col("piece"))
            .then(pl.col("cut").shift(-1))
            .otherwise(pl.col("stop"))
        )
    )  # fmt: skip
    change = _entry(tables.LAG_60, _day("cut")) - _entry(tables.LAG_60, day)
    slope = pl.col("slope")
    straight = cut.with_columns(
        excess=pl.col("excess")
        + slope * (pl.col("cut") - pl.col("start"))
        + pl.col("drop") * change
    ).with_columns(n_days=pl.col("excess") // pl.max_horizontal(slope.abs(), 1))
    falls, level, held = slope < 0, slope == 0, pl.col("excess") >= 0
    first = pl.max_horizontal(pl.col("cut"), pl.col("cut") - pl.col("n_days"))
    last = pl.min_horizontal(pl.col("cut") + pl.col("n_days") + 1, pl.col("until"))
    return straight.select(
        start=pl.when(falls | (level & held)).then(pl.col("cut")).otherwise(first),
        stop=pl.when(falls)
        .then(last)
        .when(level & ~held)
        .then(pl.lit(0, pl.Int64))
        .otherwise("until"),
    ).filter(pl.col("start") < pl.col("stop"))


def _unbroken_until(frames: Frames, before: int = FOREVER) -> pl.DataFrame:
    """Return for each person the first day on which a gap was too long; `before` if none was."""
    base = pl.col("app") * _ROW
    spells = _since_qualified(frames).filter(pl.col("start") < before)
    starts = pl.concat(
        [
            spells.select(key=base + pl.col("start"), last=base + pl.col("end") - 1),
            frames.people.lazy().select(
                key=base + pl.col("qualified"), last=base + pl.col("qualified")
            ),
        ]
    ).sort("key")
    follows = pl.col("key").shift(-1) // _ROW == pl.col("app")
    gaps = (
        starts.with_columns(app=pl.col("key") // _ROW, last=pl.col("last").cum_max())
        .with_columns(
            following=pl.when(follows).then(_day("key").shift(-1)).otherwise(before),
            exceeded=_entry(tables.AFTER_24, _day("last")) + 1,
        )
        .filter(pl.col("exceeded") < pl.col("following"))
        .group_by("app")
        .agg(until=pl.col("exceeded").min())
    )
    return (
        frames.people.lazy()
        .join(gaps, on="app", how="left", maintain_order="left")
        .select("app", until=pl.col("until").fill_null(before))
        .collect()
    )


def day_sets(frames: Frames) -> tuple[pl.DataFrame, ...]:
    """Return the runs in the horizon of R1 to R4 and of all of them: app, start, stop."""
    enough = _enough(frames)
    until = _unbroken_until(frames)["until"]
    people = frames.people.with_columns(until=until)

    def one_run(start: pl.Expr, stop: pl.Expr) -> pl.LazyFrame:
        clipped = people.lazy().select("app", start=start.clip(*HORIZON), stop=stop.clip(*HORIZON))
        return clipped.filter(pl.col("start") < pl.col("stop"))

    qualified, issued = pl.col("qualified"), pl.col("issued")
    certified_until = _entry(tables.AFTER_6, issued) + 1
    identified_until = _entry(tables.LAST_6, pl.col("expiry")) + 1
    first = pl.max_horizontal(qualified, issued)
    last = pl.min_horizontal(pl.col("until"), certified_until, identified_until)
    both = (
        enough.lazy()
        .join(one_run(first, last), on="app", suffix="_other", maintain_order="left")
        .select(
            "app",
            start=pl.max_horizontal("start", "start_other"),
            stop=pl.min_horizontal("stop", "stop_other"),
        )
        .filter(pl.col("start") < pl.col("stop"))
    )
    rest = [
        one_run(qualified, pl.col("until")),
        one_run(issued, certified_until),
        one_run(pl.lit(0, pl.Int64), identified_until),
        both,
    ]
    return (enough, *pl.collect_all(rest))


def verdicts(frames: Frames) -> pl.DataFrame:
    """Return R1 to R4 and all of them on one day, a row a person."""
    first = int(tables.FIRST_60[AS_AT])
    in_window = (
        _since_qualified(frames)
        .with_columns(
            start=pl.col("start").clip(first, AS_AT + 1), end=pl.col("end").clip(first, AS_AT + 1)
        )
        .filter(pl.col("start") < pl.col("end"))
    )
    amounts = (
        _levels(in_window)
        .select(
            app=pl.col("key") // _ROW,
            amount=pl.col("level") * (pl.col("key").shift(-1) - pl.col("key")),
        )
        .group_by("app")
        .agg(amount=pl.col("amount").sum())
    )
    until = _unbroken_until(frames, AS_AT + 1)["until"]
    answers = (
        frames.people.lazy()
        .with_columns(until=until)
        .join(amounts, on="app", how="left", maintain_order="left")
        .select(
            r1=(pl.col("amount") >= ENOUGH).fill_null(value=False),
            r2=(pl.col("qualified") <= AS_AT) & (pl.col("until") > AS_AT),
            r3=(pl.col("issued") <= AS_AT) & (_entry(tables.AFTER_6, pl.col("issued")) >= AS_AT),
            r4=_entry(tables.LAST_6, pl.col("expiry")) >= AS_AT,
        )
    )
    return answers.with_columns(all=pl.all_horizontal("r1", "r2", "r3", "r4")).collect()


def to_sets(found: tuple[pl.DataFrame, ...], n_rows: int) -> tuple[DaySet, ...]:
    """Return the runs as day-sets, to compare."""
    columns = [[each[name].to_numpy() for name in ("app", "start", "stop")] for each in found]
    return tuple(
        DaySet.from_runs(n_rows, rows, starts=starts, ends=stops) for rows, starts, stops in columns
    )


def to_verdicts(found: pl.DataFrame) -> Bools:
    """Return the answers as an array of shape (5, n_rows), to compare."""
    return found.to_numpy().T
