"""Walk along the chain and note every entry that does not hold."""

from __future__ import annotations

import json
from dataclasses import dataclass, field

from sqlalchemy import Connection, select

from tankside.records.journal.chain import ChainedEntry, commitment, entry_hash
from tankside.records.journal.entry_rows import first_of
from tankside.records.journal.people import people_in
from tankside.records.journal.schema import ENTRY, PERSON


@dataclass(frozen=True, slots=True)
class ChainFault:
    """What does not hold, and at which entry (None: not at a single one)."""

    sequence: int | None
    words: str

    def __str__(self) -> str:
        return self.words if self.sequence is None else f"entry {self.sequence}: {self.words}"


@dataclass
class ChainWalk:
    """Follows entries one after another; ``faults`` says what did not hold.

    ``named`` are the people its entries name, where they are known already; None for everybody.
    """

    connection: Connection
    named: frozenset[int] | None = None
    faults: list[ChainFault] = field(default_factory=list)
    last: int = 0
    last_hash: str = ""
    clock_suspect: int = 0

    def __post_init__(self) -> None:
        wanted = select(PERSON.c.number, PERSON.c.commitment)
        if self.named is not None:
            wanted = wanted.where(PERSON.c.number.in_(sorted(self.named)))
        rows = self.connection.execute(wanted).all()
        self._commitments = {int(number): str(said) for number, said in rows}

    def follow(self, row: ChainedEntry) -> None:
        """Check one entry and that it follows the one before.

        The first entry followed may be any; its predecessor is then read.
        """
        if not self.last_hash:
            self.last, self.last_hash = self._before(row)
        if row.sequence != self.last + 1:
            self._fault(row, f"follows entry {self.last}")
        if row.previous != self.last_hash:
            self._fault(row, "does not follow the entry before it")
        if self.hash_of(row) != row.hash:
            self._fault(row, "is not as it was written")
        self.last, self.last_hash = row.sequence, row.hash
        self.clock_suspect += row.clock is not None

    def hash_of(self, row: ChainedEntry, named: set[int] | None = None) -> str:
        """Return the hash an entry should have; "" when it cannot be read.

        Args:
            row: the entry.
            named: the people its body names, where they are known already.
        """
        try:
            numbers = (people_in(row.body) if named is None else named) | {row.author}
            return entry_hash(row, [(number, self._commitments[number]) for number in numbers])
        except (KeyError, TypeError, ValueError, AttributeError, json.JSONDecodeError):
            return ""

    def people(self) -> None:
        """Check the name of each person against what the chain holds of it."""
        wanted = select(PERSON.c.number, PERSON.c.salt, PERSON.c.name, PERSON.c.commitment)
        for number, salt, name, said in self.connection.execute(wanted):
            removed = name is None and salt is None
            if not removed and commitment(str(salt), str(name)) != said:
                self.faults.append(ChainFault(None, f"person {number} is not as written"))

    def _before(self, row: ChainedEntry) -> tuple[int, str]:
        wanted = select(ENTRY.c.hash).where(ENTRY.c.sequence == row.sequence - 1)
        before = self.connection.execute(wanted).scalar()
        if before is None:
            return 0, first_of(self.connection)
        return row.sequence - 1, str(before)

    def _fault(self, row: ChainedEntry, words: str) -> None:
        self.faults.append(ChainFault(row.sequence, words))
