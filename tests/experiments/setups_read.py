"""Read the frozen set-ups: one table per check, with what its file shares filled in."""

from __future__ import annotations

import hashlib
import json
import tomllib
from pathlib import Path
from typing import Any

from tankside import library

HERE = Path(__file__).parent
EXPERIMENTS = Path(library.__file__).parent / "data" / "experiments"
SETUPS = HERE / "setups"
FROZEN = HERE / "frozen.json"
NEEDED = (
    "id", "experiment", "claim", "source", "organism", "role", "independence", "histories",
    "days", "fish", "weight_g", "temperature_c", "start", "outcome", "rule", "published", "open",
)  # fmt: skip

Check = dict[str, Any]


def checks() -> list[Check]:
    """Return every check of every file, in the order of file names."""
    checks_read = []
    for path in sorted(SETUPS.glob("*.toml")):
        setup = tomllib.loads(path.read_text(encoding="utf-8"))
        checks_read += [setup["setup"] | check for check in setup["check"]]
    return checks_read


def hashes() -> dict[str, str]:
    """Return the hash of each set-up file."""
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(SETUPS.glob("*.toml"))
    }


def frozen() -> dict[str, str]:
    """Return the hashes written down before the first run."""
    digests: dict[str, str] = json.loads(FROZEN.read_text(encoding="utf-8"))
    return digests


def reasons() -> dict[str, dict[str, Any]]:
    """Return, by id, why an outcome came out as it did, whether it counts, whether it is easy."""
    return tomllib.loads((HERE / "why.toml").read_text(encoding="utf-8"))


def record(experiment: str) -> dict[str, Any]:
    """Return the library's record of a published experiment."""
    return tomllib.loads((EXPERIMENTS / f"{experiment}.toml").read_text(encoding="utf-8"))


def asked(experiment: str) -> str:
    """Return what a model must predict of an experiment."""
    return str(record(experiment)["experiment"]["predict"])
