"""Hold the figures of the program against those of the reckoner."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from tests.reckoner.by_program import Shown
from tests.reckoner.pool import NOTHING, Mass
from tests.reckoner.printed_rates import SALT, Shelf
from tests.reckoner.reckoning import COPPER, Water

EXACT, FADING = Fraction(1, 10**12), Fraction(1, 10**9)
"""Greatest relative difference: binary numbers against fractions, and where something decays."""
NEXT_TO_NOTHING_MG_L = Fraction(1, 10**15)
"""Below this two strengths are the same: a millionth of a nanogram in a litre."""
READ_COPPER = "copper"


def disagreements(reckoned: Mapping[str, Water | None], shown: Shown, shelf: Shelf) -> list[str]:
    """Return in words every edge of every substance on which the two do not agree."""
    faults = []
    for system, water in reckoned.items():
        if (water is None) is not (system not in shown):
            faults.append(f"{system}: measured by one, not by the other")
        if water is None or system not in shown:
            continue
        mine = merged(dict(water), shelf)
        its = merged({agent: exact(edges) for agent, edges in shown[system].items()}, shelf)
        for agent in sorted(mine.keys() | its.keys()):
            pair = mine.get(agent, NOTHING), its.get(agent, NOTHING)
            if not same(agent, *pair):
                faults.append(
                    f"{system}, {agent}: reckoned {plainly(pair[0])}, shown {plainly(pair[1])}"
                )
    return faults


def exact(edges: tuple[tuple[float, float], ...] | None) -> Mass | None:
    if edges is None:
        return None
    small, point, large = ((Fraction(low), Fraction(high)) for low, high in edges)
    return small, point, large


def merged(water: Water, shelf: Shelf) -> Water:
    """Count all copper as Cu: a test reads the element, whatever it was put in as."""
    rest = {agent: mass for agent, mass in water.items() if agent not in COPPER}
    parts = [(agent, water[agent]) for agent in COPPER if agent in water]
    if not parts:
        return rest
    crystals = shelf.agents[COPPER[0]].parts["as CuSO4.5H2O"]
    total: Mass | None = NOTHING
    for agent, mass in parts:
        share = Fraction(1) if agent == COPPER[0] else crystals
        if mass is None or total is None:
            total = None
            continue
        small, point, large = (
            (total[k][0] + mass[k][0] * share, total[k][1] + mass[k][1] * share) for k in range(3)
        )
        total = (small, point, large)
    return rest | {READ_COPPER: total}


def same(agent: str, mine: Mass | None, its: Mass | None) -> bool:
    if mine is None or its is None:
        return mine is its
    allowed = EXACT if agent == SALT else FADING
    return all(
        abs(first - second) <= max(allowed * max(first, second), NEXT_TO_NOTHING_MG_L)
        for pair in zip(mine, its, strict=True)
        for first, second in zip(*pair, strict=True)
    )


def plainly(mass: Mass | None) -> str:
    if mass is None:
        return "unknown"
    return "; ".join(f"{float(low):.6g} to {float(high):.6g}" for low, high in mass) + " mg/L"
