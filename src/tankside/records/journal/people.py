"""Names of people outside the bodies of entries: a body carries numbers in their place.

The body kept is the canonical line of the case file with each name of ``IDENTIFYING`` replaced by
the number of the person; put back, it is the same bytes.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, func, insert, select, update

from tankside.records.journal.chain import commitment
from tankside.records.journal.schema import CASE_LIST, ENTRY, PERSON

_JSON = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
IDENTIFYING = ("by", "keeper", "practitioner")
SALT_BYTES = 16


def set_apart(line: str, number_of: Callable[[str], int]) -> str:
    """Return the line of an entry with a number in place of each name."""
    return _replaced(line, lambda name: number_of(name) if isinstance(name, str) else name)


def put_back(body: str, name_of: Mapping[int, str]) -> str:
    """Return the line of an entry with its names again."""
    return _replaced(body, lambda number: name_of[number] if isinstance(number, int) else number)


def people_in(body: str) -> set[int]:
    """Return the numbers of the people a body names."""
    return people_of(json.loads(body))


def people_of(value: dict[str, object]) -> set[int]:
    """Return the numbers of the people that a body as data names."""
    numbers: set[int] = set()

    def note(number: object) -> object:
        if isinstance(number, int):
            numbers.add(number)
        return number

    _replace(value, note)
    return numbers


def name_people(value: dict[str, object], name_of: Mapping[int, str]) -> None:
    """Put the names of people in the place of their numbers, in a body as data."""
    _replace(value, lambda number: name_of[number] if isinstance(number, int) else number)


def canonical_line(value: object) -> str:
    """Write data as the line of a case file."""
    return _JSON.encode(value)


def _replaced(line: str, turn: Callable[[object], object]) -> str:
    value = json.loads(line)
    _replace(value, turn)
    return canonical_line(value)


def _replace(entry: dict[str, object], turn: Callable[[object], object]) -> None:
    for key in IDENTIFYING:
        if key in entry:
            entry[key] = turn(entry[key])
    replacement = entry.get("replacement")
    if isinstance(replacement, dict):
        _replace(replacement, turn)


def removed_name(number: int) -> str:
    """Return what stands in place of the name of a person who was removed."""
    return f"person {number}"


def names_of(connection: Connection, numbers: Iterable[int]) -> dict[int, str]:
    """Return the names of people by number."""
    wanted = select(PERSON.c.number, PERSON.c.name).where(PERSON.c.number.in_(sorted(set(numbers))))
    return {number: name or removed_name(number) for number, name in connection.execute(wanted)}


class PeopleRegister:
    """Gives each name its number; a new name gets the next, within the transaction of a save."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._numbers: dict[str, int] = {}
        self._commitments: dict[int, str] = {}

    def number_of(self, name: str) -> int:
        """Return the number of a name."""
        if name not in self._numbers:
            wanted = select(PERSON.c.number).where(PERSON.c.name == name)
            number = self._connection.execute(wanted).scalar() or self._removed(name)
            self._numbers[name] = int(number or self._new(name))
        return self._numbers[name]

    def commitments(self, numbers: Iterable[int]) -> list[tuple[int, str]]:
        """Return number and commitment of people."""
        return [(number, self._commitment(number)) for number in numbers]

    def _commitment(self, number: int) -> str:
        if number not in self._commitments:
            wanted = select(PERSON.c.commitment).where(PERSON.c.number == number)
            self._commitments[number] = str(self._connection.execute(wanted).scalar_one())
        return self._commitments[number]

    def _removed(self, name: str) -> int | None:
        """Return the number of the removed person that stands under this name."""
        last = name.rpartition(" ")[2]
        number = int(last) if last.isascii() and last.isdigit() and len(last) < 16 else 0
        if name != removed_name(number):
            return None
        gone = select(PERSON.c.number).where(PERSON.c.number == number, PERSON.c.name.is_(None))
        return self._connection.execute(gone).scalar()

    def _new(self, name: str) -> int:
        last = self._connection.execute(select(func.max(PERSON.c.number))).scalar()
        number = int(last or 0) + 1
        salt = secrets.token_hex(SALT_BYTES)
        row = {"number": number, "salt": salt, "name": name, "commitment": commitment(salt, name)}
        self._connection.execute(insert(PERSON).values(row))
        return number


@dataclass(frozen=True, slots=True)
class JournalPerson:
    """A person of the journal; ``name`` is what stands in its place once it is removed.

    Args:
        number: of the person.
        name: as it is shown.
        removed: whether the name was taken away.
        entries: how many entries the person wrote.
        cases: how many cases the person keeps.
    """

    number: int
    name: str
    removed: bool
    entries: int
    cases: int


def people_list(connection: Connection) -> list[JournalPerson]:
    """Return the people of the journal by number, with what stands under their number."""
    wrote = select(ENTRY.c.author, func.count()).group_by(ENTRY.c.author)
    entries = {row[0]: int(row[1]) for row in connection.execute(wrote)}
    keeps = select(CASE_LIST.c.keeper, func.count()).group_by(CASE_LIST.c.keeper)
    cases = {row[0]: int(row[1]) for row in connection.execute(keeps)}
    people = select(PERSON.c.number, PERSON.c.name).order_by(PERSON.c.number)
    return [
        JournalPerson(
            number,
            name or removed_name(number),
            name is None,
            entries.get(number, 0),
            cases.get(number, 0),
        )
        for number, name in connection.execute(people)
    ]


def remove_person(connection: Connection, number: int) -> None:
    """Take away the name of a person; entries and chain stay as they are."""
    row = update(PERSON).where(PERSON.c.number == number)
    connection.execute(row.values(name=None, salt=None))
