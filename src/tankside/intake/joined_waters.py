"""Which waters of a case are joined to which, and from when: tanks on one sump are one water.

A description that names other waters joins them, for both sides, whoever named whom; what was
joined stays so until a later description of one of them says ``none``, which parts it from all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from tankside.case import CaseView
from tankside.case.system import SystemDescribed
from tankside.case.typed_value import NOT_KNOWN, slug
from tankside.quantity.moment import Moment

PARTED = "none"
Link = frozenset[str]
"""Two waters that are joined."""


@dataclass(frozen=True, slots=True)
class Joining:
    """How the waters of a case are joined from one entry on.

    Args:
        at: when it was so.
        entry: number of the entry.
        links: pairs of waters that are joined.
    """

    at: Moment
    entry: int
    links: frozenset[Link]

    def body_of(self, system: str) -> frozenset[str]:
        """Return every part of the body of water that a system belongs to, itself too."""
        return _reached(system, self.links)


@dataclass(frozen=True, slots=True)
class JoinedWaters:
    """How the waters of a case are joined over time.

    Args:
        described: ids of the systems, in the order in which they were described.
        joinings: every change, in the order they happened.
    """

    described: tuple[str, ...]
    joinings: tuple[Joining, ...]

    def now(self, system: str) -> tuple[str, ...]:
        """Return the parts of the body of water a system belongs to now, itself too.

        Parts that are named and were never described come last.
        """
        last = self.joinings[-1:]
        return self._in_order(last[0].body_of(system) if last else frozenset((system,)))

    def at(self, system: str, moment: Moment) -> frozenset[str]:
        """Return the parts of the body of water a system belonged to at a moment."""
        before = [joining for joining in self.joinings if joining.at.utc <= moment.utc]
        return before[-1].body_of(system) if before else frozenset((system,))

    def ever(self, system: str) -> tuple[str, ...]:
        """Return every water that ever shared water with a system, through whichever others."""
        links = frozenset(link for joining in self.joinings for link in joining.links)
        return self._in_order(_reached(system, links))

    def bodies(self) -> tuple[tuple[str, ...], ...]:
        """Return the parts of every body of water there is now."""
        return tuple(dict.fromkeys(self.now(system) for system in self.described))

    def _in_order(self, parts: frozenset[str]) -> tuple[str, ...]:
        described = [system for system in self.described if system in parts]
        return (*described, *sorted(parts.difference(described)))


@lru_cache(maxsize=64)
def joined_waters(view: CaseView) -> JoinedWaters:
    """Return how the waters of a case are joined."""
    return JoinedWaters(tuple(view.systems), _joinings(view))


def _joinings(view: CaseView) -> tuple[Joining, ...]:
    stated = [
        line.current
        for line in view.history
        if isinstance(line.current, SystemDescribed) and _told(line.current)
    ]
    ids = _ids_by_name(view)
    named: dict[str, frozenset[str]] = {}
    changes = []
    for entry in sorted(stated, key=lambda entry: (entry.moment.utc, entry.id)):
        words = _told(entry)
        if PARTED in words:
            named = {system: others - {entry.system} for system, others in named.items()}
            named[entry.system] = frozenset()
        others = frozenset(ids.get(word, word) for word in words if word != PARTED)
        named[entry.system] = named.get(entry.system, frozenset()) | others
        changes.append(Joining(entry.moment, entry.id, _links(named)))
    return tuple(changes)


def _told(entry: SystemDescribed) -> tuple[str, ...]:
    """Return the waters an entry names; nothing where it does not say or nobody knows."""
    words = (slug(word) for word in entry.shares_water_with if word not in NOT_KNOWN)
    return tuple(word for word in words if word not in ("", entry.system))


def _ids_by_name(view: CaseView) -> Mapping[str, str]:
    by_name = {slug(place.name): place.id for place in view.systems.values()}
    return by_name | {system: system for system in view.systems}


def _links(named: Mapping[str, frozenset[str]]) -> frozenset[Link]:
    return frozenset(
        frozenset((system, other))
        for system, others in named.items()
        for other in others
        if other != system
    )


def _reached(system: str, links: frozenset[Link]) -> frozenset[str]:
    reached = {system}
    waiting = [system]
    while waiting:
        here = waiting.pop()
        for link in links:
            if here in link and not link <= reached:
                waiting += link - reached
                reached |= link
    return frozenset(reached)
