"""Relations a run must keep, and answers that can be worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import (
    adding,
    body,
    deathless,
    fish,
    play,
    start,
    stating,
    tank_hours,
    white_spot,
    without,
)

from tankside import lifecycle
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.errors import BadInput

HOURS = 480


def total(histories: lifecycle.Histories) -> np.ndarray:
    """Everything alive by history and moment: on fish, bottom, settling or dying swimmers."""
    alive: np.ndarray = histories.burden.sum(axis=2) + histories.bottom
    return alive


KILLED_BY_FRESH_WATER = {
    "kill__low_salinity__cyst__half_g_l": 8.0,
    "kill__low_salinity__cyst__hours": 24.0,
    "kill__low_salinity__cyst__steepness": 3.0,
}
KILLED_BY_HEAT = {"kill__heat__cyst__hours": 24.0, "kill__heat__cyst__steepness": 20.0}


def daily(channel: Channel, share: float, hours: int = HOURS) -> tuple[TimedEvent, ...]:
    return tuple(TimedEvent(h, "main", channel, share, share, share) for h in range(12, hours, 24))


def test_same_bytes_for_one_and_two_threads_and_on_re_run() -> None:
    water = tank_hours(body(hours=HOURS))
    runs = [play(white_spot(), water, start(), threads=n) for n in (1, 2, 1)]
    for other in runs[1:]:
        for name in ("burden", "visible", "bottom", "swimmers", "alive", "clear_day"):
            assert getattr(runs[0], name).tobytes() == getattr(other, name).tobytes()


def test_a_history_does_not_depend_on_the_one_before_it_in_its_thread() -> None:
    # Few swimmers, no fish found: many histories end long before the last moment looked at.
    begin = lifecycle.InitialState({}, swimmers={"main": (8.0,) * 3}, steady_bottom=False)
    water = tank_hours(body(hours=HOURS, litres=1e9))
    moments = (6, 24, 48, 72, 96, HOURS)
    first, second = (
        play(white_spot(), water, begin, histories=400, threads=n, record_h=moments) for n in (1, 2)
    )
    assert first.clear[:, 3].any()
    assert first.swimmers.tobytes() == second.swimmers.tobytes()


def test_another_seed_is_another_luck() -> None:
    water = tank_hours(body(hours=HOURS))
    first, second = (play(white_spot(), water, start(), seed=s) for s in (1, 2))
    assert not np.array_equal(first.burden, second.burden)


def test_nothing_in_nothing_out() -> None:  # M6
    result = play(white_spot(), tank_hours(body(hours=HOURS)), start(0.0))
    assert result.burden.sum() == result.bottom.sum() == result.swimmers.sum() == 0
    assert result.clear.all()
    assert (result.clear_day == 0).all()


def test_counts_are_never_negative_and_fish_only_die() -> None:  # M1
    result = play(white_spot(), tank_hours(body(hours=HOURS, litres=20)), start(60.0))
    for name in ("burden", "visible", "bottom", "swimmers", "alive"):
        assert getattr(result, name).min() >= 0, name
    assert (np.diff(result.alive, axis=1) <= 0).all()
    assert (result.visible <= result.burden).all()
    assert (result.infested <= result.alive).all()


def test_no_strength_is_the_untreated_path_exactly() -> None:  # M5
    nothing = {"formalin": np.zeros(HOURS)}
    events = daily(Channel.BOTTOM_REMOVED, 0.0) + daily(Channel.WATER_REMOVED, 0.0)
    plain = play(white_spot(), tank_hours(body(hours=HOURS)), start())
    empty = play(
        white_spot(), tank_hours(body(hours=HOURS, residue=nothing), events=events), start()
    )
    for name in ("burden", "bottom", "swimmers", "alive", "visible"):
        assert np.array_equal(getattr(plain, name), getattr(empty, name)), name


@pytest.mark.parametrize("kind", ["agent", "siphon", "water", "flow", "salt", "fresh", "heat"])
def test_more_kill_never_leaves_more_path_by_path(kind: str) -> None:  # M4
    # Few parasites in much water, so that no hour holds more than is drawn one by one.
    organism = stating(deathless(white_spot()), swimmer__search_l_per_h=0.1)
    if kind == "fresh":
        organism = adding(organism, **KILLED_BY_FRESH_WATER)
        organism = stating(organism, cyst__release_salt_half_g_l=1e9)
    if kind == "heat":
        organism = adding(organism, **KILLED_BY_HEAT)
    before = None
    for part in (0.0, 0.3, 0.6, 0.9):
        residue = {"formalin": np.full(HOURS, 20 * part)} if kind == "agent" else None
        events: tuple[TimedEvent, ...] = ()
        if kind in ("siphon", "water"):
            channel = Channel.BOTTOM_REMOVED if kind == "siphon" else Channel.WATER_REMOVED
            events = daily(channel, part)
        here = body(
            hours=HOURS,
            litres=400,
            residue=residue,
            exchange=part if kind == "flow" else 0.0,
            salt={"salt": 2.5 * part, "fresh": 20.0 - 15.0 * part}.get(kind, 0.0),
        )
        if kind == "heat":  # the same warmth throughout: only what kills differs
            organism = adding(organism, kill__heat__cyst__half_c=34.0 - 8.0 * part)
        result = total(play(organism, tank_hours(here, events=events), start(3.0), histories=64))
        if before is not None:
            assert (result <= before).all(), kind
            assert result.sum() < before.sum()
        before = result


def test_warmer_passes_faster() -> None:  # M8
    first = []
    for warm in (15.0, 20.0, 25.0):
        water = tank_hours(body(hours=HOURS, warm=warm, exchange=50.0))
        begin = start(20.0, age=0.0, steady_bottom=False)
        left = play(deathless(white_spot()), water, begin).burden[:, :, 0]
        first.append((left > 0).sum(axis=1).mean())
    assert first[0] > first[1] > first[2]


def test_stay_sums_degree_days_over_a_step_in_temperature() -> None:
    # 120 degree-days above 3.1 C: 3 d at 13.1 C give 30, then 90 at 23.1 C take 4.5 d.
    still = stating(deathless(white_spot()), swimmer__establish=0.0)
    organism = stating(still, trophont__strain_factor=1.0)
    warm = np.where(np.arange(HOURS) < 72, 13.1, 23.1)
    water = tank_hours(body(hours=HOURS, warm=warm, exchange=50.0))
    begin = start(200.0, age=0.0, steady_bottom=False, exact=True)
    moments = tuple(range(0, HOURS, 3))
    result = play(organism, water, begin, histories=64, fixed=True, record_h=moments)
    share_left = result.burden[:, :, 0].mean(axis=0) / 2000
    mean_h = 3 * (share_left.sum() - 0.5)
    assert mean_h / 24 == pytest.approx(7.5, rel=0.01)


def test_one_generation_against_the_closed_form() -> None:
    # Share of swimmers that settle: q c A / V over death + fading + c A / V (repro of a bath).
    organism = stating(
        without(
            deathless(white_spot()), "cyst.hatch_share", "cyst.offspring_shape", "swimmer.life_q10"
        ),
        cyst__offspring=500.0,
        swimmer__infective_half_h=6.0,
        swimmer__search_l_per_h=1.0,
        swimmer__establish=0.1,
        trophont__residence=1e6,
    )
    organism = without(organism, "host.susceptibility_cv")
    water = tank_hours(body(hours=240, litres=50))
    begin = lifecycle.InitialState({}, bottom={"main": (20.0, 20.0, 20.0)}, steady_bottom=False)
    result = play(organism, water, begin, histories=512, fixed=True)
    contact = 1.0 * 10 / 50
    loss = np.log(2) / 24 + np.log(2) / 6
    wanted = 20 * 500 * 0.1 * contact / (contact + loss)
    got = result.burden[:, -1, 0].astype(float)
    assert got.mean() == pytest.approx(wanted, abs=4 * got.std() / np.sqrt(512))


def test_swimmers_decay_as_a_pure_death_process() -> None:
    still = {"swimmer__establish": 0.0, "swimmer__infective_half_h": 6.0}
    organism = without(stating(deathless(white_spot()), **still), "swimmer.life_q10")
    water = tank_hours(body(hours=48, litres=1e9))
    begin = lifecycle.InitialState({}, swimmers={"main": (4000.0,) * 3}, steady_bottom=False)
    moments = (0, 6, 12, 24)
    result = play(organism, water, begin, histories=256, fixed=True, record_h=moments)
    rate = np.log(2) / 24 + np.log(2) / 6
    for k, hour in enumerate(moments):
        got = result.swimmers[:, k].astype(float)
        assert got.mean() == pytest.approx(
            4000 * np.exp(-rate * hour), abs=4 * np.sqrt(got.var() / 256 + 1e-9) + 1e-6
        )


def test_a_water_change_takes_its_share_of_swimmers_at_its_hour() -> None:
    organism = stating(deathless(white_spot()), swimmer__establish=0.0)
    change = (TimedEvent(6, "main", Channel.WATER_REMOVED, 0.25, 0.25, 0.25),)
    begin = lifecycle.InitialState({}, swimmers={"main": (4000.0,) * 3}, steady_bottom=False)
    both = [
        play(organism, tank_hours(body(hours=24), events=e), begin, fixed=True, record_h=(6, 7))
        for e in ((), change)
    ]
    assert both[1].swimmers[:, 0].mean() == pytest.approx(both[0].swimmers[:, 0].mean(), rel=0.01)
    ratio = both[1].swimmers[:, 1].mean() / both[0].swimmers[:, 1].mean()
    assert ratio == pytest.approx(0.75, rel=0.01)


def test_a_siphon_takes_its_share_of_every_age_on_the_bottom() -> None:
    # Nothing settles, so all there is was there at the start, at any part of its residence.
    organism = stating(deathless(white_spot()), swimmer__establish=0.0)
    siphon = (TimedEvent(2, "main", Channel.BOTTOM_REMOVED, 0.4, 0.4, 0.4),)
    begin = lifecycle.InitialState({}, bottom={"main": (400.0,) * 3}, steady_bottom=False)
    left = [
        play(organism, tank_hours(body(hours=48), events=e), begin, fixed=True, record_h=(2, 6, 12))
        for e in ((), siphon)
    ]
    assert np.array_equal(left[0].bottom[:, 0], left[1].bottom[:, 0])
    for moment in (1, 2):
        plain = left[0].bottom[:, moment].sum()
        assert plain > 4000
        share = left[1].bottom[:, moment].sum() / plain
        assert share == pytest.approx(0.6, abs=4 * np.sqrt(0.24 / plain))


def test_finding_a_fish_depends_on_the_volume() -> None:
    burdens = []
    for litres in (10, 100, 1000):
        water = tank_hours(body(hours=240, litres=litres))
        begin = lifecycle.InitialState({}, bottom={"main": (30.0,) * 3}, steady_bottom=False)
        burdens.append(play(white_spot(), water, begin).burden.max(axis=(1, 2)).mean())
    # Closed form of the same rows: 25, 15 and 3 mature parasites from each at 1, 10 and 100 L.
    assert burdens[0] > 1.3 * burdens[1] > 4 * burdens[2]


def test_fish_moved_to_clean_water_leave_bottom_and_swimmers_behind() -> None:
    hours = 240
    where = np.where(np.arange(hours) < 24, 0, 1).astype(np.int16)
    water = tank_hours(body("main", hours), body("clean", hours), where={"fish": where})
    begin = lifecycle.InitialState({}, bottom={"main": (50.0,) * 3}, steady_bottom=False)
    stay = play(white_spot(), tank_hours(body("main", hours)), begin)
    moved = play(white_spot(), water, begin)
    # Until they move the law is the same (the draws are not: swimmers are dealt at release).
    first, second = (r.burden[:, 1, 0].astype(float) for r in (stay, moved))
    error = np.std(first - second) / np.sqrt(first.size)
    assert abs(first.mean() - second.mean()) < 4 * error
    assert moved.burden[:, -1].sum() < stay.burden[:, -1].sum()


def test_a_fishless_tank_starves_what_is_in_it() -> None:
    hours = 720
    where = np.zeros(hours, dtype=np.int16) - 1
    begin = lifecycle.InitialState({}, bottom={"main": (50.0,) * 3}, steady_bottom=False)
    result = play(white_spot(), tank_hours(body(hours=hours), where={"fish": where}), begin)
    assert result.clear[:, -1].all()


def test_more_histories_than_draws_are_refused() -> None:
    organism = white_spot()
    compiled = lifecycle.compile(organism, tank_hours(body()), (fish(),))
    with pytest.raises(BadInput, match="E-FC-01"):
        lifecycle.run(compiled, start(), lifecycle.draw(organism, 8, 1), 9, 1)
