"""Days that count: scenario S3's copper readings, and what holds without readings."""

from __future__ import annotations

import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, Course, StockGroup, System, Volume, run
from tankside.course.actions import Dose, ReadingTaken, SaltTo, WaterChange
from tankside.course.actions.action import Action
from tankside.library import load

# S3: copper read each day [mg/L as Cu]
READ = {1: 0.12, 2: 0.18, 3: 0.19, 4: 0.17, 5: 0.11, 6: 0.18}


@pytest.fixture(scope="module")
def library() -> Knowledge:
    return load()


def hospital() -> System:
    return System(
        "hospital", "the hospital tank", BodyKind.HOSPITAL,
        Volume(120.6, 120.6, 120.6, "inside measures"), water="marine", temperature_c=25.8,
        salinity_g_l=34.5,
    )  # fmt: skip


def test_s3_days_1_and_5_do_not_count(library: Knowledge) -> None:
    fish = StockGroup("c", "amphiprion_ocellaris", "clownfish", 2, 6.0, None, "hospital")
    steps: list[Action] = [Dose(20, "hospital", "copper_ionic", 0.18)]
    steps += [
        ReadingTaken(d * 24 + 9, "hospital", {"agent:copper_ionic": v}) for d, v in READ.items()
    ]
    steps += [WaterChange(5 * 24 + 7, "hospital", 30, put_back=False)]
    result = run([hospital()], [fish], Course("copper", 7, tuple(steps)), library)
    counted = {d.day: d.counts for d in result.counted_days if d.agent == "copper_ionic"}
    assert {day for day in READ if not counted[day]} == {1, 5}
    assert all(counted[day] for day in (2, 3, 4, 6))


def test_without_readings_copper_does_not_count_because_its_loss_is_not_known(
    library: Knowledge,
) -> None:
    course = Course("copper", 4, (Dose(20, "hospital", "copper_ionic", 0.18),))
    result = run([hospital()], [], course, library)
    assert not any(d.counts for d in result.counted_days)


def test_salt_counts_from_the_first_whole_day_until_a_change_takes_it_below(
    library: Knowledge,
) -> None:
    tank = System("t", "the tank", BodyKind.MAIN, Volume(100, 100, 100, "x"), water="fresh")
    steps = (SaltTo(8, "t", 2), WaterChange(50, "t", 60, put_back=False))
    result = run([tank], [], Course("salt", 4, steps), library)
    assert [d.counts for d in result.counted_days] == [False, True, False, False]
