"""The temperature of the tank as it was measured last."""

from __future__ import annotations

from tankside.case import CaseView, Reading


def measured_temperature_c(view: CaseView) -> float | None:
    """Return the latest measured temperature of the main tank [C]; None when there is none."""
    main = view.systems.get("main")
    reading = None if main is None else main.readings.get(Reading.TEMPERATURE)
    if reading is None or reading.measured is None:
        return None
    return reading.measured.number("C")
