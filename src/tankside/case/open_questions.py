"""What has not been asked yet, in the order in which it is worth asking."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from tankside.case.described import Event
from tankside.case.done import Death
from tankside.case.entry import Fact
from tankside.case.medicine import AgentInWater
from tankside.case.parts import Reading
from tankside.case.system import QUESTIONS

if TYPE_CHECKING:
    from tankside.case.view import AnswerView, StockView, SystemView

DANGER_ORDER = (
    Reading.TEMPERATURE,
    Reading.OXYGEN,
    Reading.AMMONIA,
    Reading.PH,
    Reading.NITRITE,
    Reading.ALKALINITY,
)
"""Readings wanted of every main system, the most dangerous gap first (common practice)."""


def not_asked(
    systems: Mapping[str, SystemView],
    stock: Mapping[str, StockView],
    evidence: Mapping[str, tuple[AnswerView, ...]],
    standing: Iterable[Fact],
    deaths: Iterable[Death] = (),
) -> tuple[str, ...]:
    """List open questions as stable keys, for example ``system.main.carbon``.

    A question answered "keeper does not know" or "not looked" was asked and is not listed.
    """
    entries = tuple(standing)
    open_now: list[str] = []
    if not any(isinstance(entry, Event) for entry in entries):
        open_now.append("changes_in_14_days")
    if not any(isinstance(entry, AgentInWater) for entry in entries):
        open_now.append("already_in_the_water")
    if not systems:
        open_now.append("system")
    for system in systems.values():
        open_now.extend(_of_system(system))
    if not stock:
        open_now.append("stock")
    for group in stock.values():
        asked = group.description.not_known
        if group.description.count is None and "count" not in asked:
            open_now.append(f"stock.{group.id}.count")
        lacks_length = group.description.length is None and "length" not in asked
        if lacks_length and group.living == "fish":
            open_now.append(f"stock.{group.id}.length")
    open_now += [f"death.{death.id}.group" for death in deaths if _of_which(death, len(stock))]
    if not evidence:
        open_now.append("findings")
    return tuple(open_now)


def _of_which(death: Death, groups: int) -> bool:
    """Whether nobody said to which of several groups a death belongs."""
    return bool(death.number) and groups > 1 and death.group is None and death.fish is None


def _of_system(system: SystemView) -> list[str]:
    place = f"system.{system.id}"
    questions = []
    if system.volume.point_l is None:
        questions.append(f"{place}.volume")
    elif system.volume.weak:
        questions.append(f"{place}.second_volume")
    questions += [f"{place}.reading.{r.value}" for r in DANGER_ORDER if r not in system.readings]
    described = system.description
    questions += [f"{place}.{key}" for key in QUESTIONS if getattr(described, key) is None]
    return questions
