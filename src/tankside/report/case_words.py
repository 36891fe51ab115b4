"""What is said of a case in a few words, on top of every page, card and answer."""

from __future__ import annotations

from tankside.case import CaseView, SystemView
from tankside.case.wording import STATES
from tankside.present.words import percent_words
from tankside.quantity.dates import day_words
from tankside.quantity.show import reading, volume_words
from tankside.records.stored_case import StoredCase

NO_VOLUME = "volume not measured"
NO_TEMPERATURE = "temperature not measured"
NO_WATER_TYPE = "water type not known"


def temperature_words(view: CaseView) -> str:
    """Say the last temperature of the main water with its day, so that an old one is seen."""
    warmth = None if view.main is None else view.main.temperature
    if warmth is None or warmth.measured is None:
        return NO_TEMPERATURE
    return f"{reading(warmth.measured)} on {day_words(warmth.at.day)}"


def water_type_words(view: CaseView) -> str:
    """Say whether it is fresh, brackish or marine water."""
    if view.opened.water == "keeper_does_not_know":
        return NO_WATER_TYPE
    return f"{view.opened.water} water"


def system_volume_words(system: SystemView) -> str:
    """Say the volume amounts are worked out for, and how far a second measurement lies from it."""
    volume = system.volume
    if volume.point_l is None:
        return f"{NO_VOLUME}, doses stay blocked"
    if volume.second_l is None or volume.difference_percent is None:
        return f"{volume_words(volume.point_l)}, one method only, weak"
    return (
        f"{volume_words(volume.point_l)}; {volume_words(volume.second_l)} by a second method, "
        f"{percent_words(volume.difference_percent)} apart"
    )


def closed_words(view: CaseView) -> str:
    """Say how the case ended; "" while it is open."""
    return "" if view.closed is None else f"CLOSED: {state_words(view.closed.outcome)}"


CLOCK_JUMPED = (
    "The clock of this machine had jumped since the last entry of the journal; the order of the "
    "entries holds. Is the clock right now?"
)


def saved_words(stored: StoredCase) -> str:
    """Say where something was saved."""
    return f"the journal, {stored.label}" if stored.in_journal else str(stored.reference)


def saved_json(stored: StoredCase) -> dict[str, object]:
    """Return where something was saved: ``file``, or ``case`` with its number in the journal."""
    if stored.in_journal:
        return {"case": int(str(stored.reference))}
    return {"file": str(stored.reference)}


def made_words(stored: StoredCase) -> str:
    """Say from which state of a case file something was made."""
    return f"Made from case entry {stored.version}, file {stored.digest[:8]}."


def state_words(code: str) -> str:
    """Write an answer as it is read: how far it was answered, or the answer itself."""
    return STATES.get(code, code.replace("_", " "))
