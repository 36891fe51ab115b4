"""Animals live where they were moved: by a later entry, or by a step of the course they follow."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing
from tests.scenarios.test_waters_typed import COPPER, CU, ICH, NONE, fish, tank, water

from tankside.course import Course
from tankside.intake.course_codec import encode_course
from tankside.intake.follow_setup import FollowRequest, course_from, follow_setup
from tankside.intake.followed_course import running
from tankside.intake.forecast_setup import ForecastRequest, forecast_setup
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.library import load
from tankside.plan import propose, read_levers
from tankside.records.case_file import read_case
from tankside.services.cases import add_fields

Case = Callable[..., Path]
NUMBER = count()
OPENING = ["--name", "Dye Works", "--keeper", "P. Arden", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-10-29T09:00"]  # fmt: skip
TWO = [tank("main", 200, NONE), water("main"), tank("box", 60, "use=hospital", NONE), water("box")]
KOI = fish("main", "koi")
EARLY = "on=2026-10-29T09:00"
STARTS = "2026-10-29T00:00+00:00"


@pytest.fixture
def case(typed: Typing) -> Case:
    def type_in(*rows: list[str]) -> Path:
        dated = [row if row[0] == "water" else [*row, EARLY] for row in (*TWO, KOI, COPPER, ICH)]
        return typed(f"moves{next(NUMBER)}", [OPENING], [*dated, *rows])

    return type_in


def choose(path: Path, kind: str) -> Path:
    """Choose a course of a kind, as the plan command writes it, to begin on 29 October."""
    made = ready(read_case(path).view(), load(), PlanRequest(on="2026-10-29"))
    offered = propose(made.trial.situation, read_levers(load()))
    course = next(candidate for candidate in offered if candidate.kind == kind).course()
    fields = {"kind": "course_chosen", "occurred_at": "2026-10-29T09:30+00:00", "name": "moved",
              "starts_at": STARTS, "course": encode_course(course, {})}  # fmt: skip
    add_fields(path, [fields], by="tester")
    return path


def copper(run: Callable[..., Ran], path: Path, system: str) -> Ran:
    return run("dose", "--case", str(path), "--agent", "copper sulphate", "--strength", CU,
               "--system", system, "--json")  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "main", "box"),
    [
        ("done", "E-DOSE-20", "E-DOSE-26"),  # the koi are in the box and bar copper there
        ("not-done", "E-DOSE-26", "E-DOSE-20"),
        ("", "E-DOSE-26", "E-DOSE-26"),  # nobody said: they may be in either
    ],
)
def test_a_move_of_the_course_counts_as_it_was_answered(
    case: Case, run: Callable[..., Ran], answer: str, main: str, box: str
) -> None:
    path = choose(case(), "transfer")
    if answer:
        row = [answer, "action=move koi", "on=2026-10-29T18:30"]
        assert run("case", "add", str(path), *row).code == 0
    assert copper(run, path, "main").error["code"] == main
    assert copper(run, path, "box").error["code"] == box


def test_a_late_move_reaches_card_forecast_and_follow_up(case: Case) -> None:
    """Water only was chosen for the tank; two days later the koi were put into the box."""
    moved = ["stock", "koi", "system=box", "on=2026-10-31T10:00"]
    seen = ["count", "group=koi", "fish=worst koi", "spots=9", "on=2026-10-29T18:00"]
    path = case(seen)
    choose(path, "water only")
    typed_late = read_case(path).view()
    before = running(typed_late, load())
    assert set(before.run.tank_hours.where["koi"]) == {0}
    from tests.scenarios.conftest import invoke

    assert invoke("case", "add", str(path), *moved).code == 0
    view = read_case(path).view()
    followed = running(view, load())
    hours = followed.run.tank_hours
    box = hours.body_ids.index("box")
    assert list(hours.where["koi"][57:59]) == [hours.body_ids.index("main"), box]
    assert [line for line in followed.run.lines if line.kind == "transfer"] == []
    foretold = forecast_setup(view, load(), ForecastRequest(runs=16))
    course = foretold.courses[0]
    assert foretold.trial.water(course).tank_hours.where["koi"][-1] == box
    follow = follow_setup(view, FollowRequest())
    lived = course_from(follow, 5, going_on=True)
    assert isinstance(lived, Course)
    water_hours = follow.trial.water(lived).tank_hours
    assert water_hours.where["koi"][-1] == water_hours.body_ids.index("box")


def test_a_group_that_moves_under_its_short_name_stays_what_it_is(
    typed: Typing, run: Callable[..., Ran]
) -> None:
    """Clownfish moved as "clown" were read as clown loaches, which copper is not for."""
    hospital = ["system", "hospital", "meter=120 L", "use=hospital"]
    rows = [["stock", "clown", "name=clownfish", "count=2"], hospital,
            ["stock", "clown", "system=hospital"], ["stock", "clown", "count=1"]]  # fmt: skip
    path = typed(f"moves{next(NUMBER)}", [OPENING], rows)
    assert read_case(path).view().stock["clown"].description.name == "clownfish"
    sheet = path.with_suffix(".csv")
    sheet.write_text("kind,group,name,system\nstock,perc,percula,hospital\nstock,perc,,hospital\n")
    assert run("case", "add", str(path), "--from", str(sheet)).code == 0
    assert read_case(path).view().stock["perc"].description.name == "percula"


def test_a_count_of_fish_in_another_water_is_not_taken_for_these(case: Case) -> None:
    far = [tank("shop", 100, NONE), water("shop"), fish("shop", "zebra danio")]
    spots = ["count", "group=zebra_danio", "fish=worst danio", "spots=40"]
    ill = ["count", "group=koi", "fish=worst koi", "spots=2"]
    made = ready(read_case(case(*far, spots, ill)).view(), load(), PlanRequest())
    assert made.trial.hosts[0].id == "koi"
    assert [host.id for host in made.trial.hosts] == ["koi"]
    alone = ready(read_case(case(ill)).view(), load(), PlanRequest())
    assert made.trial.start.per_fish == alone.trial.start.per_fish
