"""Published experiments under frozen set-ups: what must stay inside, and expected failures."""

from __future__ import annotations

from typing import Any

import pytest
from tests.lifecycle.experiments_run import judge, setups

MUST = [e for e in setups() if e.get("must_stay_inside")]
EXPECTED_TO_FAIL = [e for e in setups() if "expected_failure" in e]


@pytest.mark.slow
@pytest.mark.parametrize("experiment", MUST, ids=lambda e: e["id"])
def test_stays_inside(experiment: dict[str, Any]) -> None:
    verdict = judge(experiment)
    assert verdict.word == "passed", verdict


@pytest.mark.slow
@pytest.mark.parametrize("experiment", EXPECTED_TO_FAIL, ids=lambda e: e["id"])
def test_expected_failure_still_fails(experiment: dict[str, Any]) -> None:
    verdict = judge(experiment)
    assert verdict.word != "passed", (verdict, "no longer fails: say so on the trust page")
