"""What is left of a dissolved substance after changes, flow and decay, and how much to put back."""

from __future__ import annotations

import numpy as np

from tankside.claims import setting
from tankside.errors import BadInput
from tankside.water.ranged import Floats, Method, Range, Ranged, Values, array

_SHARE = Range("changed_share", 0, 1, "share of the water changed")
_MIXED = "mixed_tank_balance"

PART_CHANGES = Method(
    "left_after_changes",
    "share of the substance left, 0 to 1",
    "left = (1 - f)^n",
    _MIXED,
    (_SHARE,),
    "Full mixing; the new water carries none of it.",
)
FLOW_AND_DECAY = Method(
    "left_after_flow_and_decay",
    "share of the substance left, 0 to 1",
    "left = exp(-(k + Q/V) t)",
    _MIXED,
    (),
    "Full mixing; first-order loss.",
)
REPEATED_DOSE = Method(
    "repeated_dose_peak",
    "highest strength reached by repeating one dose, in the unit of the dose",
    "peak = D / (1 - (1 - f) 2^(-tau/h))",
    _MIXED,
    (_SHARE,),
    "After many rounds of: part change, then the full dose again.",
)
HOLD_STRENGTH = Method(
    "dose_to_hold",
    "amount to add each time to come back to the target, in the unit of the target",
    "put back = C (1 - (1 - f) 2^(-tau/h))",
    _MIXED,
    (_SHARE,),
    "Only what change and decay took away is put back.",
)


def left_after_changes(changed_share: Values, changes: Values) -> Ranged:
    """Share of a substance left after equal part changes with water free of it.

    Args:
        changed_share: share of the water changed each time [0 to 1].
        changes: number of changes.

    Returns:
        Share left [0 to 1].

    Equation:
        left = (1 - f)^n; mass balance of a fully mixed tank.
    """
    return PART_CHANGES.result(
        (1 - array(changed_share)) ** array(changes), changed_share=changed_share
    )


def changes_needed(changed_share: float, left_share: float) -> int:
    """Fewest equal part changes that leave no more than a share of a substance.

    Args:
        changed_share: share of the water changed each time [above 0, up to 1].
        left_share: share that may be left [above 0, below 1].

    Raises:
        BadInput: E-RANGE-01 when no number of changes could do it.
    """
    if not 0 < changed_share <= 1 or not 0 < left_share < 1:
        raise BadInput(
            "E-RANGE-01",
            "Shares must lie between 0 and 1.",
            given=f"{changed_share:g} changed, {left_share:g} left",
            needed="a changed share above 0 up to 1, a left share above 0 and below 1",
            next_step="Give both as shares, for example 0.25 and 0.05.",
            field="changed_share",
        )
    if changed_share >= 1:
        return 1
    exact = np.log(left_share) / np.log1p(-changed_share)
    slack = setting(1e-9, "a share met exactly must not ask for one more change by rounding")
    return int(np.ceil(exact - slack))


def left_after_flow_and_decay(
    hours: Values, exchanges_per_h: Values = 0.0, decay_per_h: Values = 0.0
) -> Ranged:
    """Share of a substance left under continuous flow and first-order decay.

    Args:
        hours: time [h].
        exchanges_per_h: flow of new water over volume, Q/V [1/h].
        decay_per_h: first-order loss rate k [1/h]; ln 2 over the half-life.

    Returns:
        Share left [0 to 1].

    Equation:
        left = exp(-(k + Q/V) t)
    """
    rate = array(decay_per_h) + array(exchanges_per_h)
    return FLOW_AND_DECAY.result(np.exp(-rate * array(hours)))


def decay_rate_per_h(half_life_h: Values) -> Floats:
    """Return the first-order loss rate [1/h] of a half-life [h]; 0 for an infinite one."""
    rate: Floats = np.log(2) / array(half_life_h)
    return rate


def _kept(changed_share: Values, interval_h: Values, half_life_h: Values) -> Floats:
    halvings = array(interval_h) / array(half_life_h)
    kept: Floats = (1 - array(changed_share)) * np.exp2(-halvings)
    return kept


def repeated_dose_peak(
    dose: Values, changed_share: Values, interval_h: Values, half_life_h: Values
) -> Ranged:
    """Strength just after dosing, once the same dose has been repeated many times.

    Args:
        dose: strength that one dose adds [any unit].
        changed_share: share of the water changed before each dose [0 to 1].
        interval_h: time between doses [h].
        half_life_h: half-life in the tank [h]; infinity when it does not decay.

    Returns:
        Peak strength [unit of the dose]; infinite when nothing ever leaves.

    Equation:
        peak = D / (1 - (1 - f) 2^(-tau/h))
    """
    lost = 1 - _kept(changed_share, interval_h, half_life_h)
    peak = np.where(lost > 0, array(dose) / np.where(lost > 0, lost, 1), np.inf)
    return REPEATED_DOSE.result(peak, changed_share=changed_share)


def dose_to_hold(
    target: Values, changed_share: Values, interval_h: Values, half_life_h: Values
) -> Ranged:
    """Amount to add at each round so that the strength just after dosing stays the same.

    Args:
        target: strength to come back to [any unit].
        changed_share: share of the water changed before each dose [0 to 1].
        interval_h: time between doses [h].
        half_life_h: half-life in the tank [h]; infinity when it does not decay.

    Returns:
        Strength to add [unit of the target].

    Equation:
        put back = C (1 - (1 - f) 2^(-tau/h))
    """
    lost = 1 - _kept(changed_share, interval_h, half_life_h)
    return HOLD_STRENGTH.result(array(target) * lost, changed_share=changed_share)
