"""Each branch of the follow-up: no count, no course, stopped, a step missed, clean, does not fit.

Few histories are played: what is held here is which branch is taken, not how sure it is.
"""

from __future__ import annotations

import json
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from tests.services.salt_case import COUNT_HOUR, PRESENT, Row, salt_case

from tankside import lifecycle
from tankside.errors import NotPossible
from tankside.follow import Advice, Effort, sample_posterior, search
from tankside.intake.clock import VARIABLE
from tankside.intake.follow_setup import FollowRequest
from tankside.records.case_file import read_case
from tankside.services import follow as service
from tankside.services.follow import follow
from tankside.services.follow_answer import Belief, FollowAnswer, LatestCleanLook
from tankside.services.reschedule import write_redated

FEW = Effort(search=64, final=128)
SEED = 4
FEWER_ON_DAY_1: Row = ("count", "on=2026-05-05T20:00", "fish=worst platy", "group=platy",
                       "spots=12")  # fmt: skip
CLEAN_ON_DAY_2: Row = ("count", "on=2026-05-06T20:00", "fish=worst platy", "group=platy",
                       "spots=0")  # fmt: skip
MISSED: Row = ("not-done", "action=salt", "on=2026-05-05T18:00", "reason=away")


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(service, "search", partial(search, effort=FEW))
    monkeypatch.setattr(service, "sample_posterior", partial(sample_posterior, effort=FEW))


def ask(folder: Path, *rows: Row, on: str | None = None, **more: bool) -> FollowAnswer:
    return follow(salt_case(folder, *rows, **more), FollowRequest(on=on, seed=SEED))


def test_without_a_count_nothing_is_played_and_counting_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lifecycle, "prepare", lambda _: pytest.fail("played"))
    answer = ask(tmp_path, counts=False)
    assert answer.decided.advice is Advice.COUNT_FIRST
    assert answer.belief == Belief()
    assert (answer.unexpected, answer.examine, answer.clean_look) == ((), (), None)
    assert answer.not_before.day is None
    assert answer.next_check == date(2026, 5, 9)  # hour 128, the count the course plans


def test_without_a_course_the_next_look_is_two_days_on(tmp_path: Path) -> None:
    answer = ask(tmp_path, counts=False, course=False)
    assert answer.course_as_done is None
    assert not answer.steps_ahead
    assert answer.next_check == date(2026, 5, 6)  # practice.levers.count_every: 2 days


def test_a_count_on_the_first_day_dates_the_wait_and_believes_something(tmp_path: Path) -> None:
    answer = ask(tmp_path)
    # 14 spots on day 0, slow cycle at 24.0 C: 140/20.9 + 1.3 x 410/21/24 = 7.76 d, so day 8.
    assert (answer.day_number, answer.not_before.day) == (0, 8)
    assert answer.decided.advice is Advice.GO_ON
    belief = answer.belief
    assert belief.played == pytest.approx(FEW.final, abs=1)
    assert belief.posterior is not None
    assert belief.posterior.on_fish.low > 0
    assert belief.clear_now is not None
    assert belief.clear_now.share < 0.5
    assert answer.steps_ahead


def test_going_on_is_told_from_stopping_by_the_steps_ahead(tmp_path: Path) -> None:
    answer = ask(tmp_path, FEWER_ON_DAY_1)
    going, stopped = answer.belief.returns_going_on, answer.belief.returns_if_stopped
    assert going is not None
    assert stopped is not None
    assert going.share < stopped.share


def test_after_a_stop_there_is_nothing_ahead_and_both_ways_are_one(tmp_path: Path) -> None:
    answer = ask(tmp_path, ("decision", "stop", "on=2026-05-05T19:00", "reason=calm"),
                 FEWER_ON_DAY_1)  # fmt: skip
    assert not answer.steps_ahead
    assert answer.belief.returns_going_on == answer.belief.returns_if_stopped


def test_a_clean_look_keeps_how_many_fish_it_examined_of_those_at_the_start(
    tmp_path: Path,
) -> None:
    (tmp_path / "s").mkdir()
    assert ask(tmp_path, CLEAN_ON_DAY_2).clean_look == LatestCleanLook(1, 14)
    scrape: Row = ("count", "on=2026-05-06T21:00", "group=danio", "trophonts=0 of 5",
                   "method=skin-scrape")  # fmt: skip
    assert ask(tmp_path / "s", CLEAN_ON_DAY_2, scrape).clean_look == LatestCleanLook(5, 14)


def test_a_look_that_showed_something_is_not_clean(tmp_path: Path) -> None:
    dirty: Row = ("count", "on=2026-05-06T21:00", "group=danio", "spots=mean 2")
    assert ask(tmp_path, CLEAN_ON_DAY_2, dirty).clean_look is None


def test_a_count_nobody_can_explain_is_named_with_five_reasons_to_examine(tmp_path: Path) -> None:
    burst: Row = ("count", "on=2026-05-06T20:00", "fish=worst platy", "group=platy", "spots=9000")
    answer = ask(tmp_path, burst)
    assert answer.decided.advice is Advice.LOOK_AGAIN
    assert answer.unexpected or not answer.belief.explained
    assert len(answer.examine) == 5


def test_asked_on_an_earlier_day_later_counts_do_not_exist(tmp_path: Path) -> None:
    answer = ask(tmp_path, CLEAN_ON_DAY_2, on="2026-05-04")
    assert (answer.day, answer.day_number) == (date(2026, 5, 4), 0)
    assert answer.clean_look is None
    assert {count.sighting.hour for count in answer.belief.predicted} == {8}


def test_the_next_look_is_the_planned_one_or_the_end_of_the_wait_whichever_is_first(
    tmp_path: Path,
) -> None:
    assert ask(tmp_path).next_check == date(2026, 5, 4 + COUNT_HOUR // 24)
    (tmp_path / "s").mkdir()
    note: Row = ("note", "on=2026-05-10T12:00", "looked in")  # after the planned count
    assert ask(tmp_path / "s", note).next_check == date(2026, 5, 12)  # day 8
    (tmp_path / "t").mkdir()
    same_day: Row = ("note", "on=2026-05-09T06:00", "looked in")  # the count stands this evening
    assert ask(tmp_path / "t", same_day).next_check == date(2026, 5, 12)


def test_a_missed_step_is_redated_and_the_new_course_replaces_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = salt_case(tmp_path, MISSED, FEWER_ON_DAY_1, ("note", "on=2026-05-06T17:00", "back"))
    answer = follow(file, FollowRequest(seed=SEED))
    assert answer.rescheduled is not None
    assert answer.rescheduled.later_h == 24
    monkeypatch.setenv(VARIABLE, PRESENT)
    write_redated(file, answer, by="t")
    entry = json.loads(file.read_text(encoding="utf-8").splitlines()[-1])
    assert (entry["kind"], entry["replaces"]) == ("course_chosen", "plan 1")
    assert entry["occurred_at"].startswith("2026-05-06T17:00")
    salts = [a["at_h"] for a in entry["course"]["actions"] if a["kind"] == "salt"]
    assert salts == [18, 65, 90]
    assert entry["reason"] == " ".join(answer.rescheduled.words)
    assert len(read_case(file).view().courses) == 2


def test_where_no_step_was_missed_nothing_is_written(tmp_path: Path) -> None:
    file = salt_case(tmp_path, counts=False)
    answer, before = follow(file), file.read_bytes()
    with pytest.raises(NotPossible, match="E-PLAN-06"):
        write_redated(file, answer, by="t")
    assert file.read_bytes() == before
