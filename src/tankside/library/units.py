"""The units a claim may be told in, and which unit belongs to which quantity."""

from __future__ import annotations

import re

MEASURES = frozenset(
    {
        "", "1", "%", "C", "C/d", "d", "h", "min", "wk", "months", "1/d", "1/h", "cm", "cm2", "m/d",
        "um", "g", "kg/ha", "mg", "g/L", "mg/L", "ug/L", "uL/L", "mL/L", "mg/mL", "mg/mg", "g/mL",
        "g/lb", "mg/kg/d", "mg O2/mg", "g/cm^b", "pH", "mJ/cm2", "h/d", "d.C", "h.C", "L/h", "fold",
        "fraction", "ratio", "share", "times", "meq/L", "dH", "mmol/L", "kPa", "hPa", "W", "kJ",
        "%/h", "ppm by volume", "L", "m", "mm", "kg", "s", "mS/cm", "uS/cm", "mg/h", "mg/kg/h",
        "mV", "C/h", "W/m2K", "mg.h/L", "kJ/mol", "1/pH",
    }
)  # fmt: skip
COUNTED = frozenset(
    {
        "adults", "cells", "changes", "clutches", "courses", "cycles", "doses", "eggs", "fish",
        "generations", "hour", "hours", "lice", "moves", "nauplii", "parasites", "slow", "species",
        "swimmers", "theronts", "transfers", "treatments", "trophonts", "trophozoites", "worm-days",
        "worms", "fields", "spots", "points", "readings", "turnovers",
    }
)  # fmt: skip

# Quantity (pattern over the full key) and the units it may have.
BELONGS: tuple[tuple[re.Pattern[str], frozenset[str]], ...] = tuple(
    (re.compile(pattern), frozenset(units))
    for pattern, units in (
        (r"agent\.[^.]+\.(dose|hard_max|soft_max|hard_max_young)\.feed", {"mg/kg/d"}),
        (
            r"agent\.[^.]+\.(dose|hard_max|hard_min|soft_max|soft_max_small|hard_max_warm"
            r"|hard_max_young|step)\..*",
            {"mg/L", "g/L", "C", "h/d", "mg/kg/d"},
        ),
        (r"agent\.[^.]+\.minutes(_max)?\..*", {"min"}),
        (r"agent\.[^.]+\.interval(\..*)?", {"h"}),
        (r"agent\.[^.]+\.half_life", {"h"}),
        (r"agent\.[^.]+\.loss\..*", {"1/h"}),
        (r"agent\.[^.]+\.titrate\.(every|test_every|test_first)", {"h"}),
        (r"agent\.[^.]+\.titrate\.steps", {"doses"}),
        (r"agent\.[^.]+\.course_days\..*", {"d"}),
        (r"agent\.[^.]+\.warm_above\..*", {"C"}),
        (r"agent\.[^.]+\.small_below\..*", {"cm"}),
        (r"agent\.[^.]+\.withdrawal", {"d"}),
        (r"agent\.[^.]+\.oxygen_demand", {"mg O2/mg"}),
        (r"agent\.[^.]+\.needs\.alkalinity_min", {"mg/L as CaCO3"}),
        (r"agent\.[^.]+\.needs\.temperature_(min|max)", {"C"}),
        (r"agent\.[^.]+\.needs\.oxygen_min", {"mg/L"}),
        (r"agent\.[^.]+\.needs\.ph_(min|max)", {"pH"}),
        (r"agent\.[^.]+\.incompatible\..*", {"h"}),
        (r"agent\.[^.]+\.density", {"g/mL"}),
        (r"agent\.[^.]+\.form\..*", {"mg/mg"}),
        (r"host\.[^.]+\.(temperature_low|temperature_high|ctmax)", {"C"}),
        (r"host\.[^.]+\.ph_(low|high)", {"pH"}),
        (r"host\.[^.]+\.(usual|adult)_length", {"cm"}),
        (r"host\.[^.]+\.length_weight_a", {"g/cm^b"}),
        (r"agent\.[^.]+\.holds\..*", {"mg/mg"}),
        (
            r"host\.[^.]+\.(salt_tolerance|low_salinity_survived|most\.salt|most_bath\.salt)",
            {"g/L"},
        ),
        (r"host\.[^.]+\.most(_bath)?\.(?!salt).*", {"mg/L"}),
        (r"host\.[^.]+\.dose_share\..*", {"share of the usual dose"}),
    )
)

# Physically possible range by unit.
POSSIBLE: dict[str, tuple[float, float]] = {
    "pH": (0, 14),
    "C": (-25, 60),
    "%": (0, 100),
    "fraction": (0, 1),
    "share": (0, 1),
    "g/mL": (0.5, 2.5),
    "cm": (0, 1500),
    "g/L": (0, 400),
}


def is_known(unit: str) -> bool:
    """Return whether a unit is a measure, a counted thing, or one of them with words after it."""
    first = unit.split(" ")[0]
    return (
        unit in MEASURES
        or first in MEASURES - {""}
        or first.split("/")[0] in COUNTED
        or first in COUNTED
    )


def belongs(key: str) -> frozenset[str] | None:
    """Return the units that the quantity under a key may have; None when any will do."""
    for pattern, units in BELONGS:
        if pattern.fullmatch(key):
            return units
    return None
