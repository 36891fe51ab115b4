"""The page of the water: a strip for each reading with its age, toxic ammonia, oxygen to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.case import ReadingView, SystemView
from tankside.case.parts import Reading
from tankside.errors import Mistake
from tankside.intake.readings_watch import is_too_old
from tankside.library import load
from tankside.present.blocks import Block
from tankside.present.words import age_words
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.moment import Moment
from tankside.quantity.show import reading
from tankside.report.page import OpenCase
from tankside.report.tank_water import NO_READING, series_words, water_document
from tankside.report.water_words import figure_words, remark_words
from tankside.services.water_answer import WaterAnswer, WaterFigure
from tankside.services.water_now import WaterNow, water_now

WIDTH, EDGE = 340.0, 6.0
"""Length of the time line of a strip and the room at its ends [px]."""
FULL_BAR = 220.0
DANGER = (
    Reading.OXYGEN, Reading.AMMONIA, Reading.NITRITE, Reading.CHLORINE, Reading.COPPER,
    Reading.TEMPERATURE, Reading.PH,
)  # fmt: skip
"""The order in which readings are shown: what kills first; the others follow as they were read."""
FIRST = (Reading.OXYGEN, Reading.AMMONIA, Reading.PH, Reading.TEMPERATURE, Reading.NITRITE)
"""What is measured in every water, what kills first first; ammonia says nothing without the two
that follow it."""


@dataclass(frozen=True, slots=True)
class ReadingStrip:
    """One reading as a strip.

    Args:
        name: what was read.
        value: as it was read.
        taken: when, and whether at dawn.
        age: how long ago.
        is_old: whether it is too old to work out an amount with.
        places: where on the time line it was measured [px], the oldest first.
        spread: lowest, highest and trend in words, "" for one value.
    """

    name: str
    value: str
    taken: str
    age: str
    is_old: bool
    places: tuple[float, ...]
    spread: str


@dataclass(frozen=True, slots=True)
class OxygenBar:
    """Oxygen in one state: its share of the longest bar; ``kind`` is read, full or not known."""

    name: str
    words: str
    length: float
    kind: str


@dataclass(frozen=True, slots=True)
class WaterSheet:
    """One water.

    Args:
        title: its name.
        strips: its readings.
        ammonia: the toxic part in words.
        basis: by which formula, and what speaks against it.
        oxygen: now, at dawn, after warming.
        warming: what warming costs, in words.
        first: which tests come first; "" when all are fresh.
        swing: oxygen and pH by day and at dawn, where both were read; "" otherwise.
    """

    title: str
    strips: tuple[ReadingStrip, ...]
    ammonia: tuple[str, ...]
    basis: str
    oxygen: tuple[OxygenBar, ...]
    warming: str
    first: str = ""
    swing: str = ""


@dataclass(frozen=True, slots=True)
class WaterPage:
    """The page; ``more`` says all of it in words, as the case does elsewhere."""

    lead: str
    sheets: tuple[WaterSheet, ...]
    more: tuple[Block, ...]


def water_page(case: OpenCase) -> WaterPage:
    """Return the page of a case."""
    view = case.view
    sheets = tuple(
        _sheet(system, water_now(view, system), case.now)
        for system in view.systems.values()
        if system.readings
    )
    lead = _lead(sheets) if view.water_tests else NO_READING
    return WaterPage(lead, sheets, water_document(case).blocks)


def _lead(sheets: Sequence[WaterSheet]) -> str:
    if not sheets:
        return "The readings stand below; the water they are of is not described yet."
    old = [strip.name for sheet in sheets for strip in sheet.strips if strip.is_old]
    if old:
        return f"{len(old)} readings are too old to dose on." if len(old) > 1 else (
            f"The reading of {old[0]} is too old to dose on."
        )  # fmt: skip
    return "Every reading is fresh enough to work with."


def _sheet(system: SystemView, now: WaterNow, at: Moment) -> WaterSheet:
    order = [what for what in DANGER if what in system.readings]
    order += [what for what in system.readings if what not in order]
    ammonia = _ammonia(now)
    return WaterSheet(
        title=system.name,
        strips=tuple(_strip(system, system.readings[what], at) for what in order),
        ammonia=ammonia,
        basis=now.ammonia.why if isinstance(now.ammonia, WaterAnswer) else "",
        oxygen=_oxygen(now),
        warming=_warming(now),
        first=_first_tests(system, at),
        swing=_swing(system),
    )


def _strip(system: SystemView, standing: ReadingView, at: Moment) -> ReadingStrip:
    name = "pH" if standing.what is Reading.PH else standing.what.value.replace("_", " ")
    series = system.series.get(standing.what, ())
    ages = [taken.age_h(at) for taken in series] or [standing.age_h(at)]
    longest = max(*ages, 1.0)
    places = tuple(EDGE + (WIDTH - 2 * EDGE) * (1 - age / longest) for age in ages)
    lowest, highest, trend = series_words(system, standing)
    value = "not measured" if standing.measured is None else reading(standing.measured)
    return ReadingStrip(
        name=name,
        value=value,
        taken=entry_moment_words(standing.at) + (" (dawn)" if standing.dawn else ""),
        age=age_words(standing.age_h(at)),
        is_old=is_too_old(standing, load(), at),
        places=places if series else (),
        spread=f"{lowest} to {highest}, {trend}" if trend else "",
    )


def _ammonia(now: WaterNow) -> tuple[str, ...]:
    if isinstance(now.ammonia, Mistake):
        return (f"The toxic part cannot be worked out: {now.ammonia.message}",)
    if now.ammonia is None:
        lacking = ", ".join(what.value.replace("_", " ") for what in now.missing)
        return (f"The toxic part cannot be worked out without: {lacking}.",)
    figures = {
        (result.figure, result.unit): figure_words(result.value, result.unit, result.digits)
        for result in now.ammonia.results
    }
    toxic = figures[WaterFigure.TOXIC_AMMONIA, "mg/L as N"]
    share = figures[WaterFigure.TOXIC_SHARE, "%"]
    notes = (remark_words(note) for note in now.ammonia.notes)
    return (f"{share} of it is the toxic form: {toxic}.", *notes)


def _oxygen(now: WaterNow) -> tuple[OxygenBar, ...]:
    if not isinstance(now.oxygen, WaterAnswer):
        return ()
    figures = {result.figure: result.value for result in now.oxygen.results}
    full = figures[WaterFigure.OXYGEN_FULL]
    rows: list[tuple[str, float | None, str]] = [
        ("last read by day", _mg_l(now.by_day), "read"),
        ("at dawn", _mg_l(now.at_dawn), "read"),
        *_dawn_rows(now),
        ("full, at this temperature", full, "full"),
    ]
    if now.warmest_c is not None:
        warmed = figures[WaterFigure.OXYGEN_WARMED]
        rows.append((f"full, warmed to {figure_words(now.warmest_c, 'C', 3)}", warmed, "full"))
    most = max(value for _, value, _ in rows if value is not None)
    return tuple(
        OxygenBar(
            name,
            "not measured" if value is None else figure_words(value, "mg/L", 2),
            FULL_BAR * (full if value is None else value) / max(most, full),
            "not known" if value is None else kind,
        )
        for name, value, kind in rows
    )


def _dawn_rows(now: WaterNow) -> list[tuple[str, float | None, str]]:
    """Return the dawn to come, and the one after warming, by the least that fits what was told."""
    if now.dawn is None:
        return [("at the dawn to come", None, "ahead")]
    rows: list[tuple[str, float | None, str]] = [
        ("at the dawn to come, at least", now.dawn.next.low, "ahead")
    ]
    if now.dawn.warmed is not None and now.warmest_c is not None:
        to = figure_words(now.warmest_c, "C", 3)
        rows.append((f"at dawn, warmed to {to}, at least", now.dawn.warmed.low, "ahead"))
    return rows


def _first_tests(system: SystemView, at: Moment) -> str:
    """Say what is measured first: in the order of danger, what was not read or is too old."""
    wanted = []
    for what in FIRST:
        standing = system.readings.get(what)
        name = "pH" if what is Reading.PH else what.value.replace("_", " ")
        if standing is None or standing.measured is None:
            wanted.append(f"{name} (not measured)")
        elif is_too_old(standing, load(), at):
            wanted.append(f"{name} ({age_words(standing.age_h(at))} old)")
    return f"Measure first: {', then '.join(wanted)}." if wanted else ""


def _mg_l(taken: ReadingView | None) -> float | None:
    return None if taken is None or taken.measured is None else taken.measured.number("mg/L")


def _warming(now: WaterNow) -> str:
    if isinstance(now.oxygen, Mistake):
        return now.oxygen.message
    if now.warmest_c is None:
        return "No animal entered has a limit of temperature on file."
    speed = ""
    if now.dawn is not None and now.dawn.days:
        days = f"{now.dawn.days} day" + ("s" if now.dawn.days > 1 else "")
        per_day = figure_words(now.dawn.per_day_c, "C", 2)
        speed = f"At most {per_day} a day, so that it takes {days}. "
    return (
        f"{figure_words(now.warmest_c, 'C', 3)} is the most that {now.warmest_of} is kept at. "
        f"{speed}Warm water holds less oxygen and the fish need more: air on first."
    )


def _swing(system: SystemView) -> str:
    """Say how far oxygen and pH lie apart between day and dawn, of the latest of each."""
    said = []
    for what, name in ((Reading.OXYGEN, "oxygen"), (Reading.PH, "pH")):
        read = [taken for taken in system.series.get(what, ()) if taken.measured is not None]
        latest = {taken.dawn: taken for taken in read}
        by_day, dawn = latest.get(False), latest.get(True)
        if by_day is not None and dawn is not None and by_day.measured and dawn.measured:
            said.append(
                f"{name} {reading(dawn.measured)} at dawn, {reading(by_day.measured)} by day"
            )
    return f"Between dawn and day: {'; '.join(said)}." if said else ""
