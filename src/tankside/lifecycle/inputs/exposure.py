"""How strong each mortality factor is in each body, hour by hour, and in each bath and feed."""

from __future__ import annotations

import numpy as np

from tankside.course.bodies.tank_hours import BodyHours, Channel, Hourly, TankHours, TimedEvent
from tankside.lifecycle.inputs.clocks import q10_factor
from tankside.lifecycle.inputs.mortality_factors import (
    FEED,
    FRESH,
    FRESHEST,
    WATER,
    DoseLaw,
    MortalityFactor,
)
from tankside.lifecycle.inputs.types import Flags, Floats
from tankside.quantity.per import MINUTES_PER_HOUR


def in_water(factor: MortalityFactor, body: BodyHours) -> tuple[Hourly, Hourly]:
    """Return the low and high edge of a factor's strength in a body, (H,) each.

    Args:
        factor: what acts; a feed is nowhere in the water.
        body: of water.
    """
    still = np.zeros_like(body.temperature_c)
    if factor.kind == FEED:
        return still, still
    if factor.driver in WATER:
        level = WATER[factor.driver].read(body)
        edges = (level, level)
    else:
        edges = (
            np.asarray(body.residue_low_mg_l.get(factor.driver, still)),
            np.asarray(body.residue_high_mg_l.get(factor.driver, still)),
        )
    low, high = (_counted(factor, edge, body.temperature_c) for edge in edges)
    return low, high


def _counted(factor: MortalityFactor, level: Hourly, temperature_c: Hourly) -> Hourly:
    """Return the strength that counts: law of contact, then of harmlessness, then of warmth."""
    strength = lasting(_strength(factor, level), int(np.ceil(factor.law.contact_h)))
    strength = np.where(_harms(factor, strength), strength, 0.0)
    return np.asarray(strength * warmth(factor.law, temperature_c))


def _strength(factor: MortalityFactor, level: Hourly) -> Hourly:
    """Return strength from level; a level that is not known has none."""
    measured = np.isfinite(level)
    if factor.inverse:
        return np.where(measured, 1 / np.maximum(np.where(measured, level, 1.0), FRESHEST), 0.0)
    return np.where(measured, level, 0.0)


def _harms(factor: MortalityFactor, strength: Hourly) -> Flags:
    if factor.law.harmless <= 0:
        return np.asarray(strength > 0)
    return np.asarray(
        strength > (1 / factor.law.harmless if factor.inverse else factor.law.harmless)
    )


def lasting(strength: Hourly, hours: int) -> Hourly:
    """Return the weakest strength of the last so many hours, this one included.

    The water before hour 0 is taken to have been harmless, so the first hours count for nothing.
    """
    if hours <= 1:
        return strength
    before = np.concatenate([np.zeros(hours - 1), strength])
    return np.asarray(np.lib.stride_tricks.sliding_window_view(before, hours).min(axis=-1))


def warmth(law: DoseLaw, temperature_c: Floats) -> Floats:
    """Return the factor on the strength: q10 ** ((T - ref) / 10) within the evidence, else 1."""
    if law.q10 == 1:
        return np.ones_like(temperature_c)
    return q10_factor(law.q10, law.ref_c, np.clip(temperature_c, law.from_c, law.to_c))


def in_bath(
    factor: MortalityFactor, event: TimedEvent, bath: BodyHours | None, fish_c: float
) -> float:
    """Return the strength of a factor in a bath or dip, 0 when it does nothing there.

    Plain water whose salt is not told is taken as fresh. A bath shorter than the contact a
    parameter needs does nothing.

    Args:
        factor: what acts.
        event: the bath.
        bath: hours of the bath's own body of water, None when they are not told.
        fish_c: temperature of the water the fish come from, taken when the bath's is not told [C].
    """
    if factor.kind == FEED or event.minutes < factor.law.contact_h * MINUTES_PER_HOUR:
        return 0.0
    level = np.asarray([_bath_level(factor, event, bath)])
    here_c = fish_c if bath is None else bath.temperature_c[event.hour]
    strength = _strength(factor, level)
    strength = np.where(_harms(factor, strength), strength, 0.0)
    return float(strength[0] * warmth(factor.law, np.asarray([here_c]))[0])


def _bath_level(factor: MortalityFactor, event: TimedEvent, bath: BodyHours | None) -> float:
    if factor.driver == event.agent:
        return event.amount
    if factor.driver not in WATER:
        return np.nan
    level = np.nan if bath is None else float(WATER[factor.driver].read(bath)[event.hour])
    fresh = factor.driver == FRESH and not event.agent and not np.isfinite(level)
    return 0.0 if fresh else level


def is_active_somewhere(factor: MortalityFactor, tank_hours: TankHours) -> bool:
    """Whether a factor is strong enough to do anything in some water, bath or feed of a course."""
    for stratum in tank_hours.strata:
        by_id = {body.body: body for body in stratum.bodies}
        if any(np.any(in_water(factor, body)[1] > 0) for body in stratum.bodies):
            return True
        for event in tank_hours.events:
            if event.channel is Channel.FEED and (factor.kind, factor.driver) == (
                FEED,
                event.agent,
            ):
                return True
            if event.channel is Channel.BATH and event.body in by_id:
                warm = float(by_id[event.body].temperature_c[event.hour])
                if in_bath(factor, event, by_id.get(event.to_body), warm) > 0:
                    return True
    return False
