"""Claims and what is made of them as plain rows of JSON, and back, by the types they declare.

Nothing in the rows is run or looked up by name: what is built is fixed by the type asked for.
Claims are shared between subjects and stand once, in a list of their own.
"""

from __future__ import annotations

import dataclasses
import json
from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from enum import Enum
from types import MappingProxyType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from tankside.claims import Claim

Built = TypeVar("Built")
Change = Callable[[Any], Any]
_NOTHING: Mapping[str, Any] = MappingProxyType({})
_PLAIN = (str, float, int, bool, type(None))


def to_text(whole: object) -> str:
    """Return an object of declared types as JSON.

    Raises:
        TypeError: a type is declared that has no rows.
    """
    claims: dict[int, tuple[int, Claim]] = {}

    def place_of(claim: Claim) -> int:
        return claims.setdefault(id(claim), (len(claims), claim))[0]

    row = _Writer(place_of).change(type(whole))(whole)
    write = _Writer(place_of).fields(Claim)
    return json.dumps({"claims": [write(c) for _, c in claims.values()], "whole": row})


def from_text(text: str | bytes, kind: type[Built]) -> Built:
    """Return the object written by ``to_text``.

    Args:
        text: the JSON.
        kind: the type that was written.
    """
    rows = json.loads(text)
    build = _Reader([].__getitem__).fields(Claim)
    claims = [build(row) for row in rows["claims"]]
    whole: Built = _Reader(claims.__getitem__).change(kind)(rows["whole"])
    return whole


class _Rows(ABC):
    """What is done to a value of each declared type; None leaves it as it is."""

    def __init__(self, of_claim: Change) -> None:
        self.of_claim = of_claim

    @abstractmethod
    def fields(self, kind: Any) -> Change:  # noqa: ANN401 (types of types)
        """Between an object of declared fields and their row."""

    @abstractmethod
    def listed(self, change: Change | None) -> Change:
        """Between a tuple and a list."""

    @abstractmethod
    def together(self) -> Change:
        """Between a set of words and a list."""

    @abstractmethod
    def mapped(self, change: Change | None) -> Change:
        """Between a mapping by word and an object."""

    @abstractmethod
    def word(self, kind: type[Enum]) -> Change:
        """Between a member and its value."""

    def change(self, kind: Any) -> Change:  # noqa: ANN401 (types of types)
        return self.needed(kind) or (lambda value: value)

    def needed(self, kind: Any) -> Change | None:  # noqa: ANN401 (types of types)
        if kind is Claim:
            return self.of_claim
        if kind in _PLAIN:
            return None
        origin, parts = get_origin(kind), get_args(kind)
        if origin in (UnionType, Union):
            return self._either([part for part in parts if part is not type(None)])
        if origin is tuple and parts[1:] == (...,):
            return self.listed(self.needed(parts[0]))
        if origin is frozenset and parts == (str,):
            return self.together()
        if origin is Mapping and parts[0] is str:
            return self.mapped(self.needed(parts[1]))
        if isinstance(kind, type) and issubclass(kind, Enum):
            return self.word(kind)
        if dataclasses.is_dataclass(kind):
            return self.fields(kind)
        raise TypeError(f"{kind} has no rows")

    def _either(self, parts: list[Any]) -> Change | None:
        changes = [change for change in map(self.needed, parts) if change]
        if not changes:
            return None
        if len(parts) > 1:
            raise TypeError(f"{parts} are not told apart in rows")
        return lambda value: None if value is None else changes[0](value)

    def columns(self, kind: Any) -> tuple[list[str], list[tuple[int, Change]]]:  # noqa: ANN401
        """Return the names of the fields, and those whose values are changed."""
        hints = get_type_hints(kind)
        names = [field.name for field in dataclasses.fields(kind)]
        changes = [(at, self.needed(hints[name])) for at, name in enumerate(names)]
        return names, [(at, change) for at, change in changes if change]


class _Writer(_Rows):
    def fields(self, kind: Any) -> Change:  # noqa: ANN401 (types of types)
        names, changed = self.columns(kind)

        def write(value: Any) -> list[Any]:  # noqa: ANN401
            row = [getattr(value, name) for name in names]
            for at, change in changed:
                row[at] = change(row[at])
            return row

        return write

    def together(self) -> Change:
        return sorted

    def listed(self, change: Change | None) -> Change:
        return lambda items: [change(item) for item in items] if change else list(items)

    def mapped(self, change: Change | None) -> Change:
        return lambda pairs: {k: change(v) if change else v for k, v in pairs.items()}

    def word(self, kind: type[Enum]) -> Change:
        return lambda member: kind(member).value


class _Reader(_Rows):
    def fields(self, kind: Any) -> Change:  # noqa: ANN401 (types of types)
        _, changed = self.columns(kind)

        def read(row: list[Any]) -> Any:  # noqa: ANN401
            for at, change in changed:
                row[at] = change(row[at])
            return kind(*row)

        return read

    def together(self) -> Change:
        return frozenset

    def listed(self, change: Change | None) -> Change:
        return lambda items: tuple(map(change, items)) if change else tuple(items)

    def mapped(self, change: Change | None) -> Change:
        def read(pairs: dict[str, Any]) -> Mapping[str, Any]:
            if not pairs:
                return _NOTHING
            if change:
                pairs = dict(zip(pairs, map(change, pairs.values()), strict=True))
            return MappingProxyType(pairs)

        return read

    def word(self, kind: type[Enum]) -> Change:
        return {member.value: member for member in kind}.__getitem__
