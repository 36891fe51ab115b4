"""The set-ups are whole, cite the library, and are as they were frozen before the first run."""

from __future__ import annotations

from typing import Any

import pytest
from tests.experiments.setups_read import NEEDED, Check, checks, frozen, hashes, record

ALL = checks()


def by_id(check: Check) -> str:
    return str(check["id"])


def claim_of(check: Check) -> dict[str, Any]:
    return next(c for c in record(check["experiment"])["claim"] if c["key"] == check["claim"])


def test_no_set_up_was_edited_since_it_was_frozen() -> None:
    assert hashes() == frozen(), "a set-up or pass rule was changed after its first run"


def test_ids_are_unique() -> None:
    assert len({by_id(c) for c in ALL}) == len(ALL)


def test_calibration_data_are_never_a_test() -> None:
    assert not [c["id"] for c in ALL if c["experiment"] == "ho_05"]
    assert not [c["id"] for c in ALL if c["source"] == "schlenk_1998"]


@pytest.mark.parametrize("check", ALL, ids=by_id)
def test_set_up_is_whole(check: Check) -> None:
    assert [field for field in NEEDED if field not in check] == []
    assert check["rule"] in ("points", "time", "factor", "event")
    assert check["role"] in ("mechanistic", "consistency", "variant")
    assert ("pass_at" in check) == (check["rule"] == "event")
    assert "litres" in check or "litres_per_fish" in check
    assert not ("must_stay_inside" in check and "expected_failure" in check)


@pytest.mark.parametrize("check", ALL, ids=by_id)
def test_published_value_and_source_are_those_of_the_library(check: Check) -> None:
    claim = claim_of(check)
    assert claim["source"] == check["source"]
    if "published_from" in check or check["experiment"] == "ho_15":
        return
    scale = 7 if claim.get("unit") == "wk" else 1
    if isinstance(claim.get("value"), int | float):
        # "all dead by day 10" and the like state a day or a number of doses, not the share
        assert claim["value"] in (check["published"], check["days"])
    elif "low" in claim and check["outcome"] != "free_percent":
        middle = (claim["low"] + claim["high"]) / 2
        assert check["published"] == pytest.approx(scale * middle)
