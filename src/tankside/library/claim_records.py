"""One record of a knowledge file read strictly into a claim; nothing is guessed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from tankside.claims import Claim, Confidence, Provenance
from tankside.library.problem import Problem

FIELDS = (
    "key", "value", "unit", "low", "high", "conditions", "basis", "evidence", "study_size",
    "source", "further", "place", "provenance", "confidence", "default", "why_default", "unknown",
    "rejected", "note",
)  # fmt: skip
_TEXTS = ("unit", "basis", "evidence", "study_size", "source", "place", "why_default", "note")
_KEY = re.compile(r"[a-z0-9]+(_[a-z0-9]+)*(\.[a-z0-9]+(_[a-z0-9]+)*)*")
_PROVENANCE = {str(p): p for p in Provenance}
_CONFIDENCE = {str(c): c for c in Confidence}
_NOTHING: Mapping[str, str] = MappingProxyType({})


def read_claim(
    record: Mapping[str, object], prefix: str, file: str, problems: list[Problem]
) -> Claim | None:
    """Turn one record into a claim.

    Args:
        record: the fields as read (TOML types).
        prefix: what the file says of every key, for example ``agent.formalin``.
        file: path below the data folder, for messages.
        problems: faults found are added here.

    Returns:
        The claim, or None when the record has a fault that hides its meaning.
    """
    short = str(record.get("key", ""))
    faults = [*_shape_faults(record), *_further_faults(record), *_value_faults(record)]
    problems.extend(Problem(check, file, short, why, repair) for check, why, repair in faults)
    if faults:
        return None
    conditions = record.get("conditions")
    text = {name: str(record.get(name, "")) for name in _TEXTS}
    return Claim(
        key=f"{prefix}.{short}",
        value=_plain(record.get("value")),
        unit=text["unit"],
        provenance=_PROVENANCE[str(record["provenance"])],
        confidence=_CONFIDENCE[str(record["confidence"])],
        low=_number(record.get("low")),
        high=_number(record.get("high")),
        source=text["source"],
        further=_keys(record.get("further")),
        place=text["place"],
        evidence=text["evidence"],
        study_size=text["study_size"],
        basis=text["basis"],
        conditions=MappingProxyType(conditions) if isinstance(conditions, dict) else _NOTHING,
        default=bool(record.get("default", False)),
        why_default=text["why_default"],
        unknown_because=str(record.get("unknown", "")),
        rejected_because=str(record.get("rejected", "")),
        note=text["note"],
    )


def _plain(value: object) -> float | str | None:
    return value if isinstance(value, int | float | str) else None


def _keys(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, list) else ()


def _number(value: object) -> float | None:
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


Fault = tuple[str, str, str]


def _shape_faults(record: Mapping[str, object]) -> Iterable[Fault]:
    for name in record:
        if name not in FIELDS:
            yield ("field", f"the field {name!r} is not known.", f"use one of {', '.join(FIELDS)}.")
    if not _KEY.fullmatch(str(record.get("key", ""))):
        yield ("key", "the key is missing or malformed.", "write lower-case words with . and _.")
    for name, allowed in (("provenance", _PROVENANCE), ("confidence", _CONFIDENCE)):
        if record.get(name) not in allowed:
            yield (
                name,
                f"{name} is {record.get(name)!r}.",
                f"write {name} = one of {', '.join(allowed)}.",
            )
    for name in (*_TEXTS, "unknown", "rejected"):
        if name in record and not isinstance(record[name], str):
            yield ("type", f"{name} is not text.", f"put {name} in quotation marks.")
    if not isinstance(record.get("default", False), bool):
        yield ("type", "default is neither true nor false.", "write default = true.")
    conditions = record.get("conditions", {})
    if not isinstance(conditions, dict) or not all(isinstance(v, str) for v in conditions.values()):
        yield ("type", "conditions is not a table of texts.", 'write {name = "text"}.')


def _further_faults(record: Mapping[str, object]) -> Iterable[Fault]:
    further = record.get("further", [])
    if not isinstance(further, list) or not all(isinstance(key, str) for key in further):
        yield ("type", "further is not a list of keys.", 'write further = ["key", "key"].')


def _value_faults(record: Mapping[str, object]) -> Iterable[Fault]:
    value, unknown = record.get("value"), record.get("unknown")
    stated = [record[name] for name in ("value", "low", "high") if name in record]
    if isinstance(value, bool) or not isinstance(value, int | float | str | None):
        yield ("type", "value is neither a number nor a text.", "write a number or a text.")
    for name in ("low", "high"):
        if name in record and _number(record[name]) is None:
            yield ("type", f"{name} is not a number.", f"write {name} as a number.")
    if any(isinstance(v, float) and not math.isfinite(v) for v in stated):
        yield ("finite", "a number is infinite or not a number.", "write a finite number.")
    if stated and unknown is not None:
        yield (
            "unknown",
            "it states a value and calls it unknown.",
            "keep the value or the reason, not both.",
        )
    if not stated and not str(unknown or "").strip():
        yield (
            "unknown",
            "it states no value and gives no reason.",
            'write unknown = "why nothing is known".',
        )
    if value == "":
        yield ("unknown", "value is empty.", 'leave value out and write unknown = "why".')


def key_is_sound(key: str) -> bool:
    """Return whether a key is lower-case words joined by dots and underscores."""
    return _KEY.fullmatch(key) is not None
