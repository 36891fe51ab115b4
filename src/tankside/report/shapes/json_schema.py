"""JSON Schema of a declared answer, made from its types."""

from __future__ import annotations

import types
from collections.abc import Mapping
from typing import Annotated, Any, NotRequired, Union, get_args, get_origin, get_type_hints
from typing import is_typeddict as is_shape

DIALECT = "https://json-schema.org/draft/2020-12/schema"
Schema = dict[str, Any]
PLAIN: Mapping[object, str] = types.MappingProxyType(
    {str: "string", int: "integer", float: "number", bool: "boolean", type(None): "null"}
)


def schema_of(kind: Any, *, refs: str, parts: dict[str, Schema], closed: bool = False) -> Schema:  # noqa: ANN401 (any type hint)
    """Return the schema of a type; declared shapes go into ``parts`` and are referred to.

    Args:
        kind: a type hint made of shapes, lists, mappings, unions and plain JSON types.
        refs: what the address of a part begins with.
        parts: takes each shape by its name.
        closed: whether a key that is not declared makes an object invalid.

    Raises:
        TypeError: a type that no answer may hold.
    """
    if kind in PLAIN:
        return {"type": PLAIN[kind]}
    if kind is object:
        return {}
    if is_shape(kind):
        return _reference(kind, refs, parts, closed)
    origin, inner = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return schema_of(inner[0], refs=refs, parts=parts, closed=closed) | {
            "description": inner[1]
        }
    deeper = [schema_of(each, refs=refs, parts=parts, closed=closed) for each in inner]
    if origin is list:
        return {"type": "array", "items": deeper[0]}
    if origin is dict and inner[0] is str:
        return {"type": "object", "additionalProperties": deeper[1]}
    if origin in (types.UnionType, Union):
        return {"anyOf": deeper}
    raise TypeError(f"no answer may hold {kind!r}")


def _reference(shape: Any, refs: str, parts: dict[str, Schema], closed: bool) -> Schema:  # noqa: ANN401 (a TypedDict has no type)
    name = shape.__name__
    if name not in parts:
        parts[name] = {}
        parts[name] = _object(shape, refs, parts, closed)
    return {"$ref": f"{refs}{name}"}


def _object(shape: Any, refs: str, parts: dict[str, Schema], closed: bool) -> Schema:  # noqa: ANN401 (a TypedDict has no type)
    hints = get_type_hints(shape, include_extras=True)
    properties, required = {}, []
    for key, hint in hints.items():
        if get_origin(hint) is NotRequired:
            (hint,) = get_args(hint)
        else:
            required.append(key)
        properties[key] = schema_of(hint, refs=refs, parts=parts, closed=closed)
    described = {"description": shape.__doc__} if shape.__doc__ else {}
    return {
        "type": "object", **described, "properties": properties, "required": required,
        **({"additionalProperties": False} if closed else {}),
    }  # fmt: skip


def answer_schema(name: str, shape: type, version: int, *, closed: bool = False) -> Schema:
    """Return the whole schema of an answer.

    Args:
        name: of the answer.
        shape: its declaration.
        version: of the answer.
        closed: whether a key that is not declared makes the answer invalid; what is published is
            open, since keys may be added within a version.
    """
    parts: dict[str, Schema] = {}
    top = schema_of(shape, refs="#/$defs/", parts=parts, closed=closed)
    return {
        "$schema": DIALECT,
        "title": f"{name}, version {version}",
        **top,
        "$defs": parts,
    }
