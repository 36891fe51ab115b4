"""A course is chosen whole, with what it rests on, or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from pathlib import Path

import pytest
from tests.report.plan_answers_shown import FILE, PRESENT, compared_with, type_case
from tests.report.test_plan_forms import SMALL, few

from tankside.case.done import CourseChosen
from tankside.course import Course
from tankside.errors import BadInput, CouldNotSave, NotPossible
from tankside.intake import plan_setup
from tankside.intake.claim_snapshot import KEY
from tankside.intake.course_codec import decode_course
from tankside.intake.plan_setup import PlanRequest
from tankside.records.case_file import read_case
from tankside.records.journal.place import data_folder
from tankside.services import plan as service
from tankside.services.cases import add_words
from tankside.services.comparison import choose_course, short_names
from tankside.services.plan import PlanAnswer, plan, unlabelled

WITH_SALT = PlanRequest(labels=("salt=pure",), scale="1 g", seed=7)


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, PlanAnswer]]:
    """Compare a few courses without a label and with one."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        patch.setattr(plan_setup, "propose", few)
        patch.setattr(service, "compare", compared_with(SMALL))
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
    added = choose_course(
        file, answer.course_ids[number - 1], by="tester", reason="the keeper has salt"
    )
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
    added = choose_course(file, answers["bare"].course_ids[0], by="tester", reason="")
    (entry,) = added.new
    assert isinstance(entry, CourseChosen)
    assert entry.reason == "chosen from the comparison"


@pytest.mark.parametrize(
    "name", ["", "3", "0", "none", "../../x.water-only", "0123456789.water-only"]
)
def test_a_name_that_no_course_has_saves_nothing(
    answers: dict[str, PlanAnswer], file: Path, name: str
) -> None:
    before = file.read_bytes()
    with pytest.raises(BadInput) as refused:
        choose_course(file, name, by="tester", reason="")
    assert (refused.value.code, refused.value.given) == ("E-PLAN-04", name)
    assert answers["labelled"].course_ids[0] in refused.value.needed
    assert file.read_bytes() == before


def test_a_short_name_will_do_unless_several_comparisons_of_this_case_offer_it(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    short = answers["bare"].kept.courses[0].short
    with pytest.raises(BadInput) as refused:
        choose_course(file, short, by="tester", reason="")
    assert refused.value.code == "E-PLAN-04"
    for name in ("bare", "labelled"):
        assert answers[name].course_ids[0] in refused.value.needed


def test_the_entry_holds_what_was_shown_and_nothing_is_searched(
    answers: dict[str, PlanAnswer], file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(plan_setup, "propose")
    for step in ("compare", "to_compare"):
        monkeypatch.delattr(service, step)
    answer = answers["labelled"]
    (entry,) = choose_course(file, answer.course_ids[0], by="tester", reason="").new
    assert isinstance(entry, CourseChosen)
    assert entry.compared is not None
    assert entry.compared["id"] == answer.kept.id
    assert entry.compared["version"] == answer.kept.version == entry.id - 1
    shown = entry.compared["courses"]
    assert isinstance(shown, list)
    assert [c["clear_of_20"] for c in shown if isinstance(c, dict)] == [
        c.score.clear.number for c in answer.courses
    ]


def test_a_course_is_refused_when_the_case_has_moved_on(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    add_words(file, "in_water", ("agent=copper_sulphate", "amount=0.2 mg/L"), by="tester")
    before = file.read_bytes()
    for name in (answers["labelled"].course_ids[0], answers["labelled"].kept.courses[0].short):
        with pytest.raises(CouldNotSave) as refused:
            choose_course(file, name, by="tester", reason="")
        assert refused.value.code == "E-WEB-04"
        assert "agent in water" in refused.value.message
    assert file.read_bytes() == before


def test_a_course_of_another_case_is_refused(
    answers: dict[str, PlanAnswer], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-19T18:30+00:00")
    type_case(tmp_path / FILE)
    with pytest.raises(BadInput, match="E-PLAN-04") as refused:
        choose_course(tmp_path / FILE, answers["labelled"].course_ids[0], by="tester", reason="")
    assert "another case" in refused.value.message


def test_a_comparison_that_was_changed_on_disk_is_none(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    answer = answers["labelled"]
    (kept,) = (p for p in data_folder().rglob("*.json") if p.stem == answer.kept.id)
    data = kept.read_bytes()
    kept.write_bytes(data.replace(b"course_chosen", b"course_chosem"))
    try:
        with pytest.raises(BadInput, match="E-PLAN-04"):
            choose_course(file, answer.course_ids[0], by="tester", reason="")
    finally:
        kept.write_bytes(data)
    choose_course(file, answer.course_ids[0], by="tester", reason="")


def test_short_names_differ_and_end_with_a_word() -> None:
    names = ["water only", "Water only", "salt to 2 g/L in 2 steps, 40 L changed", "張", "x" * 40]
    assert short_names(names) == (
        "water-only", "water-only-2", "salt-to-2-g-l-in-2-steps", "張", "x" * 24,
    )  # fmt: skip


def test_a_course_whose_amounts_nobody_could_work_out_saves_nothing(
    answers: dict[str, PlanAnswer], file: Path
) -> None:
    before, answer = file.read_bytes(), answers["bare"]
    with pytest.raises(NotPossible) as refused:
        choose_course(file, answer.course_ids[salted(answer) - 1], by="tester", reason="")
    assert refused.value.code == "E-PLAN-05"
    assert '--label "sodium_chloride=pure"' in refused.value.needed
    assert file.read_bytes() == before
