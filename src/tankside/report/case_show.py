"""What a case says now, for a terminal and as one JSON object; and the list of a folder."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from tankside.case import CaseView, HistoryLine, ReadingView, SystemView, to_object
from tankside.case.wording import STATES, day_text
from tankside.errors import Mistake
from tankside.intake import clock
from tankside.quantity import CANONICAL
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY
from tankside.quantity.show import NO_BREAK, amount, reading, rounded
from tankside.records.case_file import read_case
from tankside.report.case_text import line_text, looked_text

VOLUME_DIGITS = 3


def show_case(path: str | Path, *, history: bool = False) -> tuple[dict[str, object], str]:
    """Return a case as one JSON object and as text.

    Raises:
        BadInput: the file is missing or broken.
    """
    view = read_case(path).view()
    now = Moment(clock.now().isoformat(timespec="minutes"))
    return view_object(view, now), view_text(view, now, history=history)


def view_object(view: CaseView, now: Moment) -> dict[str, object]:
    """Return the present state as plain JSON data; the history is the entries themselves."""
    return {
        "case": to_object(view.opened),
        "version": view.version,
        "closed": None if view.closed is None else to_object(view.closed),
        "systems": [_system_object(system, now) for system in view.systems.values()],
        "stock": [
            to_object(group.description) | {"alive": group.alive, "deaths": group.deaths}
            for group in view.stock.values()
        ],
        "findings": {
            name: {"state": answer.state, "answers": sorted(answer.answers), "at": answer.at.text}
            for name, answer in view.evidence.items()
        },
        "counts": [to_object(entry) for entry in view.counts],
        "wet_mounts": [to_object(entry) for entry in view.wet_mounts],
        "agents_in_water": [to_object(entry) for entry in view.agents_in_water],
        "events": [to_object(entry) for entry in view.events],
        "course": None if view.course is None else to_object(view.course),
        "actions_done": [to_object(entry) for entry in view.actions_done],
        "deaths": [to_object(entry) for entry in view.deaths],
        "diagnoses": [to_object(entry) for entry in view.diagnoses],
        "decisions": [to_object(entry) for entry in view.decisions],
        "not_asked": list(view.not_asked),
        "history": [
            to_object(line.entry) | {"void": line.void, "corrected_by": line.corrected_by}
            for line in view.history
        ],
    }


def _figure(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _system_object(system: SystemView, now: Moment) -> dict[str, object]:
    volume = system.volume
    return to_object(system.description) | {
        "volume_l": _figure(volume.point_l),
        "second_volume_l": _figure(volume.second_l),
        "difference_percent": _figure(volume.difference_percent),
        "told_volume_l": _figure(volume.told_l),
        "told_difference_percent": _figure(volume.told_difference_percent),
        "readings": {what.value: _reading_object(r, now) for what, r in system.readings.items()},
    }


def _reading_object(found: ReadingView, now: Moment) -> dict[str, object]:
    shared = {"at": found.at.text, "age_h": found.age_h(now), "entry": found.entry_id}
    if found.measured is None:
        return {"state": found.state} | shared
    unit = CANONICAL[found.measured.kind]
    value = float(found.measured.canonical())
    return {"typed": found.measured.text, "value": value, "unit": unit} | shared


def view_text(view: CaseView, now: Moment, *, history: bool) -> str:
    """Write the present state for a person: most needed first, gaps last."""
    opened = view.opened
    water = STATES.get(opened.water, opened.water)
    ended = "" if view.closed is None else f"  CLOSED: {view.closed.outcome.replace('_', ' ')}"
    lines = [
        f"{opened.name}  keeper {opened.keeper}  {water} water  "
        f"opened {day_text(opened.moment)}  {view.version} entries{ended}"
    ]
    for system in view.systems.values():
        lines += ["", *_system_lines(system, now)]
    lines += _block("Stock", (_stock_line(view, name) for name in view.stock))
    answers = [looked_text(answer.looked) for answer in view.evidence.values()]
    lines += _block("Findings", answers)
    lines += _block("Counts", (line_text(entry) for entry in view.counts))
    lines += _block("Already in the water", (line_text(entry) for entry in view.agents_in_water))
    lines += _block("Done", (line_text(entry) for entry in view.actions_done))
    lines += _block("Deaths", (line_text(entry) for entry in view.deaths))
    if view.course is not None:
        lines += _block("Course", [line_text(view.course)])
    lines += _block("Not asked yet", view.not_asked)
    if history:
        lines += _block("History", map(_history, view.history))
    return "\n".join(lines)


def _block(title: str, lines: Iterable[str]) -> list[str]:
    rows = [f"  {line}" for line in lines]
    return ["", title, *rows] if rows else []


def _history(line: HistoryLine) -> str:
    if line.corrected_by is None:
        return line_text(line.entry)
    told = "taken back" if line.void else "corrected"
    return f"{line_text(line.entry)}  [{told} by entry {line.corrected_by}]"


def _stock_line(view: CaseView, name: str) -> str:
    group = view.stock[name]
    alive = "number not given" if group.alive is None else f"{group.alive} alive"
    dead = f", {group.deaths} dead" if group.deaths else ""
    return f"{group.description.name}: {alive}{dead}"


def _litres(value: Decimal) -> str:
    return amount(rounded(value, VOLUME_DIGITS), "L")


def _percent(value: Decimal) -> str:
    return f"{abs(value):.0f}{NO_BREAK}%"


def _system_lines(system: SystemView, now: Moment) -> list[str]:
    volume = system.volume
    title = f"System {system.id}"
    if volume.point_l is None:
        lines = [f"{title}: volume not measured, doses stay blocked"]
    elif volume.second_l is None or volume.difference_percent is None:
        lines = [f"{title}: {_litres(volume.point_l)}, one method only, weak"]
    else:
        apart = f"{_litres(volume.second_l)} by a second method, "
        apart += f"{_percent(volume.difference_percent)} apart"
        lines = [f"{title}: {_litres(volume.point_l)}; {apart}"]
    if volume.told_l is not None:
        told = f"  label or keeper says {_litres(volume.told_l)}: never used for doses"
        if volume.told_difference_percent is not None:
            side = "above" if volume.told_difference_percent > 0 else "below"
            told += f" ({_percent(volume.told_difference_percent)} {side} the measured volume)"
        lines.append(told)
    for what, found in system.readings.items():
        value = STATES.get(found.state) if found.measured is None else reading(found.measured)
        age = f"{found.age_h(now) / HOURS_PER_DAY:.0f} days old"
        if found.age_h(now) < 2 * HOURS_PER_DAY:
            age = f"{found.age_h(now):.0f} h old"
        lines.append(f"  {what.value.replace('_', ' ')} {value}  ({day_text(found.at)}, {age})")
    return lines


@dataclass(frozen=True, slots=True)
class Listed:
    """One case file of a folder; ``fault`` says why it could not be read."""

    file: str
    name: str = ""
    keeper: str = ""
    opened: str = ""
    last: str = ""
    entries: int = 0
    closed: bool = False
    fault: str = ""


def list_cases(folder: str | Path) -> list[Listed]:
    """List the case files of a folder by name; a broken one is listed with its fault."""
    found = []
    for path in sorted(Path(folder).glob("*.jsonl")):
        try:
            view = read_case(path).view()
        except Mistake as fault:
            found.append(Listed(path.name, fault=str(fault)))
            continue
        found.append(
            Listed(
                path.name,
                view.name,
                view.opened.keeper,
                view.opened.moment.day.isoformat(),
                view.last_moment().day.isoformat(),
                view.version,
                view.closed is not None,
            )
        )
    return found
