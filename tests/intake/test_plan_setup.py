"""What a plan proposes and refuses for scenarios 1 and 4 (invented), before anything is played."""

from __future__ import annotations

import itertools
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from tankside import library
from tankside.course.actions import Dose, SaltTo
from tankside.intake.plan_setup import PlanRequest, Ready, ready
from tankside.intake.situation import acts_on
from tankside.plan import NO_TREATMENT, WATER_ONLY, Candidate, propose, read_levers
from tankside.services.cases import Opening, add_words, new_case

ELM = [
    ("system", ["inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm",
                "takes-away=17 L gravel and wood", "adds=6 L filter",
                "hose=14 L/min for 12.5 min", "carbon=yes"]),
    ("stock", ["tetra", "name=cardinal tetra", "count=12", "length=3 cm"]),
    ("stock", ["cory", "name=panda corydoras", "count=6", "length=4 cm"]),
    ("stock", ["loach", "name=clown loach", "count=2", "length=9 cm"]),
    ("count", ["group=loach", "fish=worst loach", "spots=44"]),
    ("suspected", ["condition=ich", "shown-by=eye"]),
]  # fmt: skip
READING = ["temperature=25.5 C", "ph=7.4", "ammonia=0.3 mg/L as N", "nitrite=0 mg/L as N",
           "oxygen=7.2 mg/L"]  # fmt: skip
FERN = [
    ("system", ["inside-length=59 cm", "inside-width=35 cm", "water-height=32 cm",
                "takes-away=8 L soil and wood", "plants=yes", "invertebrates=yes"]),
    ("system", ["box", "use=hospital", "meter=18 L", "filter-ripe=yes"]),
    ("stock", ["ember", "name=ember tetra", "count=10", "length=2 cm"]),
    ("stock", ["oto", "name=otocinclus", "count=4", "length=3.5 cm", "arrived=2026-09-13"]),
    ("stock", ["shrimp", "name=cherry shrimp", "count=25", "living=invertebrate"]),
    ("water", ["temperature=24.0 C", "ph=6.8", "kh=3 dH", "ammonia=0 mg/L as N",
               "nitrite=0 mg/L as N", "oxygen=8.0 mg/L"]),
    ("count", ["group=oto", "fish=worst oto", "spots=5"]),
    ("suspected", ["condition=ich", "shown-by=wet mount"]),
]  # fmt: skip


def typed(folder: Path, name: str, opened: str, rows: list[tuple[str, list[str]]]) -> Ready:
    file = folder / f"{name}.jsonl"
    new_case(file, Opening(name, "a keeper", "fresh", "Europe/London", opened), by="tester")
    for kind, words in rows:
        add_words(file, kind, words, by="tester")
    from tankside.records.case_file import read_case

    return ready(read_case(file).view(), library.load(), PlanRequest())


@pytest.fixture(autouse=True)
def _present(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-31T18:00+00:00")


@pytest.fixture
def elm(tmp_path: Path) -> Ready:
    return typed(tmp_path, "elm", "2026-03-02", [*ELM, ("water", [*READING, "kh=5 dH"])])


def candidates(prepared: Ready) -> tuple[Candidate, ...]:
    return propose(prepared.trial.situation, read_levers(library.load()))


def refused(prepared: Ready, kind: str) -> dict[str, str]:
    """What blocks each course of a kind, as words by code; empty when one is open."""
    said: dict[str, str] = {}
    for candidate in candidates(prepared):
        if candidate.kind == kind and not any(part.lever == "warming" for part in candidate.parts):
            blocked = prepared.trial.water(candidate.course()).blocked
            if not blocked:
                return {}
            said |= {caution.code: caution.words for caution in blocked}
    return said


def test_each_course_made_from_the_levers_is_another(elm: Ready) -> None:
    made = candidates(elm)
    assert len({c.name for c in made}) == len(made)
    schedules = {(c.days, tuple((type(a).__name__, repr(a)) for a in c.course().actions))
                 for c in made}  # fmt: skip
    assert len(schedules) == len(made)


def test_water_only_comes_first_and_no_treatment_second(elm: Ready) -> None:
    assert [c.name for c in candidates(elm)[:2]] == [WATER_ONLY, NO_TREATMENT]


def test_an_agent_without_a_figure_for_the_parasite_is_never_proposed(elm: Ready) -> None:
    tried = {s.agent for s in elm.trial.situation.substances}
    kinds = Counter(c.kind for c in candidates(elm))
    assert all(acts_on(elm.trial.organism, agent) for agent in tried)
    assert "praziquantel" not in kinds


def test_another_lever_value_changes_the_courses(elm: Ready) -> None:
    from dataclasses import replace

    levers = read_levers(library.load())
    more = propose(elm.trial.situation, replace(levers, lengths=(2.0, 3.0, 4.0)))
    assert len(more) > len(candidates(elm))


def test_course_length_follows_the_slow_end_of_the_cycle(elm: Ready) -> None:
    # Slow cycle at 25.5 C: 140 / 22.4 + 1.3 x 410 / 22.5 / 24 = 7.24 d (the scenario's 7.2).
    days = {c.days for c in candidates(elm) if c.kind == WATER_ONLY}
    assert min(days) == 15


def test_changes_are_never_further_apart_than_a_fast_cycle(elm: Ready) -> None:
    # Fast cycle at 25.5 C: 100 / 22.4 + 0.7 x 410 / 22.5 / 24 = 5.0 d.
    for candidate in candidates(elm):
        hours = [a.at_h for a in candidate.course().actions if a.kind in ("siphon", "water_change")]
        gaps = [later - earlier for earlier, later in itertools.pairwise(hours)]
        assert all(gap <= 5 * 24 for gap in gaps)


def test_copper_is_blocked_without_alkalinity(tmp_path: Path) -> None:
    unknown = typed(tmp_path, "soft", "2026-03-02", [*ELM, ("water", READING)])
    said = refused(unknown, "copper_sulphate")
    assert "alkalinity" in said["E-DOSE-20"].lower()


def test_copper_is_blocked_for_tetra_corydoras_and_loach(elm: Ready) -> None:
    assert "E-DOSE-26" in refused(elm, "copper_sulphate")


def test_salt_stays_open_with_care(elm: Ready) -> None:
    assert refused(elm, "sodium_chloride") == {}


def test_shrimp_in_the_display_block_copper_dyes_and_formalin_there(tmp_path: Path) -> None:
    fern = typed(tmp_path, "fern", "2026-09-18", FERN)
    for kind in ("copper_sulphate", "malachite_green", "formalin"):
        assert refused(fern, kind), kind


def test_salt_beside_shrimp_and_plants_is_never_plain(tmp_path: Path) -> None:
    # No figure says what salt does to this shrimp; plants suffer above 1 g/L.
    fern = typed(tmp_path, "fern", "2026-09-18", FERN)
    salt = next(c for c in candidates(fern) if c.kind == "sodium_chloride")
    said = " ".join(c.words + c.why for c in fern.trial.water(salt.course()).safety).lower()
    assert "shrimp" in said
    assert "plants" in said


def test_with_a_hospital_box_moving_all_fish_is_proposed_and_open(tmp_path: Path) -> None:
    fern = typed(tmp_path, "fern", "2026-09-18", FERN)
    moved = [c for c in candidates(fern) if c.kind == "transfer"]
    assert moved
    run = fern.trial.water(moved[0].course())
    assert run.blocked == ()
    assert {"ember", "oto"} <= set(run.tank_hours.where)
    assert run.tank_hours.body_ids[run.tank_hours.where["oto"][-1]] == "box"


def test_a_box_without_a_thermometer_is_as_warm_as_the_tank_for_the_parasite_alone(
    tmp_path: Path,
) -> None:
    fern = typed(tmp_path, "fern", "2026-09-18", FERN)
    moved = next(c for c in candidates(fern) if c.kind == "transfer")
    run = fern.trial.water(moved.course())
    assert all(s.temperature_c is None for s in fern.case.systems if s.id == "box")
    assert np.isnan(run.tank_hours.strata[0].bodies[1].temperature_c).all()
    hours = fern.trial.compile(run).tank_hours
    for stratum in hours.strata:
        main, box = stratum.bodies
        assert np.array_equal(box.temperature_c, main.temperature_c)
    assert "box.temperature" in fern.case.questions


def test_leaving_a_lever_out_changes_only_that_lever(elm: Ready) -> None:
    salt = next(c for c in candidates(elm) if c.kind == "sodium_chloride")
    whole = list(salt.course().actions)
    for part in salt.removable:
        left = list(salt.without(part).actions)
        missing = [a for a in whole if a not in left]
        assert missing
        assert all(action in part.actions for action in missing)


STRONG = PlanRequest(strengths=("sodium_chloride=3.5 g/L",), labels=("sodium_chloride=pure",),
               scale="1 g", only=("salt",))  # fmt: skip


@pytest.mark.parametrize(
    ("reason", "stopped"),
    [("", True), ("because", True), ("asked for by the vet on 3 March", False)],
)
def test_a_course_above_a_soft_limit_is_chosen_only_with_a_reason_and_keeps_it(
    tmp_path: Path, reason: str, stopped: bool
) -> None:
    """Salt at 3.5 g/L lies above the soft limit of 3 and under the hard one of 5 g/L."""
    from dataclasses import replace

    from tankside.records.case_file import read_case

    typed(tmp_path, "elm", "2026-03-02", [*ELM, ("water", [*READING, "kh=5 dH"])])
    view = read_case(tmp_path / "elm.jsonl").view()
    prepared = ready(view, library.load(), replace(STRONG, reason=reason))
    salted = [c.course() for c in candidates(prepared) if any(p.lever == "salt" for p in c.parts)]
    assert salted
    salted_run = prepared.trial.water(salted[0])
    codes = {caution.code for caution in salted_run.blocked}
    assert ("E-DOSE-11" in codes) is stopped
    kept = {amount.reason for amount in salted_run.amounts}
    assert kept <= {""} if stopped else reason in kept


def test_a_plan_takes_the_container_that_the_case_holds(tmp_path: Path) -> None:
    from tankside.records.case_file import read_case

    label = ("label", ["agent=salt", "strength=50 % w/w", "scale=1 g"])
    typed(tmp_path, "elm", "2026-03-02", [*ELM, ("water", [*READING, "kh=5 dH"]), label])
    view = read_case(tmp_path / "elm.jsonl").view()
    held = ready(view, library.load(), PlanRequest()).trial.labels["sodium_chloride"]
    assert (str(held.strength), held.basis) == ("0.5", "w/w")
    asked = PlanRequest(labels=("sodium_chloride=pure",), scale="1 g")
    assert ready(view, library.load(), asked).trial.labels["sodium_chloride"].basis == "pure"


def test_every_step_that_weighs_out_carries_the_reason_that_was_typed(tmp_path: Path) -> None:
    from tankside.records.case_file import read_case

    typed(tmp_path, "elm", "2026-03-02", [*ELM, ("water", [*READING, "kh=5 dH"])])
    view = read_case(tmp_path / "elm.jsonl").view()
    prepared = ready(view, library.load(), PlanRequest(reason="asked for by the vet"))
    steps = [a for c in candidates(prepared) for a in c.course().actions]
    weighed = [step for step in steps if isinstance(step, Dose | SaltTo)]
    assert {step.kind for step in weighed} == {"dose", "salt"}
    assert {step.reason for step in weighed} == {"asked for by the vet"}
