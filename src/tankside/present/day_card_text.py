"""The day card as text to paste into messages: nothing is cut, what is too long is parted."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from tankside.present.amounts import tie_units
from tankside.present.card_sheet import CardSection, CardSheet, SectionLook, sheet_of
from tankside.present.day_card import CardLine, DayCard

LONGEST_MESSAGE = 1500
"""Signs that common messengers take without cutting; each message stays below."""
NUMBERED = len(" 00/00")
"""Signs that the number of a message takes in its first row at most."""
SHARES = 3
"""A group is kept whole when it takes less than this part of a message."""
GOES_ON = " (goes on)"

Group = list[str]
"""Rows that stand together: a title, then its lines."""


def as_text(card: DayCard) -> str:
    """Write the card for a terminal: its messages, one after the other."""
    return "\n".join(as_messages(card))


def as_messages(card: DayCard) -> tuple[str, ...]:
    """Write the card as messages of less than 1,500 signs, numbered 1/2, 2/2.

    Each of several messages carries day, plan, what forbids its steps, and until when it holds.
    """
    sheet = sheet_of(card)
    groups = [_group(section) for section in sheet.sections]
    whole = _message(_first_head(sheet, ""), groups, sheet)
    if len(whole) < LONGEST_MESSAGE:
        return (whole,)
    heads = (_first_head(sheet, ""), _later_head(sheet, ""))
    first_room, room = (
        LONGEST_MESSAGE - NUMBERED - len(_message(head, [], sheet)) - 1 for head in heads
    )
    packs = _packed(groups, first_room, room)
    return tuple(
        _message((_first_head if number == 1 else _later_head)(sheet, mark), pack, sheet)
        for number, pack in enumerate(packs, 1)
        if (mark := f" {number}/{len(packs)}")
    )


def _message(head: list[str], groups: Iterable[Group], sheet: CardSheet) -> str:
    rows = [*head, *(row for group in groups for row in ("", *group)), "", sheet.foot]
    return tie_units("\n".join(rows)) + "\n"


def _first_head(sheet: CardSheet, mark: str) -> list[str]:
    return [f"{sheet.heading}{mark} {sheet.title}", sheet.place, sheet.plan]


def _later_head(sheet: CardSheet, mark: str) -> list[str]:
    """Name day, tank and plan again, and what warns of the steps."""
    top = f"{sheet.heading}{mark} {sheet.title}"
    return [top, sheet.tank, sheet.plan, *sheet.warned("message")]


def _group(section: CardSection) -> Group:
    titled = [section.title] if section.title else []
    match section.look:
        case SectionLook.BOX if len(section.lines) == 1:
            return [" ".join((*titled, section.lines[0].words))]
        case SectionLook.STEPS:
            return [*titled, *(f"[ ] {_timed(line)}" for line in section.lines)]
        case _:
            dash = "- " if titled else ""
            return [*titled, *(f"{dash}{line.words}" for line in section.lines if line.words)]


def _timed(line: CardLine) -> str:
    return f"{line.at} {line.words}" if line.at else line.words


def _packed(groups: Iterable[Group], first_room: int, room: int) -> list[list[Group]]:
    """Put groups into messages in their order, the long ones parted between their lines."""
    packs: list[list[Group]] = [[]]
    left = first_room
    for group in groups:
        for piece in _pieces(group, left, room):
            if _signs(piece) > left and packs[-1]:
                packs.append([])
                left = room
            packs[-1].append(piece)
            left -= _signs(piece)
    return packs


def _pieces(group: Group, left: int, room: int) -> Iterator[Group]:
    """Part a group that takes more than its share, its title over each part."""
    title, *lines = group
    if not lines:
        yield from ([part] for part in _wrapped(title, room - _signs([""])))
        return
    if _signs(group) <= max(left, room // SHARES):
        yield group
        return
    piece = [title]
    width = room - _signs([title + GOES_ON, ""])
    for line in [part for whole in lines for part in _wrapped(whole, width)]:
        if _signs([*piece, line]) > left and (len(piece) > 1 or left < room):
            if len(piece) > 1:
                yield piece
                piece = [title + GOES_ON]
            left = room
        piece.append(line)
    yield piece


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(line, width) if len(line) > width else [line]


def _signs(group: Group) -> int:
    """Count the signs of a group in a message: an empty row, then its rows."""
    return len("\n") + sum(len(row) + len("\n") for row in group)
