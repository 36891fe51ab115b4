"""Which factors are active in a course, and what is not known of them, for every forecast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims import setting
from tankside.claims.organism import LifeStage, Organism, StageKind
from tankside.course.bodies.tank_hours import Channel
from tankside.lifecycle.inputs.compiling import Compiled
from tankside.lifecycle.inputs.development_rate import halt, in_rhythm
from tankside.lifecycle.inputs.early_detachment import drives_off
from tankside.lifecycle.inputs.mortality_factors import (
    FEED,
    KILL,
    WATER,
    drivers,
    level_of,
    parameters_of,
)
from tankside.lifecycle.inputs.parameters import lies_loose


@dataclass(frozen=True, slots=True)
class ActiveFactor:
    """What one driver does to the stages, in the words of the stages.

    ``driver`` is an agent id, a state of the water (``mortality_factors.WATER``) or
    one of "halt", "release_salt", "light", "siphon", "water_change", "uv", "fine_filter",
    "transfer"; ``kind`` is "kill", "feed" or "water".
    ``unknown`` gives the stages for which no parameter is recorded, with the reason where the
    organism's file states one.
    """

    kind: str
    driver: str
    reaches: tuple[str, ...]
    unknown: tuple[tuple[str, str], ...] = ()


def active_factors(compiled: Compiled) -> tuple[ActiveFactor, ...]:
    """Return what acts on which stage in these hours, and for which stages no parameter stands.

    Agents in water, bath or feed are listed even when no parameter stands at all; states of the
    water only when they do something.
    """
    organism = compiled.organism
    acting = {(factor.kind, factor.driver) for factor in compiled.factors}
    present = set(drivers(compiled.tank_hours))
    named = sorted(pair for pair in present if pair in acting or pair[1] not in WATER)
    in_water_or_feed = [_one(organism, kind, driver) for kind, driver in named]
    return (*in_water_or_feed, *_halted(compiled), *_salted(compiled), *_removed(compiled))


def _one(organism: Organism, kind: str, driver: str) -> ActiveFactor:
    reached, unknown = [], []
    for stage in organism.stages:
        if parameters_of(organism, kind, driver, stage.key) or _fed(organism, kind, driver, stage):
            reached.append(stage.words)
        elif kind == KILL and drives_off(organism, driver, stage):
            reached.append(f"{stage.words} (leaves the fish early, alive)")
        elif driver not in WATER or organism.claims.get(_level(kind, driver, stage)):
            unknown.append((stage.words, _why(organism, kind, driver, stage)))
    return ActiveFactor(kind, driver, tuple(reached), tuple(unknown))


def _fed(organism: Organism, kind: str, driver: str, stage: LifeStage) -> bool:
    """Whether a feed hinders this stage from settling, or changes its residence time."""
    if kind != FEED:
        return False
    settling = stage.kind is StageKind.SEEKING and organism.known(f"{FEED}.{driver}.refused")
    return settling or organism.known(f"{FEED}.{driver}.{stage.key}.stay_factor")


def _level(kind: str, driver: str, stage: LifeStage) -> str:
    return f"{kind}.{driver}.{stage.key}.{level_of(kind, driver)}"


def _why(organism: Organism, kind: str, driver: str, stage: LifeStage) -> str:
    claim = organism.claims.get(_level(kind, driver, stage))
    return claim.unknown_because if claim else ""


def _halted(compiled: Compiled) -> list[ActiveFactor]:
    """Tell the stages that salt or oxygen hold up, and those that end by the light."""
    halted, timed = set(), set()
    bodies = [body for stratum in compiled.tank_hours.strata for body in stratum.bodies]
    for body in bodies:
        water = {"salinity": body.salinity_g_l, "oxygen": body.oxygen_mg_l}
        even = np.ones_like(body.temperature_c)
        for stage in compiled.organism.stages:
            if np.any(halt(compiled.organism, stage, water) < 1):
                halted.add(stage.words)
            if np.any(in_rhythm(compiled.organism, stage, even, body.light) != 1):
                timed.add(stage.words)
    halting = (("halt", halted), ("light", timed))
    return [ActiveFactor("water", name, tuple(sorted(words))) for name, words in halting if words]


def _removed(compiled: Compiled) -> list[ActiveFactor]:
    """Tell what is taken out or left behind by siphon, water change, flow and transfer."""
    channels = {event.channel for event in compiled.tank_hours.events}
    parts = compiled.parts
    bottom = tuple(stage.words for stage in parts.bottom)
    water = (parts.seeking.words,) if parts.seeking else ()
    factors = []
    loose = tuple(s.words for s in parts.bottom if lies_loose(compiled.organism, s) > 0)
    if Channel.BOTTOM_REMOVED in channels and loose:
        factors.append(ActiveFactor("water", "siphon", loose))
    if (Channel.WATER_REMOVED in channels or _flows(compiled)) and water:
        factors.append(ActiveFactor("water", "water_change", water))
    factors += _turned_over(compiled)
    if Channel.GROUP_MOVED in channels:
        factors.append(ActiveFactor("water", "transfer", (*bottom, *water)))
    return factors


def _turned_over(compiled: Compiled) -> list[ActiveFactor]:
    """Tell what a working lamp and a fine filter do to swimmers, known or not."""
    stage = compiled.parts.seeking
    bodies = [body for stratum in compiled.tank_hours.strata for body in stratum.bodies]
    if stage is None:
        return []
    factors = []
    for name, quantity, working in (
        ("uv", "uv_kill", any(np.any(body.uv_per_h > 0) for body in bodies)),
        ("fine_filter", "filter_catch", any(np.any(b.fine_filter_per_h > 0) for b in bodies)),
    ):
        if working and compiled.organism.known(f"{stage.key}.{quantity}"):
            factors.append(ActiveFactor("water", name, (stage.words,)))
        elif working:
            factors.append(ActiveFactor("water", name, (), ((stage.words, ""),)))
    return factors


def _flows(compiled: Compiled) -> bool:
    bodies = [body for stratum in compiled.tank_hours.strata for body in stratum.bodies]
    return any(np.any(body.exchange_per_h > 0) for body in bodies)


def _salted(compiled: Compiled) -> list[ActiveFactor]:
    """Tell the stage whose release salt hinders: young that die before they are free."""
    organism, bottom = compiled.organism, compiled.parts.bottom
    key = f"{bottom[-1].key}.release_salt" if bottom else ""
    if not organism.known(f"{key}_half_g_l"):
        return []
    half = organism.claims[f"{key}_half_g_l"].bounds()[0]
    steepness = organism.claims[f"{key}_steepness"].number()
    bodies = [body for stratum in compiled.tank_hours.strata for body in stratum.bodies]
    saltiest = max(float(np.nan_to_num(body.salinity_g_l).max()) for body in bodies)
    if not saltiest > 0 or (saltiest / half) ** steepness < LEAST:
        return []
    return [ActiveFactor("water", "release_salt", (bottom[-1].words,))]


LEAST = setting(0.01, "a hundredth of a release fewer is not worth saying")
