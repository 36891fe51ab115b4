"""What long answers rest on is fetched ahead; what is missing is said by the answer, not here."""

from __future__ import annotations

import sys

import pytest

from tankside import library
from tankside.errors import NotPossible
from tankside.services import at_hand


def test_the_services_are_imported_and_the_knowledge_is_read_once() -> None:
    at_hand.have_at_hand()
    assert {"tankside.services.plan", "numba", "scipy.special"} <= set(sys.modules)
    assert library.load() is library.load()


def test_what_is_missing_stops_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused() -> None:
        raise NotPossible("E-PLAN-02", "No fish.", given="none", needed="fish",
                          next_step="Say who lives there.", field="stock")  # fmt: skip

    def absent() -> None:
        raise ImportError("numba")

    for missing in (refused, absent):
        monkeypatch.setattr(at_hand, "prepare", missing)
        at_hand.have_at_hand()
