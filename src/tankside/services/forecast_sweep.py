"""Hold the claims that matter most at rising values and say where the advice turns over."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tankside import lifecycle
from tankside.errors import BadInput
from tankside.intake.forecast_setup import SWEEP_RUNS, ForecastRequest, ForecastSetup
from tankside.lifecycle import Compiled, Draws, Histories
from tankside.lifecycle.inputs.claim_sampling import WATER_KEYS, is_drawn_together
from tankside.lifecycle.inputs.mortality_factors import FEED, KILL
from tankside.lifecycle.results.clean_look import clean_looks, trusted_from
from tankside.lifecycle.results.observation_model import way_of_looking
from tankside.lifecycle.results.sensitivity import Sensitivity, acting, idle, in_use
from tankside.lifecycle.results.sweep import (
    Flip,
    SweepPoint,
    flips,
    held_at,
    sweep_point,
    tried_values,
)
from tankside.plan import Progress

MOVERS = 2
STAYS = (".residence", ".strain_factor")
STRENGTHS = (f"{KILL}.", f"{FEED}.")
SALT = ".release_salt_half_g_l"
HALF_A_DAY = 0.5
"""A day is known to the day it is looked at."""


@dataclass(frozen=True, slots=True)
class Swept:
    """One claim held at rising values.

    Args:
        key: of the claim.
        points: outcome at each value.
        courses: names of the two courses held against each other.
        choice: where the choice between them turns over.
        length: where the followed course becomes too short, or long enough.
        treated_until: last treated day of the followed course [d].
    """

    key: str
    points: tuple[SweepPoint, ...]
    courses: tuple[str, str]
    choice: tuple[Flip, ...]
    length: tuple[Flip, ...]
    treated_until: float


def sweep_claims(
    setup: ForecastSetup,
    compiled: Sequence[Compiled],
    moves: tuple[Sensitivity, ...],
    request: ForecastRequest,
    treated_until: float,
    progress: Progress | None,
) -> tuple[Swept, ...]:
    """Sweep the claims asked for, or those that matter most for the followed course.

    Raises:
        BadInput: E-FC-03 a claim of that name is not sampled here.
    """
    draws = lifecycle.draw(setup.trial.organism, SWEEP_RUNS, setup.trial.seed)
    keys = _keys(draws, compiled[0], moves, request.sweep)
    pair = (compiled[0], compiled[1] if len(compiled) > 1 else compiled[0])
    how = way_of_looking(setup.trial.organism)

    def recheck(played: Histories) -> float:
        return trusted_from(clean_looks(played, setup.group, how, setup.look_fish))

    def play(rows: Draws) -> Sequence[Histories]:
        trial = setup.trial
        return [trial.play_from(course, trial.start, rows, 0) for course in pair]

    swept = []
    values = {key: tried_values(draws, key) for key in keys}
    total, done = sum(map(len, values.values())), 0
    for key in keys:
        points = []
        for value in values[key]:
            points.append(sweep_point(value, play(held_at(draws, key, value)), recheck))
            done += 1
            if progress is not None:
                progress("holding each claim", done, total)
        swept.append(_swept(key, tuple(points), setup, treated_until))
    return tuple(swept)


def _swept(key: str, points: tuple[SweepPoint, ...], setup: ForecastSetup, treated: float) -> Swept:
    values = [point.value for point in points]
    differences = [point.difference for point in points]
    spare = [treated - point.last_dose for point in points]
    names = [course.name for course in setup.courses]
    return Swept(
        key=key,
        points=points,
        courses=(names[0], names[min(1, len(names) - 1)]),
        choice=flips(values, differences, [point.error for point in points]),
        length=flips(values, spare, [HALF_A_DAY] * len(points)),
        treated_until=treated,
    )


def _keys(
    draws: Draws,
    compiled: Compiled,
    moves: tuple[Sensitivity, ...],
    wanted: tuple[str, ...] | None,
) -> tuple[str, ...]:
    """Return the claims to hold: those asked for, else the strongest of each sort.

    The two that go most with the day of clearance, the strongest stay and the strongest kill; none
    where every run comes to the same end, whatever its values. A claim that is only believed
    with others is not held by itself unless asked for.
    """
    factors, unused = acting(compiled), idle(compiled)
    claims = [key for key in draws.keys if key not in WATER_KEYS and in_use(key, factors, unused)]
    organism = compiled.organism
    apart = [k for k in claims if not (k in organism.claims and is_drawn_together(organism, k))]
    if wanted is not None:
        for key in wanted:
            if key not in claims:
                raise BadInput(
                    "E-FC-03",
                    "No claim of that name is sampled in this course.",
                    given=key,
                    needed="one of: " + ", ".join(claims),
                    next_step="List them with --sampled.",
                    field="sweep",
                )
        return wanted
    if not any(move.correlation for move in moves):
        return ()
    order = [move.key for move in moves if move.key in claims and move.key in apart]
    strong = [move.key for move in moves if move.key in order and move.beyond_chance]
    kinds: tuple[Callable[[str], bool], ...] = (
        lambda key: key.endswith(STAYS),
        lambda key: key.startswith(STRENGTHS) or key.endswith(SALT),
    )
    first = [next((key for key in order if kind(key)), None) for kind in kinds]
    return tuple(dict.fromkeys(key for key in (*strong[:MOVERS], *first) if key is not None))
