"""Ultraviolet dose: what a lamp gives, what is left of it in a real unit, what it kills."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.water.ranged import Method, Range, Ranged, Values, array

_SOURCE = "epa_uvdgm_2006"

FLUENCE = Method(
    "fluence_mj_cm2",
    "ultraviolet dose, mJ/cm2",
    "H = I t",
    _SOURCE,
    (),
    "1 mJ/cm2 = 1000 uW s/cm2. Germicidal light near 254 nm.",
)
LOG_KILL = Method(
    "log10_kill_chick_watson",
    "powers of ten by which the living are reduced",
    "log10 N0/N = H / D10",
    _SOURCE,
    (),
    "Straight line: the shoulder at low and the tail at high dose are left out, so large "
    "results overstate. Figures for losing the power to infect are far below those for killing "
    "on the spot.",
)
DERATED = Method(
    "fluence_derated_mj_cm2",
    "ultraviolet dose in the unit as it is, mJ/cm2",
    "H = H_new x lamp x sleeve x (1 - UVT^d) / (-d ln UVT)",
    _SOURCE,
    (Range("transmittance_per_cm", cited(0.5, _SOURCE, "usual waters"), 1, "transmittance"),),
    "Lamp at the end of its life 0.6 to 0.7 and sleeve 0.9: common practice, no source.",
)


def fluence_mj_cm2(intensity_mw_cm2: Values, seconds: Values) -> Ranged:
    """Ultraviolet dose of still or evenly lit water.

    Args:
        intensity_mw_cm2: intensity [mW/cm2].
        seconds: time under the lamp [s].

    Returns:
        Dose [mJ/cm2].

    Equation:
        H = I t
    """
    return FLUENCE.result(array(intensity_mw_cm2) * array(seconds))


def log10_kill_chick_watson(fluence_mj: Values, d10_mj: Values) -> Ranged:
    """Powers of ten of reduction by a dose.

    Args:
        fluence_mj: dose [mJ/cm2].
        d10_mj: dose for one power of ten [mJ/cm2]; a claim.

    Returns:
        log10 reduction.

    Equation:
        log10 N0/N = H / D10, without shoulder or tail.
    """
    return LOG_KILL.result(array(fluence_mj) / array(d10_mj))


def fluence_derated_mj_cm2(
    new_fluence_mj: Values,
    lamp_left: Values,
    sleeve_clear: Values,
    transmittance_per_cm: Values,
    path_cm: Values,
) -> Ranged:
    """Dose of an aged lamp behind a fouled sleeve in water that absorbs.

    Args:
        new_fluence_mj: dose of a new, clean unit in clear water [mJ/cm2].
        lamp_left: share of the output left [0 to 1].
        sleeve_clear: share the sleeve lets through [0 to 1].
        transmittance_per_cm: share of light left after 1 cm of this water [0 to 1].
        path_cm: thickness of the lit water [cm].

    Returns:
        Dose averaged over the path [mJ/cm2].

    Equation:
        H = H_new x lamp x sleeve x (1 - UVT^d) / (-d ln UVT)  (mean over the path)
    """
    absorbed = -np.log(array(transmittance_per_cm)) * array(path_cm)
    mean = np.where(absorbed > 0, -np.expm1(-absorbed) / np.where(absorbed > 0, absorbed, 1), 1)
    return DERATED.result(
        array(new_fluence_mj) * array(lamp_left) * array(sleeve_clear) * mean,
        transmittance_per_cm=transmittance_per_cm,
    )
