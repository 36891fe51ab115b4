"""What was read of the shipped files is kept, and used only where it would be read again."""

from __future__ import annotations

import errno
import os
import shutil
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path

import pytest

from tankside import sealed
from tankside.claims import Claim, Confidence, Knowledge, Provenance
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.errors import BadInput
from tankside.library import as_rows, data_root, kept_base, load, released
from tankside.library.diagnosis_files import load_diagnosis, load_shipped, read_once
from tankside.library.load import read_knowledge
from tankside.library.load import shipped as load_once
from tankside.library.problem import Problem, refuse

PRINTS = {"agents/salt.toml": "a" * 64, "hosts/koi.toml": "b" * 64}
DOSE = Claim(
    "agent.salt.dose", 2.5, "g/L", Provenance.MEMORY, Confidence.LOW, low=1, high=3,
    conditions={"route": "bath"}, note="3 % \u00b5 \u2028 \"x\"",
)  # fmt: skip
SMALL = Knowledge({"agent.salt.dose": (DOSE, replace(DOSE, value=None, default=True))})


class Reader:
    """Reads the small base, and counts how often it had to."""

    def __init__(self, base: Knowledge = SMALL) -> None:
        self.base, self.times = base, 0

    def __call__(self) -> Knowledge:
        self.times += 1
        return self.base


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give an empty place for what is kept."""
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "kept"))
    return Path(sealed.place("knowledge"))


def got(
    prints: Mapping[str, str] = PRINTS, base: Knowledge = SMALL
) -> tuple[dict[str, object], bool]:
    """Return what a command gets, and whether the files were read for it."""
    reader = Reader(base)
    knowledge = kept_base.kept(Knowledge, prints, reader)
    return held_by(knowledge), bool(reader.times)


def held_by(knowledge: Knowledge) -> dict[str, object]:
    """Return what a set of knowledge holds; two sets are never the same object."""
    return {field.name: getattr(knowledge, field.name) for field in fields(knowledge)}


def only_file(place: Path) -> Path:
    (path,) = place.iterdir()
    return path


def test_what_was_kept_is_what_was_read_and_the_files_are_not_read_again(place: Path) -> None:
    assert got() == (held_by(SMALL), True)
    assert got() == (held_by(SMALL), False)
    again = kept_base.kept(Knowledge, PRINTS, Reader())
    low, high = again.claim("agent.salt.dose").low, again.claim("agent.salt.dose").high
    assert (type(low), type(high)) == (int, int), "numbers stay as they were typed"
    assert only_file(place).stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    "prints",
    [
        {**PRINTS, "hosts/koi.toml": "c" * 64},
        {**PRINTS, "hosts/new.toml": "c" * 64},
        {"agents/salt.toml": "a" * 64},
        {"agents/salt.toml": "b" * 64, "hosts/koi.toml": "a" * 64},
    ],
    ids=["changed", "new", "gone", "exchanged"],
)
def test_another_state_of_the_files_is_read(prints: Mapping[str, str]) -> None:
    got()
    other = Knowledge({})
    assert got(prints, other) == (held_by(other), True)
    assert got() == (held_by(SMALL), False)


@pytest.mark.parametrize("name", ["version", "platform"])
def test_another_interpreter_reads_the_files(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    got()
    monkeypatch.setattr(kept_base.sys, name, "another")  # type: ignore[attr-defined]
    assert got()[1]


@pytest.mark.parametrize("room", kept_base.ROOMS)
def test_another_version_of_the_program_reads_the_files(
    room: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "program"
    for copied in kept_base.ROOMS:
        code = Path(kept_base.__file__).parents[1] / copied
        leave = shutil.ignore_patterns("data", "__pycache__")
        shutil.copytree(code, program / copied, ignore=leave)
    monkeypatch.setattr(kept_base, "__file__", str(program / "library" / "kept_base.py"))
    got()
    assert not got()[1]
    with (program / room / "__init__.py").open("a") as module:
        module.write("# changed\n")
    assert got()[1]


def flipped(spot: float) -> Callable[[bytes], bytes]:
    def flip(data: bytes) -> bytes:
        at = int(spot * (len(data) - 1))
        return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]

    return flip


DAMAGED: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "cut in half": lambda data: data[: len(data) // 2],
    "one byte too many": lambda data: data + b" ",
    "first byte flipped": flipped(0.0),
    "a byte in the middle flipped": flipped(0.5),
    "last byte flipped": flipped(1.0),
    "a figure changed": lambda data: data.replace(b"2.5", b"9.5"),
}
SEALED = {
    "no json": b"nothing",
    "json of something else": b'{"some": "thing"}',
    "rows too short": b'{"claims": [[1, 2]], "whole": [{}]}',
    "a word that is none": b'{"claims": [["k", 1, "", "rumour", "low"]], "whole": [{}]}',
    "a number in its place": b'{"claims": [], "whole": 7}',
    "a claim that is not there": b'{"claims": [], "whole": [{"k": [3]}]}',
}


@pytest.mark.parametrize("damage", DAMAGED)
def test_damage_is_noticed_and_the_files_are_read(damage: str, place: Path) -> None:
    got()
    path = only_file(place)
    whole = path.read_bytes()
    assert DAMAGED[damage](whole) != whole
    path.write_bytes(DAMAGED[damage](whole))
    assert got() == (held_by(SMALL), True)
    assert got() == (held_by(SMALL), False), "what was read anew is kept in place of the damage"


@pytest.mark.parametrize("content", SEALED)
def test_what_is_no_base_is_never_one_even_under_a_right_seal(content: str, place: Path) -> None:
    got()
    key = kept_base.key_of(Knowledge, PRINTS)
    only_file(place).write_bytes(sealed.sealed(key, SEALED[content]))
    assert got() == (held_by(SMALL), True)


def test_what_was_kept_for_other_files_is_not_taken_under_this_name(place: Path) -> None:
    got({}, Knowledge({}))
    other = only_file(place).read_bytes()
    only_file(place).unlink()
    got()
    only_file(place).write_bytes(other)
    assert got() == (held_by(SMALL), True)


@pytest.mark.parametrize("loose", ["file", "folder"])
def test_what_others_may_write_is_not_taken(loose: str, place: Path) -> None:
    got()
    (only_file(place) if loose == "file" else place).chmod(0o777)
    assert got() == (held_by(SMALL), True)


@pytest.mark.parametrize("call", ["makedirs", "replace"])
@pytest.mark.parametrize("code", [errno.EROFS, errno.EACCES, errno.ENOSPC], ids=os.strerror)
def test_where_nothing_can_be_kept_the_files_are_read_each_time(
    call: str, code: int, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, call, refuse)
    assert got() == (held_by(SMALL), True)
    assert got() == (held_by(SMALL), True)
    assert not place.exists() or list(place.iterdir()) == []


def test_a_fault_in_the_files_is_told_each_time_and_not_kept(place: Path) -> None:
    def faulty() -> Knowledge:
        problems = [Problem("key", "agents/salt.toml", "dose", "the key is twice.", "drop one.")]
        refuse(problems)
        raise AssertionError

    for _ in range(2):
        with pytest.raises(BadInput):
            kept_base.kept(Knowledge, PRINTS, faulty)
    assert not place.exists()


@dataclass(frozen=True)
class Unsorted:
    any_order: set[str]


def test_a_type_that_has_no_rows_is_refused_when_written() -> None:
    with pytest.raises(TypeError, match="has no rows"):
        as_rows.to_text(Unsorted({"a"}))


def test_the_shipped_base_comes_back_as_it_was_read() -> None:
    facts = load_diagnosis()
    assert as_rows.from_text(as_rows.to_text(facts), DiagnosisFacts) == facts
    base = replace(load(), conditions={}, findings={})
    again = as_rows.from_text(as_rows.to_text(base), Knowledge)
    assert held_by(again) == held_by(base)
    assert repr(again.facts) == repr(base.facts), "numbers keep their kind"


def test_a_changed_file_is_read_and_told_in_the_next_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole way: a copy of the shipped files stands for them."""
    copy = tmp_path / "data"
    shutil.copytree(data_root(), copy)
    monkeypatch.setattr(released, "data_root", lambda: copy)
    reads: list[Path] = []

    def reading(root: Path, *more: object) -> Knowledge:
        reads.append(root)
        return read_knowledge(root, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(sys.modules["tankside.library.load"], "read_knowledge", reading)

    def next_command() -> Knowledge:
        for kept_once in (load_once, load_shipped, read_once, released.shipped):
            kept_once.cache_clear()
        return load()

    try:
        first = next_command()
        assert held_by(next_command()) == held_by(first)
        assert (reads, first.altered) == ([copy], frozenset())
        file = copy / "agents" / "sodium_chloride.toml"
        text = file.read_text(encoding="utf-8")
        name = first.agents["sodium_chloride"].name
        file.write_text(text.replace(f'name = "{name}"', 'name = "table salt"', 1), "utf-8")
        changed = next_command()
        assert changed.agents["sodium_chloride"].name == "table salt"
        assert changed.altered == {"agents/sodium_chloride.toml"}
        assert reads == [copy, copy]
    finally:
        monkeypatch.undo()
        next_command()
