"""A forecast as files: the daily quantiles as CSV, and one picture."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from math import isfinite
from pathlib import Path

from tankside.lifecycle.results.outcome import DayOutcome, Quantiles
from tankside.present.figures import Band, Clearing, Figure, as_file, forecast_chart
from tankside.records.whole_file import write_whole
from tankside.report.page_follow import as_band, bands, seen_on_worst, what_is_counted
from tankside.services.forecast import Ahead, Forecast

LEVELS = ("low", "lower", "middle", "upper", "high")
SHARES = ("clear", "left", "no_fish")


def write_csv(found: Forecast, target: str | Path) -> None:
    """Write the quantiles of every day, one row for each course, day and number.

    Raises:
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), as_csv(found).encode("utf-8"))


def as_csv(found: Forecast) -> str:
    """Return the quantiles of every day as CSV.

    Columns: course, day, date, what, q05, q25, q50, q75, q95. Shares of runs stand under q50
    alone; a number that is not defined (no fish left) is empty, one that is never reached too.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("course", "day", "date", "what", "q05", "q25", "q50", "q75", "q95"))
    for ahead in found.ahead:
        for day in ahead.days:
            when = found.day_at(day.day).isoformat()
            for what, values in _rows(day):
                writer.writerow((ahead.name, day.day, when, what, *values))
    return out.getvalue()


def _rows(day: DayOutcome) -> Iterator[tuple[str, tuple[str, ...]]]:
    spreads: dict[str, Quantiles | None] = {
        "counted": day.counted,
        "burden_per_fish": day.burden,
        "burden": day.on_fish,
        "bottom": day.bottom,
        "swimmers": day.swimmers,
        "alive": day.all_alive,
        **{f"alive.{group}": one for group, one in day.alive.items()},
    }
    for what, found in spreads.items():
        yield what, tuple("" if found is None else _n(getattr(found, at)) for at in LEVELS)
    for what in SHARES:
        yield f"share_{what}", ("", "", f"{getattr(day, what).share:.4f}", "", "")


def _n(value: float) -> str:
    return f"{value:.6g}" if isfinite(value) else ""


def write_figure(found: Forecast, target: str | Path) -> None:
    """Draw the forecast to a file, its kind told by the ending of its name.

    Raises:
        BadInput: E-PRINT-03 another kind of file.
        NotPossible: E-PRINT-02 when the drawing library is not installed.
        CouldNotSave: the disk refused.
    """
    path = Path(target)
    write_whole(path, as_file(figure_of(found), path.suffix.lower()))


def figure_of(found: Forecast) -> Figure:
    """Return the picture of a forecast: counted, there, and the day of clearance of 20 runs."""
    first = found.ahead[0]
    return forecast_chart(
        bands(first),
        _there(first),
        seen_on_worst(found.case.view, found) if found.spots else (),
        [Clearing(ahead.name, ahead.end.clear.words, ahead.clear_days) for ahead in found.ahead],
        what=what_is_counted(found),
        course=first.name,
    )


def _there(ahead: Ahead) -> list[Band]:
    return [as_band(day.day, day.burden) for day in ahead.days if day.burden is not None]
