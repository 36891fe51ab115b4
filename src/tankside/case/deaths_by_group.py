"""Which group a death belongs to: the one named, the only one that can be meant, or by number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tankside.case.described import StockDescribed
from tankside.case.done import Death
from tankside.case.view import Home, home_at
from tankside.quantity import check_share

FISH = "fish"
PLANT = "plant"


def deaths_by_group(
    deaths: Iterable[Death],
    stock: Mapping[str, StockDescribed],
    counted: Mapping[str, StockDescribed],
    homes: Mapping[str, Sequence[Home]],
) -> tuple[Death, ...]:
    """Return every death with its group, one entry in parts where it was spread.

    A death that names its group, or a fish whose name holds that of a group, belongs to it. Any
    other is one of the fish (of the other animals where no fish are kept) of the water it names,
    of all waters where it names none. Among several groups it is spread in proportion to how many
    of each were left, whole animals, the largest remainder first. Where nobody knows how many of
    a group there are it keeps no group, and is asked for.

    Args:
        deaths: as entered.
        stock: each group as described now.
        counted: of each group, the entry that told its number last.
        homes: where each group lived.

    Raises:
        BadInput: E-COUNT-01 more dead than can have been alive.
    """
    named: list[Death] = []
    unnamed: list[Death] = []
    for death in deaths:
        group = _meant(death, stock)
        if group is None:
            unnamed.append(death)
        else:
            named.append(death.model_copy(update={"group": group}))
    left = {name: entry.count or 0 for name, entry in counted.items()}
    for death in named:
        _take(left, counted, death)
    for death in sorted(unnamed, key=lambda entry: (entry.moment.utc, entry.id)):
        for part in _spread(death, _candidates(death, stock, homes), left, counted):
            named.append(part)
            _take(left, counted, part)
    return tuple(sorted(named, key=lambda entry: entry.id))


def group_of_fish(fish: str | None, stock: Mapping[str, StockDescribed]) -> str | None:
    """Return the group whose name the name of one fish holds; None when none does.

    Args:
        fish: name of the fish, for example "worst loach".
        stock: groups by id.
    """
    words = (fish or "").lower()
    for name in sorted(stock, key=lambda group: (-len(group), group)):
        called = stock[name].name.lower().split()
        last = called[-1].rstrip("s") if called else ""
        if words and (name.replace("_", " ") in words or (last and last in words)):
            return name
    return None


def _meant(death: Death, stock: Mapping[str, StockDescribed]) -> str | None:
    if death.group is not None:
        return death.group
    return group_of_fish(death.fish, stock)


def _candidates(
    death: Death, stock: Mapping[str, StockDescribed], homes: Mapping[str, Sequence[Home]]
) -> tuple[str, ...]:
    """Return the groups an unnamed death may belong to, in the order of their ids."""
    there = [
        name
        for name, entry in stock.items()
        if entry.living != PLANT
        and (death.system is None or home_at(homes[name], death.moment) == death.system)
    ]
    fish = [name for name in there if (stock[name].living or FISH) == FISH]
    return tuple(sorted(fish or there))


def _spread(
    death: Death,
    groups: tuple[str, ...],
    left: Mapping[str, int],
    counted: Mapping[str, StockDescribed],
) -> tuple[Death, ...]:
    """Return the parts of one death, largest remainder first where whole animals do not share."""
    if len(groups) == 1:
        return (death.model_copy(update={"group": groups[0]}),)
    if not groups or any(name not in counted for name in groups):
        return (death,)
    there = {name: max(left[name], 0) for name in groups}
    total = sum(there.values())
    if death.id > max(counted[name].id for name in groups):
        names = {"part_name": "dead", "whole_name": "animals in stock"}
        check_share(death.number, total, **names, field="number")
    if not total:
        return (death,)
    exact = {name: death.number * number / total for name, number in there.items()}
    whole = {name: int(share) for name, share in exact.items()}
    order = sorted(groups, key=lambda name: (whole[name] - exact[name], -there[name], name))
    for name in order[: death.number - sum(whole.values())]:
        whole[name] += 1
    parts = tuple(
        death.model_copy(update={"group": name, "number": number})
        for name, number in whole.items()
        if number
    )
    return parts or (death,)


def _take(left: dict[str, int], counted: Mapping[str, StockDescribed], death: Death) -> None:
    """Take a death off what is left of its group, when it came after the group was counted."""
    name = death.group
    if name is not None and name in left and death.id > counted[name].id:
        left[name] -= death.number
