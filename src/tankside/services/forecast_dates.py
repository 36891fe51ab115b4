"""Dates that print supports for a parasite without a forecast, from the day of the case on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from tankside import library
from tankside.case import CaseView, Reading
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.intake.assemble import organism_named
from tankside.intake.likely_cause import likeliest
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.lifecycle.inputs.published_durations import PublishedDuration, published_durations
from tankside.quantity.dates import day_words
from tankside.records.case_file import read_case

ADVICE = (
    "These are printed times, not a course: count or scrape again on each date, and ask a "
    "specialist. They say nothing about what a treatment does."
)


@dataclass(frozen=True, slots=True)
class PublishedDates:
    """The times in print for the parasite of a case.

    Args:
        organism: the parasite.
        temperature_c: as measured; None when it was not.
        begins: the day from which the dates are counted, the latest of the case.
        times: in print, those for this temperature first.
        missing: figures without which no forecast can be made, with the reason.
    """

    organism: Organism
    temperature_c: float | None
    begins: date
    times: tuple[PublishedDuration, ...]
    missing: dict[str, str]


def published_dates(path: str | Path, organism: str | None) -> PublishedDates | None:
    """Return the dates in print; None when no organism stands behind what is suspected.

    Raises:
        BadInput: the case cannot be read.
    """
    facts, view = library.load(), read_case(path).view()
    try:
        parasite = organism_named(view, facts, organism, likeliest(view, facts))
    except NotPossible:
        return None
    warm = _temperature(view)
    times = published_durations(parasite.id, facts, warm)
    return PublishedDates(
        parasite, warm, view.last_moment().day, times, missing_parameters(parasite)
    )


def _temperature(view: CaseView) -> float | None:
    main = view.systems.get("main")
    found = None if main is None else main.readings.get(Reading.TEMPERATURE)
    return None if found is None or found.measured is None else found.measured.number("C")


def dates_json(found: PublishedDates) -> dict[str, object]:
    """Return the keys that stand beside ``error`` in the answer of a refused forecast."""
    return {
        "organism": found.organism.id,
        "temperature_c": found.temperature_c,
        "missing": dict(found.missing),
        "dates": [
            {
                "part": time.part,
                "what": time.what,
                "days_low": time.low_d,
                "days_high": time.high_d,
                "from": _day(found, time.low_d),
                "to": _day(found, time.high_d),
                "beside": str(time.beside),
                "source": time.claim.source,
                "note": time.claim.note,
            }
            for time in found.times
        ],
    }


def dates_text(found: PublishedDates) -> str:
    """Return the dates for a person."""
    warm = "not measured" if found.temperature_c is None else f"{found.temperature_c:g} C"
    if not found.times:
        return (
            f"No time is in print for {found.organism.name} either: count or scrape again every "
            "few days, and ask a specialist."
        )
    lines = [
        f"Dates in print: {found.organism.name}, water {warm}, counted from "
        f"{day_words(found.begins)}",
    ]
    for time in found.times:
        note = f" {time.claim.note}." if time.claim.note else ""
        lines.append(f"  {time.part}, {time.what}: {_span(time)}, {_dates(found, time)}")
        lines.append(f"    {time.beside}; {time.claim.source}.{note}")
    return "\n".join([*lines, ADVICE])


def _span(time: PublishedDuration) -> str:
    low, high = time.low_d, time.high_d
    if low is not None and high is not None:
        return f"{low:.3g} days" if low == high else f"{low:.3g} to {high:.3g} days"
    return f"up to {high:.3g} days" if low is None else f"{low:.3g} days or more"


def _dates(found: PublishedDates, time: PublishedDuration) -> str:
    ends = [_words(found, end) for end in (time.low_d, time.high_d) if end is not None]
    return " to ".join(dict.fromkeys(ends))


def _words(found: PublishedDates, days: float) -> str:
    return day_words(found.begins + timedelta(days=round(days)))


def _day(found: PublishedDates, days: float | None) -> str | None:
    if days is None:
        return None
    return (found.begins + timedelta(days=round(days))).isoformat()
