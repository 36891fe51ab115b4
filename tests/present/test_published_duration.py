"""A time in print is said as printed: its own unit, its warmth, its source."""

from __future__ import annotations

import pytest

from tankside.claims import Claim, Confidence, Provenance
from tankside.lifecycle.inputs.published_durations import Beside, PublishedDuration
from tankside.present.published_duration import duration_words


def printed(
    unit: str, value: float | str | None, low: float | None, high: float | None, **more: str
) -> PublishedDuration:
    conditions = {"temperature_c": more["at"]} if "at" in more else {}
    claim = Claim("k", value, unit, Provenance.FOUND, Confidence.HIGH, low, high,
                  source=more.get("source", ""), conditions=conditions)  # fmt: skip
    return PublishedDuration(claim, "egg", "time to hatch", None, None, Beside.AT)


@pytest.mark.parametrize(
    ("time", "words"),
    [
        (printed("d", 7, None, None, at="20", source="a_1995"), "7 d at 20 C [a_1995]"),
        (printed("wk", 6, None, None, source="a_1995"), "6 weeks [a_1995]"),
        (printed("d", None, 18, 25, at="26-28", source="a_1995"), "18-25 d at 26-28 C [a_1995]"),
        (printed("h", 37.5, 34, 40), "37.5 h, without a source"),
        (printed("months", None, 2, None), "at least 2 months, without a source"),
        (printed("d", None, None, 9, source="a_1995"), "at most 9 d [a_1995]"),
        (printed("d", "a few", None, None, source="a_1995"), "a few d [a_1995]"),
    ],
)
def test_a_time_keeps_the_unit_and_the_ends_of_the_work(
    time: PublishedDuration, words: str
) -> None:
    assert duration_words(time) == f"egg, time to hatch: {words}"
