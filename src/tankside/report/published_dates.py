"""Dates in print for a parasite without a forecast, as one document and as JSON."""

from __future__ import annotations

from datetime import date

from tankside.present.blocks import Document, Words
from tankside.present.published_duration import duration_words
from tankside.quantity.dates import day_words
from tankside.services.published_dates import DatedDuration, PublishedDatesAnswer

ADVICE = (
    "These are printed times, not a course: count or scrape again on each date, and ask a "
    "specialist. They say nothing about what a treatment does."
)


def dates_document(answer: PublishedDatesAnswer) -> Document:
    """Return the dates for a person."""
    name = answer.organism.name
    if not answer.dated:
        none = (
            f"No time is in print for {name} either: count or scrape again every few days, and "
            "ask a specialist."
        )
        return Document(f"Dates in print: {name}", (Words("", (none,)),))
    warm = "not measured" if answer.temperature_c is None else f"{answer.temperature_c:g} C"
    return Document(
        f"Dates in print: {name}, water {warm}, counted from {day_words(answer.begins)}",
        (Words("", tuple(map(_line, answer.dated))), Words("", (ADVICE,))),
    )


def _line(dated: DatedDuration) -> str:
    days = [day_words(day) for day in (dated.first, dated.last) if day is not None]
    note = f" {dated.time.claim.note}." if dated.time.claim.note else ""
    when = " to ".join(dict.fromkeys(days))
    return f"{duration_words(dated.time)}: {when}; {dated.time.beside}.{note}"


def dates_json(answer: PublishedDatesAnswer) -> dict[str, object]:
    """Return the keys that stand beside ``error`` in the answer of a refused forecast."""
    return {
        "organism": answer.organism.id,
        "temperature_c": answer.temperature_c,
        "missing": dict(answer.missing),
        "dates": [
            {
                "part": dated.time.part,
                "what": dated.time.what,
                "days_low": dated.time.low_d,
                "days_high": dated.time.high_d,
                "from": _iso(dated.first),
                "to": _iso(dated.last),
                "beside": str(dated.time.beside),
                "source": dated.time.claim.source,
                "note": dated.time.claim.note,
            }
            for dated in answer.dated
        ],
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
