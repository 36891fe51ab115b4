"""Which parasites a quarantine waits for, how long at its temperature, and how each shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, isfinite

from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.lifecycle import stage_durations

WATERS = ("fresh", "marine")
WAYS: Mapping[str, str] = {
    "spots": "spots on skin and fins, by eye",
    "dust": "a dust on the skin, in the beam of a torch",
    "scrape": "a scrape of skin and gill, under a microscope",
    "animals": "animals on the skin, by eye",
}


@dataclass(frozen=True, slots=True)
class AwaitedParasite:
    """One parasite that new fish may bring.

    Args:
        name: what it is called.
        way: how it is looked for.
        cycle_d: whole days of its slow cycle, or of its life on the fish, at the temperature of the
            water; None where no figure is on file or nobody read a temperature.
        too_slow: whether it develops so slowly there that no quarantine in print outlasts it.
    """

    name: str
    way: str
    cycle_d: int | None = None
    too_slow: bool = False

    @property
    def is_timed(self) -> bool:
        """Whether days of the quarantine can outlast it."""
        return self.cycle_d is not None and not self.too_slow


def awaited_parasites(
    facts: Knowledge, water: str, temperature_c: float | None, longest_d: int
) -> tuple[AwaitedParasite, ...]:
    """Return the parasites on file for a kind of water, the slowest first, those without days last.

    Args:
        facts: what is known.
        water: fresh, brackish or marine; of another both kinds are awaited.
        temperature_c: temperature read [C]; None when nobody read it.
        longest_d: the longest quarantine in print [d].
    """
    every = facts.organisms.values()
    living = [o for o in every if water not in WATERS or o.water == water]
    awaited = [_awaited(organism, temperature_c, longest_d) for organism in living]
    return tuple(sorted(awaited, key=lambda a: (not a.is_timed, -(a.cycle_d or 0), a.name)))


def look_words(awaited: Sequence[AwaitedParasite], day: int, before: int) -> Iterator[str]:
    """Yield what a look is for: by each way, what must show by its day, and what showed before.

    Args:
        awaited: the parasites.
        day: day of the quarantine (0 = the clock started).
        before: day of the look before it.
    """
    for way in dict.fromkeys(parasite.way for parasite in awaited):
        names = [p for p in awaited if p.way == way]
        due = [p for p in names if p.is_timed and before < (p.cycle_d or 0) <= day]
        again = [p.name for p in names if p not in due]
        new = [f"{p.name} (must show by now: {p.cycle_d} d)" for p in due]
        yield f"{way}: {', '.join((*new, *again))}"


def _awaited(organism: Organism, temperature_c: float | None, longest_d: int) -> AwaitedParasite:
    way = WAYS.get(organism.seen_by, WAYS["scrape"])
    if temperature_c is None:
        return AwaitedParasite(organism.name, way)
    try:
        slow = stage_durations(organism, temperature_c).cycle[2]
    except NotPossible:
        return AwaitedParasite(organism.name, way)
    if not isfinite(slow):
        return AwaitedParasite(organism.name, way, None, too_slow=True)
    return AwaitedParasite(organism.name, way, ceil(slow), too_slow=slow > longest_d)
