"""Times in print for organisms without a forecast."""

from __future__ import annotations

import pytest

from tankside import library
from tankside.claims import Claim, Confidence, Knowledge, Provenance
from tankside.lifecycle.inputs.published_durations import Beside, beside, published_durations


def claim(unit: str, value: float | None, low: float | None, high: float | None, at: str) -> Claim:
    return Claim("k", value, unit, Provenance.FOUND, Confidence.HIGH, low, high,
                 conditions={"temperature_c": at} if at else {})  # fmt: skip


@pytest.mark.parametrize(
    ("printed", "measured", "word"),
    [
        ("25", 25.0, Beside.AT),
        ("25", 25.5, Beside.AT),
        ("25", 24.5, Beside.AT),
        ("25", 24.0, Beside.WARMER),
        ("25", 26.0, Beside.COLDER),
        ("26-28", 27.0, Beside.AT),
        ("26-28", 22.0, Beside.WARMER),
        ("-20", 10.0, Beside.COLDER),
        ("17.3-21.3", 17.3, Beside.AT),
        ("", 20.0, Beside.NOT_SAID),
        ("room temp", 20.0, Beside.NOT_SAID),
        ("25", None, Beside.NOT_MEASURED),
    ],
)
def test_a_printed_temperature_is_compared(
    printed: str, measured: float | None, word: Beside
) -> None:
    assert beside(printed, measured) is word


def test_units_become_days_and_open_ends_stay_open() -> None:
    rows = {
        "larva.life": claim("h", 37, 34, 40, ""),
        "egg.hatch_18c": claim("d", 8, None, None, "18"),
        "adult.cold_survival": claim("wk", 9, 9, None, "10"),
        "egg.number": claim("eggs", 5, None, None, ""),
        "egg.drying_that_kills": claim("h", 24, None, None, ""),
    }
    facts = Knowledge({f"organism.x.printed.{key}": (row,) for key, row in rows.items()})
    ranges = {t.what: (t.low_d, t.high_d) for t in published_durations("x", facts, 18.0)}
    assert ranges["life"] == (pytest.approx(34 / 24), pytest.approx(40 / 24))
    assert ranges["hatch"] == (8, 8)
    assert ranges["cold survival"] == (63, None)
    assert len(ranges) == 3


def test_the_marine_skin_fluke_has_its_printed_hatch_and_cycle_at_25_c() -> None:
    # Egg to hatch 5-6 d at 25 C, maturity 10-11 d at 25 C (Bondad-Reantaso 1995; reproduction
    # paper), cycle 10-13 d at 26-32 C (Brazenor & Hutson 2015).
    facts = library.load()
    durations = published_durations("neobenedenia_girellae", facts, 25.0)
    here = [(t.part, t.low_d, t.high_d) for t in durations if t.beside is Beside.AT]
    assert ("egg", 5, 6) in here
    assert ("adult", 10, 11) in here
    warmer = [(t.part, t.low_d, t.high_d) for t in durations if t.beside is Beside.WARMER]
    assert ("whole cycle", 10, 13) in warmer
    assert [t.beside for t in durations][: len(here)] == [Beside.AT] * len(here)
