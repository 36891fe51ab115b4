"""Which waters are joined, by hand: who named whom, until a description says that it is parted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass
class Links:
    """``named`` holds for each system the others that its description names."""

    named: dict[str, set[str]] = field(default_factory=dict)

    def describe(self, system: str, others: str) -> None:
        """Take in ``shares-water-with``: names with commas join, and none alone parts."""
        if others == "none":
            self.named[system] = set()
            for partners in self.named.values():
                partners.discard(system)
            return
        self.named.setdefault(system, set()).update(name.strip() for name in others.split(","))

    def bodies(self, systems: Iterable[str]) -> set[frozenset[str]]:
        """Return the systems in groups that share water, through however many others."""
        there = set(systems)
        return {frozenset(self.body_of(system) & there) for system in there}

    def body_of(self, system: str) -> set[str]:
        """Return every system that shares water with one, itself too."""
        group, edge = set[str](), {system}
        while edge:
            group |= edge
            edge = {other for near in edge for other in self._joined(near)} - group
        return group

    def _joined(self, system: str) -> set[str]:
        naming = {other for other, partners in self.named.items() if system in partners}
        return self.named.get(system, set()) | naming
