"""New filters: diaries of keepers, an independent integration, mass balance, acid and alkalinity.

The rates are the printed ones of the knowledge. Only the seeds of both kinds of bacteria were
fitted to the diaries (``cycling_diaries.toml``, ``cycling_readings.csv``); the test that leaves
each diary out fits them anew.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from tests.water.cycling_diaries import (
    ANALYTES,
    DIARIES,
    IN_N,
    SMALLEST_STEP,
    TOP_OF_SCALE,
    events,
    readings,
    supply,
)

from tankside import library
from tankside.course.water.filter_growth import printed_nitrifiers
from tankside.water.nitrifiers import AcidLimit, NitrifierRates, nitrogen_ahead

Floats = NDArray[np.float64]
Kinds = tuple[NitrifierRates, NitrifierRates, AcidLimit]
NEVER = 99.0
SEEDS = tuple(itertools.product(np.geomspace(5e-4, 3e-2, 13), np.geomspace(0.02, 5, 15)))
"""Seeds among which the one is chosen when a diary is left out [mg N/L/d]."""
MISSES = {
    ("A", "total_ammonia", 8.0), ("A", "total_ammonia", 10.0), ("B", "nitrite", 28.0),
    ("D", "total_ammonia", 5.0), ("D", "nitrite", 5.0), ("D", "nitrite", 6.0),
}  # fmt: skip


def kinds(seeds: Sequence[tuple[float, float]] = ()) -> Kinds:
    """Return the default rates as lanes, one for each pair of seeds; those on file if none."""
    first, second, acid = printed_nitrifiers(library.load(), few=False)
    pairs = np.array(seeds or [(first.seed_mg_l_d[0], second.seed_mg_l_d[0])])
    wide = np.ones(len(pairs))
    return (
        replace(first, growth_per_d=first.growth_per_d[0] * wide, seed_mg_l_d=pairs[:, 0]),
        replace(second, growth_per_d=second.growth_per_d[0] * wide, seed_mg_l_d=pairs[:, 1]),
        acid,
    )


def foretold(diary: str, of: Kinds, *more: tuple[float, str, float]) -> Floats:
    """Return ammonia, nitrite and nitrate as the keepers read them, shape (3, lanes, hours)."""
    ahead = nitrogen_ahead(supply(diary, of[0].seed_mg_l_d.size, more), *of)
    read: Floats = ahead.nitrogen_mg_l_n / IN_N[:, None, None]
    return read


@dataclass(frozen=True)
class Row:
    """A reading or event, with whether each lane met it and how far off it was."""

    key: tuple[str, str, float]
    met: NDArray[np.bool_]
    off: Floats


def rows(of: Kinds) -> list[Row]:
    """Return every row of ammonia and nitrite of the diaries, but the last event of diary F."""
    ahead = {diary: foretold(diary, of) for diary in DIARIES}
    held = []
    for reading in readings():
        values = ahead[reading.diary][ANALYTES.index(reading.analyte), :, reading.hour]
        met = np.array([reading.is_met(value) for value in values])
        width = max(reading.tol_abs, reading.tol_rel * reading.value)
        top = (values >= TOP_OF_SCALE) & (reading.value >= TOP_OF_SCALE)
        off = np.where(top & met, 0, np.abs(values - reading.value) / width)
        held.append(Row((reading.diary, reading.analyte, reading.day), met, off))
    for (diary, name), days in days_of_events(ahead).items():
        day, width = events()[(diary, name)]
        off = np.abs(days - day) / width
        held.append(Row((diary, name, day), off <= 1, off))
    return held


def days_of_events(ahead: Mapping[str, Floats]) -> dict[tuple[str, str], Floats]:
    """Return the day on which each event is foretold, one for each lane."""
    both = ahead["B"][:2]
    doses = (20, 28, 30, 31)
    return {
        ("A", "first nitrite reading"): np.array(
            [first_day(lane >= SMALLEST_STEP) for lane in ahead["A"][1]]),
        ("A", "nitrite falls from top of scale to zero"): np.array(
            [falls(lane[23::24]) for lane in ahead["A"][1]]),
        ("B", "both readings zero 12 h after dose"): np.array(
            [next((day + 0.5 for day in doses
                   if (both[:, lane, round((day + 0.6) * 24)] <= SMALLEST_STEP).all()), NEVER)
             for lane in range(both.shape[1])]),
        ("F", "first fall of ammonia"): np.array(
            [first_day(lane <= 4.5) for lane in ahead["F"][0]]),
    }  # fmt: skip


def first_day(hourly: NDArray[np.bool_]) -> float:
    return float(np.flatnonzero(hourly)[0]) / 24 if hourly.any() else NEVER


def falls(daily: Floats) -> float:
    """Return the first day, after nitrite stood high, on which hardly any is left at 24 h."""
    high = next((day for day in range(9, 32) if daily[day - 1] >= 2), None)
    if high is None:
        return NEVER
    return float(next((day for day in range(high, 32) if daily[day - 1] <= 0.5), NEVER))


def day_cleared(of: Kinds) -> float:
    """Return the first day on which diary F finds yesterday's dose gone; dosed whenever it is."""
    doses: list[tuple[float, str, float]] = []
    for day in range(1, 16):
        if foretold("F", of, *doses)[0, 0, day * 24 - 1] <= SMALLEST_STEP:
            if doses and doses[-1][0] == day - 1:
                return float(day)
            doses.append((float(day), "set", 3.0))
    return NEVER


def clears_in_time(of: Kinds) -> bool:
    day, width = events()[("F", "dose cleared within 24 h")]
    return abs(day_cleared(of) - day) <= width


def test_the_diaries_are_met_as_often_as_the_program_says(
    trust_record: Callable[..., None],
) -> None:
    """At least 80 % of the rows, the misses by name; the number is said beside every forecast."""
    held = rows(kinds())
    for row in held:
        verdict = "pass" if row.met[0] else "known disagreement"
        of = f"diary {row.key[0]}: {row.key[1]}"
        trust_record("cycling_readings", "keepers' diaries", of, float(row.off[0]), 1, verdict,
                     "in tolerances; only the seeds of the bacteria were fitted")  # fmt: skip
    met = sum(int(row.met[0]) for row in held) + clears_in_time(kinds())
    assert {row.key for row in held if not row.met[0]} == MISSES
    facts = library.load()
    assert met == facts.number("water.nitrification.forecast.met")
    assert len(held) + 1 == facts.number("water.nitrification.forecast.readings")
    assert met / (len(held) + 1) >= 0.8


def met_left_out(held: Sequence[Row], *, whole: bool) -> int:
    """Return the rows that are met when the seeds are fitted without their diary.

    The seeds that meet most of the other rows are taken; among equals those that are least off,
    over all other rows or over the missed ones alone.
    """
    met = 0
    for diary in DIARIES:
        others = [row for row in held if row.key[0] != diary]
        score = np.sum([row.met for row in others], axis=0)
        off = np.sum([np.minimum(row.off, 3) * (whole | ~row.met) for row in others], axis=0)
        lane = int(np.lexsort((off, -score))[0])
        met += sum(int(row.met[lane]) for row in held if row.key[0] == diary)
        met += diary == "F" and clears_in_time(kinds([SEEDS[lane]]))
    return met


def test_a_diary_that_is_left_out_of_the_fit_is_met_nearly_as_often() -> None:
    """The program says the lesser of both ways to choose among equally good seeds."""
    held = rows(kinds(SEEDS))
    ways = [met_left_out(held, whole=whole) for whole in (True, False)]
    assert min(ways) == library.load().number("water.nitrification.forecast.met_left_out")
    assert ways == [33, 31]


def test_nitrate_is_met_by_a_factor_of_two() -> None:
    """Diary A at the start (15), B on days 30 and 31 (70, 80), D on days 3 and 5 (12.5, 25)."""
    nitrate = {diary: foretold(diary, kinds())[2, 0] for diary in "ABD"}
    for diary, day, read in (("A", 0, 15), ("B", 30, 70), ("B", 31, 80), ("D", 3, 12.5),
                             ("D", 5, 25)):  # fmt: skip
        assert read / 2 <= nitrate[diary][day * 24] <= read * 2


def test_printed_weeks_lie_within_the_paces_that_are_printed() -> None:
    """Cycling without fish 3 to 6 weeks; a goldfish page 4 to 5; with media 2 to 3; FAO 1 to 6.

    Four mg/L are dosed every day at 25 C until both are gone the day after.
    """
    first, second, acid = printed_nitrifiers(library.load(), few=False)
    lanes = first.growth_per_d.size
    fed = supply("C", lanes, tuple((float(d), "set", 4.0) for d in range(3, 33)))
    fed = replace(fed, temperature_c=np.full_like(fed.temperature_c, 25.0))
    both = nitrogen_ahead(fed, first, second, acid).nitrogen_mg_l_n[:2] / IN_N[:2, None, None]
    gone = np.array([first_day((both[:, lane, 95::24] <= SMALLEST_STEP).all(axis=0)) * 24 + 4
                     for lane in range(lanes)])  # fmt: skip
    assert gone.min() <= 14
    assert 14 <= gone[0] <= 21
    assert gone.max() > 28


def test_nothing_is_lost_and_nothing_made() -> None:
    """All nitrogen that was put in is ammonia, nitrite or nitrate, in every lane, to the end."""
    fed = supply("A", len(SEEDS[:5]))
    made = replace(fed, made_mg_l_h=np.full_like(fed.made_mg_l_h, 0.01))
    made.keep[:, :, 1:] = 1
    made.gain[:, :, 1:] = 0
    ahead = nitrogen_ahead(made, *kinds(SEEDS[:5])).nitrogen_mg_l_n.sum(axis=0)
    hours = np.arange(ahead.shape[1])
    np.testing.assert_allclose(ahead, ahead[:, :1] + 0.01 * hours, rtol=1e-9)


def test_another_integration_of_the_equations_agrees() -> None:
    """Written anew from the equation of the docstring and solved by an adaptive method of SciPy."""
    first, second, _ = kinds()

    def slope(_: float, x: Floats) -> list[float]:
        warm = [np.exp(r.activation_kj_mol / 8.3145e-3 * (1 / 303.15 - 1 / 299.15))
                for r in (first, second)]  # fmt: skip
        turned = [
            r.growth_per_d[0] * s / (r.half_mg_l_n + s) * w * bugs / r.yield_mg_mg
            for r, s, w, bugs in zip((first, second), x[:2], warm, x[3:], strict=True)
        ]
        lost = [r.decay_per_d * w * bugs
                for r, w, bugs in zip((first, second), warm, x[3:], strict=True)]  # fmt: skip
        made = [r.yield_mg_mg * t for r, t in zip((first, second), turned, strict=True)]
        grown = [more - less for more, less in zip(made, lost, strict=True)]
        return [-turned[0], turned[0] - turned[1], turned[1], *grown]

    start = [5 * IN_N[0], 0, 0, *(float(r.seed_mg_l()[0]) for r in (first, second))]
    exact = solve_ivp(slope, (0, 16), start, method="LSODA", rtol=1e-8, atol=1e-10,
                      t_eval=np.arange(0, 16, 0.5))  # fmt: skip
    fed = supply("F", 1)
    ours = nitrogen_ahead(fed, first, second, AcidLimit(7.2, 0.833)).nitrogen_mg_l_n
    np.testing.assert_allclose(ours[:, 0, : 16 * 24 : 12], exact.y[:3], atol=0.15)


def test_a_filter_stops_at_ph_six_and_is_whole_from_seven_point_two() -> None:
    """1 - 0.833 (7.2 - pH): Downing, Painter & Knowles 1964; keepers' pages print a stop at 6."""
    acid = kinds()[2]
    np.testing.assert_allclose(acid.share(np.array([5.0, 6.0, 6.6, 7.2, 8.4])),
                               [0, 0, 0.5, 1, 1], atol=0.001)  # fmt: skip


@pytest.mark.parametrize(("alkalinity", "stalls"), [(10.0, True), (200.0, False)])
def test_a_filter_stalls_where_alkalinity_is_used_up(alkalinity: float, stalls: bool) -> None:
    """7.05 mg of CaCO3 for each mg of nitrogen (Ebeling 2006): 10 mg/L bear 1.4 mg/L as N.

    5 mg/L of ammonia are 4.1 mg/L as N; SRAC 4502 starts filters with 200 to 250 mg/L.
    """
    ahead = nitrogen_ahead(supply("F", 1, alkalinity=alkalinity), *kinds())
    left = ahead.nitrogen_mg_l_n[0, 0, 20 * 24]
    assert (left > 2) == stalls
    if stalls:
        assert left == pytest.approx(5 * IN_N[0] - 10 / 7.05, abs=0.05)


def test_warmth_makes_a_filter_faster() -> None:
    """The growth of ammonia oxidisers about doubles in 8 to 9 C (68 kJ/mol)."""
    first = kinds()[0]
    rate = first.warmth(np.array([21.5, 30.0]))
    assert rate[1] == pytest.approx(1)
    assert 0.45 < rate[0] < 0.55


def test_the_top_of_the_scale_is_five_or_more() -> None:
    reading = next(r for r in readings() if r.value == TOP_OF_SCALE and r.analyte == "nitrite")
    assert reading.is_met(40)
    assert not reading.is_met(2.4)
