"""The course on a time line: bars for what lasts, marks for what is done once."""

from __future__ import annotations

from tankside.course import CourseRun
from tankside.course.actions import Air, Carbon, Fast, Light, Resume, UltraViolet
from tankside.course.actions.action import Action
from tankside.present.clock import CaseClock
from tankside.present.figures.figure import INK, Figure, Spec, chart
from tankside.present.table import Table
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY

NAMES = {
    "dose": "dose",
    "water_change": "water change",
    "siphon": "siphon the bottom",
    "salt": "salt step",
    "titrate": "dose by test",
    "strength_test": "test strength",
    "warm": "warm or cool",
    "transfer": "move fish",
    "bath": "bath",
    "count": "count",
    "take_reading": "measure water",
    "medicated_feed": "medicated feed",
    "fine_filter": "fine filter",
}


def course_chart(run: CourseRun, clock: CaseClock) -> Figure:
    """Return the time line of a course.

    Args:
        run: the course with its lines.
        clock: when hour 0 was, for the dates in the table.
    """
    marks, bars = _marks_and_bars(run)
    order = list(dict.fromkeys([str(row["what"]) for row in (*bars, *marks)]))
    last = clock.day(run.course.days - 1)
    sentence = (
        f"{run.course.name}: {run.course.days} days to {day_words(last)}, {len(run.lines)} steps, "
        f"{len(run.amounts)} of them with an amount. Bars last, diamonds are done once."
    )
    row = {"field": "what", "type": "nominal", "sort": order, "title": None,
           "axis": {"labelLimit": 200, "grid": True}}  # fmt: skip
    day = {"field": "day", "type": "quantitative", "title": "days since the start",
           "scale": {"domain": [0, run.course.days]}}  # fmt: skip
    layers: list[Spec] = [
        {"data": {"values": bars}, "mark": {"type": "bar", "height": 10, "color": INK,
                                            "opacity": 0.35},
         "encoding": {"y": row, "x": day, "x2": {"field": "end"}}},
        {"data": {"values": marks}, "mark": {"type": "point", "shape": "diamond", "filled": True,
                                             "size": 90, "color": INK, "opacity": 1},
         "encoding": {"y": row, "x": day}},
    ]  # fmt: skip
    rows = tuple(
        (
            day_words(clock.day_of(line.hour)),
            f"{clock.local(line.hour):%H:%M}",
            line.text,
        )
        for line in run.lines
    )
    spec = chart(sentence, 24 * max(1, len(order)), layers)
    return Figure("course", spec, sentence, Table("every step", ("day", "time", "what"), rows))


def _marks_and_bars(run: CourseRun) -> tuple[list[dict[str, object]], list[dict[str, object]]]:
    marks: list[dict[str, object]] = []
    bars: list[dict[str, object]] = []
    open_bars: dict[str, float] = {}
    for line in run.lines:
        action = run.course.actions[line.action]
        at = line.hour / HOURS_PER_DAY
        state = _lasting(action)
        if state is None:
            marks.append({"what": NAMES.get(line.kind, line.kind), "day": at})
            continue
        name, begins = state
        if begins:
            open_bars.setdefault(name, at)
        elif name in open_bars:
            bars.append({"what": name, "day": open_bars.pop(name), "end": at})
        else:
            marks.append({"what": f"{name} ends", "day": at})
    bars += [{"what": n, "day": at, "end": run.course.days} for n, at in open_bars.items()]
    return marks, bars


def _lasting(action: Action) -> tuple[str, bool] | None:
    """Return the name of a lasting state and whether this step begins it."""
    match action:
        case Air(on=on):
            return "air stone on", on
        case Carbon(in_water=there):
            return "carbon out", not there
        case UltraViolet(on=on):
            return "UV off", not on
        case Fast():
            return "no food", True
        case Resume():
            return "no food", False
        case Light(hours_per_day=hours):
            return "dark", not hours > 0
        case _:
            return None
