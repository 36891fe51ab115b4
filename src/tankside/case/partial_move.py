"""A move of some animals of a group: they become a group of their own, the rest stays where it was.

What is told of a group holds for all of it. Fewer animals in another water are therefore two
entries: how many stay, and who is there now, with all that was told of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankside.case.described import StockDescribed
from tankside.case.done import Death
from tankside.case.typed_value import Fields
from tankside.case.view import CaseView, StockView
from tankside.errors import BadInput

OF_THE_ENTRY = ("id", "recorded_at", "by", "kind", "occurred_at", "day_only")
"""Fields that belong to one entry and are not told of a group."""


def split(fields: Mapping[str, object], view: CaseView) -> list[Fields]:
    """Return the entries that tell what one says: two where only some of a group were moved.

    Args:
        fields: an entry as it came, without its number.
        view: the case before it.

    Raises:
        BadInput: E-CASE-05 nobody knows how many stay, or the others have a group already.
    """
    group = _moved(fields, view)
    count = fields.get("count")
    if group is None or not isinstance(count, int) or count < 1:
        return [dict(fields)]
    system = str(fields["system"])
    if group.alive is None:
        raise _how_many(group, count, system)
    if count >= group.alive:
        return [dict(fields)]
    apart = f"{group.id}_{system}"
    if apart in view.stock:
        raise _group_there(group, view.stock[apart], count, group.alive)
    when = {key: fields[key] for key in ("occurred_at", "day_only") if key in fields}
    stays = {"kind": "stock", **when, "group": group.id, "count": group.alive - count}
    stays["name"] = group.description.name
    described = group.description.model_dump(mode="json", exclude_none=True)
    lasting = {key: value for key, value in described.items() if key not in OF_THE_ENTRY}
    return [stays, {**lasting, **dict(fields), "group": apart}]


def refuse_split(fields: Mapping[str, object], view: CaseView) -> None:
    """Refuse an entry that would be two, where only one can stand (a correction).

    Raises:
        BadInput: E-CASE-05.
    """
    if len(split(fields, view)) > 1:
        group = view.stock[str(fields["group"])]
        raise _as_two(group, int(str(fields["count"])), str(fields["system"]), group.alive or 0)


def left_behind(
    entries: Iterable[StockDescribed], deaths: Iterable[Death], default: str
) -> int | None:
    """Return the entry by which fewer of one group than were alive came to another water.

    No entry typed now does so; a file from elsewhere may hold one. Nobody said where the others
    are, so nothing is answered until it is corrected. None where there is no such entry.

    Args:
        entries: those of the group, as written.
        deaths: those of the group.
        default: the water of a group of which none was told.
    """
    dead = tuple(deaths)
    home, counted = default, None
    for number, entry in enumerate(entries):
        if number and counted is not None and entry.count is not None and entry.system is not None:
            lost = sum(d.number for d in dead if counted.id < d.id < entry.id)
            if entry.system != home and entry.count < (counted.count or 0) - lost:
                return entry.id
        home = entry.system or home
        counted = entry if entry.count is not None else counted
    return None


def _moved(fields: Mapping[str, object], view: CaseView) -> StockView | None:
    """Return the group that an entry tells to be in another water than it was."""
    if fields.get("kind") != "stock" or not fields.get("system"):
        return None
    group = view.stock.get(str(fields.get("group")))
    if group is None or group.alive == 0 or group.system == fields["system"]:
        return None
    return group


def _refused(message: str, typed: str, needed: str, step: str) -> BadInput:
    return BadInput("E-CASE-05", message, given=typed, needed=needed, next_step=step, field="count")


def _typed(group: str, *words: str) -> str:
    return " ".join(("tankside case add CASE stock", group, *words))


def _how_many(group: StockView, count: int, system: str) -> BadInput:
    name = group.description.name
    return _refused(
        f"Nobody said how many {name} there were, so nobody knows whether any stay behind.",
        f"{count} in {system}",
        "the number of all of them before the move",
        f"Say it first: {_typed(group.id, 'count=...')}; then move them. Nothing was saved.",
    )


def _group_there(group: StockView, apart: StockView, count: int, alive: int) -> BadInput:
    name, there = group.description.name, 0 if apart.alive is None else apart.alive
    return _refused(
        f"Some {name} were moved there before and are a group of their own.",
        f"{count} of {alive} to {apart.system}",
        f"both groups as they are now: {group.id} ({alive}) and {apart.id} ({there})",
        f"If {count} more went over: {_typed(group.id, f'count={alive - count}')}, and "
        f"{_typed(apart.id, f'count={there + count}')}. Nothing was saved.",
    )


def _as_two(group: StockView, count: int, system: str, alive: int) -> BadInput:
    return _refused(
        f"Only some of the {group.description.name} would be in another water; "
        "a correction is one entry.",
        f"{count} of {alive} in {system}",
        "a group of their own, and the count of the rest",
        f"Type both: {_typed(group.id, f'count={alive - count}')}, and "
        f"{_typed(f'{group.id}_{system}', f'count={count}', f'system={system}')}. "
        "Nothing was saved.",
    )
