"""An organism as data: its stages, where each lives, and the claims that put figures on them.

The claims of an organism are keyed without the leading ``organism.<id>.``; each stage owns the
claims under ``<stage>.<quantity>``, each agent those under ``kill.<agent>.<stage>.<quantity>``.
Which quantities a stage needs depends only on its kind (:data:`NEEDED`), never on the organism.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from tankside.claims.claim import Claim

_NO_CLAIMS: Mapping[str, Claim] = MappingProxyType({})
_NO_RIVALS: Mapping[str, tuple[Claim, ...]] = MappingProxyType({})
_NO_WORDS: Mapping[str, str] = MappingProxyType({})


class Place(StrEnum):
    """Where a stage lives."""

    HOST = "host"
    BOTTOM = "bottom"
    WATER = "water"


class StageKind(StrEnum):
    """How a stage ends: by the clock, by rates, or by meeting a fish."""

    TIMED = "timed"
    RATED = "rated"
    SEEKING = "seeking"


class Spread(StrEnum):
    """Shape of the residence about its middle."""

    GAMMA = "gamma"
    LOGNORMAL = "lognormal"
    LONG_TAIL = "long_tail"
    EXPONENTIAL = "exponential"


class DurationLaw(StrEnum):
    """How residence follows temperature.

    ``DEGREES``: time = k / (T - t0), k in the claim's degree-days or degree-hours.
    ``Q10``: time = middle / q10 ** ((T - ref) / 10).
    ``CONSTANT``: time does not follow temperature (no claim says how).
    """

    DEGREES = "degrees"
    Q10 = "q10"
    CONSTANT = "constant"


NEEDED: Mapping[StageKind, tuple[str, ...]] = MappingProxyType(
    {
        StageKind.TIMED: ("residence",),
        StageKind.RATED: ("loss_per_d",),
        StageKind.SEEKING: ("life", "search_l_per_h", "establish"),
    }
)


@dataclass(frozen=True, slots=True)
class LifeStage:
    """One stage of a life cycle.

    ``becomes`` names the stage entered at the end of the residence (or on meeting a fish);
    ``lays`` names the stage that eggs or young enter while the stage lives (rated stages).
    ``in_cycle`` is false for a short stage that published cycle times leave out (settling).
    """

    key: str
    place: Place
    kind: StageKind
    becomes: str = ""
    lays: str = ""
    law: DurationLaw = DurationLaw.DEGREES
    spread: Spread = Spread.GAMMA
    in_cycle: bool = True
    words: str = ""


@dataclass(frozen=True, slots=True)
class JointRows:
    """Values of several claims that are only believed together, one row of them per draw.

    ``keys`` names the columns. Rows are ordered so that neighbours spread alike; each is as
    likely as any other. A claim is drawn from here while its conditions say ``drawn = "together"``.
    """

    keys: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Organism:
    """A parasite as the life-cycle room reads it.

    ``claims`` holds the default claim of each key, ``rivals`` the other claims of the same key,
    ``missing`` the keys without which no forecast can be run, with the reason for each,
    ``together`` the rows from which claims that hang together are drawn, ``rests_on`` the
    sentence an answer begins with where little of it is in print.
    """

    id: str
    latin: str
    name: str
    water: str
    stages: tuple[LifeStage, ...]
    claims: Mapping[str, Claim] = field(default_factory=lambda: _NO_CLAIMS)
    rivals: Mapping[str, tuple[Claim, ...]] = field(default_factory=lambda: _NO_RIVALS)
    missing: Mapping[str, str] = field(default_factory=lambda: _NO_WORDS)
    seen_by: str = ""
    note: str = ""
    rests_on: str = ""
    together: JointRows | None = None

    @property
    def first_words(self) -> tuple[str, ...]:
        """What an answer about it begins with: what it rests on, where little is in print."""
        return (self.rests_on,) if self.rests_on else ()

    def stage(self, key: str) -> LifeStage:
        """Return the stage with this key.

        Raises:
            KeyError: there is none.
        """
        for stage in self.stages:
            if stage.key == key:
                return stage
        raise KeyError(key)

    def at(self, place: Place) -> tuple[LifeStage, ...]:
        """Return the stages that live in this place, in the order of the file."""
        return tuple(stage for stage in self.stages if stage.place is place)

    def known(self, key: str) -> bool:
        """Whether a figure is stated for this claim key."""
        claim = self.claims.get(key)
        return claim is not None and claim.known
