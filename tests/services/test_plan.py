"""A course is chosen whole, with what it rests on, or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from pathlib import Path

import pytest
from tests.report.plan_answers_shown import FILE, PRESENT, type_case
from tests.report.test_plan_forms import compared_small, few

from tankside.case.done import CourseChosen
from tankside.course import Course
from tankside.errors import BadInput, NotPossible
from tankside.intake.claim_snapshot import KEY
from tankside.intake.course_codec import decode_course
from tankside.intake.plan_setup import PlanRequest
from tankside.records.case_file import read_case
from tankside.services import plan as service
from tankside.services.plan import PlanAnswer, choose_course, plan, unlabelled

WITH_SALT = PlanRequest(labels=("salt=pure",), scale="1 g", seed=7)


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, PlanAnswer]]:
    """Compare a few courses without a label and with one."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        patch.setattr(service, "propose", few)
        patch.setattr(service, "compare", compared_small)
        file = tmp_path_factory.mktemp("plan") / FILE
        type_case(file)
        yield {"bare": plan(file, PlanRequest()), "labelled": plan(file, WITH_SALT)}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    type_case(tmp_path / FILE)
    return tmp_path / FILE


def salted(answer: PlanAnswer) -> int:
    """Return the number of the course that rests on salt."""
    kinds = [compared.candidate.kind for compared in answer.courses]
    return kinds.index("sodium_chloride") + 1


def test_the_answer_holds_what_it_was_asked_with_and_the_date_to_wait_for(
    answers: dict[str, PlanAnswer],
) -> None:
    """Spots were seen on day 0, the day of the case."""
    answer = answers["labelled"]
    assert answer.seed == 7
    assert set(answer.labels) == {"sodium_chloride"}
    assert answer.day.isoformat() == "2026-03-18"
    assert answer.not_before.last_seen == 0
    assert answer.not_before.day == ceil(answer.stage_durations.cycle[2])


def test_an_agent_without_a_label_is_named_and_one_with_a_label_is_not(
    answers: dict[str, PlanAnswer],
) -> None:
    for name, agents in (("bare", ("sodium_chloride",)), ("labelled", ())):
        answer = answers[name]
        assert unlabelled(answer.courses[salted(answer) - 1].run) == agents
        assert unlabelled(answer.courses[0].run) == ()


def test_a_chosen_course_is_kept_whole_with_its_containers_and_claims(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    answer = answers["labelled"]
    number = salted(answer)
    added = choose_course(file, answer, number, by="tester", reason="the keeper has salt")
    (entry,) = added.new
    assert isinstance(entry, CourseChosen)
    kept, labels = decode_course(entry.course)
    chosen = answer.courses[number - 1].candidate.course()
    assert (kept.name, kept.days, kept.actions) == (chosen.name, chosen.days, chosen.actions)
    assert isinstance(kept, Course)
    assert labels == answer.labels
    assert (entry.seed, entry.reason, entry.by) == (7, "the keeper has salt", "tester")
    assert entry.starts_at == answer.case.zero.text
    snapshot = entry.course[KEY]
    assert isinstance(snapshot, dict)
    assert "agent.sodium_chloride.hard_max.prolonged" in snapshot
    assert read_case(file).view().course == entry


def test_a_course_chosen_without_a_reason_says_that_it_was_chosen(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    added = choose_course(file, answers["bare"], 1, by="tester", reason="")
    (entry,) = added.new
    assert isinstance(entry, CourseChosen)
    assert entry.reason == "chosen from the comparison"


@pytest.mark.parametrize("number", [0, -1, 99])
def test_a_number_that_no_course_has_saves_nothing(
    answers: dict[str, PlanAnswer], file: Path, number: int
) -> None:
    before = file.read_bytes()
    with pytest.raises(BadInput) as refused:
        choose_course(file, answers["labelled"], number, by="tester", reason="")
    assert (refused.value.code, refused.value.given) == ("E-PLAN-04", str(number))
    assert file.read_bytes() == before


def test_a_course_whose_amounts_nobody_could_work_out_saves_nothing(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    before, answer = file.read_bytes(), answers["bare"]
    with pytest.raises(NotPossible) as refused:
        choose_course(file, answer, salted(answer), by="tester", reason="")
    assert refused.value.code == "E-PLAN-05"
    assert '--label "sodium_chloride=pure"' in refused.value.needed
    assert file.read_bytes() == before
