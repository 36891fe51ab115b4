"""What a page says of a save: the entries as read, what is not taken as it stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.report.saved_reply import saved_reply
from tankside.services.cases import Opening, add_words, new_case


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-18T18:30+00:00")
    path = tmp_path / "kiln-lane.jsonl"
    new_case(path, Opening("Kiln Lane", "H. Marlow", "fresh", "Europe/London"), by="test")
    return path


def test_every_entry_of_one_save_is_named(case: Path) -> None:
    added = add_words(case, "finding", ("flashing=frequent", "breathing=fast"), by="test")
    reply = saved_reply(case, added.new[0].id)
    assert reply is not None
    assert [line.split("finding: ")[1] for line in reply.lines] == [
        "flashing: frequent",
        "breathing: fast",
    ]


def test_an_empty_slide_of_a_dead_fish_is_said_to_be_no_evidence(case: Path) -> None:
    words = ("skin-scrape", "alive=no", "time-dead=6 h", "m_big_ciliate=none")
    reply = saved_reply(case, add_words(case, "wet-mount", words, by="test").new[0].id)
    assert reply is not None
    assert any("Take a live fish" in note for note in reply.notes), reply.notes


@pytest.mark.parametrize("number", [0, 3, 99])
def test_no_entry_of_that_number_is_no_reply(case: Path, number: int) -> None:
    assert saved_reply(case, number) is None
