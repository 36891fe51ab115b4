"""No door ends without a next step: every cause, fresh and sea water, with and without a volume.

What each answer must hold is set by the goal, not by what the program prints: a step for the next
hour, today, the week, what must not be done, laboratory, whom to tell, a day to look again, and a
rule for the end or why there is none.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing

from tankside.library import load
from tankside.library.diagnosis_files import load_diagnosis

Run = Callable[..., Ran]
DOORS = ("plan", "follow", "forecast", "today")
OPENED = "2026-07-03T08:00"
NOW = "2026-07-03T10:00+00:00"
TANK = ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm",
        "hose=16.2 L/min for 10 min", "tap=chlorine"]  # fmt: skip
FISH = {"fresh": ["stock", "name=goldfish", "count=6", "length=8 cm"],
        "marine": ["stock", "name=clownfish", "count=4", "length=6 cm"]}  # fmt: skip
SITUATIONS = ("HEALTHY", "a_rash_nobody_lists", "")
SAMPLE = (
    "KHV",
    "NEOICH",
    "NITROGEN",
    "TUBERCLE",
    "ICHTHYOBODO",
    "STRESSED",
    "NOT_IN_LIST_GERM",
    "",
)
NO_SALT = ("KHV", "CARPPOX", "TUBERCLE")


def every_cause() -> tuple[str, ...]:
    return (*sorted(load_diagnosis().conditions), *SITUATIONS)


def combinations(causes: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str, bool]]:
    alone = ((cause,) for cause in causes)
    pairs = [("KHV", "ICH"), ("NITROGEN", "ICHTHYOBODO"), ("ICHTHYOBODO", "COLUMN")]
    for named in (*alone, *pairs):
        for water, measured in itertools.product(FISH, (True, False)):
            yield tuple(name for name in named if name), water, measured


@pytest.fixture(autouse=True)
def _that_morning(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", NOW)


def case_of(typed: Typing, named: tuple[str, ...], water: str, measured: bool) -> Path:
    opening = ["--name", "Weir End", "--keeper", "J. Amsel", "--water", water, "--zone",
               "Europe/London", "--opened", OPENED]  # fmt: skip
    rows = [TANK, ["water", "temperature=24 C", f"on={OPENED}"]] if measured else []
    rows += [FISH[water], *(["suspected", f"condition={c}", "shown-by=signs", f"on={OPENED}"]
                            for c in named)]  # fmt: skip
    name = "-".join((*named, water, str(measured))) or "none"
    return typed(name.lower(), [opening], rows)


def lacking(answer: dict[str, Any]) -> list[str]:
    """Name what an answer leaves out; a simulated one carries it in its head and its dates."""
    if "causes" not in answer:
        keys = ("next_hour", "today") if "courses" in answer and "search" in answer else ()
        return [key for key in keys if not answer[key]]
    missing = [key for key in ("next_hour", "today", "look_again") if not answer[key]]
    first = answer["causes"][0]
    sections = ("must_not", "laboratory", "this_week")
    missing += [name for name in sections if not first["said"][name]]
    missing += [name for name in ("tell", "stop") if not first[name]]
    return missing


def dead_ends(run: Run, file: Path, doors: tuple[str, ...] = DOORS) -> list[str]:
    ends = []
    for door in doors:
        ran = run(door, str(file), "--json")
        if ran.code != 0:
            ends.append(f"{door}: {ran.out[:200]}")
            continue
        ends += [f"{door}: no {name}" for name in lacking(ran.answer)]
    return ends


@pytest.mark.parametrize("cause", SAMPLE)
def test_a_sample_of_causes_has_no_dead_end(run: Run, typed: Typing, cause: str) -> None:
    named = (cause,) if cause else ()
    water = "fresh" if cause != "STRESSED" else "marine"
    file = case_of(typed, named, water, measured=cause != "ICHTHYOBODO")
    assert dead_ends(run, file) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("named", "water", "measured"),
    list(combinations(every_cause())),
    ids=lambda part: "+".join(part) if isinstance(part, tuple) else str(part),
)
def test_no_cause_ends_in_a_refusal(
    run: Run, typed: Typing, named: tuple[str, ...], water: str, measured: bool
) -> None:
    file = case_of(typed, named, water, measured)
    assert dead_ends(run, file, ("plan", "today", "follow", "forecast")) == []


@pytest.mark.parametrize("cause", NO_SALT)
@pytest.mark.parametrize("door", ["plan", "forecast", "follow"])
def test_no_parasite_course_beside_what_it_would_harm_or_delay(
    run: Run, typed: Typing, cause: str, door: str
) -> None:
    """No medicine acts on koi virus (UF/IFAS VM113); none on tubercles or carp pox plaques."""
    opening = ["--name", "Weir End", "--keeper", "J. Amsel", "--water", "fresh", "--zone",
               "Europe/London", "--opened", OPENED]  # fmt: skip
    rows = [TANK, ["water", "temperature=24 C", f"on={OPENED}"], FISH["fresh"],
            ["suspected", "condition=ICH", "shown-by=spots", f"on={OPENED}"],
            ["confirmed", f"condition={cause}", "shown-by=signs", f"on={OPENED}"]]  # fmt: skip
    file = typed(f"beside-{cause}-{door}", [opening], rows)
    answer = run(door, str(file), "--json").answer
    assert answer["causes"][0]["cause"] == cause
    assert "--organism" in " ".join(answer["why_not_simulated"])


def test_a_measured_fault_of_the_water_stands_before_the_parasite(run: Run, typed: Typing) -> None:
    """Water before parasites: UF/IFAS FA031, Roberts, Palmeiro and Weber 2009."""
    opening = ["--name", "Weir End", "--keeper", "J. Amsel", "--water", "fresh", "--zone",
               "Europe/London", "--opened", OPENED]  # fmt: skip
    rows = [TANK, ["water", "temperature=24 C", "nitrite=2 mg/L as N", f"on={OPENED}"],
            FISH["fresh"],
            ["confirmed", "condition=ICHTHYOBODO", "shown-by=scrape", f"on={OPENED}"]]  # fmt: skip
    answer = run("plan", str(typed("nitrite-first", [opening], rows)), "--json").answer
    assert answer["water_first"]
    assert [cause["cause"] for cause in answer["causes"]] == ["NITROGEN", "ICHTHYOBODO"]


def test_a_forecast_without_a_salinity_is_made(run: Run, typed: Typing) -> None:
    """Sea water of which nobody read the salinity: the salt that hinders a release is not known."""
    assert dead_ends(run, case_of(typed, ("CRYPTO",), "marine", measured=True), ("forecast",)) == []


def test_every_condition_of_the_list_is_asked_of() -> None:
    assert len(every_cause()) == len(load_diagnosis().conditions) + len(SITUATIONS)
    assert {c for p in load().care.values() for c in p.causes} == set(load_diagnosis().conditions)
