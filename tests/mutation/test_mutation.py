"""The mutation run itself: it sees what it should, and a seeded sample of it is noticed."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
SCOPE = tomllib.loads((ROOT / "tests/mutation/scope.toml").read_text(encoding="utf-8"))

SOURCE = '''"""A small room."""

from functools import lru_cache

LARGEST = 5


@lru_cache(maxsize=8)
def is_large(value: int, least: int = 3) -> bool:
    """Whether a value is large."""
    return least <= value <= LARGEST


def largest(value: int = LARGEST) -> int:
    """The largest value, unless told."""
    return value


class Box:
    """Holds one value."""

    def __init__(self, value: int) -> None:
        self.value = value

    @property
    def twice(self) -> int:
        """Twice the value."""
        return self.value * 2
'''


@pytest.fixture
def room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[tuple[ModuleType, ModuleType]]:
    """Return a loaded module with a cached function, a property and a constant."""
    from importlib import import_module

    (tmp_path / "small_room.py").write_text(SOURCE, encoding="utf-8")
    (tmp_path / "next_room.py").write_text("from small_room import LARGEST, is_large\n", "utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    yield import_module("small_room"), import_module("next_room")
    del sys.modules["small_room"], sys.modules["next_room"]


@pytest.mark.slow
def test_every_file_and_folder_of_the_scope_is_there() -> None:
    for files in SCOPE["groups"].values():
        assert all((ROOT / "src/tankside" / file).is_file() for file in files)
    assert all((ROOT / name).exists() for name in [*SCOPE["tests"], *SCOPE["leave_out"]])


@pytest.mark.slow
def test_changes_reach_constants_defaults_cached_functions_and_properties(tmp_path: Path) -> None:
    from tests.mutation.mutants import mutants_of

    path = tmp_path / "small_room.py"
    path.write_text(SOURCE, encoding="utf-8")
    mutants = mutants_of("small_room.py", path)
    pairs = {(mutant.before, mutant.after) for mutant in mutants}
    assert ("LARGEST = 5", "LARGEST = 6") in pairs
    assert ("return least <= value <= LARGEST", "return least < value <= LARGEST") in pairs
    assert ("return self.value * 2", "return self.value / 2") in pairs
    assert any("least: int = 4" in after for _, after in pairs)
    assert not any("maxsize=9" in after for _, after in pairs)
    assert all(mutant.source != SOURCE for mutant in mutants)
    assert len({mutant.source for mutant in mutants}) == len(mutants)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new", "seen"),
    [
        ("LARGEST = 5", "LARGEST = 4", (False, 10)),
        ("int = 3", "int = 6", (False, 10)),
        ("value <= LARGEST", "value < LARGEST", (False, 10)),
        ("value * 2", "value / 2", (True, 2.5)),
        ("nothing", "at all", (True, 10)),
    ],
)
def test_a_planted_change_is_met_by_whoever_imported_the_old_code(
    room: tuple[ModuleType, ModuleType], old: str, new: str, seen: tuple[bool, float]
) -> None:
    from tests.mutation.plant import plant

    here, there = room
    box = here.Box(5)
    assert (there.is_large(5), box.twice) == (True, 10)
    there.is_large.cache_clear()
    plant(here, SOURCE.replace(old, new))
    assert (there.is_large(5), box.twice) == seen
    assert there.LARGEST == here.LARGEST == here.largest()


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_what_the_type_check_refuses_is_told_in_rooms_inside_each_other() -> None:
    from tests.mutation.mutants import mutants_of
    from tests.mutation.typed import refused_by_types

    source = ROOT / "src/tankside"
    files = ("course/amounts/limits.py", "course/safety/losses.py")
    mutants = [mutant for file in files for mutant in mutants_of(file, source / file)]
    faults = "setting(1e-12, None)", "find_number(scene.facts, None)"
    wrong = {mutant for mutant in mutants if any(fault in mutant.after for fault in faults)}
    right = {mutant for mutant in mutants if "setting(1.0" in mutant.after}
    assert (len(wrong), len(right)) == (2, 1)
    assert refused_by_types([*wrong, *right], source, ROOT) == wrong


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_run_whose_tests_look_elsewhere_fails() -> None:
    """The sums of display, tried by tests of dates alone: nothing is noticed, and it says so."""
    result = run("--only", "quantity/show", "--tests", "tests/quantity/test_moment.py")
    assert result.returncode == 1, result.stdout + result.stderr
    assert "survives  quantity/show.py" in result.stdout


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_a_sample_of_changes_is_noticed() -> None:
    result = run("--share", "0.06", "--seed", "1")
    assert result.returncode == 0, result.stdout + result.stderr


def run(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "tests.mutation", *words]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
