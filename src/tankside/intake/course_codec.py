"""A course as plain JSON data and back, so that a case keeps the exact schedule it chose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from decimal import Decimal
from typing import Any

from pydantic import JsonValue

from tankside.course import Course, LabelEntry, NewWater, StrengthBasis, Tool, ToolUnit
from tankside.course import actions as kinds
from tankside.course.actions.action import Action
from tankside.errors import BadInput

VERSION = 1
KINDS: Mapping[str, type[Any]] = {
    kind.kind: kind
    for kind in (
        kinds.Air, kinds.Bath, kinds.Carbon, kinds.CareStep, kinds.Count, kinds.Dose, kinds.Fast,
        kinds.FineFilter, kinds.Light, kinds.MedicatedFeed, kinds.ReadingTaken, kinds.Resume,
        kinds.SaltTo, kinds.Siphon, kinds.StrengthTest, kinds.TakeReading, kinds.Titrate,
        kinds.Transfer, kinds.UltraViolet, kinds.Warm, kinds.WaterChange,
    )
}  # fmt: skip
"""Every kind of action by its name."""


def encode_course(course: Course, labels: Mapping[str, LabelEntry]) -> dict[str, JsonValue]:
    """Return a course and the containers it was worked out for as JSON data."""
    return {
        "version": VERSION,
        "name": course.name,
        "days": course.days,
        "actions": [encode_action(action) for action in course.actions],
        "labels": [_plain(asdict(label)) for label in labels.values()],
    }


def decode_course(data: Mapping[str, Any]) -> tuple[Course, dict[str, LabelEntry]]:
    """Return the course and the containers that a case kept.

    Raises:
        BadInput: E-COURSE-02 the schedule was not written by this program.
    """
    try:
        if data["version"] != VERSION:
            raise ValueError(f"version {data['version']}")
        steps = tuple(decode_action(item) for item in data["actions"])
        course = Course(str(data["name"]), int(data["days"]), steps)
        labels = [_label(item) for item in data.get("labels", [])]
    except (KeyError, TypeError, ValueError) as fault:
        raise BadInput(
            "E-COURSE-02",
            "The schedule kept in this case cannot be read.",
            given=str(fault),
            needed=f"a schedule of version {VERSION}, as the plan command writes it",
            next_step="Choose the course again with the plan command.",
            field="course",
        ) from fault
    return course, {label.agent: label for label in labels}


def encode_action(action: Action) -> dict[str, JsonValue]:
    """Return one action as JSON data with its kind."""
    # Every action is a dataclass, which a protocol cannot say.
    names = [field.name for field in fields(action)]  # type: ignore[arg-type]
    values = {name: getattr(action, name) for name in names}
    written = {name: _plain(value) for name, value in values.items() if value is not None}
    return {"kind": action.kind, **written}


def decode_action(data: Mapping[str, Any]) -> Action:
    """Return one action from its JSON data."""
    values = dict(data)
    kind = KINDS[values.pop("kind")]
    for name in ("names", "but_not"):
        if name in values:
            values[name] = tuple(values[name])
    if "new_water" in values:
        values["new_water"] = NewWater(**values["new_water"])
    action: Action = kind(**values)
    return action


def _label(data: Mapping[str, Any]) -> LabelEntry:
    values = dict(data)
    for name in ("strength", "active_per_form", "density_g_ml"):
        values[name] = None if values.get(name) is None else Decimal(values[name])
    values["basis"] = StrengthBasis(values["basis"])
    for name in ("tool", "stock_tool"):
        tool = values.get(name)
        values[name] = None if tool is None else Tool(ToolUnit(tool["unit"]), Decimal(tool["step"]))
    for name in ("ready", "not_ready"):
        values[name] = tuple(values.get(name, ()))
    return LabelEntry(**values)


def _plain(value: Any) -> Any:  # noqa: ANN401 (any field of any action)
    """Turn dataclasses, decimals, tuples and enums into JSON data."""
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, NewWater):
        return {name: item for name, item in asdict(value).items() if item is not None}
    if isinstance(value, Mapping):
        return {str(name): _plain(item) for name, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return value
