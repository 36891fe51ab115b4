"""What a tank is played with is said where it is not plain."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tankside import library
from tankside.lifecycle import HostGroup
from tankside.report.played_with import played_with

ICH = "ichthyophthirius_multifiliis"


@dataclass(frozen=True)
class Water:
    water: str
    salinity_g_l: float | None


@dataclass(frozen=True)
class Tank:
    """The parts of an assembled case that are read."""

    main: Water
    hosts: tuple[HostGroup, ...]
    facts: Any


def lines(water: str, salt: float | None, *hosts: str) -> tuple[str, ...]:
    groups = tuple(HostGroup(name, 5, (2.0, 3.0, 4.0), host_id=name) for name in hosts)
    facts = library.load()
    tank: Any = Tank(Water(water, salt), groups, facts)
    blocks = played_with(tank, facts.organisms[ICH])
    return blocks[0].lines if blocks else ()


def test_a_brackish_tank_says_its_salt_and_whose_figures_are_used() -> None:
    (said,) = lines("brackish", 4.0, "poecilia_reticulata")
    assert "salinity 4 g/L, as measured" in said
    assert "fresh water" in said
    (unmeasured,) = lines("brackish", None, "poecilia_reticulata")
    assert "played without salt" in unmeasured


def test_several_kinds_of_fish_are_said_by_kind_and_one_kind_in_plain_water_is_not() -> None:
    said = lines("fresh", 0.0, "ictalurus_punctatus", "poecilia_reticulata")
    assert "print says what load kills" in said[0]
    assert "unknown" in said[1]
    assert lines("fresh", 0.0, "poecilia_reticulata") == ()
