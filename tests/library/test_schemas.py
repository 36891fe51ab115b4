"""The published schemas are valid and closed, and the shipped files keep to them."""

from __future__ import annotations

import csv
import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tankside.library import data_root
from tankside.library.schema_check import schema_problems, schema_root, validator
from tankside.library.subject_files import record_of

NAMES = sorted(path.name.removesuffix(".schema.json") for path in schema_root().glob("*.json"))
PROMISED = {
    "agent", "claim", "condition", "finding", "host", "likelihood", "organism",
    "quarantine_time", "source_register", "water_limit",
}  # fmt: skip


def objects(schema: object) -> list[dict[str, Any]]:
    """Every part of a schema that describes an object by named properties."""
    if isinstance(schema, list):
        return [part for item in schema for part in objects(item)]
    if not isinstance(schema, dict):
        return []
    here = [schema] if "properties" in schema else []
    return here + [part for value in schema.values() for part in objects(value)]


def test_all_promised_schemas_are_published() -> None:
    assert set(NAMES) >= PROMISED


@pytest.mark.parametrize("name", NAMES)
def test_schema_is_valid_and_closed(name: str) -> None:
    schema = json.loads((schema_root() / f"{name}.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    described = objects(schema)
    assert described
    assert all(part.get("additionalProperties") is False for part in described)


def test_every_shipped_file_keeps_to_its_schema() -> None:
    assert [str(problem) for problem in schema_problems(data_root())] == []


def test_rows_of_the_register_keep_to_the_schema() -> None:
    check = validator("source_register")
    for path in sorted((data_root() / "sources").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                assert check.is_valid(row), (path.name, row, list(check.iter_errors(row)))


def test_rows_of_flat_claim_tables_keep_to_the_schema() -> None:
    check = validator("claim")
    for path in sorted((data_root() / "organism_claims").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                record = record_of(row)
                assert check.is_valid(record), (path.name, record)


def test_a_misspelt_field_breaks_the_schema() -> None:
    record = {"key": "a.b", "value": 1, "provenance": "memory", "confidence": "low"}
    assert validator("claim").is_valid(record)
    assert not validator("claim").is_valid(record | {"confidance": "low"})
    assert not validator("claim").is_valid(record | {"unknown": "why"})
