"""All named house checks over one data folder."""

from __future__ import annotations

import csv
from pathlib import Path

from tankside.library import (
    agent_checks,
    care_checks,
    claim_checks,
    name_checks,
    source_checks,
    spread_checks,
    subject_checks,
    teaching_files,
    text_checks,
)
from tankside.library.house import Check, House
from tankside.library.load import read_knowledge
from tankside.library.problem import Problem
from tankside.library.released import data_root
from tankside.library.schema_check import schema_problems
from tankside.library.subject_files import read_subjects

CHECKS: tuple[Check, ...] = (
    *claim_checks.CHECKS,
    *source_checks.CHECKS,
    *subject_checks.CHECKS,
    *agent_checks.CHECKS,
    *name_checks.CHECKS,
    *care_checks.CHECKS,
    *spread_checks.CHECKS,
    *text_checks.CHECKS,
    *teaching_files.CHECKS,
)


def lint(root: Path | None = None) -> tuple[Problem, ...]:
    """Return every fault of a data folder, in order of file and key.

    Args:
        root: data folder; None for the shipped one.
    """
    folder = root or data_root()
    problems: list[Problem] = []
    subjects = tuple(read_subjects(folder, problems))
    knowledge = read_knowledge(folder, problems, subjects=subjects)
    house = House(
        root=folder,
        subjects=subjects,
        sources=knowledge.sources,
        register=_register(folder),
    )
    for check in CHECKS:
        problems.extend(check(house))
    problems.extend(schema_problems(folder))
    return tuple(sorted(set(problems), key=lambda p: (p.file, p.key, p.check)))


def _register(root: Path) -> tuple[tuple[str, str], ...]:
    rows: list[tuple[str, str]] = []
    for path in sorted((root / "sources").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as lines:
            rows.extend(
                (f"sources/{path.name}", row.get("key") or "") for row in csv.DictReader(lines)
            )
    return tuple(rows)
