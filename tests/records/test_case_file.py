"""The case file on disk: whole old or whole new, owner only, no lost entry, refusals that hold."""

from __future__ import annotations

import os
import random
import signal
import stat
import time
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path

import pytest

from tankside.case import Entry, decode, encode, entry_from, to_object
from tankside.errors import BadInput, CouldNotSave
from tankside.records import whole_file
from tankside.records.case_file import append_entries, create_case, read_case
from tankside.records.case_path import check_case_path
from tankside.records.stored_case import StoredCase
from tankside.records.whole_file import only_writer, write_whole

KILLS = 100


def entry(number: int, kind: str = "note", **fields: object) -> Entry:
    base = {"id": number, "kind": kind, "occurred_at": "2026-03-02T12:00+00:00", "by": "me"}
    fields = fields or {"text": f"note {number} " + "x" * 3000}
    return entry_from(base | {"recorded_at": "2026-03-30T10:00:00Z"} | fields)


OPENED = entry(
    1, "opened", name="Elm Road", keeper="Marta Vell", water="fresh", zone="Europe/London"
)


@pytest.fixture
def stored(tmp_path: Path) -> StoredCase:
    return create_case(tmp_path / "elm.jsonl", [OPENED])


def test_what_is_written_is_read_back(stored: StoredCase) -> None:
    added = append_entries(stored, [entry(2), entry(3)])
    again = read_case(Path(stored.reference))
    assert again == added
    assert again.version == 3
    assert Path(stored.reference).read_bytes() == encode(again.entries)


def test_only_the_owner_may_read_a_case_and_nothing_is_left_beside_it(stored: StoredCase) -> None:
    append_entries(stored, [entry(2)])
    assert stat.S_IMODE(Path(stored.reference).stat().st_mode) == 0o600
    assert [path.name for path in Path(stored.reference).parent.iterdir()] == ["elm.jsonl"]


def test_a_case_that_became_readable_by_others_is_closed_to_them_again(stored: StoredCase) -> None:
    Path(stored.reference).chmod(0o644)
    append_entries(stored, [entry(2)])
    assert stat.S_IMODE(Path(stored.reference).stat().st_mode) == 0o600


def test_a_stale_writer_is_refused_and_the_newer_entry_stays(stored: StoredCase) -> None:
    append_entries(stored, [entry(2)])
    with pytest.raises(CouldNotSave, match="E-WEB-04") as refused:
        append_entries(stored, [entry(2, text="mine")])
    assert refused.value.exit_code == 5
    assert read_case(Path(stored.reference)).version == 2


def test_a_deleted_case_is_not_written_anew_by_a_stale_writer(stored: StoredCase) -> None:
    Path(stored.reference).unlink()
    with pytest.raises(CouldNotSave, match="E-WEB-04"):
        append_entries(stored, [entry(2)])
    assert not Path(stored.reference).exists()


def test_entries_that_do_not_fold_are_refused_and_the_file_stays(stored: StoredCase) -> None:
    before = Path(stored.reference).read_bytes()
    with pytest.raises(BadInput, match="E-CASE-02"):
        append_entries(stored, [entry(3)])
    assert Path(stored.reference).read_bytes() == before


def test_an_existing_file_is_never_overwritten_by_a_new_case(stored: StoredCase) -> None:
    before = Path(stored.reference).read_bytes()
    with pytest.raises(BadInput, match="E-PATH-03"):
        create_case(Path(stored.reference), [OPENED])
    assert Path(stored.reference).read_bytes() == before


def test_a_missing_case_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="E-PATH-02"):
        read_case(tmp_path / "none.jsonl")


def test_a_file_too_large_for_a_case_is_not_read(tmp_path: Path) -> None:
    big = tmp_path / "big.jsonl"
    with big.open("wb") as handle:
        handle.truncate(10_000_001)
    with pytest.raises(BadInput, match="E-FILE-01"):
        read_case(big)


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd", "a\0.jsonl", "x" * 10_000 + ".jsonl", "x" * 201 + ".jsonl",
        "evil\u202elnosj.jsonl", "a\u200b.jsonl", "elm", "elm.json", ".jsonl", ".hidden.jsonl",
        "no/such/folder/elm.jsonl", "line\nbreak.jsonl",
    ],
)  # fmt: skip
def test_a_path_that_is_no_case_file_is_refused(name: str, tmp_path: Path) -> None:
    for call in (check_case_path, read_case, lambda p: create_case(p, [OPENED])):
        with pytest.raises(BadInput, match="E-PATH-01"):
            call(f"{tmp_path}/{name}")
    assert list(tmp_path.iterdir()) == []


def test_links_and_folders_are_refused(stored: StoredCase, tmp_path: Path) -> None:
    (tmp_path / "soft.jsonl").symlink_to(Path(stored.reference))
    (tmp_path / "folder.jsonl").mkdir()
    for name in ("soft.jsonl", "folder.jsonl"):
        with pytest.raises(BadInput, match="E-PATH-01"):
            read_case(tmp_path / name)
    (tmp_path / "hard.jsonl").hardlink_to(Path(stored.reference))
    for name in ("hard.jsonl", "elm.jsonl"):
        with pytest.raises(BadInput, match="E-PATH-01"):
            read_case(tmp_path / name)


@pytest.mark.parametrize("name", ["O'Brien.jsonl", "Łódź.jsonl", "李.jsonl", "<b>.jsonl"])
def test_ordinary_names_of_any_script_pass(name: str, tmp_path: Path) -> None:
    assert create_case(tmp_path / name, [OPENED]).version == 1


def test_a_full_disk_is_said_and_leaves_the_old_file(
    stored: StoredCase, full_disk: Callable[[int], None]
) -> None:
    before = Path(stored.reference).read_bytes()
    full_disk(len(before) + 1000)
    with pytest.raises(CouldNotSave, match="disk full") as refused:
        append_entries(stored, [entry(2)])
    assert (refused.value.code, refused.value.exit_code) == ("E-DB-02", 5)
    assert Path(stored.reference).read_bytes() == before
    assert [path.name for path in Path(stored.reference).parent.iterdir()] == ["elm.jsonl"]
    full_disk(1_000_000)
    assert append_entries(stored, [entry(2)]).version == 2


def test_a_folder_that_refuses_is_said_and_leaves_the_old_file(
    stored: StoredCase, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(CouldNotSave, match="E-DB-04"):
        append_entries(stored, [entry(2)])
    assert read_case(Path(stored.reference)).version == 1


def test_the_new_file_is_synced_before_it_replaces_the_old_and_the_folder_after(
    stored: StoredCase, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    for name in ("write", "fsync", "replace"):
        real = getattr(os, name)

        def watched(*words: object, name: str = name, real: Callable[..., object] = real) -> object:
            done.append(name)
            return real(*words)

        monkeypatch.setattr(os, name, watched)
    append_entries(stored, [entry(2)])
    assert done == ["write", "fsync", "replace", "fsync"]


def test_any_file_is_written_whole_and_owner_only_or_not_at_all(
    tmp_path: Path, full_disk: Callable[[int], None]
) -> None:
    card = tmp_path / "card.pdf"
    write_whole(card, b"old")
    full_disk(1000)
    with pytest.raises(CouldNotSave, match="E-DB-02"):
        write_whole(card, b"x" * 2000)
    assert card.read_bytes() == b"old"
    assert stat.S_IMODE(card.stat().st_mode) == 0o600
    with pytest.raises(CouldNotSave, match="E-DB-04"):
        write_whole(tmp_path / "no folder" / "card.pdf", b"x")


def test_a_second_writer_waits_and_then_is_told(
    stored: StoredCase, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(whole_file, "LONGEST_WAIT_S", 0.05)
    with only_writer(Path(stored.reference)), pytest.raises(CouldNotSave, match="E-DB-03"):
        append_entries(stored, [entry(2)])
    assert append_entries(stored, [entry(2)]).version == 2


def _add_many(path: Path, writer: int, times: int) -> None:
    done = 0
    while done < times:
        stored = read_case(path)
        try:
            append_entries(stored, [entry(stored.version + 1, text=f"{writer}:{done}")])
        except CouldNotSave:
            continue
        done += 1


def test_four_writers_lose_nothing(stored: StoredCase) -> None:
    context = get_context("fork")
    writers = [
        context.Process(target=_add_many, args=(Path(stored.reference), n, 10)) for n in range(4)
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    notes = [str(to_object(e)["text"]) for e in read_case(Path(stored.reference)).entries[1:]]
    assert sorted(notes) == sorted(f"{n}:{i}" for n in range(4) for i in range(10))


def _write_until_killed(path: Path, report_fd: int) -> None:
    stored = read_case(path)
    while True:
        stored = append_entries(stored, [entry(stored.version + 1)])
        os.write(report_fd, b"%d\n" % stored.version)


def _kill_one_writer(path: Path, wait_s: float, *, after_first: bool) -> int:
    """Fork a writer, kill it without warning, return the last entry it said was saved."""
    hear, report_fd = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hear)
        try:
            _write_until_killed(path, report_fd)
        finally:
            os._exit(1)
    os.close(report_fd)
    with os.fdopen(hear, "rb") as pipe:
        first = pipe.readline() if after_first else b""
        time.sleep(wait_s)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL
        said = (first + pipe.read()).split(b"\n")[:-1]
    return int(said[-1]) if said else 0


def test_a_hundred_kills_leave_a_whole_file_and_no_acknowledged_entry_lost(tmp_path: Path) -> None:
    chance = random.Random(7)
    written = half_done = 0
    for cycle in range(KILLS):
        path = tmp_path / f"case{cycle % 10}.jsonl"
        if not path.exists():
            create_case(path, [OPENED])
        acknowledged = _kill_one_writer(path, chance.uniform(0, 0.020), after_first=cycle % 4 > 0)
        half_done += path.with_name(f".{path.name}.new").exists()
        data = path.read_bytes()
        entries = decode(data)
        assert encode(entries) == data
        assert len(entries) >= max(acknowledged, 1)
        written += acknowledged > 0
    assert written > KILLS // 2, "the writers were killed before they wrote: nothing was tried"
    assert half_done > 0, "no kill fell into a write: nothing was tried"
