"""The hazards of ``docs/hazards.toml``, attacked as a person types: entries first, then an amount.

Each attack goes through a case: the fault is an entry (or what an entry leaves out), and what is
asked afterwards must be stopped, or counted, or said. A row of the table names its attacks.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing

NUMBER = count()
NOW = "2026-10-31T18:00+00:00"
OPENING = ["--name", "Weir House", "--keeper", "L. Maas", "--water", "fresh", "--country", "GB",
           "--zone", "Europe/London", "--opened", "2026-10-20T09:00"]  # fmt: skip
SIDES = ["inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm"]
HOSE = ["hose=20 L/min for 10 min"]
CALM = ["carbon=no", "uv=no", "plants=no", "invertebrates=no", "filter-ripe=yes",
        "air-stone=yes"]  # fmt: skip
FISH = ["stock", "fish", "name=common goldfish", "count=4", "length=12 cm", "life-stage=adult",
        "gill-damage=no"]  # fmt: skip
READ = ["temperature=20 C", "ph=7.6", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "kh=9 dH",
        "oxygen=8 mg/L", "on=2026-10-31T17:00"]  # fmt: skip
LABELS = {
    "salt": ["strength=pure", "scale=1 g"],
    "copper sulphate": ["strength=pure as CuSO4.5H2O", "scale=0.001 g"],
    "copper ionic": ["strength=12.5 g/L as Cu", "syringe=0.1 mL"],
    "methylene blue": ["strength=1 % w/v as methylene blue trihydrate", "syringe=0.5 mL"],
    "malachite green": ["strength=0.1 % w/v as oxalate", "syringe=0.1 mL", "zinc-free=yes"],
    "formalin": ["strength=as product", "syringe=0.5 mL", "clear-solution=yes"],
}  # fmt: skip
SALT, BLUE = ("salt", "2 g/L"), ("methylene blue", "2 mg/L as methylene blue trihydrate")
COPPER = ("copper sulphate", "0.1 mg/L as Cu")
FORMALIN = ("formalin", "15 mg/L")
Row = list[str]
Run = Callable[..., Ran]


class Tank:
    """A case that is typed entry by entry, and what was answered."""

    def __init__(self, run: Run, file: Path) -> None:
        self._run, self.file = run, file

    def add(self, *words: str) -> Ran:
        return self._run("case", "add", str(self.file), *words, "--json")

    def dose(self, agent: str, strength: str, *words: str) -> Ran:
        return self._run("dose", "--case", str(self.file), "--agent", agent, "--strength", strength,
                         *words, "--json")  # fmt: skip

    def fits(self, *words: str) -> Ran:
        return self._run("differential", str(self.file), *words)

    def entries(self) -> int:
        return len(self.file.read_text(encoding="utf-8").splitlines())


Make = Callable[..., Tank]


@pytest.fixture
def tank(typed: Typing, run: Run, monkeypatch: pytest.MonkeyPatch) -> Make:
    """Return what types a sound case, with some of its parts told otherwise."""
    monkeypatch.setenv("TANKSIDE_NOW", NOW)

    def make(
        *more: Row,
        agent: str = "salt",
        label: Row | None = None,
        volume: Row | None = None,
        water: Row | None = None,
        fish: Row | None = None,
        kept: Row | None = None,
    ) -> Tank:
        named = LABELS[agent] if label is None else label
        rows = [
            [
                "system",
                "on=2026-10-30T04:00",
                *([*SIDES, *HOSE] if volume is None else volume),
                *CALM,
                *(kept or ["food-fish=no"]),
            ],
            *([FISH] if fish is None else [fish] if fish else []),
            *([["water", *(READ if water is None else water)]] if water != [] else []),
            *([["label", f"agent={agent}", *named]] if named else []),
            *more,
        ]
        return Tank(run, typed(f"hazard{next(NUMBER)}", [OPENING], rows))

    return make


def text(ran: Ran) -> str:
    return ran.out.replace("\u00a0", " ")


def code(ran: Ran) -> str:
    stopped: str = ran.error["code"]
    return stopped


def amount(answer: Answer) -> str:
    shown: str = answer["amount"]["text"].replace("\u00a0", " ")
    return shown


def test_the_sound_case_gets_its_amounts(tank: Make) -> None:
    """200 L by two methods: without this the attacks below would prove nothing."""
    assert amount(tank().dose(*SALT).answer) == "400 g"
    assert tank(agent="methylene blue").dose(*BLUE).code == 0
    assert tank(agent="copper sulphate").dose(*COPPER).code == 0
    assert tank(agent="formalin").dose(*FORMALIN).code == 0


# H01, H02, H13: numbers ----------------------------------------------------------------------


@pytest.mark.parametrize("strength", ["20 g/L", "2000 g/L", "200 g/L"])
def test_h01_h02_a_strength_ten_and_a_thousand_times_too_large_is_stopped(
    tank: Make, strength: str
) -> None:
    assert code(tank().dose("salt", strength)) == "E-DOSE-10"


@pytest.mark.parametrize(
    "typed_amount", ["4OO g", "1,250 g", "4.0.0 g", "nan g", "inf g", "-400 g"]
)
def test_h01_h13_an_entry_whose_amount_is_no_number_is_refused_and_nothing_is_kept(
    tank: Make, typed_amount: str
) -> None:
    case = tank()
    before = case.entries()
    assert code(case.add("in-water", "agent=salt", f"amount={typed_amount}")).startswith("E-")
    assert case.entries() == before
    assert amount(case.dose(*SALT).answer) == "400 g"


@pytest.mark.parametrize(
    "reading", ["ph=nan", "temperature=inf C", "kh=-inf dH", "oxygen=1e999 mg/L"]
)
def test_h13_a_reading_that_is_no_number_is_refused(tank: Make, reading: str) -> None:
    case = tank()
    before = case.entries()
    assert code(case.add("water", reading)).startswith("E-")
    assert case.entries() == before


def test_h02_grams_told_in_place_of_milligrams_stop_the_next_amount(tank: Make) -> None:
    """400 g of the blue dye in 200 L instead of 400 mg: far above 3 mg/L."""
    there = ["in-water", "agent=methylene blue", "amount=400 g", "on=2026-10-31T09:00"]
    case = tank(there, agent="methylene blue")
    assert code(case.dose(*BLUE)) == "E-DOSE-10"


# H03 to H06, H28: containers and names ---------------------------------------------------------


def test_h03_millilitres_logged_of_a_solution_are_never_counted_as_grams(tank: Make) -> None:
    """What 40 mL hold is not known, so that more of it is not weighed on top."""
    logged = ["done", "action=methylene blue", "agent=methylene blue", "amount=40 mL",
             "on=2026-10-31T12:00"]  # fmt: skip
    assert code(tank(logged, agent="methylene blue").dose(*BLUE)) == "E-DOSE-20"


def test_h04_no_label_and_an_expired_label_give_no_amount(tank: Make) -> None:
    assert code(tank(label=[]).dose(*SALT)) == "E-PROD-01"
    old = ["strength=pure", "scale=1 g", "expires=2026-10-30"]
    assert code(tank(label=old).dose(*SALT)) == "E-PROD-03"


def test_h05_a_container_of_copper_that_does_not_say_of_what_gives_no_amount(tank: Make) -> None:
    for strength in ("strength=pure", "strength=25 % w/w"):
        case = tank(agent="copper sulphate", label=[])
        kept = case.add("label", "agent=copper sulphate", strength, "scale=0.001 g")
        assert code(kept if kept.code else case.dose(*COPPER)) == "E-PROD-01"


@pytest.mark.parametrize("strength", ["25 ppm", "0.0025 %", "2 parts per million"])
def test_h06_parts_without_a_basis_are_refused(tank: Make, strength: str) -> None:
    assert code(tank(agent="formalin").dose("formalin", strength)).startswith("E-UNIT")


def test_h07_a_gallon_without_its_country_is_refused_at_entry(tank: Make) -> None:
    case = tank(volume=[])
    before = case.entries()
    assert code(case.add("system", "keeper-says=40 gallons")) == "E-UNIT-04"
    assert case.entries() == before


# H08, H09: water and time ----------------------------------------------------------------------


def test_h08_neither_the_label_of_the_tank_nor_two_volumes_far_apart_carry_a_dose(
    tank: Make,
) -> None:
    assert code(tank(volume=["label=240 L"]).dose(*SALT)) == "E-DOSE-20"
    assert code(tank(volume=["keeper-says=240 L"]).dose(*SALT)) == "E-DOSE-20"
    apart = [*SIDES, "hose=20 L/min for 13 min"]
    assert code(tank(volume=apart).dose(*SALT)) == "E-DOSE-21"


def test_h09_readings_of_last_month_do_not_stand_for_today(tank: Make) -> None:
    old = [*READ[:-1], "on=2026-10-20T10:00"]
    stopped = tank(agent="copper sulphate", water=old).dose(*COPPER).error
    assert stopped["code"] == "E-DOSE-20"
    assert "too old" in stopped["message"]


# H10 to H12: weights and tools -----------------------------------------------------------------


def test_h10_a_weight_without_its_unit_is_refused_and_pounds_change_no_amount(tank: Make) -> None:
    case = tank()
    assert code(case.add("stock", "fish", "weight=3")).startswith("E-")
    for weight in ("weight=3 lb", "weight=3 kg"):
        assert case.add(*FISH, weight).code == 0
        assert amount(case.dose(*SALT).answer) == "400 g"


@pytest.mark.parametrize("scale", ["scale=1 g", "scale=5 g"])
def test_h11_h12_what_a_scale_cannot_show_is_never_rounded_to_nothing(
    tank: Make, scale: str
) -> None:
    """20 mg of copper, 79 mg of crystals, on a kitchen scale."""
    case = tank(agent="copper sulphate", label=["strength=pure as CuSO4.5H2O", scale])
    ran = case.dose(*COPPER)
    assert "stock solution" in text(ran) if ran.code == 0 else code(ran) == "E-DOSE-24"


# H14, H20: the same substance twice --------------------------------------------------------------

FULL_ML = 40.0
"""What 2 mg/L in 200 L take of a solution of 1 %."""
ASKED = ["dose", f"agent={BLUE[0]}", f"strength={BLUE[1]}"]
GIVEN = ["done", "action=blue", f"agent={BLUE[0]}"]
SECOND: dict[str, tuple[list[Row], str]] = {
    "logged as done": ([ASKED, GIVEN], ""),
    "asked and not answered": ([ASKED], "E-DOSE-28"),
    "logged by its mass": ([[*GIVEN, "amount=400 mg"]], ""),
    "logged without an amount": ([GIVEN], "E-DOSE-20"),
    "told as in the water": ([["in-water", f"agent={BLUE[0]}", "amount=400 mg"]], "E-DOSE-10"),
    "told, nobody knows how much": ([["in-water", f"agent={BLUE[0]}", "amount=?"]], "E-DOSE-20"),
    "by another name": (
        [["in-water", "agent=methylthioninium chloride", "amount=400 mg"]], "E-DOSE-10"),
}  # fmt: skip


@pytest.mark.parametrize("how", SECOND)
def test_h14_the_same_substance_twice_is_never_offered_in_full(tank: Make, how: str) -> None:
    """Given an hour ago, only what is surely lost since may be made up; else it is stopped."""
    rows, stopped = SECOND[how]
    case = tank(*rows, agent="methylene blue", label=[LABELS[BLUE[0]][0], "syringe=0.01 mL"])
    ran = case.dose(*BLUE)
    if stopped:
        assert code(ran) == stopped
    else:
        assert float(ran.answer["amount"]["value"]) < FULL_ML / 10


def test_h14_two_forms_of_one_active_count_together(tank: Make) -> None:
    """0.1 mg/L of copper goes on nothing; with 80 mg of the ion in 200 L it would be 0.5."""
    assert tank(agent="copper sulphate").dose(*COPPER).code == 0
    there = ["in-water", "agent=copper ionic", "amount=80 mg"]
    assert code(tank(there, agent="copper sulphate").dose(*COPPER)) == "E-DOSE-10"
    mixed = ["in-water", "agent=formalin with malachite green", "amount=2 g"]
    assert code(tank(mixed, agent="formalin").dose(*FORMALIN)) == "E-DOSE-22"


def test_h20_a_missed_amount_is_not_given_twice_later(tank: Make) -> None:
    """Missed yesterday: today 400 g, not 800."""
    rows = [["dose", "agent=salt", "strength=2 g/L", "on=2026-10-30T09:00"],
            ["not-done", "action=salt", "agent=salt", "on=2026-10-30T18:00"]]  # fmt: skip
    assert amount(tank(*rows).dose(*SALT).answer) == "400 g"


# H15 to H18: what may not meet ------------------------------------------------------------------


@pytest.mark.parametrize("name", ["formalin", "formol", "formaldehyde", "white spot liquid"])
@pytest.mark.parametrize("how", ["in-water", "done"])
def test_h15_permanganate_never_meets_what_is_or_may_be_formaldehyde(
    tank: Make, name: str, how: str
) -> None:
    rows = {"in-water": ["in-water", f"agent={name}", "amount=?"],
            "done": ["done", "action=treated", f"agent={name}"]}  # fmt: skip
    label = ["strength=pure", "scale=0.01 g", "demand-test=yes"]
    case = tank(rows[how], agent="potassium permanganate", label=label)
    unnamed = name == "white spot liquid"
    assert code(case.dose("potassium permanganate", "1 mg/L")) == (
        "E-DOSE-20" if unnamed else "E-DOSE-23"
    )


def test_h16_without_animals_with_an_unknown_kind_or_age_a_medicine_is_stopped(tank: Make) -> None:
    nobody = tank(agent="copper sulphate", fish=[]).dose(*COPPER).error
    assert (nobody["code"], "No animals" in nobody["message"]) == ("E-DOSE-20", True)
    strange = ["stock", "fish", "name=zzyzx fish", "count=4", "length=12 cm"]
    unknown = tank(agent="copper sulphate", fish=strange).dose(*COPPER).error
    assert (unknown["code"], "Species not known" in unknown["message"]) == ("E-DOSE-20", True)


def test_h17_soft_and_untested_water_takes_no_copper(tank: Make) -> None:
    soft = [word if not word.startswith("kh") else "kh=1 dH" for word in READ]
    untested = [word for word in READ if not word.startswith("kh")]
    assert code(tank(agent="copper sulphate", water=soft).dose(*COPPER)) == "E-DOSE-25"
    assert code(tank(agent="copper sulphate", water=untested).dose(*COPPER)) == "E-DOSE-20"


def test_h18_formalin_waits_for_oxygen(tank: Make) -> None:
    untested = [word for word in READ if not word.startswith("oxygen")]
    low = [*untested, "oxygen=3 mg/L"]
    assert code(tank(agent="formalin", water=untested).dose(*FORMALIN)) == "E-DOSE-20"
    assert code(tank(agent="formalin", water=low).dose(*FORMALIN)) == "E-DOSE-25"


# H19, H21: time ---------------------------------------------------------------------------------


def test_h19_a_dose_a_few_hours_after_the_last_is_too_early(tank: Make) -> None:
    logged = ["done", "action=salt", "agent=salt", "amount=200 g", "on=2026-10-31T12:00"]
    assert code(tank(logged).dose(*SALT)) == "E-DOSE-22"
    earlier = ["done", "action=salt", "agent=salt", "amount=200 g", "on=2026-10-30T05:00"]
    assert amount(tank(earlier).dose(*SALT).answer) == "200 g"


def test_h21_a_bath_without_an_end_or_far_too_long_is_stopped(tank: Make) -> None:
    assert code(tank().dose("salt", "10 g/L", "--route", "bath")) == "E-DOSE-20"
    long = tank().dose("salt", "10 g/L", "--route", "bath", "--minutes", "24 h")
    assert code(long) == "E-DOSE-12"


# H22 to H26: people, law, what runs off --------------------------------------------------------


def test_h22_h25_h26_handling_disposal_and_law_come_with_every_amount(tank: Make) -> None:
    answer = tank(agent="formalin").dose(*FORMALIN).answer
    assert answer["people"]["hazard"] in ("high", "very high")
    words = text(tank(agent="formalin").dose(*FORMALIN))
    assert "Law (" in words
    assert "isposal" in words or "drain" in words


def test_h23_a_pond_of_formalin_needs_a_trained_person(tank: Make) -> None:
    pond = ["inside-length=20 m", "inside-width=10 m", "water-height=1.5 m",
            "hose=100 L/min for 3000 min"]  # fmt: skip
    assert "trained" in text(tank(agent="formalin", volume=pond).dose(*FORMALIN))
    assert "trained" not in text(tank(agent="formalin").dose(*FORMALIN))


def test_h24_animals_that_are_eaten_stop_what_has_no_waiting_time(tank: Make) -> None:
    case = tank(agent="methylene blue", kept=["food-fish=yes"])
    stopped = case.dose(*BLUE).error
    assert "eaten" in f"{stopped['message']} {stopped['needed']} {stopped['next']}"


# H27, H28: the wrong one --------------------------------------------------------------------------


def test_h27_a_tank_that_was_never_described_takes_no_entry_and_no_dose(tank: Make) -> None:
    case = tank()
    before = case.entries()
    assert code(case.add("in-water", "agent=salt", "amount=5 g", "system=mian")) == "E-WORD-02"
    assert case.entries() == before
    assert code(case.dose(*SALT, "--system", "mian")) == "E-WORD-02"


@pytest.mark.parametrize("name", ["copper", "malachite gren", "formalinn", "blue"])
def test_h28_half_a_name_or_a_slip_picks_nothing(tank: Make, name: str) -> None:
    case = tank()
    before = case.entries()
    kept = case.add("label", f"agent={name}", "strength=pure", "scale=1 g")
    assert code(kept) == "E-PROD-02"
    assert case.entries() == before


# H29 to H32, H47: what was seen -------------------------------------------------------------

DUST = ["finding", "spots_visible=yes", "spot_size=dust", "breathing=fast", "onset_speed=days"]


def chances(case: Tank) -> dict[str, float]:
    return {row["condition"]: row["probability"] for row in case.fits("--json").answer["ranked"]}


def test_h29_dust_and_fast_breathing_bring_velvet_and_its_first_step_into_view(tank: Make) -> None:
    """In the strip, or among the first rows, which carry their step."""
    words = text(tank(DUST).fits())
    seen = words[: words.index("\n6. ")]
    assert "velvet" in seen
    assert "torch" in seen


def test_h30_the_own_idea_is_kept_before_the_order_is_shown(tank: Make) -> None:
    case = tank(DUST)
    before = case.entries()
    words = text(case.fits("--own-idea", "ich"))
    assert case.entries() == before + 1
    idea = words.lower().index("own first idea")
    assert idea < words.index("WHAT FITS")


def test_h31_the_order_is_told_in_words_without_percentages(tank: Make) -> None:
    words = text(tank(DUST).fits())
    assert "likely" in words
    assert "%" not in words


def test_h32_not_looked_weighs_nothing_and_none_does(tank: Make) -> None:
    bare = chances(tank(DUST))
    assert chances(tank(DUST, ["finding", "flashing=not-looked"])) == bare
    assert chances(tank(DUST, ["finding", "flashing=none"])) != bare


@pytest.mark.parametrize("words", ["<script>alert(1)</script>", "{{7*7}}", "'; drop table entry;"])
def test_h47_hostile_words_of_an_entry_stay_words(tank: Make, words: str) -> None:
    case = tank()
    assert case.add("note", words).code == 0
    shown = case.dose(*SALT)
    assert amount(shown.answer) == "400 g"
    assert words in case.file.read_text(encoding="utf-8")
