"""When the next dose belongs where eggs survive the first: between hatching and laying."""

from __future__ import annotations

from math import exp, isfinite

from tankside.claims import setting
from tankside.claims.organism import LifeStage, Organism, Place, Spread, StageKind
from tankside.lifecycle.inputs.stage_durations import residence_days

_FIRST = setting(0.05, "the first twentieth stands for the first that hatch")
_LAST = setting(0.95, "the last twentieth stands for the last that hatch")


def egg_window_days(organism: Organism, temperature_c: float) -> tuple[float, float] | None:
    """Return when the worms from eggs that a dose spared can be met before they lay [d].

    Counted from the dose. It begins when half of the eggs laid just before have hatched (middle
    of their stay) and ends when the first twentieth that hatched has grown up in the fast end of
    the growing stay. Eggs hatch on after it, so a third dose may belong an equal time later.

    Args:
        organism: the parasite with its claims.
        temperature_c: measured water temperature [C].

    Returns:
        First and last day; None where nothing lays eggs, a stay is not in print, nothing develops
        at this temperature, or the first lay before half have hatched.
    """
    eggs = [stage for stage in organism.stages if _is_laid(organism, stage)]
    growing = [
        stage
        for stage in organism.stages
        if stage.kind is StageKind.TIMED and stage.place is Place.HOST
    ]
    if not eggs or not all(organism.known(f"{s.key}.residence") for s in (*eggs, *growing)):
        return None
    half = sum(residence_days(organism, egg, temperature_c)[1] for egg in eggs)
    first = half * _share(organism, eggs[0], _FIRST)
    grown = sum(residence_days(organism, stage, temperature_c)[0] for stage in growing)
    laying = first + grown
    return (half, laying) if isfinite(laying) and half <= laying else None


def last_hatch_days(organism: Organism, temperature_c: float) -> float | None:
    """Return when the last of the eggs laid just before a dose have hatched [d], from the dose.

    Two doses can meet everything only from then to the end of :func:`egg_window_days`; where it
    comes later than that end there is no such time, whatever the day of the second dose.

    Args:
        organism: the parasite with its claims.
        temperature_c: measured water temperature [C].

    Returns:
        None where :func:`egg_window_days` has none.
    """
    window = egg_window_days(organism, temperature_c)
    if window is None:
        return None
    egg = next(stage for stage in organism.stages if _is_laid(organism, stage))
    return window[0] * _share(organism, egg, _LAST)


def _is_laid(organism: Organism, stage: LifeStage) -> bool:
    """Whether a stage is an egg on the bottom that another lays."""
    laid = any(other.lays == stage.key for other in organism.stages)
    return laid and stage.kind is StageKind.TIMED and stage.place is Place.BOTTOM


def _share(organism: Organism, egg: LifeStage, part: float) -> float:
    """Return when a part has hatched as a share of the middle; 1 where no spread is known.

    Of a lognormal stay it is exp(z sigma), z the standard normal quantile of the part.
    """
    from scipy.special import ndtri

    key = f"{egg.key}.residence_sigma"
    if egg.spread is not Spread.LOGNORMAL or not organism.known(key):
        return 1.0
    return exp(float(ndtri(part)) * organism.claims[key].number())
