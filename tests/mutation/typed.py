"""Which changes the type check refuses: it stands before the tests, so they cannot come in."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from tests.mutation.mutants import Mutant

_REFUSED = re.compile(r"/(?P<stem>[a-z_]+)__changed_(?P<number>[0-9]+)\.py:[0-9]+.*: error:")
_UNCHANGED = 0


def refused_by_types(mutants: Sequence[Mutant], source: Path, project: Path) -> set[Mutant]:
    """Return the changes that mypy, as set up for the project, finds fault with.

    Every changed source is laid beside its original under a name of its own, so that one run
    checks them all. A file of which even an unchanged copy is refused counts for nothing.
    """
    with tempfile.TemporaryDirectory() as place:
        root = Path(place) / "src" / source.name
        shutil.copytree(source, root, ignore=shutil.ignore_patterns("__pycache__", "data"))
        shutil.copy(project / "pyproject.toml", place)
        names = {}
        for number, mutant in enumerate(mutants, 1):
            original = root / mutant.file
            for index, text in ((number, mutant.source), (_UNCHANGED, original.read_text("utf-8"))):
                copy = original.with_name(f"{original.stem}__changed_{index}.py")
                copy.write_text(text, encoding="utf-8")
            names[number] = mutant
        rooms = _outermost({(root / mutant.file).parent.relative_to(place) for mutant in mutants})
        checked = subprocess.run(
            [sys.executable, "-m", "mypy", "--no-error-summary", "--cache-dir", "cache",
             *map(str, rooms)],
            cwd=place, capture_output=True, text=True, check=False,
        )  # fmt: skip
    if checked.returncode not in (0, 1):  # it could not begin; that is not "nothing is refused"
        raise RuntimeError(checked.stdout + checked.stderr)
    hits = [_REFUSED.search(line) for line in checked.stdout.splitlines()]
    faults = {(hit["stem"], int(hit["number"])) for hit in hits if hit}
    unfit = {stem for stem, number in faults if number == _UNCHANGED}
    return {names[number] for stem, number in faults if number and stem not in unfit}


def _outermost(rooms: set[Path]) -> list[Path]:
    """Leave out rooms inside others: mypy reads a folder with all below, and each only once."""
    return sorted(room for room in rooms if not rooms & set(room.parents))
