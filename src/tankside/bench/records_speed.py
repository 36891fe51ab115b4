"""What a journal of many cases takes, and plain SQL beside it for the same questions."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tankside.bench.command_speed import RUN
from tankside.bench.records_journal import LONG_CASE, invented_case, write_journal
from tankside.records.case_store import create_case, read_case
from tankside.records.journal.place import VARIABLE
from tankside.services.records import list_journal, verify_journal
from tankside.services.records_lookup import due_list, search_cases

ROUNDS = 20
SHORT_FILE, LONG_FILE = 10, 5000
P95 = 0.95
TODAY = "2026-06-15"
SEARCHES = (
    "elm road", "willow", "hazle", "cardinal", "paracheirodon", "botia", "carassius",
    "ichthyophthirius", "ichtyophtirius", "velvet", "costia", "salt", "hanna", "marvelros",
    "marvelrso", "case 77", "oak wharf ich", "discuss", "larch mill", "nothing at all",
)  # fmt: skip
MEMORY = """
from pathlib import Path
from tankside.services.records import list_journal, verify_journal
from tankside.services.records_lookup import due_list, search_cases
list_journal(); search_cases("elm"); due_list(on="2026-06-15"); verify_journal()
status = Path("/proc/self/status")
lines = status.read_text().splitlines() if status.exists() else []
print(next((line.split()[1] for line in lines if line.startswith("VmHWM")), ""))
"""
"""Prints the most memory it ever held [kB], where the system tells."""


@dataclass(frozen=True, slots=True)
class RecordsFigure:
    """One figure: its value, the goal, and what plain SQL, or ``reference``, takes for the same."""

    name: str
    value: float
    unit: str
    goal: float
    plain: float | None = None
    reference: str = "plain SQL"

    @property
    def words(self) -> str:
        """The figure in a line."""
        beside = "" if self.plain is None else f"; {self.reference} {self.plain:.4g} {self.unit}"
        return f"{self.value:.4g} {self.unit} (goal {self.goal:g}){beside}"

    def as_json(self) -> dict[str, object]:
        """Return the figure in the shape of all measurements."""
        ratio = None if not self.plain else self.value / self.plain
        return {
            "name": self.name,
            "value": self.value,
            "unit": self.unit,
            "reference": "" if self.plain is None else self.reference,
            "ratio": ratio,
            "goal": self.goal,
        }


def measure(folder: Path, cases: int, entries: int) -> list[RecordsFigure]:
    """Return the figures of an invented journal.

    Questions are measured in processor time, which other work on the machine lengthens least.

    Args:
        folder: an empty folder.
        cases: how many cases it has.
        entries: entries of each case.
    """
    begun = time.perf_counter()
    place = write_journal(folder, cases, entries)
    written_s = time.perf_counter() - begun
    os.environ[VARIABLE] = str(place.file)
    with sqlite3.connect(f"file:{place.file}?mode=ro", uri=True) as database:
        plain = PlainQuestions(database)
        figures = [
            RecordsFigure("writing_s", written_s, "s", 600),
            _asked("list_ms", 100, list_journal, plain.cases),
            _asked("search_ms", 100, *_searches(plain)),
            _asked("due_ms", 100, lambda: due_list(on=TODAY), plain.due),
            _asked("open_ms", 50, lambda: read_case(str(cases)).view(), lambda: plain.case(cases)),
            RecordsFigure("verify_s", _time(verify_journal), "s", 40, _time(plain.hashes)),
        ]
    return [*figures, *_memory(), *_long_case(folder)]


def _searches(plain: PlainQuestions) -> tuple[Callable[[], object], Callable[[], object]]:
    asked, beside = iter(SEARCHES * ROUNDS), iter(SEARCHES * ROUNDS)
    return lambda: search_cases(next(asked)), lambda: plain.search(next(beside))


def _asked(
    name: str, goal: float, ask: Callable[[], object], beside: Callable[[], object]
) -> RecordsFigure:
    times, plain = ([_time(step) * 1000 for _ in range(ROUNDS * 2)] for step in (ask, beside))
    return RecordsFigure(name, _p95(times), "ms", goal, _p95(plain))


def _time(step: Callable[[], object]) -> float:
    begun = time.process_time()
    step()
    return time.process_time() - begun


def _p95(times: Sequence[float]) -> float:
    return sorted(times)[min(int(len(times) * P95), len(times) - 1)]


def _memory() -> list[RecordsFigure]:
    done = subprocess.run(
        [sys.executable, "-c", MEMORY], capture_output=True, text=True, check=True
    )
    most = done.stdout.strip()
    return [RecordsFigure("memory_mb", int(most) / 1024, "MB", 300)] if most else []


def _long_case(folder: Path) -> list[RecordsFigure]:
    """Return the processor time of a whole ``case add`` to a case of 5,000 entries, by store."""
    figures = []
    for store, ending in (("file", ".jsonl"), ("journal", "")):
        times = {}
        for length in (SHORT_FILE, LONG_FILE):
            reference = f"of{length}" if not ending else folder / f"of{length}{ending}"
            create_case(reference, tuple(invented_case(1, length)))
            words = ("case", "add", str(reference), "note", "one more")
            times[length] = min(_processor_s(words) for _ in range(3))
        long_s, short_s = times[LONG_FILE], times[SHORT_FILE]
        name = f"add_to_{LONG_FILE}_in_{store}_s"
        figures.append(RecordsFigure(name, long_s, "s", 0.5, short_s, "a case of 10 entries"))
    return figures


def _processor_s(words: tuple[str, ...]) -> float:
    done = subprocess.run(
        [sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=True
    )
    return float(done.stderr.split()[-1])


class PlainQuestions:
    """The same questions asked of the same tables in plain SQL."""

    def __init__(self, database: sqlite3.Connection) -> None:
        self._database = database

    def cases(self) -> object:
        """Return every row of the case list with the name of its keeper."""
        return self._database.execute(
            "SELECT c.*, p.name FROM case_list c LEFT JOIN person p ON p.number = c.keeper"
        ).fetchall()

    def search(self, text: str) -> object:
        """Return the cases of which a word begins with the first word of a text."""
        return self._database.execute(
            "SELECT * FROM case_list WHERE case_number IN "
            "(SELECT case_number FROM case_word WHERE word LIKE ?)",
            (text.split()[0] + "%",),
        ).fetchall()

    def due(self) -> object:
        """Return every day on which a case waits, up to a day."""
        return self._database.execute(
            "SELECT d.*, c.name FROM case_due d JOIN case_list c USING (case_number) "
            "WHERE d.due_on <= ? ORDER BY d.due_on",
            (TODAY,),
        ).fetchall()

    def case(self, number: int) -> object:
        """Return the entries of a case, parsed."""
        rows = self._database.execute(
            "SELECT body FROM entry WHERE case_number = ? ORDER BY case_version", (number,)
        ).fetchall()
        assert len(rows) >= LONG_CASE
        return [json.loads(body) for (body,) in rows]

    def hashes(self) -> object:
        """Return one hash over all entries."""
        digest = hashlib.sha256()
        for row in self._database.execute("SELECT * FROM entry ORDER BY sequence"):
            digest.update(repr(row).encode())
        return digest.hexdigest()
