"""Writers at once: nothing lost, nothing doubled, one chain, no stale save accepted (D4, D5)."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass, field
from itertools import count
from multiprocessing import get_context
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test
from tests.records.case_entries import entry, opened

from tankside.case import to_object
from tankside.errors import CouldNotSave
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.verify import verify_place
from tankside.records.stored_case import StoredCase

WRITERS = 4


def _add_many(writer: int, times: int, tell: str) -> None:
    waits = []
    done = 0
    while done < times:
        stored = read_case("elm")
        begun = time.monotonic()
        try:
            append_entries(stored, [entry(stored.version + 1, text=f"{writer}:{done}")])
        except CouldNotSave as refused:
            if refused.code != "E-WEB-04":
                raise
            continue
        waits.append(time.monotonic() - begun)
        done += 1
    Path(tell).write_text("\n".join(map(str, waits)), encoding="utf-8")


def write_at_once(times: int, folder: Path) -> list[float]:
    """Let some processes add to one case at once; return how long each save took, in seconds."""
    context = get_context("fork")
    kept_in = [folder / f"waits{n}" for n in range(WRITERS)]
    writers = [
        context.Process(target=_add_many, args=(n, times, str(kept_in[n]))) for n in range(WRITERS)
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0] * WRITERS
    return sorted(float(line) for file in kept_in for line in file.read_text().split())


@pytest.mark.parametrize("times", [12, pytest.param(250, marks=pytest.mark.slow)])
def test_four_writers_lose_nothing_and_fork_no_chain(
    place: JournalPlace, tmp_path: Path, times: int
) -> None:
    create_case("elm", [opened()])
    waits = write_at_once(times, tmp_path)
    notes = [str(to_object(e)["text"]) for e in read_case("elm").entries[1:]]
    assert sorted(notes) == sorted(f"{n}:{i}" for n in range(WRITERS) for i in range(times))
    assert verify_place(place).faults == ()
    if times >= 250:
        assert waits[-1] <= 5.0, waits[-1]


@dataclass
class Session:
    """What one person has on the screen, and the last save with its key."""

    seen: StoredCase | None = None
    last: tuple[StoredCase, str, str] | None = None


@dataclass
class Said:
    """The case as it must be: the text of each note."""

    label: str
    notes: list[str] = field(default_factory=list)


KEYS = count()


class TwoOrThreeSessions(RuleBasedStateMachine):
    """People read, save, and send again, in any order; the case holds each note once."""

    @initialize(many=st.integers(2, 3))
    def begin(self, many: int) -> None:
        self.sessions = [Session() for _ in range(many)]
        self.case = Said(f"case-{os.getpid()}-{next(KEYS)}")
        self.first = create_case(self.case.label, [opened()])
        self.stale = 0

    @rule(who=st.integers(0, 2))
    def read(self, who: int) -> None:
        self.session(who).seen = read_case(self.first.reference)

    @rule(who=st.integers(0, 2), keyed=st.booleans())
    def save(self, who: int, keyed: bool) -> None:
        session = self.session(who)
        seen = session.seen or self.first
        key = f"{self.case.label}-{next(KEYS)}"
        new = entry(seen.version + 1, text=key)
        fresh = seen.version == len(self.case.notes) + 1
        try:
            session.seen = append_entries(seen, [new], submission=key if keyed else None)
        except CouldNotSave as refused:
            if fresh or refused.code != "E-WEB-04":
                raise  # a save of the present version was refused
            return
        assert fresh, "a stale save was accepted"
        self.case.notes.append(key)
        if keyed:
            session.last = (seen, key, key)

    @rule(who=st.integers(0, 2))
    def send_again(self, who: int) -> None:
        session = self.session(who)
        if session.last is None:
            return
        seen, text, key = session.last
        answer = append_entries(seen, [entry(seen.version + 1, text=text)], submission=key)
        assert to_object(answer.entries[-1])["text"] == text

    def session(self, who: int) -> Session:
        return self.sessions[who % len(self.sessions)]

    def teardown(self) -> None:
        if not hasattr(self, "case"):
            return
        stored = read_case(self.first.reference)
        assert [to_object(e)["text"] for e in stored.entries[1:]] == self.case.notes


@pytest.mark.parametrize("examples", [60, pytest.param(2000, marks=pytest.mark.slow)])
def test_in_any_interleaving_no_save_is_lost_doubled_or_stale(
    place: JournalPlace, examples: int
) -> None:
    checks = list(HealthCheck)
    run_state_machine_as_test(
        TwoOrThreeSessions,
        settings=settings(
            max_examples=examples, stateful_step_count=14, deadline=None,
            suppress_health_check=checks, database=None,
        ),
    )  # fmt: skip
    assert verify_place(place).faults == ()
