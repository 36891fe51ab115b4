"""Entries sorted by their kind once, so that a long case is not gone through for each kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar, cast

from tankside.case.entry import Fact

F = TypeVar("F")


@dataclass(frozen=True, slots=True)
class EntriesByKind:
    """Entries by the model of their kind, each kind in the order they came."""

    by_model: Mapping[type, tuple[Fact, ...]]

    def of(self, model: type[F]) -> tuple[F, ...]:
        """Return the entries of one kind."""
        return cast("tuple[F, ...]", self.by_model.get(model, ()))


def by_kind(entries: Iterable[Fact]) -> EntriesByKind:
    """Sort entries by their kind."""
    sorted_out: dict[type, list[Fact]] = {}
    for entry in entries:
        sorted_out.setdefault(type(entry), []).append(entry)
    return EntriesByKind({model: tuple(each) for model, each in sorted_out.items()})
