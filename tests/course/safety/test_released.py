"""Amounts say so when the knowledge behind them is not as it was released."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside.course import Course, Level, run
from tankside.course.actions import Dose

from .test_choice import LIBRARY, tank


def reasons(*altered: str) -> list[str]:
    facts = replace(LIBRARY, altered=frozenset(altered))
    made = run([tank()], [], Course("one", 1, (Dose(0, "main", "formalin", 15.0),)), facts, {})
    cautions = [caution for caution in made.safety if caution.code == "S-BASE"]
    assert {caution.level for caution in cautions} <= {Level.CARE}
    return [caution.why for caution in cautions]


@pytest.mark.parametrize("file", ["agents/formalin.toml", "practice/course.toml"])
def test_a_changed_file_behind_an_amount_is_named(file: str) -> None:
    (why,) = reasons(file)
    assert file in why


def test_all_changed_files_behind_an_amount_are_named_in_order() -> None:
    files = ("hosts/carp.toml", "water/ammonia.toml", "agents/formalin.toml", "agents/x.toml")
    facts = replace(LIBRARY, altered=frozenset(files))
    made = run([tank()], [], Course("one", 1, (Dose(0, "main", "formalin", 15.0),)), facts, {})
    (base_caution,) = [caution for caution in made.safety if caution.code == "S-BASE"]
    assert (base_caution.agent, base_caution.body, base_caution.hour, base_caution.claim_key) == (
        "formalin",
        "",
        None,
        "",
    )
    assert base_caution.words == "What is known of formalin is not as it was released."
    assert base_caution.why == (
        "Changed on this machine: agents/formalin.toml, hosts/carp.toml, water/ammonia.toml."
    )


def test_a_changed_file_that_no_amount_rests_on_is_left_alone() -> None:
    assert reasons("agents/praziquantel.toml", "conditions/d02.toml") == []
