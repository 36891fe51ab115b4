"""What fits is written once: terminal, page and paper say the same, and change together."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.report.plan_answers_shown import (
    FILE,
    PRESENT,
    command,
    page,
    paper,
    sentences,
    squeezed,
    type_case,
)

from tankside.present.blocks import Document, Words
from tankside.report import differential_text
from tankside.report.ways import without_commands
from tankside.services.cases import add_words
from tankside.services.differential_case import differential_of

CHANGED = "A sentence that stood nowhere before."
IDEA = "FWVELVET"


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("fits")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        type_case(folder / FILE)
        add_words(
            folder / FILE, "suspected", (f"condition={IDEA}", "shown-by=own first idea"), by="test"
        )
    return folder


@pytest.fixture
def folder(typed: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    return typed


def forms(folder: Path, target: Path) -> dict[str, str]:
    text = command("differential", str(folder / FILE), "--pdf", str(target))
    return {"terminal": text, "page": page(folder, "fits"), "paper": paper(target)}


@pytest.mark.parametrize("name", ["CAUTION", "NOT_CALIBRATED", "ORDER"])
def test_a_changed_sentence_changes_in_all_three_forms(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    former = getattr(differential_text, name)
    monkeypatch.setattr(differential_text, name, CHANGED)
    for form, text in forms(folder, tmp_path / "d.pdf").items():
        assert squeezed(CHANGED) in squeezed(text), form
        assert squeezed(former) not in squeezed(text), form


def test_a_changed_way_of_telling_a_reason_changes_in_all_three_forms(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(differential_text, "spoken", lambda facts, speaks: CHANGED)
    for form, text in forms(folder, tmp_path / "d.pdf").items():
        assert squeezed(f"for: {CHANGED}") in squeezed(text), form


def test_page_and_paper_say_every_sentence_and_the_terminal_all_but_what_is_folded(
    folder: Path, tmp_path: Path
) -> None:
    shown = {form: squeezed(text) for form, text in forms(folder, tmp_path / "d.pdf").items()}
    answer = differential_of(folder / FILE)
    document = differential_text.case_differential_document(answer)
    on_demand = document.blocks[-1]
    said = [sentence for sentence in sentences(document) if sentence]
    assert len(said) > 60
    for sentence in said:
        assert squeezed(sentence) in shown["paper"]
        if sentence != document.title:  # the page names the case in its strip
            assert squeezed(without_commands(sentence)) in shown["page"]
    assert on_demand.title == "What was looked at"
    assert squeezed(on_demand.title) not in shown["terminal"]
    rest = differential_text.differential_document(answer.differential, own_idea=IDEA)
    assert all(squeezed(s) in shown["terminal"] for s in sentences(rest))


def test_a_heading_and_its_sentence_stand_together_in_all_three_forms(
    folder: Path, tmp_path: Path
) -> None:
    """A strong word, its title and its lines are read as one: no line of capitals stands alone."""
    document = differential_text.case_differential_document(differential_of(folder / FILE))
    alone = [block for block in words_of(document) if not (block.title and block.lines)]
    assert [block.lines[0].partition(":")[0] for block in alone] == ["Your own first idea"]
    gasping = tmp_path / "gasping"
    gasping.mkdir()
    (gasping / FILE).write_bytes((folder / FILE).read_bytes())
    seen = ("nitrogen=dangerous", "mortality=mass", "breathing=gasping")
    add_words(gasping / FILE, "finding", seen, by="test")
    document = differential_text.case_differential_document(differential_of(gasping / FILE))
    (alarms,) = [block for block in words_of(document) if block.strong == "MUST NOT MISS"]
    for form, text in forms(gasping, tmp_path / "d.pdf").items():
        read = text.replace(f"{alarms.strong}:", alarms.strong)
        assert squeezed(" ".join((alarms.strong, alarms.title, alarms.lines[0]))) in squeezed(
            read
        ), form


def words_of(document: Document) -> list[Words]:
    words = [block for block in document.blocks if isinstance(block, Words)]
    assert len(words) == len(document.blocks)
    return words


def test_before_the_own_idea_the_page_folds_the_order_and_shows_it_whole_on_demand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    type_case(tmp_path / FILE)
    answer = differential_of(tmp_path / FILE).differential
    opened = differential_text.differential_document(answer)
    folded = differential_text.differential_document(answer, before_own_idea=True)
    titles = [block.title for block in words_of(folded) if not block.folded]
    assert not [title for title in titles if title.startswith("1. ")]
    (order,) = (block for block in words_of(folded) if block.folded)
    causes = [block for block in words_of(opened) if block.title[:2] in {f"{n}." for n in range(9)}]
    assert len(causes) == 8  # five listed ones, nothing wrong, stressed, not on the list
    for line, cause in zip(order.lines, causes, strict=False):
        assert line == f"{cause.title}. {'; '.join(cause.lines)}"
    shown = squeezed(page(tmp_path, "fits"))
    assert shown.index(squeezed("Keep in mind, in no order")) < shown.index(
        squeezed(differential_text.IDEA_FIRST)
    )
    assert squeezed(causes[0].lines[0]) in shown
