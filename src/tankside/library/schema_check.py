"""The published JSON Schemas, and the check of every knowledge file against them."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError
from referencing import Registry, Resource

from tankside.library.problem import Problem

FOLDERS = {
    "agents": "agent",
    "hosts": "host",
    "organisms": "organism",
    "experiments": "experiment",
    "practice": "practice",
    "quarantine": "quarantine_time",
    "water": "water_limit",
    "conditions": "condition",
    "findings": "finding",
    "care": "care",
    "teaching": "teaching",
}


def schema_root() -> Path:
    """Return the folder of the published schemas."""
    return Path(str(files("tankside.library") / "schemas"))


@lru_cache(maxsize=1)
def _registry() -> Registry[Any]:
    schemas = [
        json.loads(path.read_text(encoding="utf-8")) for path in schema_root().glob("*.schema.json")
    ]
    pairs = [(schema["$id"], Resource.from_contents(schema)) for schema in schemas]
    return Registry().with_resources(pairs)


@lru_cache(maxsize=len(FOLDERS))
def validator(name: str) -> Draft202012Validator:
    """Return the validator of one published schema.

    Args:
        name: its name without the ending, for example ``agent``.
    """
    registry = _registry()
    return Draft202012Validator(registry.contents(f"{name}.schema.json"), registry=registry)


def schema_problems(root: Path) -> Iterator[Problem]:
    """Yield where a TOML file departs from the schema of its folder.

    Args:
        root: the data folder.
    """
    for folder, name in FOLDERS.items():
        for path in sorted((root / folder).glob("*.toml")):
            try:
                content = tomllib.loads(path.read_text(encoding="utf-8"))
            except (tomllib.TOMLDecodeError, UnicodeDecodeError):
                continue  # told by the reader
            for fault in validator(name).iter_errors(content):
                yield _problem(f"{folder}/{path.name}", name, content, fault)


def _problem(file: str, name: str, content: dict[str, Any], fault: ValidationError) -> Problem:
    where = list(fault.absolute_path)
    key = ".".join(map(str, where))
    if len(where) >= 2 and where[0] == "claim":  # name the claim rather than its position
        key = str(content["claim"][where[1]].get("key", key))
    return Problem(
        "schema",
        file,
        key,
        f"{fault.message[:160]}.",
        f"compare with schemas/{name}.schema.json.",
    )
