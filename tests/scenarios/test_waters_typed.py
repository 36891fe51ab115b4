"""Each body of water stands for itself, and is joined where it is joined: typed entry by entry."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

from tankside.intake.plan_setup import PlanRequest, Ready, ready
from tankside.library import load
from tankside.plan import propose, read_levers
from tankside.records.case_file import read_case

Row = list[str]
Ask = Callable[..., Ran]
NUMBER = count()
OPENING = ["--name", "Weir Cottage", "--keeper", "L. Dacre", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-10-29T09:00"]  # fmt: skip
CALM = ["carbon=no", "uv=no", "plants=no", "filter-ripe=yes", "food-fish=no", "air-stone=yes"]
NONE = "invertebrates=no"
READ = ["temperature=24 C", "ph=7.6", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "kh=9 dH",
        "oxygen=7.6 mg/L"]  # fmt: skip
SALT = ["label", "agent=salt", "strength=pure", "scale=1 g"]
COPPER = ["label", "agent=copper sulphate", "strength=pure as CuSO4.5H2O", "scale=0.001 g"]
CU = "0.1 mg/L as Cu"


def tank(name: str, litres: float, *more: str, calm: Row = CALM) -> Row:
    """A system measured by box and hose, two ways that agree."""
    return ["system", name, "inside-length=100 cm", "inside-width=50 cm",
            f"water-height={litres / 5:g} cm", f"hose={litres / 10:g} L/min for 10 min",
            *calm, *more]  # fmt: skip


def fish(system: str, name: str = "common goldfish", number: int = 4) -> Row:
    return ["stock", f"name={name}", f"count={number}", "length=12 cm", "gill-damage=no",
            f"system={system}"]  # fmt: skip


def shrimps(system: str) -> Row:
    return ["stock", "name=cherry shrimp", "count=6", f"system={system}"]


def water(system: str) -> Row:
    return ["water", f"system={system}", *READ, "on=2026-10-31T17:00"]


@pytest.fixture
def case(typed: Typing) -> Callable[..., Path]:
    def type_in(*rows: Row) -> Path:
        return typed(f"waters{next(NUMBER)}", [OPENING], list(rows))

    return type_in


@pytest.fixture
def ask(run: Callable[..., Ran]) -> Ask:
    def asked(path: Path, agent: str, strength: str, *words: str) -> Ran:
        return run("dose", "--case", str(path), "--agent", agent, "--strength", strength, *words,
                   "--json")  # fmt: skip

    return asked


def grams(ran: Ran) -> str:
    return str(ran.answer["amount"]["value"])


def planned(path: Path) -> Ready:
    return ready(read_case(path).view(), load(), PlanRequest())


def kinds_proposed(made: Ready) -> set[str]:
    return {c.kind for c in propose(made.trial.situation, read_levers(load()))}


ICH = ["suspected", "condition=ich", "shown-by=eye"]
DISPLAY = [tank("main", 200), water("main")]
HOSPITAL = [tank("box", 60, "use=hospital", NONE), water("box")]

# What lives elsewhere ---------------------------------------------------------------------------


def test_shrimps_and_copper_in_the_display_bar_nothing_in_the_hospital_tank(
    case: Callable[..., Path], ask: Ask
) -> None:
    there = ["in-water", "agent=copper sulphate", "amount=0.08 g", "system=main"]
    path = case(*DISPLAY, *HOSPITAL, shrimps("main"), fish("box"), there, COPPER)
    assert grams(ask(path, "copper sulphate", CU, "--system", "box")) == "0.024"


def test_an_empty_hospital_tank_asks_its_own_questions_alone(
    case: Callable[..., Path], ask: Ask
) -> None:
    path = case(*DISPLAY, *HOSPITAL, shrimps("main"), COPPER)
    refused = ask(path, "copper sulphate", CU, "--system", "box").error
    assert refused["code"] == "E-DOSE-20"
    assert "No animals are entered for box" in refused["message"]
    assert "shrimp" not in str(refused)


def test_shrimps_in_the_hospital_tank_bar_it_there_and_there_alone(
    case: Callable[..., Path], ask: Ask
) -> None:
    rows = [tank("main", 200, NONE), water("main"), *HOSPITAL, fish("main"), shrimps("box"), COPPER]
    path = case(*rows)
    refused = ask(path, "copper sulphate", CU, "--system", "box").error
    assert (refused["code"], "cherry shrimp" in refused["message"]) == ("E-DOSE-26", True)
    assert grams(ask(path, "copper sulphate", CU, "--system", "main")) == "0.079"


def test_a_display_nobody_measured_does_not_stop_the_hospital_tank(
    case: Callable[..., Path], ask: Ask
) -> None:
    path = case(["system", "main", "label=200 L"], *HOSPITAL, fish("box"), SALT)
    assert grams(ask(path, "salt", "1 g/L", "--system", "box")) == "60"


# One water of several tanks ---------------------------------------------------------------------


SUMP = tank("sump", 60, NONE, "use=fishless")
JOINED = [
    ["shares-water-with=sump"],  # named by the tank
    [],  # named by the sump
]


def loop(words: Row, *more: Row) -> list[Row]:
    sump = SUMP if words else [*SUMP, "shares-water-with=main"]
    return [tank("main", 200, NONE, *words), sump, water("main"), fish("main"), SALT, *more]


@pytest.mark.parametrize("words", JOINED)
@pytest.mark.parametrize("system", ["main", "sump"])
def test_joined_waters_are_dosed_as_one_and_it_is_said(
    case: Callable[..., Path], ask: Ask, words: Row, system: str
) -> None:
    ran = ask(case(*loop(words)), "salt", "1 g/L", "--system", system)
    assert grams(ran) == "260"
    assert "the tank + sump" in ran.answer["do"]


@pytest.mark.parametrize("words", JOINED)
def test_the_tank_page_says_what_is_one_water(
    case: Callable[..., Path], run: Callable[..., Ran], words: Row
) -> None:
    shown = run("case", "show", str(case(*loop(words)))).out
    assert "one water with sump: dosed together" in shown
    assert "one water with the tank: dosed together" in shown


def test_a_loop_is_joined_through_what_lies_between(case: Callable[..., Path], ask: Ask) -> None:
    far = [tank("left", 100, NONE, "shares-water-with=sump"), fish("left", "zebra danio")]
    path = case(*loop(["shares-water-with=sump"], *far))
    for system in ("main", "left", "sump"):
        assert grams(ask(path, "salt", "1 g/L", "--system", system)) == "360"


def test_six_tanks_on_one_sump_are_one_water(case: Callable[..., Path], ask: Ask) -> None:
    tanks = [tank(f"t{n}", 50, NONE, "shares-water-with=sump") for n in range(1, 7)]
    path = case(*tanks, SUMP, water("t1"), fish("t3"), shrimps("t5"), SALT, COPPER)
    for system in ("t1", "t4", "sump"):
        refused = ask(path, "copper sulphate", CU, "--system", system).error
        assert (refused["code"], "cherry shrimp" in refused["message"]) == ("E-DOSE-26", True)
    spared = case(*tanks, SUMP, water("t1"), fish("t3"), SALT)
    assert grams(ask(spared, "salt", "1 g/L", "--system", "t6")) == "360"


@pytest.mark.parametrize("system", ["main", "sump"])
def test_carbon_anywhere_in_the_loop_bears_on_it(
    case: Callable[..., Path], ask: Ask, system: str
) -> None:
    sump = tank("sump", 60, NONE, "shares-water-with=main", calm=["carbon=yes", *CALM[1:]])
    rows = [tank("main", 200, NONE), sump, water("main"), fish("main"), COPPER]
    ran = ask(case(*rows), "copper sulphate", CU, "--system", system)
    assert "carbon" in (ran.out + ran.err).lower()
    without = ask(case(*rows[:1], [*SUMP, "shares-water-with=main"], *rows[2:]),
                  "copper sulphate", CU, "--system", system)  # fmt: skip
    assert "carbon" not in str(without.answer["cautions"]).lower()


def test_a_part_nobody_measured_stops_the_whole_and_is_named(
    case: Callable[..., Path], ask: Ask
) -> None:
    rows = [tank("main", 200, NONE, "shares-water-with=sump"), water("main"), fish("main"), SALT]
    for more in ([], [["system", "sump", "label=60 L"]]):
        refused = ask(case(*rows, *more), "salt", "1 g/L", "--system", "main").error
        assert refused["code"] == "E-DOSE-20"
        assert "volume of sump" in refused["message"]


def test_what_was_given_in_one_part_counts_in_all(case: Callable[..., Path], ask: Ask) -> None:
    logged = ["done", "action=salt", "agent=salt", "amount=130 g", "system=sump",
             "on=2026-10-30T10:00"]  # fmt: skip
    path = case(*loop(["shares-water-with=sump"], logged))
    assert grams(ask(path, "salt", "1 g/L", "--system", "main")) == "130"


def test_parted_waters_keep_the_strength_each(case: Callable[..., Path], ask: Ask) -> None:
    logged = ["done", "action=salt", "agent=salt", "amount=260 g", "on=2026-10-29T10:00"]
    parted = ["system", "sump", "shares-water-with=none", "on=2026-10-29T11:00"]
    early = [
        row if row[0] == "water" else [*row, "on=2026-10-29T09:00"]
        for row in loop(["shares-water-with=sump"])
    ]
    path = case(*early, logged, parted)
    assert grams(ask(path, "salt", "2 g/L", "--system", "main")) == "200"
    sump = ask(
        case(*early, logged, parted, fish("sump", "koi")), "salt", "2 g/L", "--system", "sump"
    )
    assert grams(sump) == "60"


def test_waters_joined_later_add_their_salt(case: Callable[..., Path], ask: Ask) -> None:
    logged = ["done", "action=salt", "agent=salt", "amount=200 g", "system=main",
             "on=2026-10-29T10:00"]  # fmt: skip
    apart = [[*tank("main", 200, NONE), "on=2026-10-29T09:00"], [*SUMP, "on=2026-10-31T09:00"],
             water("main"), fish("main"), SALT, logged]  # fmt: skip
    joined = ["system", "main", "shares-water-with=sump", "on=2026-10-29T11:00"]
    assert grams(ask(case(*apart, joined), "salt", "2 g/L", "--system", "sump")) == "320"
    again = ["system", "main", "shares-water-with=none", "on=2026-10-29T12:00"]
    # 200 g in 260 L, parted: 153.846 g stay in the 200 L of the tank.
    assert grams(ask(case(*apart, joined, again), "salt", "2 g/L", "--system", "main")) == "246"


def test_an_amount_asked_for_in_one_part_stops_the_next_in_another(
    case: Callable[..., Path], ask: Ask, run: Callable[..., Ran]
) -> None:
    asked = ["dose", "agent=salt", "strength=1 g/L", "system=main"]
    path = case(*loop(["shares-water-with=sump"], asked))
    assert ask(path, "salt", "1 g/L", "--system", "sump").error["code"] == "E-DOSE-28"
    answer = ["done", "action=salt", "agent=salt", "system=sump"]
    assert run("case", "add", str(path), *answer).code == 0
    assert ask(path, "salt", "1 g/L", "--system", "sump").error["code"] == "E-DOSE-25"


@pytest.mark.parametrize(
    ("words", "needed_g"),
    [("?", "260"), ("butt", "360"), ("none", "200"), ("none, butt", "300")],
)
def test_only_none_parts_what_was_joined(
    case: Callable[..., Path], ask: Ask, words: str, needed_g: str
) -> None:
    rows = loop(["shares-water-with=sump"], tank("butt", 100, NONE))
    path = case(*rows, ["system", "main", f"shares-water-with={words}"])
    assert grams(ask(path, "salt", "1 g/L", "--system", "main")) == needed_g


def test_a_tank_of_the_same_loop_is_no_refuge(case: Callable[..., Path]) -> None:
    box = [tank("box", 60, "use=hospital", NONE), water("box")]
    rows = [tank("main", 200, NONE), water("main"), fish("main"), ICH]
    apart = planned(case(*rows, *box))
    assert apart.trial.situation.spare == ("box",)
    joined = planned(case(*rows, *box, ["system", "box", "shares-water-with=main"]))
    assert joined.trial.situation.spare == ()
    assert not any("transfer" in kind for kind in kinds_proposed(joined))
    assert [round(s.volume.point_l) for s in joined.case.systems] == [260]


# Any use may be the only one --------------------------------------------------------------------


@pytest.mark.parametrize("use", ["quarantine", "hospital", "main", ""])
def test_the_only_tank_gets_its_amount_and_its_plan_whatever_its_use(
    case: Callable[..., Path], ask: Ask, use: str
) -> None:
    words = [f"use={use}"] if use else []
    only = tank("rack_three", 60, NONE, *words)
    path = case(only, water("rack_three"), fish("rack_three"), SALT, ICH)
    assert grams(ask(path, "salt", "1 g/L")) == "60"
    made = planned(path)
    assert made.trial.situation.main == "rack_three"
    assert "sodium_chloride" in kinds_proposed(made)


def test_the_tank_where_the_sick_fish_are_is_meant(case: Callable[..., Path], ask: Ask) -> None:
    spots = ["count", "group=koi", "fish=worst koi", "spots=9"]
    path = case(*DISPLAY, *HOSPITAL, fish("main"), fish("box", "koi"), spots, SALT, ICH)
    assert grams(ask(path, "salt", "1 g/L")) == "60"
    made = planned(path)
    assert made.trial.situation.main == "box"
    assert made.trial.situation.fish == ("koi",)


def test_what_was_told_before_any_water_was_described_belongs_to_the_first(
    case: Callable[..., Path], ask: Ask
) -> None:
    there = ["in-water", "agent=salt", "amount=20 g", "on=2026-10-29T10:00"]
    koi = ["stock", "name=koi", "count=2", "length=12 cm", "gill-damage=no"]
    path = case(there, koi, tank("rack_three", 60, NONE), water("rack_three"), SALT)
    assert grams(ask(path, "salt", "1 g/L")) == "40"


# Where the animals are now ----------------------------------------------------------------------


MOVED = ["stock", "common_goldfish", "system=box"]


def test_after_a_move_the_animals_live_where_they_were_moved(
    case: Callable[..., Path], ask: Ask
) -> None:
    stays = fish("main")
    rows = [tank("main", 200, NONE), water("main"), *HOSPITAL, stays, shrimps("main"), COPPER]
    before = case(*rows)
    assert ask(before, "copper sulphate", CU, "--system", "main").error["code"] == "E-DOSE-26"
    after = case(*rows, ["stock", "cherry_shrimp", "system=box"])
    assert grams(ask(after, "copper sulphate", CU, "--system", "main")) == "0.079"
    barred = ask(after, "copper sulphate", CU, "--system", "box").error
    assert (barred["code"], "cherry shrimp" in barred["message"]) == ("E-DOSE-26", True)


def test_a_plan_is_for_the_water_the_fish_were_moved_to(case: Callable[..., Path]) -> None:
    rows = [tank("main", 200, NONE), water("main"), *HOSPITAL, fish("main"), ICH]
    assert planned(case(*rows)).trial.situation.main == "main"
    made = planned(case(*rows, MOVED))
    assert made.trial.situation.main == "box"
    assert [group.body for group in made.case.stock] == ["box"]
    assert [system.id for system in made.case.systems] == ["box"]


# Tanks that are no hospital ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "second",
    [
        [tank("rack", 60), water("rack"), shrimps("rack")],
        [tank("rack", 60, "use=hospital", NONE), water("rack"), shrimps("rack")],
        [tank("new_rack", 200, NONE), water("new_rack")],
        [tank("box", 60, "use=hospital", NONE), water("box"), fish("box", "koi")],
        [tank("box", 60, "use=hospital", "invertebrates=yes"), water("box")],
    ],
    ids=["shrimps", "hospital-with-shrimps", "empty", "hospital-with-fish", "hospital-with-snails"],
)  # fmt: skip
def test_a_tank_that_is_lived_in_or_no_hospital_takes_no_sick_fish(
    case: Callable[..., Path], second: list[Row]
) -> None:
    made = planned(case(tank("main", 200, NONE), water("main"), fish("main"), ICH, *second))
    assert made.trial.situation.spare == ()
    assert not any("transfer" in kind for kind in kinds_proposed(made))
    assert [system.id for system in made.case.systems] == ["main"]
    assert made.trial.situation.fish == ("common_goldfish",)


# Questions name the water -----------------------------------------------------------------------


def test_questions_name_the_water_they_mean(case: Callable[..., Path], ask: Ask) -> None:
    bare = [tank("main", 200, calm=[]), tank("box", 60, "use=hospital", calm=[]), fish("main"),
            ["water", "temperature=24 C"], ICH, SALT]  # fmt: skip
    asked = planned(case(*bare)).case.questions
    assert asked["system.box.carbon"].startswith("box: ")
    assert asked["system.main.carbon"].startswith("the tank: ")
    cold = case(tank("main", 200, NONE), tank("box", 60, "use=hospital"), fish("box"), ICH)
    with pytest.raises(Exception, match="temperature of box has not been measured"):
        planned(cold)


def test_nobody_said_where_they_live(case: Callable[..., Path], ask: Ask) -> None:
    rows = [tank("left", 100, NONE), tank("right", 60, NONE), water("left"), SALT]
    homeless = ["stock", "name=koi", "count=2", "length=12 cm", "gill-damage=no"]
    refused = ask(case(*rows, fish("left"), homeless), "salt", "1 g/L", "--system", "left").error
    assert refused["code"] == "E-DOSE-20"
    assert "left, right" in refused["needed"]
    assert "koi" in refused["message"]
