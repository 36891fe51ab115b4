"""A comparison is written once: terminal, page and paper say the same, and change together."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.report.plan_answers_shown import (
    FILE,
    PRESENT,
    command,
    compared_with,
    page,
    paper,
    sentences,
    squeezed,
    type_case,
)

from tankside.intake import plan_setup
from tankside.plan import Candidate, Levers, RaceRules, Situation, Sizes, propose
from tankside.report import page_plans, plan_text
from tankside.report.plan_cards import BEATEN, BEATEN_WORDS
from tankside.report.ways import without_commands
from tankside.services import plan as plan_service
from tankside.services.plan import PlanAnswer

CHANGED = "A sentence that stood nowhere before."
KINDS = ("water only", "no treatment", "sodium_chloride", "malachite_green")
SMALL = Sizes(RaceRules(4, 1, 4), final=16, ablated=1)


def few(situation: Situation, levers: Levers) -> tuple[Candidate, ...]:
    """Return the first course of each kind alone, so that a comparison takes a moment."""
    first: dict[str, Candidate] = {}
    for candidate in propose(situation, levers):
        first.setdefault(candidate.kind, candidate)
    return tuple(first[kind] for kind in KINDS)


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plans")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        type_case(folder / FILE)
    return folder


@pytest.fixture
def folder(typed: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    monkeypatch.setattr(plan_setup, "propose", few)
    monkeypatch.setattr(plan_service, "compare", compared_with(SMALL))
    return typed


def forms(folder: Path, target: Path) -> dict[str, str]:
    text = command("plan", str(folder / FILE), "--pdf", str(target))
    return {"terminal": text, "page": page(folder, "plans"), "paper": paper(target)}


def test_changed_sentences_change_in_all_three_forms(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed = {name: f"{CHANGED} {name}" for name in ("HOW", "LOST", "RUNS", "NOT_SIMULATED")}
    former = {name: getattr(plan_text, name) for name in changed}
    for name, sentence in changed.items():
        monkeypatch.setattr(plan_text, name, sentence)
    monkeypatch.setattr(plan_text, "lost_words", lambda reached: "lost beyond counting")
    for form, text in forms(folder, tmp_path / "p.pdf").items():
        for name, sentence in changed.items():
            assert squeezed(sentence) in squeezed(text), (form, name)
            assert squeezed(former[name]) not in squeezed(text), (form, name)
        assert squeezed("lost beyond counting") in squeezed(text), form


def test_every_sentence_stands_in_all_three_forms(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []
    ids: list[str] = []  # a terminal takes them; on the page a card is tapped

    def kept(answer: PlanAnswer) -> object:
        made.append(plan_text.plan_document(answer))
        ids.extend(f"{number}. {name}" for number, name in enumerate(answer.course_ids, 1))
        return made[-1]

    monkeypatch.setattr(page_plans, "plan_document", kept)
    shown = {form: squeezed(text) for form, text in forms(folder, tmp_path / "p.pdf").items()}
    document = made[-1]
    titles = [block.title for block in document.blocks]
    assert {"Side by side", "Clear in the end", "Not offered, with the reason"} <= set(titles)
    for sentence in filter(None, sentences(document)):
        for form, text in shown.items():
            if form == "page":
                if sentence.endswith(BEATEN):  # a card says in words what the table marks
                    assert squeezed(BEATEN_WORDS) in text, form
                    sentence = sentence.removesuffix(BEATEN).rstrip()
                if sentence not in (document.title, *ids):  # the page names the case above
                    assert squeezed(without_commands(sentence)) in text, (form, sentence)
                assert "tankside plan" not in text
            else:
                assert squeezed(sentence) in text, (form, sentence)
