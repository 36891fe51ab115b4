"""The measured temperature of the water of the sick fish, without which nothing can be dated."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.errors import NotPossible
from tankside.intake.joined_waters import joined_waters


def measured_temperature_c(view: CaseView) -> float:
    """Return the last temperature [C] measured in the water of the sick fish.

    Raises:
        NotPossible: E-DOSE-20 nobody measured it.
    """
    latest = latest_temperature_c(view)
    if latest is None:
        raise no_temperature("the water" if view.main is None else view.main.name)
    return latest


def latest_temperature_c(view: CaseView) -> float | None:
    """Return the last temperature [C] measured in the water of the sick fish, in any part of it.

    None where nobody measured it.
    """
    return None if view.main is None else temperature_in_c(view, view.main.id)


def temperature_in_c(view: CaseView, body: str) -> float | None:
    """Return the last temperature [C] measured in a water, in any part that is joined to it.

    None where nobody measured it.
    """
    places = [view.systems[part] for part in joined_waters(view).now(body) if part in view.systems]
    read = [place.temperature for place in places if place.temperature is not None]
    last = max(read, key=lambda reading: reading.at.utc, default=None)
    return None if last is None or last.measured is None else last.measured.number("C")


def no_temperature(name: str = "the tank") -> NotPossible:
    """Return the refusal of a water whose temperature nobody has measured."""
    return NotPossible(
        "E-DOSE-20",
        f"The water temperature of {name} has not been measured, so nothing can be dated.",
        given="no reading",
        needed="a thermometer reading in the water, not the heater dial",
        next_step='Add it: tankside case add CASE water temperature="25.5 C"',
        field="temperature",
    )
