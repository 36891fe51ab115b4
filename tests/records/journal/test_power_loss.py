"""A loss of power at any moment: what was acknowledged is there, and nothing is corrupt (D2).

The workload runs under ``strace``; what it wrote and synced is replayed up to a random call, and
what was not synced is there or not by chance. The positive control syncs less and must lose some.
"""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from tests.records.power_loss import ACK, TRACE, Disk, steps_of

from tankside.errors import Mistake
from tankside.records.journal import opening
from tankside.records.journal.backup import check_backup
from tankside.records.journal.cases import read_case
from tankside.records.journal.place import journal_place
from tankside.records.journal.verify import verify_place

STATES = [60, pytest.param(1000, marks=pytest.mark.slow)]
ROOT = Path(__file__).parents[3]
HEAD = """
import os, sys
from pathlib import Path
from tankside.records.journal import beginning, engine, opening
from tankside.records.journal.backup import back_up, restore
from tankside.records.journal.cases import append_entries, create_case, read_case
from tankside.records.journal.place import journal_place
from tests.records.case_entries import entry, opened
folder = Path(sys.argv[1])
place = journal_place(folder / "journal.db")
def ack(number):
    os.write(1, b"ACK %d\\n" % number)
"""
APPEND = """
stored = create_case("elm", [opened()], place)
ack(stored.version)
for _ in range(12):
    two = [entry(stored.version + 1), entry(stored.version + 2)]
    stored = append_entries(stored, two, place=place)
    ack(stored.version)
"""
WORKLOADS = {
    "append": APPEND,
    "begin": 'stored = create_case("elm", [opened()], place)\nack(1)\n',
    "backup": APPEND + 'back_up(place, folder / "b.db")\nack(1000)\n',
    "restore": APPEND
    + 'back_up(place, folder / "b.db")\nrestore(folder / "b.db", journal_place(folder / "n.db"))\n'
    + "ack(2000)\n",
    "import": "os.environ['TANKSIDE_JOURNAL'] = str(place.file)\n"
    + "from tankside.case import encode\nfrom tankside.services.records import import_folder\n"
    + '(folder / "elm.jsonl").write_bytes(encode([opened(), *map(entry, range(2, 40))]))\n'
    + "import_folder(folder)\nack(39)\n",
}
WEAK = """
from sqlalchemy import event
def weak(connection, extra=None):
    connection.execute("PRAGMA synchronous = OFF")
engine.make_durable = weak
"""


def traced(script: str, folder: Path) -> Path:
    """Run a workload under strace; without strace the test fails."""
    assert shutil.which("strace"), "strace is not installed; .ci/setup says what the tests need"
    work = folder / "work"
    work.mkdir()
    trace = folder / "trace"
    env = {"PYTHONPATH": f"{ROOT / 'src'}:{ROOT}", "PATH": "/usr/bin:/bin", "HOME": str(folder)}
    command = [*TRACE, "-o", str(trace), sys.executable, "-c", HEAD + script, str(work)]
    subprocess.run(command, check=True, env=env, cwd=folder, capture_output=True)
    return trace


class Losses:
    """How many states lost an acknowledged entry, or could not be opened."""

    def __init__(self) -> None:
        self.lost = self.corrupt = self.states = self.with_some = 0


def replay(trace: Path, work: Path, states: int, seed: int) -> Losses:
    """Cut the power after random calls and look at what is there."""
    steps = list(steps_of(trace, work))
    assert sum(step.kind == "write" for step in steps) > 20, "the trace was not understood"
    chance = random.Random(seed)
    cuts = sorted([*(chance.randrange(1, len(steps) + 1) for _ in range(states - 1)), len(steps)])
    disk, losses, done, acknowledged = Disk(), Losses(), 0, 0
    for cut in cuts:
        for step in steps[done:cut]:
            if step.kind == "ack":
                acknowledged = int(step.data.removeprefix(ACK))
            else:
                disk.take(step)
        done = cut
        look(disk.after_loss(chance), work, acknowledged, losses)
    return losses


def look(files: dict[str, bytes], work: Path, acknowledged: int, losses: Losses) -> None:
    shutil.rmtree(work)
    work.mkdir()
    for path, data in files.items():
        Path(path).write_bytes(data)
    opening._OPENED.clear()
    losses.states += 1
    wanted = acknowledged if acknowledged < 1000 else 25
    try:
        there = (work / "journal.db").exists()
        version = read_case("elm", journal_place(work / "journal.db")).version if there else 0
        losses.lost += version < wanted
        losses.with_some += version > 0
        if there and verify_place(journal_place(work / "journal.db")).faults:
            losses.corrupt += 1
        if acknowledged >= 1000:
            check_backup(work / "b.db")
        if acknowledged >= 2000 and verify_place(journal_place(work / "n.db")).entries < 25:
            losses.lost += 1
    except Mistake as refused:
        if refused.code == "E-CASE-06" and not wanted:
            return  # the journal is there, its first case not yet
        losses.corrupt += 1


@pytest.mark.parametrize("states", STATES)
@pytest.mark.parametrize("workload", WORKLOADS)
def test_a_loss_of_power_loses_nothing_acknowledged(
    workload: str, states: int, tmp_path: Path
) -> None:
    trace = traced(WORKLOADS[workload], tmp_path)
    losses = replay(trace, tmp_path / "work", states, seed=1)
    assert (losses.lost, losses.corrupt, losses.states) == (0, 0, states)
    assert losses.with_some > 0


@pytest.mark.parametrize("states", [200])
def test_the_positive_control_that_syncs_less_loses_some(states: int, tmp_path: Path) -> None:
    trace = traced(WEAK + APPEND, tmp_path)
    losses = replay(trace, tmp_path / "work", states, seed=2)
    assert losses.lost > 0, "the replay would not notice a loss"
