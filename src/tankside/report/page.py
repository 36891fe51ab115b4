"""The pages of a case that need nothing but the case: story, tank and stock, water."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from tankside.case import CaseView, HistoryLine, StockView, SystemView
from tankside.case.system import properties_told
from tankside.case.wording import STATES, amount_text, day_text
from tankside.intake import clock
from tankside.present.blocks import Block, Page, Rows, Strip, Words
from tankside.present.clock import clock_words, day_words
from tankside.present.table import Table
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY
from tankside.quantity.show import NO_BREAK, amount, reading, rounded
from tankside.records.case_file import StoredCase, read_case
from tankside.report.case_text import entry_text

EXAMPLE = "EXAMPLE"
"""A case whose name begins so is an invented one and marked on every page."""
VOLUME_DIGITS = 4
ASK_PERCENT = 10
"""Shown as a warning from here on; the course itself uses the claim."""


@dataclass(frozen=True, slots=True)
class OpenCase:
    """A case file as read for one page."""

    stored: StoredCase
    view: CaseView
    now: Moment


def open_case(path: Path) -> OpenCase:
    """Read a case for a page.

    Raises:
        BadInput: the file is missing or broken.
    """
    stored = read_case(path)
    now = Moment(clock.now().isoformat(timespec="minutes"))
    return OpenCase(stored, stored.view(), now)


def strip(case: OpenCase) -> Strip:
    """Return what stands on top of every page of the case."""
    view = case.view
    opened = view.opened
    main = view.systems.get("main") or next(iter(view.systems.values()), None)
    example = opened.name.startswith(EXAMPLE)
    name = opened.name.removeprefix(EXAMPLE).lstrip(" :") or opened.name
    last = view.last_moment().day
    warnings = () if main is None else tuple(_volume_warnings(main))
    return Strip(
        case=name,
        file=case.stored.path.name,
        keeper=f"keeper {opened.keeper}",
        water=_water_words(view),
        litres="volume not measured" if main is None else _volume_words(main),
        day=f"last entry {day_words(last)}, day {(last - opened.moment.day).days}",
        warnings=warnings,
        example=example,
        closed="" if view.closed is None else f"CLOSED: {view.closed.outcome.replace('_', ' ')}",
    )


def story(case: OpenCase) -> Page:
    """Return the whole history day by day, corrections beside what they correct."""
    view = case.view
    blocks: list[Block] = []
    if view.opened.call:
        blocks.append(Words("The call", (view.opened.call,)))
    blocks += _days(view)
    if view.not_asked:
        blocks.append(Words("Not asked yet", tuple(map(_question, view.not_asked))))
    return Page("story", "Story", "", tuple(blocks))


def tank(case: OpenCase) -> Page:
    """Return each water with every way its volume was found, and what lives in it."""
    view = case.view
    blocks: list[Block] = []
    for system in view.systems.values():
        blocks += [_volume_block(system), *_description(system)]
    if view.stock:
        rows = tuple(_stock_row(group) for group in view.stock.values())
        head = ("what", "alive", "dead", "length", "lives in", "note")
        blocks.append(Rows("Living in it", Table("stock", head, rows)))
    else:
        blocks.append(Words("Living in it", ("No stock entered: doses stay blocked.",), "GAP"))
    return Page("tank", "Tank and stock", "", tuple(blocks))


def water(case: OpenCase) -> Page:
    """Return the latest reading of each kind with its age, and every test in order."""
    view = case.view
    blocks: list[Block] = []
    for system in view.systems.values():
        rows = tuple(
            (
                what.value.replace("_", " "),
                STATES.get(found.state, "") if found.measured is None else reading(found.measured),
                day_text(found.at),
                _age(found.age_h(case.now)),
            )
            for what, found in system.readings.items()
        )
        if rows:
            head = ("reading", "value", "taken", "age")
            blocks.append(Rows(f"Latest in {_name(system)}", Table("readings", head, rows)))
    tests = tuple(
        (day_text(test.moment), "tank" if test.sample == "tank" else f"{test.sample} water",
         entry_text(test))
        for test in view.water_tests
    )  # fmt: skip
    if tests:
        blocks.append(Rows("Every test", Table("water tests", ("when", "of", "read"), tests)))
    agents = tuple(f"{day_text(e.moment)}: {entry_text(e)}" for e in view.agents_in_water)
    if agents:
        blocks.append(Words("Already in the water", agents))
    lead = "" if tests else "No reading yet: nothing can be dosed on it."
    return Page("water", "Water", lead, tuple(blocks))


def seen(case: OpenCase) -> tuple[Block, ...]:
    """Return counts and findings as tables; "not looked" stays apart from "none"."""
    view = case.view
    blocks: list[Block] = []
    counts = tuple(
        (str(view.day(count.moment)), day_text(count.moment), entry_text(count))
        for count in view.counts
    )
    if counts:
        table = Table("every count", ("day", "when", "count"), counts)
        blocks.append(Rows("Counts", table))
    deaths = tuple(
        (str(view.day(death.moment)), day_text(death.moment), entry_text(death))
        for death in view.deaths
    )
    if deaths:
        blocks.append(Rows("Deaths", Table("deaths", ("day", "when", "dead"), deaths)))
    return tuple(blocks)


def _days(view: CaseView) -> Iterable[Rows]:
    """Return one table a day, in order of time; what was told of the time before comes first."""
    days: dict[date, list[HistoryLine]] = {}
    for line in sorted(view.history, key=lambda line: line.entry.moment.utc):
        days.setdefault(line.entry.moment.day, []).append(line)
    head = ("time", "what", "entry", "no.")
    for day, lines in sorted(days.items()):
        number = (day - view.opened.moment.day).days
        title = f"Day {number}, {day_words(day)}"
        yield Rows(title, Table(title, head, tuple(_history_row(line) for line in lines)))


def _history_row(line: HistoryLine) -> tuple[str, ...]:
    entry = line.entry
    text = entry_text(entry)
    if line.corrected_by is not None:
        told = "taken back" if line.void else "corrected"
        text = f"{text} [{told} by entry {line.corrected_by}]"
    time = "day only" if entry.moment.day_only else clock_words(entry.moment.when)
    return (time, entry.kind.replace("_", " "), text, str(entry.id))


def _question(key: str) -> str:
    return key.replace("_", " ").replace(".", ": ")


def _water_words(view: CaseView) -> str:
    told = STATES.get(view.opened.water, view.opened.water)
    kind = "water type not known" if told == STATES["keeper_does_not_know"] else f"{told} water"
    main = view.systems.get("main")
    for what, found in main.readings.items() if main else ():
        if what.value == "temperature" and found.measured is not None:
            return f"{kind}, {reading(found.measured)} on {day_words(found.at.day)}"
    return f"{kind}, temperature not measured"


def _litres(value: Decimal) -> str:
    return amount(rounded(value, VOLUME_DIGITS), "L")


def _volume_words(system: SystemView) -> str:
    volume = system.volume
    if volume.point_l is None:
        return "volume not measured"
    if volume.difference_percent is None:
        return f"{_litres(volume.point_l)}, one method only"
    return f"{_litres(volume.point_l)}, two ways {volume.difference_percent:.0f}{NO_BREAK}% apart"


def _volume_warnings(system: SystemView) -> Iterable[str]:
    volume = system.volume
    if volume.point_l is None:
        yield "The volume is not measured: no dose can be worked out."
    elif volume.difference_percent is None:
        yield "The volume rests on one method: measure it a second way."
    elif volume.difference_percent > ASK_PERCENT:
        yield "Two ways of measuring the volume differ: measure again."


def _volume_block(system: SystemView) -> Rows:
    volume = system.volume
    rows = tuple(
        (
            result.method.replace("_", " "),
            _litres(result.litres),
            "measured" if result.measured else f"stated: never used for doses{_off(system)}",
        )
        for result in volume.results
    )
    apart = (
        "one method only, weak"
        if volume.difference_percent is None
        else f"{volume.difference_percent:.1f}{NO_BREAK}% apart"
    )
    table = Table(f"volume of {_name(system)}: {apart}", ("by", "litres", "use"), rows)
    return Rows(f"Water in {_name(system)}: {_volume_words(system)}", table)


def _off(system: SystemView) -> str:
    """Return how far the told volume lies from the measured one."""
    off = system.volume.told_difference_percent
    if off is None:
        return ""
    return f" ({abs(off):.0f}{NO_BREAK}% {'above' if off > 0 else 'below'} the measured volume)"


def _description(system: SystemView) -> tuple[Words, ...]:
    lines = tuple(
        f"{label}: {value} ({remark})" if remark else f"{label}: {value}"
        for label, value, remark in properties_told(system.description)
    )
    return (Words(f"How {_name(system)} is run", lines),) if lines else ()


def _stock_row(group: StockView) -> tuple[str, ...]:
    told = group.description
    length = "not known" if told.length is None else amount_text(told.length)
    notes = []
    if told.arrived is not None:
        notes.append(f"arrived {told.arrived[:10]}")
    if told.quarantined is not None:
        notes.append(f"quarantined: {STATES.get(told.quarantined, told.quarantined)}")
    if told.note is not None:
        notes.append(told.note)
    alive = "not known" if group.alive is None else str(group.alive)
    return (told.name, alive, str(group.deaths), length, group.system, "; ".join(notes))


def _name(system: SystemView) -> str:
    return system.description.name or ("the tank" if system.id == "main" else system.id)


def _age(hours: float) -> str:
    if hours < 2 * HOURS_PER_DAY:
        return f"{max(0.0, hours):.0f}{NO_BREAK}h"
    return f"{hours / HOURS_PER_DAY:.0f} days"
