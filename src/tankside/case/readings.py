"""The readings of a water as series, and the value of each that stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tankside.case.parts import READING_KINDS, Reading, State, WaterReading
from tankside.case.view import ReadingView
from tankside.case.water_test import WaterTest

Series = Mapping[Reading, tuple[ReadingView, ...]]


def series_of(system: str, tests: Iterable[WaterTest]) -> Series:
    """Return every reading of one water that has a value, the oldest first.

    Args:
        system: the water.
        tests: water tests in the order they happened.
    """
    gathered: dict[Reading, list[ReadingView]] = {}
    for test in tests:
        if test.system == system and test.sample == "tank":
            for line in test.readings:
                if line.amount is not None:
                    gathered.setdefault(line.what, []).append(_view(test, line))
    return {what: tuple(values) for what, values in gathered.items()}


def standing_readings(
    system: str, tests: Sequence[WaterTest], series: Series
) -> dict[Reading, ReadingView]:
    """Return the value of each reading that stands.

    It is the latest; "not looked" never hides an earlier value. Oxygen swings with the light, so
    that a low reading stands until one at dawn, or at as early an hour, is higher.

    Args:
        system: the water.
        tests: water tests in the order they happened.
        series: the values of that water.
    """
    asked = {
        line.what: _view(test, line)
        for test in tests
        if test.system == system and test.sample == "tank"
        for line in test.readings
        if line.amount is None and line.what not in series
    }
    values = {what: listed[-1] for what, listed in series.items()}
    if Reading.OXYGEN in series:
        values[Reading.OXYGEN] = standing_oxygen(series[Reading.OXYGEN])
    return asked | values


def standing_oxygen(readings: Sequence[ReadingView]) -> ReadingView:
    """Return the reading of oxygen that stands: the lowest that no later one at dawn lifts."""
    standing = readings[0]
    for later in readings[1:]:
        if _as_low(later, standing) or _as_early(later, standing):
            standing = later
    return standing


def _as_low(later: ReadingView, standing: ReadingView) -> bool:
    """Whether a later value is no higher; other units cannot be held against each other."""
    if later.measured is None or standing.measured is None:
        return True
    if later.measured.kind is not standing.measured.kind:
        return later.dawn or not standing.dawn
    unit = later.measured.unit.text
    return (later.number(unit) or 0.0) <= (standing.number(unit) or 0.0)


def _as_early(later: ReadingView, standing: ReadingView) -> bool:
    """Whether a later reading was taken at dawn, or at as early an hour as the standing one."""
    if later.dawn:
        return True
    if standing.dawn or later.at.day_only or standing.at.day_only:
        return False
    return later.at.when.timetz().replace(tzinfo=None) <= standing.at.when.timetz().replace(
        tzinfo=None
    )


def _view(test: WaterTest, line: WaterReading) -> ReadingView:
    kinds = READING_KINDS[line.what]
    value = None if line.amount is None else line.amount.measured(*kinds)
    return ReadingView(
        line.what,
        State(line.state),
        value,
        test.moment,
        test.id,
        dawn=test.dawn == "yes",
        checked=test.checked,
    )
