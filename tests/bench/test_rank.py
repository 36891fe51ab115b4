from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from tankside.bench.rank_scores import Share, score
from tankside.bench.vignettes import read_vignettes
from tankside.diagnose import NONE, rank
from tankside.errors import BadInput
from tankside.services.differential import tables

CASES = {
    "vignettes": [
        {"id": "A", "confirmed": ["ICH"], "findings": {"m_big_ciliate": "crescent_nucleus"}},
        {"id": "B", "confirmed": [], "findings": {"spots_visible": "no", "flashing": "none"}},
        {
            "id": "C",
            "confirmed": ["LERNAEA", "EPISTYLIS"],
            "findings": {"visible_parasite": "thread_anchored"},
            "soft_findings": {"m_stalked_colony": ["few", "many"]},
        },
        {"id": "D", "confirmed": ["KHV"], "findings": {"m_disc_ring": "many"}},
    ]
}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "cases.json"
    path.write_text(json.dumps(CASES), encoding="utf-8")
    return path


def test_scores_are_what_counting_by_hand_gives(file: Path) -> None:
    compiled = tables()
    cases = read_vignettes(file, compiled.facts)
    scores = score(compiled, cases, lambda case: case.evidence)
    firsts = [rank(compiled, case.evidence).order()[0] for case in cases]
    assert firsts == ["ICH", NONE, "LERNAEA", "TRICHO"]
    assert scores.top1 == Share(3, 4)
    assert [m[0] for m in scores.misses] == ["D"]
    chances = [
        [rank(compiled, case.evidence).of(name) for name in case.confirmed] for case in cases
    ]
    expected = sum(sum(map(math.log, of_case)) / len(of_case) for of_case in chances) / 4
    assert scores.log_score == pytest.approx(expected)


def test_gross_signs_leave_tests_and_microscopy_out(file: Path) -> None:
    compiled = tables()
    cases = read_vignettes(file, compiled.facts)
    assert cases[0].gross(compiled.facts).answers == {}
    assert set(cases[2].gross(compiled.facts).answers) == {"visible_parasite"}


def test_wilson_interval_as_published() -> None:
    """Newcombe 1998, Stat Med 17:857, table I, method 3: 15 of 148 gives 0.0624 to 0.1605.

    Two of the four printed examples of the paper, as recalled; digits as printed.
    """
    low, high = Share(15, 148).interval
    assert (round(low, 4), round(high, 4)) == (0.0624, 0.1605)
    low, high = Share(81, 263).interval
    assert (round(low, 4), round(high, 4)) == (0.2553, 0.3662)


@pytest.mark.parametrize(
    ("change", "needed"),
    [
        ({"confirmed": ["WHITE_SPOT"]}, "condition"),
        ({"findings": {"colour_of_the_cat": "black"}}, "finding"),
        ({"confirmed": "ICH"}, "list"),
    ],
)
def test_a_case_of_another_shape_is_refused(
    tmp_path: Path, change: dict[str, Any], needed: str
) -> None:
    path = tmp_path / "bad.json"
    path.write_text(json.dumps({"vignettes": [{**CASES["vignettes"][0], **change}]}))
    with pytest.raises(BadInput) as refused:
        read_vignettes(path, tables().facts)
    assert needed in refused.value.needed
