"""From the case's stock to the groups of the course, and to the fish a parasite meets."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from tankside.case import CaseView, StockView
from tankside.claims import Host, Knowledge
from tankside.course import StockGroup
from tankside.course.bodies.stock import Living, living_of, weight_between
from tankside.intake.species import find_host
from tankside.quantity import Kind

if TYPE_CHECKING:
    from tankside.lifecycle import HostGroup

RANGE_OF_SHAPE = "practice.forecast.weight_factor"
UNKNOWN_WEIGHT = "practice.forecast.unknown_weight"
SUSCEPTIBILITY = "practice.forecast.susceptibility"

Range = tuple[float, float, float]


def stock(
    view: CaseView,
    facts: Knowledge,
    homes: Callable[[StockView], Iterable[str]],
    *,
    at_start: bool = False,
) -> tuple[StockGroup, ...]:
    """Return every group of animals and plants, those too whose number nobody told.

    Args:
        view: the case.
        facts: hosts and the rules for weight from length.
        homes: the bodies of water a group lives in, or may live in; it counts in each.
        at_start: the number before any recorded death, instead of those alive now.
    """
    groups = []
    for group, home in ((g, home) for g in view.stock.values() for home in homes(g)):
        description = group.description
        host = find_host(facts.hosts, description.host, description.name)
        length, longest = lengths_cm(group)
        counted = group.alive is not None
        alive = 1 if group.alive is None else group.alive
        groups.append(
            StockGroup(
                id=group.id,
                host_id=None if host is None else host.id,
                name=description.name,
                count=alive + (group.deaths if at_start else 0),
                length_cm=length,
                length_to_cm=longest,
                weight_g=weight_g(group, host, facts) if counted else None,
                body=home,
                life_stage=description.life_stage,
                gill_damage={"yes": True, "no": False}.get(description.gill_damage or ""),
                died=0 if at_start else group.deaths,
                living=Living(group.living),
                number_known=counted,
            )
        )
    return tuple(groups)


def lengths_cm(group: StockView) -> tuple[float | None, float | None]:
    """Return the length of the shortest and of the longest of a group [cm]; None where not told."""
    typed = (group.description.length, group.description.length_to)
    short, long = (None if x is None else x.measured(Kind.LENGTH).number("cm") for x in typed)
    return (
        (long, short) if short is not None and long is not None and long < short else (short, long)
    )


def weight_g(group: StockView, host: Host | None, facts: Knowledge) -> Range | None:
    """Return the weight of one animal [g] as (low, point, high); None when nothing tells it.

    Weighed where it was weighed; else a L^b of the host, with the factor that such a figure
    may be off.
    """
    weight = group.description.weight
    factor = facts.number(RANGE_OF_SHAPE)
    if weight is not None:
        weighed = weight.measured(Kind.MASS).number("g")
        return (weighed, weighed, weighed)
    shortest, longest = lengths_cm(group)
    if host is None or shortest is None:
        return None
    a, b = host.find("length_weight_a"), host.find("length_weight_b")
    if a is None or b is None:
        return None

    def weigh(length_cm: float) -> Range:
        point = a.number() * float(length_cm ** b.number())
        return (point / factor, point, point * factor)

    return weight_between(weigh, shortest, longest)


def fish(
    groups: tuple[StockGroup, ...], facts: Knowledge, water: str | None
) -> tuple[HostGroup, ...]:
    """Return the groups of fish that a parasite meets; invertebrates carry none of it.

    A weight nobody knows is drawn from a wide range, and so is the susceptibility of a kind of
    fish on which no figure stands.
    """
    from tankside.lifecycle import HostGroup

    hosts = []
    for group in groups:
        host = facts.hosts.get(group.host_id or "")
        if not group.number_known or living_of(facts, group) is not Living.FISH:
            continue
        if host is not None and water and host.water not in (water, "brackish"):
            continue
        hosts.append(
            HostGroup(
                id=group.id,
                count=group.count,
                weight_g=group.weight_g or _range(facts, UNKNOWN_WEIGHT),
                host_id=group.host_id or "",
                susceptibility=_range(facts, SUSCEPTIBILITY),
            )
        )
    return tuple(hosts)


def _range(facts: Knowledge, key: str) -> Range:
    low, high = facts.claim(key).bounds()
    return (low, facts.number(key), high)


def questions(groups: tuple[StockGroup, ...]) -> Mapping[str, str]:
    """Return what is not known of the stock and would narrow the answer, by open key."""
    asked: dict[str, str] = {}
    for group in groups:
        if group.living is Living.PLANT:
            continue
        if not group.number_known:
            asked[f"stock.{group.id}.count"] = f"How many are the {group.name}?"
        if group.host_id is None:
            asked[f"stock.{group.id}.host"] = f"Which species are the {group.name}?"
        if group.weight_g is None and group.length_cm is None:
            asked[f"stock.{group.id}.length"] = f"How long are the {group.name} (cm)?"
        elif group.weight_g is None:  # of their kind no figure leads from length to weight
            asked[f"stock.{group.id}.weight"] = f"How heavy is one of the {group.name} (g)?"
    return asked
