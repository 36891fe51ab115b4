"""Conditions typed as they are printed, in any case and nearly so; a suspicion stays one."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count

import pytest
from tests.scenarios.conftest import Ran, Typing

NUMBER = count()
OPENING = ["--name", "Reed Lane", "--keeper", "P. Orrin", "--zone", "Europe/London",
           "--opened", "2026-10-31T09:00", "--water", "marine"]  # fmt: skip
Case = Callable[..., Ran]


@pytest.fixture
def entered(typed: Typing, run: Callable[..., Ran]) -> Case:
    """Return what types one entry of a diagnosis into a new case."""

    def added(*words: str) -> Ran:
        return run("case", "add", str(typed(f"named{next(NUMBER)}", [OPENING], [])), *words)

    return added


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("marine velvet", "MVELVET"),
        ("Marine Velvet", "MVELVET"),
        ("marine velvett", "MVELVET"),
        ("Amyloodinium ocellatum", "MVELVET"),
        ("marine-white-spot", "CRYPTO"),
        ("Chilodonella", "CHILO"),
        ("chilodonela", "CHILO"),
        ("ich", "ich"),
    ],
)
def test_a_condition_is_known_by_its_printed_name(entered: Case, name: str, short: str) -> None:
    """The name "marine velvet" was refused as no short id (E-PATH-01)."""
    ran = entered("confirmed", f"condition={name}", "shown-by=scrape", "--json")
    assert ran.answer["added"][0]["condition"] == short


def test_a_name_of_several_conditions_is_asked_about(entered: Case) -> None:
    refused = entered("confirmed", "condition=velvet", "shown-by=scrape", "--json").error
    assert (refused["code"], refused["field"]) == ("E-WORD-02", "condition")
    assert "MVELVET (Marine velvet" in refused["needed"]
    assert "FWVELVET" in refused["needed"]


def test_a_condition_that_is_not_on_file_is_kept_and_said_to_be(entered: Case) -> None:
    ran = entered("suspected", "condition=blue wobble", "shown-by=looks", "--json")
    assert ran.answer["added"][0]["condition"] == "blue_wobble"
    assert "no condition on file" in str(ran.answer["notes"])


def test_a_suspicion_is_called_a_suspicion(entered: Case) -> None:
    """It was logged as "diagnosis confirmed: MVELVET suspected"."""
    said = entered("suspected", "condition=marine velvet", "shown-by=dust").out
    assert "diagnosis: MVELVET suspected" in said
    assert "confirmed" not in said
