"""A backup while people write is a whole prefix; a damaged one is refused, live data untouched."""

from __future__ import annotations

import json
import shutil
import sqlite3
import time
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.synchronize import Event
from pathlib import Path

import pytest
from sqlalchemy import create_engine, select
from tests.records.case_entries import entry, opened
from tests.records.postgresql import Cluster

from tankside.errors import BadInput, CouldNotSave, Mistake, NotPossible
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal.backup import back_up, check_backup, drill, restore
from tankside.records.journal.entry_rows import rows_between
from tankside.records.journal.manifest import BackupManifest, fingerprint, manifest_path
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.schema import ENTRY
from tankside.records.journal.verify import verify_place

WRITERS = 4


def fill() -> None:
    append_entries(create_case("elm", [opened()]), [entry(2), entry(3)])
    create_case("oak", [opened("Oak Lane", "Ann Reed")])


@pytest.fixture
def backup(place: JournalPlace, tmp_path: Path) -> Path:
    fill()
    back_up(place, tmp_path / "backup.db")
    return tmp_path / "backup.db"


@pytest.mark.parametrize("target", ["sqlite", "postgresql"])
def test_a_backup_of_either_database_is_restored_into_either(
    place: JournalPlace, backup: Path, target: str, tmp_path: Path, cluster: Cluster,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    before = [read_case(name) for name in ("elm", "oak")]
    new = str(tmp_path / "restored.db") if target == "sqlite" else cluster.new_url()
    manifest = restore(backup, journal_place(new))
    said = verify_place(journal_place(new))
    assert (said.faults, said.entries, said.cases, said.head) == (
        (), 4, 2, verify_place(place).head,
    )  # fmt: skip
    assert (manifest.entries, manifest.cases, manifest.head) == (4, 2, said.head)
    monkeypatch.setenv("TANKSIDE_JOURNAL", new)
    assert [read_case(name) for name in ("elm", "oak")] == before
    added = append_entries(before[0], [entry(4)])
    assert added.version == 4
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(place.file or f"postgresql://{place.url}"))
    assert read_case("elm").version == 3


def test_a_drill_leaves_nothing_behind(backup: Path, tmp_path: Path) -> None:
    there = sorted(path.name for path in tmp_path.rglob("*"))
    assert drill(backup) == check_backup(backup)
    assert sorted(path.name for path in tmp_path.rglob("*")) == there


def test_nothing_that_is_there_is_overwritten(place: JournalPlace, backup: Path) -> None:
    with pytest.raises(BadInput, match="E-PATH-03"):
        back_up(place, backup)
    with pytest.raises(BadInput, match="E-PATH-03"):
        restore(backup, place)
    assert verify_place(place).entries == 4
    check_backup(backup)
    with pytest.raises(BadInput, match="E-PATH-01"):
        back_up(place, backup.parent / "none" / "b.db")


def cut_short(backup: Path) -> None:
    data = backup.read_bytes()
    backup.write_bytes(data[: len(data) // 2])


def flip(backup: Path) -> None:
    data = bytearray(backup.read_bytes())
    data[data.index(b"note 2") + 5] ^= 1
    backup.write_bytes(data)


def signed(backup: Path) -> None:
    """Write the manifest anew, as who made the file would."""
    size, digest = fingerprint(backup)
    sign(backup, size_bytes=size, sha256=digest)


def foreign(backup: Path) -> None:
    backup.unlink()
    with sqlite3.connect(backup) as made:
        made.execute("CREATE TABLE entry (x)")
    made.close()
    signed(backup)


def newer(backup: Path) -> None:
    with sqlite3.connect(backup) as made:
        made.execute("UPDATE alembic_version SET version_num = '9999'")
    made.close()
    signed(backup)


def flip_and_sign(backup: Path) -> None:
    flip(backup)
    signed(backup)


def emptied(backup: Path) -> None:
    manifest_path(backup).write_bytes(b"")


def sign(backup: Path, **changed: object) -> None:
    """Write the manifest of a backup anew, as the program would write it, with other values."""
    said = json.loads(manifest_path(backup).read_bytes())
    values = {name: said[name] for name in BackupManifest.__dataclass_fields__} | changed
    manifest_path(backup).write_bytes(BackupManifest(**values).encode())


def of_another(backup: Path) -> None:
    sign(backup, head="0" * 64)


DAMAGE: dict[str, tuple[Callable[[Path], None], str]] = {
    "cut short": (cut_short, "E-DB-10"),
    "a flipped bit": (flip, "E-DB-10"),
    "a flipped bit, signed anew": (flip_and_sign, "E-DB-10"),
    "foreign": (foreign, "E-DB-07"),
    "newer": (newer, "E-DB-06"),
    "no manifest": (lambda backup: manifest_path(backup).unlink(), "E-DB-10"),
    "manifest of another": (of_another, "E-DB-10"),
    "empty manifest": (emptied, "E-DB-10"),
    "gone": (lambda backup: backup.unlink(), "E-DB-10"),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_backup_is_refused_and_live_data_stays(
    place: JournalPlace, backup: Path, damage: str, tmp_path: Path
) -> None:
    spoil, code = DAMAGE[damage]
    spoil(backup)
    live = verify_place(place)
    target = journal_place(tmp_path / "new" / "journal.db")
    (tmp_path / "new").mkdir()
    with pytest.raises(NotPossible, match=code):
        restore(backup, target)
    with pytest.raises(NotPossible, match=code):
        drill(backup)
    assert list((tmp_path / "new").iterdir()) == []
    assert verify_place(place) == live


def test_a_broken_journal_is_not_backed_up(sqlite_place: JournalPlace, tmp_path: Path,
                                           monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(sqlite_place.file))
    fill()
    assert sqlite_place.file
    data = sqlite_place.file.read_bytes()
    sqlite_place.file.write_bytes(data.replace(b"note 2", b"note 4"))
    with pytest.raises(NotPossible, match="entry 2: is not as it was written"):
        back_up(sqlite_place, tmp_path / "b.db")
    assert not (tmp_path / "b.db").exists()
    assert not (tmp_path / ".b.db.new").exists()


def test_no_backup_is_made_of_nothing(place: JournalPlace, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="E-PATH-02"):
        back_up(place, tmp_path / "b.db")


def _write(stop: Event, writer: int) -> None:
    stored = create_case(f"case-{writer}", [opened(f"Case {writer}")])
    while not stop.is_set():
        try:
            stored = append_entries(stored, [entry(stored.version + 1)])
        except CouldNotSave:
            stored = read_case(stored.reference)


@pytest.mark.parametrize(
    ("rounds", "seconds"), [(3, 0.0), pytest.param(50, 60.0, marks=pytest.mark.slow)]
)
def test_a_backup_while_four_write_is_an_exact_prefix(
    place: JournalPlace, tmp_path: Path, rounds: int, seconds: float
) -> None:
    open_journal(place, make=True)
    context = get_context("fork")
    stop = context.Event()
    writers = [context.Process(target=_write, args=(stop, n)) for n in range(WRITERS)]
    for writer in writers:
        writer.start()
    try:
        begun = time.monotonic()
        made: list[tuple[Path, BackupManifest]] = []
        while len(made) < rounds or time.monotonic() - begun < seconds:
            file = tmp_path / f"b{len(made)}.db"
            made.append((file, back_up(place, file)))
    finally:
        stop.set()
        for writer in writers:
            writer.join()
    assert [writer.exitcode for writer in writers] == [0] * WRITERS
    assert verify_place(place).faults == ()
    assert made[-1][1].entries > made[0][1].entries or rounds < 5
    with open_journal(place).reading() as live:
        for file, manifest in made:
            assert check_backup(file) == manifest
            engine = create_engine(f"sqlite:///{file}")
            with engine.connect() as kept:
                rows = list(rows_between(kept, 0, manifest.entries))
                assert rows == list(rows_between(live, 0, manifest.entries))
                assert len(kept.execute(select(ENTRY.c.sequence)).all()) == manifest.entries
            engine.dispose()


def test_a_backup_to_a_full_disk_leaves_none(
    place: JournalPlace, tmp_path: Path, full_disk: Callable[[int], None]
) -> None:
    fill()
    full_disk(20_000)
    with pytest.raises(CouldNotSave, match="E-DB-02"):
        back_up(place, tmp_path / "b.db")
    full_disk(10_000_000)
    assert not [path for path in tmp_path.iterdir() if path.name.startswith((".b", "b"))]
    back_up(place, tmp_path / "b.db")


def test_a_copy_of_the_file_alone_is_no_backup(backup: Path, tmp_path: Path) -> None:
    shutil.copy(backup, tmp_path / "copy.db")
    with pytest.raises(Mistake, match="E-DB-10"):
        drill(tmp_path / "copy.db")
