"""``tankside knowledge``: words for people, one object for machines, honest exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from tankside.cli.knowledge import app
from tankside.errors import BadInput

runner = CliRunner()


def told(*words: str) -> dict[str, Any]:
    run = runner.invoke(app, [*words, "--json"])
    assert run.exit_code == 0, run.output
    answer: dict[str, Any] = json.loads(run.stdout)
    return answer


def test_show_tells_value_basis_source_and_provenance() -> None:
    run = runner.invoke(app, ["show", "agent.copper_sulphate.hard_max.bath"])
    assert "2.5 mg/L" in run.stdout
    assert "as CuSO4.5H2O" in run.stdout
    assert "uf_ifas_fa008" in run.stdout
    assert "FA008" in run.stdout


def test_show_takes_a_whole_subject_and_a_source() -> None:
    keys = {claim["key"] for claim in told("show", "agent.formalin")["claims"]}
    assert "agent.formalin.people.ppe" in keys
    work = told("show", "thomas_2016")
    assert work["source"]["doi"] == "10.7717/peerj.1857"
    assert "agent.praziquantel.dose.prolonged" in work["cited_by"]


def test_rivals_names_default_and_why() -> None:
    answer = told("rivals", "agent.copper_sulphate.needs.alkalinity_min")
    assert answer["default"]["value"] == 50
    assert [other["value"] for other in answer["others"]] == [40]
    assert answer["why"]


def test_sources_summary_counts_by_provenance_and_confidence() -> None:
    counts = told("sources", "--summary")
    assert sum(counts["by_provenance"].values()) == counts["claims"]
    assert set(counts["by_confidence"]) == {"high", "medium", "low"}


def test_an_unknown_key_names_the_nearest() -> None:
    run = runner.invoke(app, ["show", "agent.formalin.dose.bth"])
    assert isinstance(run.exception, BadInput)
    assert run.exception.code == "E-KNOW-02"
    assert "agent.formalin.dose.bath" in run.exception.next_step


def test_lint_of_a_faulty_folder_exits_two_and_lists_the_faults(tmp_path: Path) -> None:
    (tmp_path / "hosts").mkdir()
    (tmp_path / "hosts" / "a_b.toml").write_text("[host]\nid = 'a_c'\n", encoding="utf-8")
    run = runner.invoke(app, ["lint", "--folder", str(tmp_path), "--json"])
    assert run.exit_code == 2
    answer = json.loads(run.stdout)
    assert answer["ok"] is False
    assert {"file", "key", "message", "repair", "check"} <= set(answer["problems"][0])


@pytest.mark.parametrize("word", ["lint", "show", "rivals", "sources"])
def test_every_command_has_help_and_json(word: str) -> None:
    run = runner.invoke(app, [word, "--help"])
    assert run.exit_code == 0
    assert "--json" in run.stdout
