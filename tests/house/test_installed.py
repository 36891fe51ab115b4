"""Wheel and source archive: the same program, and it works where nothing else is installed.

Every Python from 3.11 on that the machine has is tried; ``TANKSIDE_PYTHONS`` names further ones,
each a path, parted as in PATH.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest
from flit_core import buildapi  # type: ignore[import-untyped]

ROOT = Path(__file__).resolve().parents[2]
OLDEST, NEWEST = 11, 20
DOSE = ["dose", "--agent", "salt", "--strength", "2 g/L", "--volume", "173 L", "--second-volume",
        "175 L", "--label", "pure", "--scale", "1 g", "--animal", "cardinal tetra"]  # fmt: skip


def pythons() -> list[str]:
    """Return one interpreter of each version, those that were named first."""
    named = os.environ.get("TANKSIDE_PYTHONS", "").split(os.pathsep)
    on_path = [shutil.which(f"python3.{minor}") or "" for minor in range(OLDEST, NEWEST)]
    by_version: dict[str, str] = {}
    for python in (*named, sys.executable, *on_path):
        if not python:
            continue
        asked = "import sys; print('.'.join(map(str, sys.version_info[:2])))"
        said = subprocess.run([python, "-c", asked], capture_output=True, text=True, check=False)
        if said.returncode == 0:
            by_version.setdefault(said.stdout.strip(), python)
    return [by_version[version] for version in sorted(by_version)]


@pytest.fixture(scope="module")
def archives(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    folder = tmp_path_factory.mktemp("archives")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT)
        wheel = folder / buildapi.build_wheel(str(folder))
        source = folder / buildapi.build_sdist(str(folder))
    return {"wheel": wheel, "source": source}


def contents(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def test_the_source_archive_makes_the_same_wheel(
    archives: Mapping[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with tarfile.open(archives["source"]) as packed:
        packed.extractall(tmp_path, filter="data")
    (unpacked,) = tmp_path.iterdir()
    monkeypatch.chdir(unpacked)
    again = tmp_path / buildapi.build_wheel(str(tmp_path))
    assert contents(again) == contents(archives["wheel"])


def test_the_wheel_holds_every_file_of_the_program_and_says_what_it_is(
    archives: Mapping[str, Path],
) -> None:
    packed = contents(archives["wheel"])
    source = ROOT / "src"
    kept = {
        path.relative_to(source).as_posix()
        for path in (source / "tankside").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert kept <= set(packed)
    assert "tankside/py.typed" in packed
    (described,) = (text for name, text in packed.items() if name.endswith("/METADATA"))
    for line in (b"Name: tankside", b"Requires-Python: >=3.11", b"License-Expression: Apache-2.0"):
        assert line in described
    (entry,) = (text for name, text in packed.items() if name.endswith("entry_points.txt"))
    assert b"tankside=tankside.cli.main:app" in entry.replace(b" ", b"")


@pytest.mark.slow
@pytest.mark.timeout(3000)
@pytest.mark.parametrize("python", pythons())
def test_it_works_where_nothing_else_is_installed(
    archives: Mapping[str, Path], python: str, tmp_path: Path
) -> None:
    place = tmp_path / "env"
    subprocess.run([python, "-m", "venv", str(place)], check=True)
    programs = place / ("Scripts" if os.name == "nt" else "bin")
    lock = ROOT / "locks" / "run.lock"
    clean = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "VIRTUAL_ENV")}
    clean |= {"XDG_DATA_HOME": str(tmp_path / "data"), "TANKSIDE_NOW": "2026-03-02T18:00+00:00"}

    def ran(*words: str) -> str:
        done = subprocess.run(
            words, cwd=tmp_path, env=clean, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, (words, done.stdout[-2000:], done.stderr[-2000:])
        return done.stdout

    pip = (str(programs / "python"), "-m", "pip", "install", "-qq", "--no-cache-dir")
    ran(*pip, "--require-hashes", "-r", str(lock))
    ran(*pip, "--no-deps", str(archives["wheel"]))
    tankside = str(programs / "tankside")
    assert ran(tankside, "--version").startswith("tankside 0.")
    made = json.loads(ran(tankside, *DOSE, "--json"))
    assert (made["amount"]["value"], made["amount"]["unit"]) == ("346", "g")  # 173 L times 2 g/L
    opening = ("--name", "Elm", "--keeper", "V", "--water", "fresh", "--zone", "Etc/UTC")
    ran(tankside, "case", "new", "elm.jsonl", *opening)
    ran(tankside, "case", "add", "elm.jsonl", "finding", "spots_visible=yes")
    assert json.loads(ran(tankside, "differential", "elm.jsonl", "--json"))["ranked"]
    ran(tankside, "sheet", "mistakes", "--pdf", "s.pdf")
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    ran(*pip, "--no-deps", "--no-build-isolation", "--force-reinstall", str(archives["source"]))
    assert ran(tankside, "--version").startswith("tankside 0.")
