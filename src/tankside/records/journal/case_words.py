"""The words by which a case is searched, and the cases that carry words like those typed."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator

from sqlalchemy import Connection, select

from tankside.case import CaseView
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.schema import CASE_LIST, CASE_WORD, PERSON

NAME, TANK, STOCK, CONDITION, AGENT = "name", "tank", "stock", "condition", "agent"
SHORT = "_id"
"""Behind a place: the short name whole, not one of its words."""
_WORD, _ASCII_WORD = re.compile(r"[^\W_]+"), re.compile("[a-z0-9]+")
_LAST_SIGN = "\U0010ffff"
_SLIP_FROM, _TWO_SLIPS_FROM = 4, 8
"""Letters from which one slip of the pen is allowed for, and from which two."""


def plain_words(text: str) -> tuple[str, ...]:
    """Return the words of a text as they are searched: small letters, without their marks."""
    if text.isascii():
        return tuple(_ASCII_WORD.findall(text.lower()))
    letters = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(sign for sign in letters if not unicodedata.combining(sign))
    return tuple(_WORD.findall(bare))


def word_rows(case: ProjectedCase) -> list[dict[str, object]]:
    """Return one row for each word of a case, and for each short name of a condition or agent."""
    rows = set()
    for place, text in _texts(case):
        rows |= {(place, word) for word in plain_words(text)}
    for place, name in (*_conditions(case.view), *_agents(case.view)):
        rows.add((place + SHORT, name.strip().casefold()))
    return [{"place": place, "word": word} for place, word in sorted(rows) if word]


def _texts(case: ProjectedCase) -> Iterator[tuple[str, str]]:
    view = case.view
    yield from ((NAME, text) for text in (case.label, view.name, view.opened.place or ""))
    for system in view.systems.values():
        yield from ((TANK, text) for text in (system.id, system.name))
    for group in view.stock.values():
        described = group.description
        yield from ((STOCK, text) for text in (group.id, described.name, described.host or ""))
    yield from _conditions(view)
    yield from _agents(view)


def _conditions(view: CaseView) -> Iterator[tuple[str, str]]:
    return ((CONDITION, condition) for condition in view.conditions_standing())


def _agents(view: CaseView) -> Iterator[tuple[str, str]]:
    """Yield what was put in, asked for or is part of a course."""
    for course in view.courses:
        steps = course.course.get("actions")
        for step in steps if isinstance(steps, list) else ():
            if isinstance(step, dict) and step.get("agent"):
                yield AGENT, str(step["agent"])
            elif isinstance(step, dict) and step.get("kind") == "salt":
                yield AGENT, "sodium_chloride"
    agents = [entry.agent for entry in view.agents_in_water if entry.agent]
    agents += [entry.agent for entry in view.doses]
    agents += [entry.agent for entry in view.actions_done if entry.agent]
    yield from ((AGENT, agent) for agent in agents)


def cases_with(connection: Connection, word: str, names: Collection[frozenset[str]]) -> set[int]:
    """Return the cases that carry a word, a beginning of it, a name it stands for, or nearly it.

    Args:
        connection: the journal.
        word: plain, as ``plain_words`` gives it.
        names: the words of each name of what it means on file; one whose words all stand in a case
            is there.
    """
    begins = (CASE_WORD.c.word >= word) & (CASE_WORD.c.word < word + _LAST_SIGN)
    numbers = set(connection.execute(select(CASE_WORD.c.case_number).where(begins)).scalars())
    numbers |= _of_people(connection, lambda name: _begins(name, word))
    numbers |= _called(connection, names)
    return numbers or _nearly(connection, word)


def _called(connection: Connection, names: Collection[frozenset[str]]) -> set[int]:
    """Return the cases in which all words of one of the names stand."""
    words = sorted(frozenset().union(*names))
    if not words:
        return set()
    wanted = select(CASE_WORD.c.case_number, CASE_WORD.c.word).where(
        CASE_WORD.c.word.in_(words), CASE_WORD.c.place != NAME
    )
    carried: dict[int, set[str]] = defaultdict(set)
    for number, there in connection.execute(wanted):
        carried[number].add(there)
    return {n for n, there in carried.items() if any(name <= there for name in names)}


def _begins(name: str, word: str) -> bool:
    """Whether a word of a name begins so; a name of plain letters is looked at only if it may."""
    if name.isascii() and word not in name.lower():
        return False
    return any(part.startswith(word) for part in plain_words(name))


def _of_people(connection: Connection, fits: Callable[[str], bool]) -> set[int]:
    """Return the cases of the keepers whose name fits; it stands beside their number alone."""
    people = connection.execute(select(PERSON.c.number, PERSON.c.name)).all()
    keepers = [number for number, name in people if name and fits(name)]
    wanted = select(CASE_LIST.c.case_number).where(CASE_LIST.c.keeper.in_(keepers))
    return set(connection.execute(wanted).scalars()) if keepers else set()


def _nearly(connection: Connection, word: str) -> set[int]:
    """Return the cases that carry a word with a slip of the pen or two."""
    if len(word) < _SLIP_FROM:
        return set()
    every = connection.execute(select(CASE_WORD.c.word).distinct()).scalars()
    near = near_words(word, every)
    wanted = select(CASE_WORD.c.case_number).where(CASE_WORD.c.word.in_(near))
    numbers = set(connection.execute(wanted).scalars()) if near else set()
    return numbers | _of_people(connection, lambda name: bool(near_words(word, plain_words(name))))


def near_words(word: str, among: Iterable[str]) -> list[str]:
    """Return the words that differ by a slip of the pen: a letter more, less, other, or swapped.

    From eight letters on two slips are allowed for, below four none.
    """
    most = 0 if len(word) < _SLIP_FROM else 1 if len(word) < _TWO_SLIPS_FROM else 2
    letters = _letters(word)
    return [
        other
        for other in among
        if abs(len(other) - len(word)) <= most
        and (letters ^ _letters(other)).bit_count() <= 2 * most
        and slips(word, other, most) <= most
    ]


def _letters(word: str) -> int:
    bits = 0
    for sign in word:
        bits |= 1 << (ord(sign) & 63)
    return bits


def slips(first: str, second: str, most: int) -> int:
    """Return how many slips part two words: the restricted Damerau-Levenshtein distance.

    Args:
        first: a word.
        second: another.
        most: beyond it the exact number does not matter.
    """
    before: list[int] = []
    last = list(range(len(second) + 1))
    for row, sign in enumerate(first, 1):
        line = [row]
        for column, other in enumerate(second, 1):
            least = min(last[column] + 1, line[column - 1] + 1, last[column - 1] + (sign != other))
            swapped = row > 1 and column > 1 and sign == second[column - 2]
            if swapped and first[row - 2] == other:
                least = min(least, before[column - 2] + 1)
            line.append(least)
        if min(line) > most:
            return most + 1
        before, last = last, line
    return last[-1]
