"""Scenario 3, Quay House (invented): marine velvet; the fish move to hospital, copper by test.

Figures are the expert's arithmetic of the scenario or worked out here: 505 L and 120.6 L from the
tape, 0.18 mg/L of copper in 120.6 L = 21.7 mg = 85 mg of crystals (CuSO4.5H2O holds Cu in 249.685
parts to 63.546, IUPAC weights), 5.4 mg for 30 L. The range 0.15 to 0.20 is that of the scenario and
of UF/IFAS FA165 (from memory, as on file).
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing, add_at, invoke

from tankside.course.actions import StrengthTest, Titrate, Transfer
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.library import load
from tankside.plan import propose, read_levers
from tankside.records.case_file import read_case

Run = Callable[..., Ran]
Row = list[str]

CRYSTALS_PER_COPPER = 249.685 / 63.546
HOSPITAL_L = 9.0 * 4.0 * 3.35
OPENING = ["--name", "Quay House", "--keeper", "Ines Paur", "--water", "marine",
           "--opened", "2026-06-06", "--zone", "Europe/Berlin"]  # fmt: skip
KNOWN_OF_BOTH = ["tap=none", "carbon=no", "uv=no", "skimmer=no", "food-fish=no"]
SEA = ["temperature=25.8 C", "salinity=34.5 psu", "ph=8.2", "nitrite=0 mg/L as N",
       "alkalinity=2.6 meq/L"]  # fmt: skip
FISH = {"tang": ("powder blue tang", 1, 14), "clown": ("clownfish", 2, 6),
        "gramma": ("royal gramma", 1, 6), "wrasse": ("wrasse", 1, 9),
        "chromis": ("green chromis", 5, 5)}  # fmt: skip
CALL: list[Row] = [
    ["system", "display", "use=main", "inside-length=147.6 cm", "inside-width=57.6 cm",
     "water-height=52 cm", "takes-away=25 L rock", "takes-away=22 L sand", "adds=110 L sump",
     "hose=25 L/min for 20 min", "label=650 L", "filter-ripe=yes", "air-stone=yes",
     *KNOWN_OF_BOTH],
    ["system", "hospital", "use=hospital", "inside-length=90 cm", "inside-width=40 cm",
     "water-height=33.5 cm", "hose=12 L/min for 10 min", "filter=sponge", "filter-ripe=no",
     "air-stone=yes", "plants=no", "invertebrates=no", "substrate=no", *KNOWN_OF_BOTH],
    *(["stock", group, f"name={name}", "system=display", f"count={count}", f"length={cm} cm"]
      for group, (name, count, cm) in FISH.items()),
    ["stock", "shrimp", "name=cleaner shrimp", "system=display", "count=2"],
    ["stock", "crabs", "name=hermit crab", "system=display"],
    ["stock", "corals", "name=soft coral", "system=display"],
    ["water", "system=display", *SEA, "ammonia=0.05 mg/L as N", "oxygen=6.1 mg/L"],
    ["water", "system=hospital", *SEA, "ammonia=0 mg/L as N", "oxygen=6.5 mg/L"],
    ["finding", "onset_speed=hours", "breathing=gasping", "spots_visible=yes", "spot_size=dust",
     "spot_form=powder", "share_affected=several", "system=display"],
    ["wet-mount", "skin-scrape", "fish=tang", "group=tang", "alive=yes", "m_attached_dino=no"],
    ["wet-mount", "gill-clip", "group=chromis", "alive=no", "time-dead=20 min",
     "m_attached_dino=yes"],
    ["count", "group=clown", "method=gill-clip", "velvet-cells=60"],
    ["death", "1", "group=chromis"],
    ["label", "agent=copper sulphate", "strength=99 % w/w as CuSO4.5H2O", "scale=0.001 g",
     "formulation-named=yes", "clear-solution=yes", "demand-test=yes", "buffer=yes",
     "predissolve=yes"],
]  # fmt: skip
MOVED = [["stock", group, "system=hospital"] for group in FISH]
EVENING = "2026-06-06T19:30+02:00"


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Return what sets the present."""
    return lambda moment: monkeypatch.setenv("TANKSIDE_NOW", f"2026-06-{moment}+02:00")


@pytest.fixture(scope="module")
def call(typed: Typing) -> Path:
    """The case as it stands after the call and the examination, before anything moved."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", EVENING)
        return typed("quay", [OPENING], CALL)


@pytest.fixture(scope="module")
def moved(call: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("moved") / "quay.jsonl"
    shutil.copy(call, file)
    add_at(file, EVENING, *MOVED)
    return file


@pytest.fixture(scope="module")
def planned(moved: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    """The copper course of the hospital tank, chosen on the first evening."""
    file = tmp_path_factory.mktemp("planned") / "quay.jsonl"
    shutil.copy(moved, file)
    words = ["plan", str(file), "--only", "copper_sulphate", "--no-warming", "--json"]
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", EVENING)
        courses = invoke(*words).answer["courses"]
        picked = next(c["id"] for c in courses if c["name"].startswith("Copper"))
        choice = invoke("plan", str(file), "--choose", picked, "--json").answer
        return file, {"courses": courses} | choice


def chosen_name(planned: Answer) -> str:
    course = planned["chosen"]["course"]
    return next(str(c["name"]) for c in planned["courses"] if c["id"] == course)


@pytest.fixture
def course(planned: tuple[Path, Answer], tmp_path: Path) -> Path:
    copy = tmp_path / "quay.jsonl"
    shutil.copy(planned[0], copy)
    return copy


def copper(run: Run, file: Path, system: str, strength: str = "0.18 mg/L as Cu") -> Ran:
    return run("dose", "--case", str(file), "--agent", "copper sulphate", "--system", system,
               "--strength", strength, "--json")  # fmt: skip


def read(day: int, mg_l: float, *more: str) -> Row:
    return ["water", "system=hospital", f"copper={mg_l} mg/L as Cu", "copper-form=free",
            f"on=2026-06-{day:02d}T18:00", *more]  # fmt: skip


def gave(day: int, hour: str = "20:00") -> Row:
    return ["done", "agent=copper sulphate", "system=hospital", f"on=2026-06-{day:02d}T{hour}"]


def said(card: Answer) -> str:
    return " ".join(line["text"] for line in card["lines"]).replace("\u00a0", " ")


def test_505_litres_by_tape_and_the_label_of_650_is_never_used(run: Run, call: Path) -> None:
    shown = run("case", "show", str(call)).out.replace("\u00a0", " ")
    assert "505 L" in shown
    assert "by geometry: 120.6 L" in shown
    assert "label says 650 L: never used for doses (29 % above the measured volume)" in shown
    assert round(100 * (650 / 505.1 - 1)) == 29


def test_velvet_leads_and_a_clear_skin_scrape_does_not_rule_it_out(run: Run, call: Path) -> None:
    shown = run("differential", str(call), "--no-own-idea", "--json").answer
    assert shown["ranked"][0]["condition"] == "MVELVET"
    first = shown["must_not_miss"][0]
    assert first["condition"] == "MVELVET"
    assert "a clear skin scrape does not rule it out" in str(first)


def test_copper_is_not_for_the_display_and_each_animal_is_named(
    run: Run, call: Path, at: Callable[[str], None]
) -> None:
    at("06T19:30")
    refused = copper(run, call, "display").error
    assert refused["code"] == "E-DOSE-26"
    compared = run("plan", str(call), "--only", "copper_sulphate", "--no-warming", "--json")
    for animal in ("cleaner shrimp", "hermit crab", "soft coral"):
        assert animal in str(compared.answer["blocked"])


def test_the_hospital_tank_asks_who_lives_in_it_before_the_fish_are_moved(
    run: Run, call: Path, at: Callable[[str], None]
) -> None:
    at("06T19:30")
    assert copper(run, call, "hospital").error["code"] == "E-DOSE-20"


def test_85_mg_of_crystals_hold_0_18_mg_per_litre_of_copper(
    run: Run, moved: Path, at: Callable[[str], None]
) -> None:
    at("06T19:30")
    milligrams = 0.18 * HOSPITAL_L * CRYSTALS_PER_COPPER
    assert round(0.18 * HOSPITAL_L, 1) == 21.7
    assert round(milligrams) == 85
    answer = copper(run, moved, "hospital").answer
    assert float(answer["amount"]["value"]) == pytest.approx(milligrams / 0.99 / 1000, abs=0.0006)


def test_a_strength_read_as_crystals_for_copper_is_far_below(
    run: Run, moved: Path, at: Callable[[str], None]
) -> None:
    """The trap of element against crystals: 3.9 times."""
    at("06T19:30")
    assert round(CRYSTALS_PER_COPPER, 1) == 3.9
    crystals = copper(run, moved, "hospital", "0.18 mg/L as CuSO4.5H2O").answer["amount"]
    element = copper(run, moved, "hospital").answer["amount"]
    assert float(element["value"]) / float(crystals["value"]) == pytest.approx(3.9, abs=0.1)
    assert copper(run, moved, "hospital", "0.18 mg/L").error["code"] == "E-UNIT-03"


def test_the_course_brings_copper_in_by_steps_with_tests(
    planned: tuple[Path, Answer], course: Path, run: Run, at: Callable[[str], None]
) -> None:
    assert "by test" in chosen_name(planned[1])
    at("06T19:30")
    (step,) = [line for line in run("today", str(course), "--json").answer["lines"]
               if "Stir" in line["text"]]  # fmt: skip
    grams = float(step["amounts"][0]["value"])
    whole = 0.20 * HOSPITAL_L * CRYSTALS_PER_COPPER / 0.99 / 1000
    assert 0 < grams < whole / 2


def test_the_card_of_the_next_day_asks_first_whether_the_step_was_done(
    course: Path, run: Run, at: Callable[[str], None]
) -> None:
    at("07T18:00")
    shown = run("today", str(course)).out.replace("\u00a0", " ")
    assert "Do nothing of this before you have called. Was step A0-1 done?" in shown


def test_what_the_card_says_to_type_is_taken(
    course: Path, run: Run, at: Callable[[str], None]
) -> None:
    """With two waters the card's own words were refused: say in which system."""
    at("07T18:00")
    shown = " ".join(run("today", str(course)).out.replace("\u00a0", " ").split())
    words = shown.partition("Write it into the case first: ")[2].partition(", or ")[0].split()
    ran = run("case", "add", str(course), *words, "on=2026-06-06T20:00")
    assert ran.code == 0, ran.err
    assert "Was step A0-1 done?" not in run("today", str(course)).out.replace("\u00a0", " ")


def test_0_12_on_day_1_gives_the_difference_and_never_the_whole_dose(
    course: Path, run: Run, at: Callable[[str], None]
) -> None:
    add_at(course, "2026-06-07T18:00+02:00", gave(6), read(7, 0.12, "ammonia=0.2 mg/L as N"))
    at("07T18:00")
    grams = [float(line["amounts"][0]["value"])
             for line in run("today", str(course), "--json").answer["lines"]
             if "Stir" in line["text"]]  # fmt: skip
    missing = {high: (high - 0.12) * HOSPITAL_L * CRYSTALS_PER_COPPER / 0.99 / 1000
               for high in (0.15, 0.20)}  # fmt: skip
    assert len(grams) == 1
    assert missing[0.15] <= grams[0] <= missing[0.20]


def test_30_litres_out_and_0_11_give_5_4_mg_or_little_more(
    run: Run, moved: Path, tmp_path: Path, at: Callable[[str], None]
) -> None:
    """What 30 L took away at 0.18 is 5.4 mg; the reading of 0.11 asks for 8.4 mg to 0.18."""
    assert round(30 * 0.18, 1) == 5.4
    file = tmp_path / "quay.jsonl"
    shutil.copy(moved, file)
    at("11T18:00")
    alkalinity = ["alkalinity=2.6 meq/L", "temperature=25.8 C", "ph=8.2", "oxygen=6.5 mg/L",
                  "ammonia=0.2 mg/L as N", "salinity=34.5 psu"]  # fmt: skip
    out = ["event", "what=30 L changed, none put back", "topic=water_changed", "changed=30 L",
           "system=hospital", "on=2026-06-11T12:00"]  # fmt: skip
    add_at(
        file, "2026-06-11T18:00+02:00", gave(6), read(10, 0.17), out, read(11, 0.11, *alkalinity)
    )
    answer = copper(run, file, "hospital").answer
    milligrams = (0.18 - 0.11) * HOSPITAL_L * CRYSTALS_PER_COPPER / 0.99
    assert float(answer["amount"]["value"]) == pytest.approx(milligrams / 1000, abs=0.0006)


def test_the_plan_offers_the_move_to_hospital_with_copper_there_before_the_fish_are_moved(
    run: Run, call: Path, at: Callable[[str], None]
) -> None:
    """Only the display could be treated in a plan, and every course with copper was blocked."""
    at("06T19:30")
    request = PlanRequest(only=("copper_sulphate",), warm=False)
    made = ready(read_case(call).view(), load(), request)
    offered = propose(made.trial.situation, read_levers(load()))
    begins = "all fish moved to hospital, display fishless, Copper sulphate by test to 0.175 mg/L"
    (both,) = [candidate for candidate in offered if candidate.name.startswith(begins)]
    course = both.course()
    assert {a.body for a in course.actions if isinstance(a, Titrate | StrengthTest)} == {"hospital"}
    moved = {a.group for a in course.actions if isinstance(a, Transfer)}
    assert moved == {*FISH}
    assert not made.trial.water(course).blocked
    answer = run("plan", str(call), "--only", "copper_sulphate", "--no-warming", "--json").answer
    assert any(row["name"] == both.name for row in answer["courses"])
    assert not any(row["name"].startswith("Copper") for row in answer["courses"])


# Day 1 and after -------------------------------------------------------------------------------


def typed_to(course: Path, last: int, *more: Row) -> Path:
    """Type the days of the hospital up to one day: readings, steps, counts, deaths."""
    days: dict[int, list[Row]] = {
        6: [["done", "step=A0-1", "on=2026-06-06T20:00"]],
        7: [read(7, 0.12, "ammonia=0.2 mg/L as N"), ["death", "2", "group=chromis"],
            ["done", "step=A1-2", "on=2026-06-07T20:30"]],
        8: [["count", "group=clown", "method=gill-clip", "velvet-cells=25"],
            ["death", "1", "group=tang"], read(8, 0.18)],
        9: [read(9, 0.19, "ammonia=0.6 mg/L as N"),
            ["not-done", "step=A3-2", "on=2026-06-09T21:00"]],
        10: [read(10, 0.17, "ammonia=0.3 mg/L as N"),
             ["count", "group=clown", "method=gill-clip", "velvet-cells=4"]],
        11: [["event", "what=30 L changed, none put back", "topic=water_changed", "changed=30 L",
              "system=hospital", "on=2026-06-11T12:00"], read(11, 0.11)],
        12: [["done", "step=A5-2", "on=2026-06-11T18:30"], read(12, 0.18)],
    }  # fmt: skip
    later = zip(range(13, 21), (0.17, 0.18, 0.19, 0.18) * 2, strict=True)
    days |= {day: [read(day, mg_l)] for day, mg_l in later}
    for day in range(6, last + 1):
        add_at(course, f"2026-06-{day:02d}T22:00+02:00", *days[day])
    add_at(course, f"2026-06-{last:02d}T22:00+02:00", *more)
    return course


def shown_at(course: Path, moment: str) -> Answer:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", f"2026-06-{moment}+02:00")
        return invoke("today", str(course), "--json").answer


def test_a_step_says_by_itself_in_which_water_it_is_done(
    course: Path, run: Run, at: Callable[[str], None]
) -> None:
    """It was refused (say in which system), and stored as one of ``main`` where there is one."""
    at("06T21:00")
    elsewhere = ["done", "step=A0-1", "system=display", "on=2026-06-06T20:00", "--json"]
    refused = run("case", "add", str(course), *elsewhere).error
    assert (refused["code"], refused["field"]) == ("E-COURSE-04", "system")
    add_at(course, "2026-06-06T21:00+02:00", ["done", "step=A0-1", "on=2026-06-06T20:00"])
    assert read_case(course).view().actions_done[-1].system == "hospital"


def test_what_a_step_counts_on_is_told_as_the_kit_reads_it(
    planned: tuple[Path, Answer], course: Path
) -> None:
    """0.4715 mg/L of crystals stood beside a kit that reads 0.12 mg/L of copper (3.9 times)."""
    assert "to 0.175 mg/L as Cu" in chosen_name(planned[1])
    typed_to(course, 6, ["water", *read(7, 0.12)[1:-1], "on=2026-06-06T21:00"])
    words = said(shown_at(course, "07T18:00"))
    (reads,) = re.findall(r"does not read (\S+) mg/L as Cu", words)
    # 30 of 120.6 L were changed for water of 0.007 g of crystals: 0.12 falls to about 0.105
    added_mg_l = 0.007 * 1000 / 30 / CRYSTALS_PER_COPPER
    assert float(reads) == pytest.approx((90.6 * 0.12 + 30 * added_mg_l) / 120.6, rel=0.02)
    assert "A test then reads at most 0.17" in words
    assert f"{0.12 * CRYSTALS_PER_COPPER:.4g}" not in words


def test_the_card_asks_for_cells_in_a_gill_clip_as_they_were_counted(course: Path) -> None:
    assert "Count velvet cells in a gill clip of a live fish" in said(shown_at(course, "08T09:00"))


def test_ammonia_of_day_3_is_warned_of_on_that_day(course: Path) -> None:
    """0.6 mg/L at pH 8.2 and 25.8 C: some 0.04 mg/L of it toxic, told on day 0 alone."""
    card = shown_at(typed_to(course, 9), "09T22:30")
    (words,) = [c["words"] for c in card["cautions"] if c["code"] == "S-AMMONIA"]
    assert words.startswith("Toxic ammonia")


def test_days_1_and_5_do_not_count_as_days_in_range(course: Path) -> None:
    """Days 2, 3, 4 and 6 to 13 are eleven; day 1 is on the way up, day 5 moves the end."""
    words = said(shown_at(typed_to(course, 20), "20T22:30"))
    assert re.search(r"\b1[12] of 2[1-9] days at strength count so far", words)
    assert "1 day below the range or without a test did not count" in words


def clip(day: int, cells: int) -> Row:
    return ["count", "group=clown", "method=gill-clip", f"velvet-cells={cells}",
            f"on=2026-06-{day:02d}T18:30"]  # fmt: skip


@pytest.mark.slow
def test_fourteen_days_of_falling_counts_fit_the_copper_course(course: Path) -> None:
    """60, 25, 4, 0, 0, 0 cells in a clip: they fall with the stay on the fish; go on with copper.

    They were called a misfit: any copper was believed to empty the fish in a day.
    """
    typed_to(course, 20, clip(13, 0), clip(16, 0), clip(20, 0))
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-06-20T22:30+02:00")
        answer = invoke("follow", str(course), "--json").answer
    assert (answer["day"], answer["last_seen_day"]) == (14, 4)
    assert answer["fit"] in ("fits", "fits loosely")
    assert answer["misfit"] == []
    assert answer["advice"] == "go on"


def test_the_display_stands_without_fish_for_weeks(course: Path) -> None:
    """6 to 12 weeks in print, cool water the long end: far beyond the days of copper."""
    (words,) = [remark for remark in shown_at(course, "08T09:00")["remarks"]
                if "stands without fish" in remark]  # fmt: skip
    assert "No fish goes back before Sat 18 Jul 2026, better not before Sat 29 Aug 2026" in words


def test_what_was_given_stands_on_the_card_as_done_and_not_as_to_do(course: Path) -> None:
    """On the evening of day 5 the 0.028 g that had just gone in were asked for again."""
    poured = ["done", "agent=copper sulphate", "system=hospital", "on=2026-06-11T19:00"]
    card = shown_at(typed_to(course, 11, poured), "11T22:30")
    (step,) = [line for line in card["lines"] if "Stir" in line["text"]]
    assert re.match(r"A5-\d: Done already, not to be done again: ", step["text"])
