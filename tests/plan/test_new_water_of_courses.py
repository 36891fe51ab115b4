"""200 random cases at sea and 200 of any water: what their cards say of the water that goes in.

Cases are typed; courses are those the plan proposes, run and shown as day cards. Nothing is
simulated: only the lines and the hourly water are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import pytest

from tankside import course, library
from tankside.course import CourseRun
from tankside.course.actions import Siphon, WaterChange
from tankside.intake.assemble import assemble, midnight
from tankside.intake.labels import labels_of
from tankside.intake.trial_setup import set_up
from tankside.plan import Candidate, Situation, propose, read_levers
from tankside.present.clock import CaseClock
from tankside.present.day_card import CardHead, day_card
from tankside.quantity.moment import find_zone, parse_date
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_words, new_case

FACTS = library.load()
PRESENT = "2026-03-09T18:00+00:00"
CASES = 200
PARASITE = {"marine": "cryptocaryon_irritans", "fresh": "ichthyophthirius_multifiliis",
            "brackish": "ichthyophthirius_multifiliis"}  # fmt: skip
KINDS = {"marine": ("common clownfish", "yellow tang"), "brackish": ("spotted scat",),
         "fresh": ("platy", "cardinal tetra", "common goldfish")}  # fmt: skip
LABELS = (
    ["agent=salt", "strength=pure", "scale=1 g"],
    ["agent=copper sulphate", "strength=pure as CuSO4.5H2O", "scale=0.001 g"],
    ["agent=chloroquine", "strength=pure as chloroquine diphosphate", "scale=0.01 g"],
)
HEAD = CardHead("a tank", "some water", "a course", 1, "made here")
SALT = "sodium_chloride"


@dataclass(frozen=True)
class Drawn:
    """One course of one random case, run."""

    situation: Situation
    candidate: Candidate
    run: CourseRun
    clock: CaseClock

    @property
    def card_lines(self) -> Iterator[str]:
        """Every line of every card with new water in it, as it is shown."""
        days = {
            self.clock.day_of(line.hour)
            for line in self.run.lines
            if isinstance(self.run.course.actions[line.action], WaterChange | Siphon)
        }
        for day in sorted(days):
            card = day_card(self.run, self.clock, day, HEAD)
            for part in card.parts:
                yield from (row.text.replace("\u00a0", " ") for row in part.lines)

    @property
    def change_lines(self) -> list[str]:
        return [text for text in self.card_lines if "Put back" in text]


def drawn(folder: Path, chance: Random, water: str) -> Drawn:
    """Type one random case and run one of the courses proposed for it."""
    file = folder / f"{chance.getrandbits(40):x}.jsonl"
    new_case(file, Opening("A", "K", water, "Europe/London", "2026-03-02"), by="test")
    length, width, height = (chance.randint(*ends) for ends in ((50, 200), (30, 70), (25, 60)))
    sides = [f"inside-length={length} cm", f"inside-width={width} cm", f"water-height={height} cm"]
    tap = chance.choice(["none", "chlorine", "chloramine"])
    flow = chance.choice([[], [], [f"inflow={chance.randint(1, 9)} L/h"],
                          ["inflow=2 L/h", "inflow-off=6 h"]])  # fmt: skip
    read = [f"temperature={chance.randint(20, 27)} C", f"kh={chance.randint(4, 12)} dH",
            f"ph={chance.choice((7.2, 7.8, 8.2))}", "oxygen=7 mg/L"]  # fmt: skip
    if water != "fresh" and chance.random() < 0.9:
        read.append(
            f"salinity={chance.randint(*((5, 15) if water == 'brackish' else (28, 36)))} psu"
        )
    rows = [
        ("system", [*sides, f"tap={tap}", *flow]),
        ("stock", ["fish", f"name={chance.choice(KINDS[water])}", "count=4", "length=6 cm",
                   "life-stage=adult", "gill-damage=no"]),
        ("water", read),
        *(("label", words) for words in LABELS if chance.random() < 0.7),
    ]  # fmt: skip
    if chance.random() < 0.3:
        rows.append(("in-water", ["agent=salt", f"amount={chance.randint(1, 9) / 10} g/L"]))
    if chance.random() < 0.5:
        rows.append(("water", ["sample=tap", f"ph={chance.choice((6.5, 7.5, 8.5))}",
                               f"chlorine={chance.choice((0, 1))} mg/L"]))  # fmt: skip
    for kind, words in rows:
        add_words(file, kind, words, by="test")
    return one_course(file, chance, water)


def one_course(file: Path, chance: Random, water: str) -> Drawn:
    view = read_case(file).view()
    day = parse_date("2026-03-09", field="day")
    zero, last = midnight(view, day), view.last_moment(day)
    case = assemble(view, FACTS, zero, at_start=False)
    labels = labels_of(view, FACTS, zero)
    trial = set_up(case, organism=PARASITE[water], seed=1, labels=labels, start=last, work=last)
    with_changes = [
        candidate
        for candidate in propose(trial.situation, read_levers(FACTS))
        if any(isinstance(step, WaterChange | Siphon) for step in candidate.course().actions)
    ]
    candidate = chance.choice(with_changes)
    made = course.run(case.systems, case.stock, candidate.course(), FACTS, labels)
    return Drawn(trial.situation, candidate, made, CaseClock(zero.when, find_zone("Europe/London")))


@pytest.fixture(scope="module")
def at_sea(tmp_path_factory: pytest.TempPathFactory) -> list[Drawn]:
    return draw(tmp_path_factory.mktemp("sea"), ("marine",), 12)


@pytest.fixture(scope="module")
def anywhere(tmp_path_factory: pytest.TempPathFactory) -> list[Drawn]:
    return draw(tmp_path_factory.mktemp("any"), ("fresh", "brackish", "marine"), 13)


def draw(folder: Path, waters: tuple[str, ...], seed: int) -> list[Drawn]:
    chance = Random(seed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        return [drawn(folder, chance, chance.choice(waters)) for _ in range(CASES)]


def test_no_course_changes_the_salt_of_the_sea(at_sea: list[Drawn]) -> None:
    """No step is about salinity here, so the salt of the hourly water stays what was read."""
    for course_drawn in at_sea:
        assert SALT not in {substance.agent for substance in course_drawn.situation.substances}
        main = course_drawn.situation.body(course_drawn.situation.main)
        for stratum in course_drawn.run.tank_hours.strata:
            salt = stratum.bodies[0].salinity_g_l
            if main.salinity_g_l is None:
                assert bool(np.isnan(salt).all())
            else:
                assert salt == pytest.approx(main.salinity_g_l, rel=1e-9)


def test_no_line_of_a_sea_card_speaks_of_common_salt(at_sea: list[Drawn]) -> None:
    lines = [line for course_drawn in at_sea for line in course_drawn.change_lines]
    assert len(lines) > CASES
    assert [line for line in lines if "of salt" in line or "sea salt mix" not in line] == []


def test_every_change_line_of_every_card_names_the_new_water(anywhere: list[Drawn]) -> None:
    waters = {each.situation.body(each.situation.main).water for each in anywhere}
    assert waters == {"fresh", "brackish", "marine"}
    for course_drawn in anywhere:
        lines = course_drawn.change_lines
        assert lines
        for line in lines:
            assert "New water: within 1 C of the tank" in line
            assert any(free in line for free in ("free of chlor", "without chlorine"))
            assert "pH" in line
            assert ("sea salt mix" in line) == (
                course_drawn.situation.body(course_drawn.situation.main).water != "fresh"
            )


def test_water_taken_out_of_every_treated_tank_has_its_rule(anywhere: list[Drawn]) -> None:
    """Whatever was put in before a change may be in what is taken out."""
    treated = 0
    for course_drawn in anywhere:
        put_in = {amount.agent: amount.hour for amount in reversed(course_drawn.run.amounts)}
        for line in course_drawn.run.lines:
            action = course_drawn.run.course.actions[line.action]
            if isinstance(action, WaterChange | Siphon):
                there = [agent for agent, hour in put_in.items() if hour < line.hour]
                treated += bool(there)
                assert bool(there) <= ("may hold" in line.text), line.text
    assert treated > 100
