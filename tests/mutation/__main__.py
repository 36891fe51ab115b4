"""Change the parser, the amounts and the limits a little at a time; a test has to notice.

    python -m tests.mutation                     every change (long)
    python -m tests.mutation --share 0.05        a seeded sample
    python -m tests.mutation --only limits       a group, or else the files whose name holds it

Every change that survives is printed with its file and line. "tests" are those a test noticed,
"types" those that only the type check refuses, which stands before the tests; the share counts
both. Not counted, and shown apart: "same", changes that make no difference (equivalent.toml, each
with its reason); "words", changes of a sentence that is only shown; "class", changes in the body of
a class, which a loaded program has already taken in.

Needs the packages of the slow tier and a system that can fork. Ends with 1 when too few are
noticed (scope.toml): in any group, or for a sample in all of them together.
"""

from __future__ import annotations

import argparse
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from tests.mutation.mutants import Mutant, mutants_of
from tests.mutation.session import SURVIVED, Session, drawn
from tests.mutation.typed import refused_by_types

import tankside

HERE = Path(__file__).resolve().parent
SOURCE = Path(tankside.__file__).resolve().parent
PROJECT = HERE.parents[1]
TYPED = "refused by types"
COLUMNS = ("tried", "tests", "types", "same", "words", "class")
FORM = "{:34}" + " {:>7}" * 8


def main(words: Sequence[str] | None = None) -> int:
    """Run as told by the words of the command line; return the exit code."""
    options = _told(words)
    scope = tomllib.loads((HERE / "scope.toml").read_text(encoding="utf-8"))
    listed = tomllib.loads((HERE / "equivalent.toml").read_text(encoding="utf-8"))
    same = {(row["file"], row["before"], row["after"]) for row in listed.get("same", ())}
    files = [file for group in scope["groups"].values() for file in group]
    meant = scope["groups"].get(options.only) or [file for file in files if options.only in file]
    every = [mutant for file in meant for mutant in mutants_of(file, SOURCE / file)]
    tried = list(drawn([m for m in every if _counts(m, same)], options.share, options.seed))
    if options.again:
        names = set(Path(options.again).read_text(encoding="utf-8").splitlines())
        tried = [mutant for mutant in tried if mutant.name in names]
    session = Session(tried, files, SOURCE, options.workers)
    began = time.monotonic()
    pytest.main(
        ["-q", "-s", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:terminalreporter",
         *(options.tests or scope["tests"]), *(f"--ignore={name}" for name in scope["leave_out"])],
        plugins=[session],
    )  # fmt: skip
    if session.problem or len(session.results) != len(tried):
        print(f"Nothing is counted: {session.problem or 'the run was cut short'}.")
        return 2
    left = [mutant for mutant in tried if session.results[mutant] == SURVIVED]
    typed = refused_by_types(left, SOURCE, PROJECT) if left else set()
    code = _report(scope, every, same, session.results | dict.fromkeys(typed, TYPED), options.share)
    print(f"{len(tried)} changes in {time.monotonic() - began:.0f} s")
    if options.keep:
        kept = [mutant.name for mutant in left if mutant not in typed]
        Path(options.keep).write_text("\n".join(kept) + "\n", encoding="utf-8")
    return code


def _told(words: Sequence[str] | None) -> argparse.Namespace:
    ask = argparse.ArgumentParser(prog="python -m tests.mutation")
    ask.add_argument("--share", type=float, default=1.0, help="share of the changes to try")
    ask.add_argument("--seed", type=int, default=1, help="which sample")
    ask.add_argument("--only", default="", help="only this group, or files so named")
    ask.add_argument("--tests", nargs="*", help="tests to notice with, instead of the scope's")
    ask.add_argument("--workers", type=int, default=2, help="processes at once")
    ask.add_argument("--keep", default="", help="file to write the survivors to")
    ask.add_argument("--again", default="", help="file of survivors: try only those")
    return ask.parse_args(words)


def _counts(mutant: Mutant, same: set[tuple[str, str, str]]) -> bool:
    return mutant.kind == "code" and (mutant.file, mutant.before, mutant.after) not in same


def _report(
    scope: dict[str, Any],
    every: Sequence[Mutant],
    same: set[tuple[str, str, str]],
    results: dict[Mutant, str],
    share: float,
) -> int:
    """Print the shares; return 1 when too few changes were noticed."""
    least = scope["least_share"]
    print(FORM.format("", *COLUMNS[:3], "share", "by test", *COLUMNS[3:]))
    low = False
    total: Counter[str] = Counter()
    for group, files in scope["groups"].items():
        rows = {file: _row(file, every, same, results) for file in files}
        for file, row in rows.items():
            if row["tried"]:
                print(_line(f"  {file}", row))
        group_row = sum(rows.values(), Counter())
        if group_row["tried"]:
            print(_line(group, group_row))
            low = low or _share(group_row) < least
        total += group_row
    print(_line("all", total))
    print(f"Wanted: {least:.0%}" + ("" if share == 1 else " (of all; a sample only estimates it)"))
    return int(low if share == 1 else _share(total) < least)


def _row(
    file: str, every: Sequence[Mutant], same: set[tuple[str, str, str]], results: dict[Mutant, str]
) -> Counter[str]:
    row: Counter[str] = Counter()
    for mutant in every:
        if mutant.file == file:
            row["words"] += mutant.kind == "words"
            row["class"] += mutant.kind == "class body"
            row["same"] += (mutant.file, mutant.before, mutant.after) in same
            row["tried"] += mutant in results
            row["types"] += results.get(mutant) == TYPED
            row["tests"] += results.get(mutant, SURVIVED) not in (SURVIVED, TYPED)
    return row


def _share(row: Counter[str]) -> float:
    return (row["tests"] + row["types"]) / row["tried"] if row["tried"] else 1.0


def _line(name: str, row: Counter[str]) -> str:
    by_test = row["tests"] / row["tried"] if row["tried"] else 1.0
    shares = f"{_share(row):.1%}", f"{by_test:.1%}"
    return FORM.format(
        name, *(row[c] for c in COLUMNS[:3]), *shares, *(row[c] for c in COLUMNS[3:])
    )


if __name__ == "__main__":
    sys.exit(main())
