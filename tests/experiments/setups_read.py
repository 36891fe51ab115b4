"""Read the frozen set-ups: one table per check, with what its file shares filled in."""

from __future__ import annotations

import hashlib
import json
import tomllib
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SETUPS = HERE / "setups"
FROZEN = HERE / "frozen.json"
NEEDED = (
    "id", "experiment", "claim", "source", "organism", "role", "independence", "histories",
    "days", "fish", "weight_g", "temperature_c", "start", "outcome", "rule", "published", "open",
)  # fmt: skip

Check = dict[str, Any]


def checks() -> list[Check]:
    """Return every check of every file, in the order of file names."""
    found = []
    for path in sorted(SETUPS.glob("*.toml")):
        told = tomllib.loads(path.read_text(encoding="utf-8"))
        found += [told["setup"] | check for check in told["check"]]
    return found


def hashes() -> dict[str, str]:
    """Return the hash of each set-up file."""
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(SETUPS.glob("*.toml"))
    }


def frozen() -> dict[str, str]:
    """Return the hashes written down before the first run."""
    known: dict[str, str] = json.loads(FROZEN.read_text(encoding="utf-8"))
    return known


def explanations() -> dict[str, str]:
    """Return why an outcome came out as it did, by id."""
    told = tomllib.loads((HERE / "why.toml").read_text(encoding="utf-8"))
    return {key: row["why"] for key, row in told.items()}
