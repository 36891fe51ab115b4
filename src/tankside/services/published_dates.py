"""Dates that print supports for a parasite without a forecast, from the day of the case on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from tankside import library
from tankside.case import CaseView
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.intake.assemble import organism_named
from tankside.intake.likely_cause import likeliest
from tankside.intake.water_temperature import latest_temperature_c
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.lifecycle.inputs.published_durations import PublishedDuration, published_durations
from tankside.records.case_store import read_case


@dataclass(frozen=True, slots=True)
class DatedDuration:
    """A time in print with the days on which it is over.

    Args:
        time: as printed.
        first: day on which its low end is over; None when only an upper limit is printed.
        last: day on which its high end is over; None when only a lower limit is printed.
    """

    time: PublishedDuration
    first: date | None
    last: date | None


@dataclass(frozen=True, slots=True)
class PublishedDatesAnswer:
    """The times in print for the parasite of a case.

    Args:
        view: the case.
        organism: the parasite.
        temperature_c: as measured [C]; None when it was not.
        begins: the day from which the dates are counted, the latest of the case.
        dated: times in print, those for this temperature first.
        missing: figures without which no forecast can be made, with the reason.
    """

    view: CaseView
    organism: Organism
    temperature_c: float | None
    begins: date
    dated: tuple[DatedDuration, ...]
    missing: dict[str, str]


def published_dates(path: str | Path, organism: str | None) -> PublishedDatesAnswer | None:
    """Return the dates in print; None when no organism stands behind what is suspected.

    Args:
        path: the case file.
        organism: organism id; None to take it from the case.

    Raises:
        BadInput: the case cannot be read.
    """
    facts, view = library.load(), read_case(path).view()
    try:
        parasite = organism_named(view, facts, organism, likeliest(view, facts))
    except NotPossible:
        return None
    temperature_c, begins = latest_temperature_c(view), view.last_moment().day
    return PublishedDatesAnswer(
        view=view,
        organism=parasite,
        temperature_c=temperature_c,
        begins=begins,
        dated=tuple(
            DatedDuration(time, _over(begins, time.low_d), _over(begins, time.high_d))
            for time in published_durations(parasite.id, facts, temperature_c)
        ),
        missing=missing_parameters(parasite),
    )


def _over(begins: date, days: float | None) -> date | None:
    return None if days is None else begins + timedelta(days=round(days))
