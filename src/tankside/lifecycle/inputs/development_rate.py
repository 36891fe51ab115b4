"""How the water speeds, halts or times a stage: salt, oxygen, light and feed act on its clock."""

from __future__ import annotations

import numpy as np

from tankside.claims.organism import LifeStage, Organism
from tankside.lifecycle.inputs.parameters import number
from tankside.lifecycle.inputs.types import Floats


def halt(organism: Organism, stage: LifeStage, water: dict[str, Floats]) -> Floats:
    """Return the factor on the clock of a stage, 1 where nothing holds it up.

    ``<stage>.salt_low_halt_g_l`` stops development at or below it, ``salt_low_full_g_l`` lets it
    run from there on, linear between (the halt itself when no second parameter stands); likewise
    ``salt_high_*`` from above and ``oxygen_*_mg_l`` for dissolved oxygen. Development resumes
    where it stopped. Water that is not known holds nothing up.

    Args:
        organism: with its claims.
        stage: a timed stage.
        water: "salinity" [g/L] and "oxygen" [mg/L], any shape, all alike.
    """
    salt, oxygen = water["salinity"], water["oxygen"]
    low = _ramp(organism, f"{stage.key}.salt_low", "g_l", salt)
    high = _ramp(organism, f"{stage.key}.salt_high", "g_l", salt)
    return low * high * _ramp(organism, f"{stage.key}.oxygen", "mg_l", oxygen)


def _ramp(organism: Organism, stem: str, unit: str, level: Floats) -> Floats:
    """Return 0 at the halt, 1 from full on, linear between, in whichever direction they lie."""
    if not organism.known(f"{stem}_halt_{unit}"):
        return np.ones_like(level)
    stop = organism.claims[f"{stem}_halt_{unit}"].number()
    full = number(organism, f"{stem}_full_{unit}", stop)
    measured = np.isfinite(level)
    here = np.where(measured, level, full)
    if full == stop:
        falling = stem.endswith("high")
        part = (here < stop) if falling else (here > stop)
    else:
        part = np.clip((here - stop) / (full - stop), 0.0, 1.0)
    return np.where(measured, part, 1.0)


def in_rhythm(organism: Organism, stage: LifeStage, rate: Floats, light: Floats) -> Floats:
    """Gather the progress of each day into the hours in which a stage is known to end.

    ``<stage>.ends_before_light_from_h`` and ``ends_before_light_to_h`` are hours before the
    lights go on. A stage then ends only in that part of the night; its mean residence time does
    not change (what a day adds to the clock stays the same). Without parameters, or where the
    light never goes on again, progress stays even.

    Args:
        organism: with its claims.
        stage: a timed stage.
        rate: progress per hour, (..., H).
        light: 1 in hours with light, (..., H), same shape.
    """
    stem = f"{stage.key}.ends_before_light"
    if not (organism.known(f"{stem}_from_h") and organism.known(f"{stem}_to_h")):
        return rate
    first = organism.claims[f"{stem}_from_h"].number()
    last = organism.claims[f"{stem}_to_h"].number()
    rows = zip(rate.reshape(-1, rate.shape[-1]), light.reshape(-1, light.shape[-1]), strict=True)
    return np.stack([_gathered(r, lit, first, last) for r, lit in rows]).reshape(rate.shape)


def _gathered(rate: Floats, light: Floats, first: float, last: float) -> Floats:
    lit = light > 0
    dawns = np.flatnonzero(lit[1:] & ~lit[:-1]) + 1
    out = rate.copy()
    begin = 0
    for dawn in dawns:
        hours = np.arange(begin, dawn)
        left = dawn - hours
        gate = hours[(left > last) & (left <= first) & ~lit[begin:dawn]]
        if rate[gate].sum() > 0:
            out[begin:dawn] = 0.0
            out[gate] = rate[gate] * (rate[begin:dawn].sum() / rate[gate].sum())
        begin = int(dawn)
    return out
