"""Subject files: one agent, host, organism or topic each, a head and its claims."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tankside.claims import Claim
from tankside.library.claim_records import read_claim
from tankside.library.problem import Problem

SUBJECTS: Mapping[str, str] = {
    "agents": "agent",
    "hosts": "host",
    "organisms": "organism",
    "organism_claims": "organism",
    "practice": "practice",
    "quarantine": "quarantine",
    "water": "water",
    "care": "care",
    "experiments": "experiment",
}
_NUMBERS = ("value", "low", "high")


@dataclass(frozen=True, slots=True)
class SubjectFile:
    """One file as read.

    Args:
        kind: folder it lies in.
        id: its name without the ending; the claims' keys start with it.
        file: path below the data folder.
        head: the subject's own table ("agent", "host", ...), empty for flat tables.
        rest: the other tables of the file, untouched, for the room that knows them.
        claims: its claims in file order.
    """

    kind: str
    id: str
    file: str
    head: Mapping[str, Any]
    rest: Mapping[str, Any]
    claims: tuple[Claim, ...]


def read_subjects(root: Path, problems: list[Problem]) -> Iterator[SubjectFile]:
    """Read every subject file below the data folder, in order of path.

    Args:
        root: the data folder.
        problems: faults found are added here.

    Yields:
        One entry per readable file.
    """
    for kind in SUBJECTS:
        for path in sorted((root / kind).glob("*")):
            if path.suffix == ".toml":
                yield _read_toml(path, kind, problems)
            elif path.suffix == ".csv":
                yield _read_csv(path, kind, problems)


def _read_toml(path: Path, kind: str, problems: list[Problem]) -> SubjectFile:
    file, subject = f"{kind}/{path.name}", SUBJECTS[kind]
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as why:
        problems.append(
            Problem("readable", file, "", f"not valid TOML: {why}.", "correct the line named.")
        )
        content = {}
    records = content.pop("claim", [])
    head = content.pop(subject, {})
    claims = tuple(_claims(records, f"{subject}.{path.stem}", file, problems))
    return SubjectFile(kind, path.stem, file, head, content, claims)


def _read_csv(path: Path, kind: str, problems: list[Problem]) -> SubjectFile:
    file = f"{kind}/{path.name}"
    with path.open(encoding="utf-8", newline="") as lines:
        records = [record_of(row) for row in csv.DictReader(lines)]
    claims = tuple(_claims(records, f"{SUBJECTS[kind]}.{path.stem}", file, problems))
    return SubjectFile(kind, path.stem, file, {}, {}, claims)


def _claims(
    records: list[dict[str, object]], prefix: str, file: str, problems: list[Problem]
) -> Iterator[Claim]:
    for record in records:
        claim = read_claim(record, prefix, file, problems)
        if claim is not None:
            yield claim


def record_of(row: Mapping[str | None, Any]) -> dict[str, object]:
    """Give a flat row the shape of a TOML record: empty cells left out, numbers as numbers."""
    record: dict[str, object] = {str(name): cell for name, cell in row.items() if cell}
    for name in _NUMBERS:
        if name in record:
            record[name] = _as_number(str(record[name]))
    if record.get("default") in ("true", "false"):
        record["default"] = record["default"] == "true"
    if "conditions" in record:
        record["conditions"] = _pairs(str(record["conditions"]))
    return record


def _as_number(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


def _pairs(cell: str) -> dict[str, str]:
    """Read ``name=text; name=text``."""
    pairs = (part.split("=", 1) for part in cell.split("; ") if part)
    return {pair[0].strip(): pair[-1].strip() for pair in pairs}
