"""A forecast as files: the daily quantiles as CSV, and one picture."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from math import isfinite
from pathlib import Path

from tankside.lifecycle.results.outcome import DayOutcome, Quantiles
from tankside.present.figures import as_file
from tankside.records.whole_file import write_whole
from tankside.report.forecast_drawings import figure_of
from tankside.services.forecast_answer import ForecastAnswer

LEVELS = ("low", "lower", "middle", "upper", "high")
SHARES = ("clear", "left", "no_fish")


def write_csv(answer: ForecastAnswer, target: str | Path) -> None:
    """Write the quantiles of every day, one row for each course, day and number.

    Raises:
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), as_csv(answer).encode("utf-8"))


def as_csv(answer: ForecastAnswer) -> str:
    """Return the quantiles of every day as CSV.

    Columns: course, day, date, what, q05, q25, q50, q75, q95. Shares of runs stand under q50
    alone; a number that is not defined (no fish left) is empty, one that is never reached too.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("course", "day", "date", "what", "q05", "q25", "q50", "q75", "q95"))
    for course in answer.courses:
        for day in course.days:
            when = answer.day_at(day.day).isoformat()
            for what, values in _rows(day):
                writer.writerow((course.name, day.day, when, what, *values))
    return out.getvalue()


def _rows(day: DayOutcome) -> Iterator[tuple[str, tuple[str, ...]]]:
    spreads: dict[str, Quantiles | None] = {
        "counted": day.counted,
        "burden_per_fish": day.burden,
        "burden": day.on_fish,
        "bottom": day.bottom,
        "swimmers": day.swimmers,
        "alive": day.all_alive,
        **{f"alive.{group}": alive for group, alive in day.alive.items()},
    }
    for what, spread in spreads.items():
        yield what, tuple("" if spread is None else _n(getattr(spread, at)) for at in LEVELS)
    for what in SHARES:
        yield f"share_{what}", ("", "", f"{getattr(day, what).share:.4f}", "", "")


def _n(value: float) -> str:
    return f"{value:.6g}" if isfinite(value) else ""


def write_figure(answer: ForecastAnswer, target: str | Path) -> None:
    """Draw the forecast to a file, its kind told by the ending of its name.

    Raises:
        BadInput: E-PRINT-03 another kind of file.
        NotPossible: E-PRINT-02 when the drawing library is not installed.
        CouldNotSave: the disk refused.
    """
    path = Path(target)
    write_whole(path, as_file(figure_of(answer), path.suffix.lower()))
