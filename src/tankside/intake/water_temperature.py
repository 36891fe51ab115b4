"""The measured temperature of the water, without which nothing can be dated."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.errors import NotPossible


def measured_temperature_c(view: CaseView) -> float:
    """Return the last temperature [C] measured in the water of the sick fish.

    Raises:
        NotPossible: E-DOSE-20 nobody measured it.
    """
    reading = None if view.main is None else view.main.temperature
    if reading is None or reading.measured is None:
        raise no_temperature()
    return reading.measured.number("C")


def no_temperature() -> NotPossible:
    """Return the refusal of a tank whose temperature nobody has measured."""
    return NotPossible(
        "E-DOSE-20",
        "The water temperature has not been measured, so nothing can be dated.",
        given="no reading",
        needed="a thermometer reading in the water, not the heater dial",
        next_step='Add it: tankside case add CASE water temperature="25.5 C"',
        field="temperature",
    )
