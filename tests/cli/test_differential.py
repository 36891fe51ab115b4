from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.cli.conftest import Ran
from tests.shaped import is_shaped

FINDINGS = {
    "water_type": "freshwater",
    "spots_visible": "yes",
    "spot_form": "smooth_dome_in_skin",
    "breathing": ["fast", "gasping_surface"],
    "flashing": "frequent",
}
GOLDEN = Path(__file__).resolve().parents[1] / "golden"


@pytest.fixture
def findings(tmp_path: Path) -> str:
    path = tmp_path / "findings.json"
    path.write_text(json.dumps({"findings": FINDINGS}), encoding="utf-8")
    return str(path)


def test_json_has_the_documented_shape(tankside: Callable[..., Ran], findings: str) -> None:
    ran = tankside("differential", "--findings", findings, "--json")
    assert ran.code == 0
    answer = ran.answer
    first = answer["ranked"][0]
    assert first["condition"] == "ICH"
    assert {
        "condition", "name", "probability", "low", "high", "words", "for", "against", "unknown",
    } <= first.keys()  # fmt: skip
    assert first["low"] <= first["probability"] <= first["high"]
    assert {"pairs", "must_not_miss", "unexplained", "look_next"} <= answer.keys()
    assert {"finding", "minutes", "gain"} <= answer["look_next"][0].keys()
    assert answer["calibrated"] is False
    rows = {row["condition"]: row["probability"] for row in answer["ranked"]}
    assert rows["NONE"] == answer["nothing_wrong"]
    assert rows["NOT_IN_LIST"] == answer["not_in_list"]
    assert len(answer["must_not_miss"]) <= 2


def test_the_same_findings_in_another_order_give_the_same_answer(
    tankside: Callable[..., Ran], findings: str, tmp_path: Path
) -> None:
    turned = tmp_path / "turned.json"
    backwards = dict(reversed(list(FINDINGS.items())))
    turned.write_text(json.dumps({"findings": backwards}), encoding="utf-8")
    first_order = tankside("differential", "--findings", findings, "--json")
    second_order = tankside("differential", "--findings", str(turned), "--json")
    assert first_order.out == second_order.out


def test_text_shows_words_and_no_percentages_while_not_calibrated(
    tankside: Callable[..., Ran], findings: str
) -> None:
    text = tankside("differential", "--findings", findings).out
    assert "almost certain" in text or "very likely" in text
    assert "%" not in text
    for part in ("MUST NOT MISS", "against:", "Nothing wrong", "Not on the list", "Two causes"):
        assert part in text
    assert text.index("LOOK NEXT") < text.rindex("min")


def test_the_early_list_is_only_a_list(tankside: Callable[..., Ran], findings: str) -> None:
    ran = tankside("differential", "--findings", findings, "--early", "--json")
    assert list(ran.answer) == ["keep_in_mind"]
    assert "ICH" in ran.answer["keep_in_mind"]


@pytest.mark.parametrize(
    ("content", "code"),
    [
        ('{"findings": {"breathing": "wheezing"}}', "E-FIND-02"),
        ('{"findings": {"colour": "red"}}', "E-FIND-01"),
        ('{"findings": {"breathing": []}}', "E-FIND-02"),
        ('{"findings": {"breathing": 3}}', "E-FIND-02"),
        ('{"findings": {"breathing": "fast", "breathing": "normal"}}', "E-DUP-01"),
        ('{"signs": {}}', "E-FIND-03"),
        ("[]", "E-FIND-03"),
    ],
)
def test_a_bad_file_is_refused_with_its_code(
    tankside: Callable[..., Ran], tmp_path: Path, content: str, code: str
) -> None:
    path = tmp_path / "bad.json"
    path.write_text(content, encoding="utf-8")
    ran = tankside("differential", "--findings", str(path), "--json")
    assert ran.code == 2
    assert ran.error["code"] == code


def test_neither_case_nor_findings_is_refused(tankside: Callable[..., Ran]) -> None:
    ran = tankside("differential", "--json")
    assert ran.code == 2
    assert ran.error["code"] == "E-CLI-02"


def test_bench_rank_prints_the_documented_shape(tankside: Callable[..., Ran]) -> None:
    ran = tankside("bench", "rank", "--vignettes", str(GOLDEN / "vignettes_first.json"), "--json")
    assert ran.code == 0
    for part in ("all", "gross_only"):
        assert {"n", "top1", "top3_any", "top3_all", "log_score", "brier"} <= ran.answer[
            part
        ].keys()
    assert ran.answer["all"]["n"] == 12
    is_shaped(ran.answer, "rank-scores")
    assert ran.answer["all"]["top1"] == 1.0
