"""What a case is treated for: the surest and latest word, by when it was seen, not when typed."""

from __future__ import annotations

from typing import Any

import pytest

from tankside import library
from tankside.case import CaseView, entry_from, fold
from tankside.intake.assemble import organism_named
from tankside.intake.cause_treated import causes_treated

OPENED = {"kind": "opened", "name": "Weir", "keeper": "Nora", "water": "fresh", "zone": "Etc/UTC"}


def case(*said: tuple[str, str, int]) -> CaseView:
    """Return a case with these words on conditions: condition, state, day of May."""
    typed: list[dict[str, Any]] = [OPENED | {"occurred_at": "2026-05-01T08:00:00Z"}]
    for condition, state, day in said:
        at = f"2026-05-{day:02}T10:00:00Z"
        words = {"condition": condition, "state": state, "shown_by": "skin scrape"}
        typed.append({**words, "kind": "diagnosis_confirmed", "occurred_at": at})
    stamp = {"recorded_at": "2026-05-30T10:00:00Z", "by": "t"}
    return fold(entry_from(entry | stamp | {"id": n}) for n, entry in enumerate(typed, 1))


def treated(view: CaseView) -> tuple[str, str]:
    """Return the first cause treated, and the parasite a forecast is about."""
    facts = library.load()
    return causes_treated(view, facts)[0].cause, organism_named(view, facts, None, None).id


ICH = ("ICH", "ichthyophthirius_multifiliis")
VELVET = ("FWVELVET", "piscinoodinium_pillulare")
OUT_AFTER_ALL = (("FWVELVET", "ruled_out", 6), ("FWVELVET", "confirmed", 4))


@pytest.mark.parametrize(
    ("said", "first"),
    [
        ((("ICH", "suspected", 2), ("FWVELVET", "suspected", 4)), VELVET),
        ((("FWVELVET", "suspected", 4), ("ICH", "suspected", 2)), VELVET),
        ((("ICH", "suspected", 5), ("FWVELVET", "suspected", 4)), ICH),
        ((("ICH", "confirmed", 2), ("FWVELVET", "suspected", 4)), ICH),
        ((("FWVELVET", "suspected", 4), ("ICH", "confirmed", 2)), ICH),
        ((*OUT_AFTER_ALL, ("ICH", "suspected", 2)), ICH),
        ((("ICH", "suspected", 2), ("FWVELVET", "suspected", 4), ("ICH", "suspected", 6)), ICH),
    ],
)
def test_what_was_seen_last_and_surest_is_treated_whatever_was_typed_first(
    said: tuple[tuple[str, str, int], ...], first: tuple[str, str]
) -> None:
    assert treated(case(*said)) == first
