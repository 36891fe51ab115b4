"""What goes into a forecast and what comes out: fish, initial state, draws, histories."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
Flags = NDArray[np.bool_]

Range = tuple[float, float, float]
"""Low, point and high of something not known exactly (all equal when it is)."""

_NOWHERE: Mapping[str, Range] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class HostGroup:
    """Fish that are alike: one species, one size, always in the same body of water.

    ``susceptibility`` multiplies the chance that an arriving parasite settles (1 = the fish the
    organism's parameters were measured on). ``weight_g`` is per fish. ``bearing``
    multiplies the lethal load. ``dose_known`` is false where
    no print says how many parasites kill this kind of fish: the share that dies is then unknown.
    """

    id: str
    count: int
    weight_g: Range
    host_id: str = ""
    susceptibility: Range = (1.0, 1.0, 1.0)
    bearing: Range = (1.0, 1.0, 1.0)
    dose_known: bool = True


@dataclass(frozen=True, slots=True)
class Arrival:
    """Swimmers brought into a body at the start of an hour, with new fish, plants or water.

    ``swimmers`` is the mean number, drawn within the range in each history.
    """

    hour: int
    body: str
    swimmers: Range


@dataclass(frozen=True, slots=True)
class InitialState:
    """The initial state: what is believed to be there at hour 0, before anything is done.

    ``per_fish`` is the number on a carrying fish of each group, ``carriers`` the share of the group
    that carries any (both drawn between low and high in each history; log-uniform for the number).
    ``bottom`` and ``swimmers`` are numbers in each body of water. ``age`` is the part of the
    residence time on the fish already over: None spreads ages evenly (an established outbreak); 0
    is a fresh infection. ``steady_bottom`` adds bottom stages in the proportion that a steady
    release from the fish would have left there, so that spots on the fish imply cysts below.
    ``immune`` is the share of each group that an earlier outbreak has left immune: those refuse (or
    shed) as the organism's claims on immunity say from hour 0. ``later`` is what is brought in
    afterwards. ``exact`` takes the numbers as they are instead of scattering them (Poisson).
    """

    per_fish: Mapping[str, Range]
    carriers: Mapping[str, Range] = field(default_factory=lambda: _NOWHERE)
    bottom: Mapping[str, Range] = field(default_factory=lambda: _NOWHERE)
    swimmers: Mapping[str, Range] = field(default_factory=lambda: _NOWHERE)
    age: float | None = None
    immune: Mapping[str, Range] = field(default_factory=lambda: _NOWHERE)
    later: tuple[Arrival, ...] = ()
    steady_bottom: bool = True
    exact: bool = False


@dataclass(frozen=True, slots=True)
class Draws:
    """Claim values, one row per history, and the weight of each row.

    ``values[h, j]`` is the value of claim ``keys[j]`` in history ``h``; rows come from a
    scrambled Sobol sequence over the stated ranges and the rival claims.
    """

    keys: tuple[str, ...]
    values: Floats
    weights: Floats
    seed: int

    def column(self, key: str) -> Floats:
        """Return the values of one claim over the histories."""
        return self.values[:, self.keys.index(key)]
