"""Words typed by a person: signs as printed, question marks, events, kinds of animals, readings."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing, add_at, chosen, invoke

from tankside.cli.main import app

Run = Callable[..., Ran]
NUMBER = count()
OPENING = ["--name", "Pump Lane", "--keeper", "O. Brand", "--zone", "Europe/London",
           "--opened", "2026-10-28T09:00", "--water", "fresh"]  # fmt: skip
TANK = ["system", "main", "meter=120 L", "carbon=no", "uv=no", "tap=none"]
PLAN = ["--only", "sodium_chloride", "--strength", "sodium_chloride=1 g/L", "--change", "40 L",
        "--label", "sodium_chloride=pure", "--scale", "1 g"]  # fmt: skip
NOW = "2026-10-31T18:00+00:00"
Case = Callable[..., Path]


@pytest.fixture
def case(typed: Typing) -> Case:
    def opened(*rows: list[str], opening: list[str] = OPENING) -> Path:
        return typed(f"words{next(NUMBER)}", [opening], [TANK, *rows])

    return opened


def added(file: Path, *words: str) -> Answer:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        return invoke("case", "add", str(file), *words, "--json").answer


def refused(file: Path, *words: str) -> Answer:
    before = file.read_bytes()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        error = invoke("case", "add", str(file), *words, "--json").error
    assert file.read_bytes() == before
    return error


def fits(run: Run, file: Path) -> Answer:
    return run("differential", str(file), "--no-own-idea", "--json").answer


def chances(answer: Answer) -> dict[str, float]:
    return {row["condition"]: row["probability"] for row in answer["ranked"]}


@pytest.mark.parametrize(
    ("typed_words", "finding", "answers"),
    [
        ("Spot size=grains of 0.3 to 1 mm", "spot_size", ["grain_0p3_1mm"]),
        ("spot size: dust, finer than 0.3 mm", "spot_size", ["dust_lt_0p3mm"]),
        ("spot_size=dust, finer than 0.3 mm or grains of 0.3 to 1 mm", "spot_size",
         ["dust_lt_0p3mm", "grain_0p3_1mm"]),
        ("spots, dust, lumps or bubbles visible = yes", "spots_visible", ["yes"]),
        ("redness or ulcer = ulcer", "red_ulcer", ["ulcer"]),
        ("spot_count=6 to 30", "spot_count", ["6_to_30"]),
        ("recent event=power or pump failure", "recent_event", ["power_pump_failure"]),
        ("spot_size=grain", "spot_size", ["grain_0p3_1mm"]),
    ],
)  # fmt: skip
def test_signs_and_answers_are_taken_as_printed(
    case: Case, typed_words: str, finding: str, answers: list[str]
) -> None:
    looked = added(case(), "finding", typed_words)["added"][0]["looked"]
    assert (looked["finding"], looked["answers"]) == (finding, answers)


def test_every_printed_answer_is_read_back_as_itself(case: Case, run: Run) -> None:
    file, rows = case(), run("findings", "--json").answer["findings"]
    pairs = [(r["label"], r["finding"], a, said) for r in rows for a, said in r["answers"].items()]
    assert len(pairs) > 350
    words = [f"{label}={said}" for label, _, _, said in pairs if said not in ("none", "?")]
    wanted = [(f, a) for _, f, a, said in pairs if said not in ("none", "?")]
    read = []
    for word in words[::7]:
        looked = added(file, "finding", word)["added"][0]["looked"]
        read.append((looked["finding"], looked["answers"][0]))
    assert read == wanted[::7]


def test_a_printed_sign_is_taken_on_a_slide_beside_the_sample(case: Case) -> None:
    slide = added(case(), "wet-mount", "skin-scrape", "Flukes on skin or fin = few")["added"][0]
    assert slide["looks"][0]["finding"] == "m_fluke_skin"


def test_a_sign_or_answer_that_is_not_on_the_list_is_refused_with_what_is_near(case: Case) -> None:
    file = case()
    error = refused(file, "finding", "flashin=frequent")
    assert (error["code"], "flashing" in error["needed"]) == ("E-FIND-01", True)
    error = refused(file, "finding", "flashing=lots")
    assert (error["code"], "occasional" in error["needed"]) == ("E-FIND-02", True)
    assert refused(file, "wet-mount", "skin-scrape", "m_fluke=few")["code"] == "E-FIND-01"


def test_none_is_refused_where_it_is_no_answer(case: Case, run: Run) -> None:
    """It became dust finer than 0.3 mm, the answer written first."""
    file = case()
    error = refused(file, "finding", "spot_size=none")
    assert error["code"] == "E-FIND-02"
    assert "spots_visible" in error["next"]
    assert refused(file, "finding", "onset_speed=none")["code"] == "E-FIND-02"
    added(file, "finding", "fin_edge=none", "spots_visible=none")


def test_a_note_says_that_no_answer_reads_it(case: Case) -> None:
    assert "no answer reads" in " ".join(added(case(), "note", "hazy mornings")["notes"])


@pytest.mark.parametrize(
    ("text", "cause"),
    [("no medicine was dosed", "dosed-medicine"),
     ("two filters hang on one pump", "power-pump-failure")],
)  # fmt: skip
def test_free_text_is_asked_about_and_never_taken_for_evidence(
    case: Case, run: Run, text: str, cause: str
) -> None:
    plain, file = case(), case()
    reply = added(file, "event", f"what={text}")
    assert any(cause in note and "?" in note for note in reply["notes"])
    assert chances(fits(run, file)) == chances(fits(run, plain))
    assert any(text in asked for asked in fits(run, file)["to_be_asked"])


def test_a_topic_and_an_amount_of_water_are_evidence(case: Case, run: Run) -> None:
    plain = chances(fits(run, case()))
    for words in (["what=bottle from the shop", "topic=medicine"],
                  ["what=hose left on", "changed=60 L"]):  # fmt: skip
        assert chances(fits(run, case(["event", *words]))) != plain


def test_none_and_a_question_mark_mean_what_they_say(case: Case, run: Run) -> None:
    file = case(["stock", "name=neon tetra", "count=?", "length=?"],
                ["system", "main", "shared-tools=none", "filter=?"],
                ["count", "spots=none"], ["death", "none"])  # fmt: skip
    shown_now = run("case", "show", str(file), "--json").answer
    assert not {"stock.neon_tetra.count", "stock.neon_tetra.length"} & set(shown_now["not_asked"])
    shown = run("case", "show", str(file), "--history").out
    assert "filter: keeper does not know" in " ".join(shown.split())
    assert "0 spots" in shown
    assert "0 dead" in shown
    assert refused(file, "death", "?")["code"] == "E-WORD-02"
    entry = added(file, "in-water", "agent=?")["added"][0]
    assert entry["state"] == "keeper_does_not_know"


def test_a_country_may_be_not_known(typed: Typing) -> None:
    assert typed(f"words{next(NUMBER)}", [[*OPENING, "--country", "?"]], []).exists()


@pytest.mark.parametrize(
    ("name", "host"),
    [("ember tetra", "hyphessobrycon_amandae"), ("comet goldfish", "carassius_auratus"),
     ("fancy goldfish", "carassius_auratus_fancy"), ("ghost koi", "cyprinus_carpio_koi"),
     ("fathead minnow", "pimephales_promelas"), ("common carp", "cyprinus_carpio"),
     ("royal gramma", "gramma_loreto"), ("damselfishes", "chrysiptera_spp")],
)  # fmt: skip
def test_common_kinds_are_on_file(case: Case, run: Run, name: str, host: str) -> None:
    notes = added(case(), "stock", f"name={name}", "count=2").get("notes", [])
    assert not any("not on file" in note for note in notes)
    by_name = run("knowledge", "kinds", name.removesuffix("es"), "--json").answer["kinds"]
    assert host in {kind["host"] for kind in by_name}


@pytest.mark.parametrize("name", ["axolotl", "African dwarf frogs", "red-eared slider"])
def test_an_animal_that_is_no_fish_is_refused(case: Case, name: str) -> None:
    assert refused(case(), "stock", f"name={name}", "count=1")["code"] == "E-HOST-02"


def test_a_kind_told_is_held_to_the_list_and_a_slip_is_refused(case: Case) -> None:
    file = case()
    error = refused(file, "stock", "name=six small ones", "count=6", "host=neon tetre")
    assert (error["code"], "neon tetra" in error["needed"]) == ("E-HOST-01", True)
    assert refused(file, "stock", "name=neon tetre", "count=6")["code"] == "E-HOST-01"
    added(file, "stock", "name=neon tetre", "count=6", "host=?")
    entry = added(file, "stock", "name=six small ones", "count=6", "host=neon tetra")["added"][0]
    assert entry["host"] == "paracheirodon_innesi"


def test_a_stand_in_is_printed_at_entry_and_where_it_decides(case: Case, run: Run) -> None:
    rows = [["stock", "name=panda corydoras", "count=6", "length=4 cm"],
            ["water", "temperature=25 C", "on=2026-10-31T16:00"],
            ["finding", "spots_visible=yes", "spot_size=grain"],
            ["suspected", "condition=ICH", "shown-by=eye"], ["in-water", "none"]]  # fmt: skip
    file = case(*rows)
    notes = added(file, "stock", "name=julii corydoras", "count=2", "length=4 cm")["notes"]
    assert any("corydoras" in note and "stands in" in note for note in notes)
    assert any("stands in" in asked for asked in fits(run, file)["to_be_asked"])
    followed = run("follow", str(file)).out
    assert "stands in" in followed


def test_an_afternoon_reading_does_not_erase_low_oxygen_at_dawn(case: Case, run: Run) -> None:
    """3.0 mg/L is 33 % of the 9.09 mg/L of saturation at 20 C (Benson and Krause, recalled)."""
    dawn = ["water", "temperature=20 C", "oxygen=3.0 mg/L", "dawn=yes", "on=2026-10-30T06:30"]
    noon = ["water", "temperature=20 C", "oxygen=7.0 mg/L", "on=2026-10-30T15:00"]
    lifted = ["water", "oxygen=7.5 mg/L", "dawn=yes", "on=2026-10-31T06:30"]
    low, both, again = case(dawn), case(dawn, noon), case(dawn, noon, lifted)
    assert chances(fits(run, both))["HYPOXIA"] == chances(fits(run, low))["HYPOXIA"]
    assert any("3.0 mg/L at dawn" in w.replace("\u00a0", " ")
               for w in fits(run, both)["water_warnings"])  # fmt: skip
    assert chances(fits(run, again))["HYPOXIA"] < chances(fits(run, low))["HYPOXIA"]
    assert not fits(run, again)["water_warnings"]


def test_a_kit_that_was_never_checked_widens_the_reading(case: Case, run: Run) -> None:
    """0.06 mg/L N un-ionised would be raised; read by a kit 30 % off it may be safe or worse."""
    words = ["water", "temperature=25 C", "ph=7.0", "ammonia=0.28 mg/L as N", "nitrite=0 mg/L as N"]
    checked = fits(run, case([*words, "checked=2026-10-20"]))
    never = fits(run, case([*words, "checked=never"]))
    aged = fits(run, case([*words, "checked=2025-10-20"]))
    assert chances(never) != chances(checked)
    assert chances(aged) == chances(never)
    assert chances(never)["NITROGEN"] < chances(checked)["NITROGEN"]
    assert any("never checked" in warning for warning in never["water_warnings"])


def test_ammonia_and_copper_out_of_range_speak_in_the_follow_up(case: Case, run: Run) -> None:
    rows = [["stock", "name=neon tetra", "count=12", "length=3 cm"],
            ["water", "temperature=25 C", "ph=8.0", "on=2026-10-31T16:00"],
            ["suspected", "condition=ICH", "shown-by=eye"], ["in-water", "none"],
            ["count", "spots=12", "fish=worst", "on=2026-10-29"]]  # fmt: skip
    bad = ["water", "ammonia=2 mg/L as N", "copper=0.9 mg/L as Cu", "on=2026-10-31T17:00"]
    quiet = run("follow", str(case(*rows))).out
    loud = " ".join(run("follow", str(case(*rows, bad))).out.split())
    assert "from the readings" not in quiet
    assert "ammonia 2 mg/L" in loud.replace("\u00a0", " ")
    assert "Copper in" in loud


def test_an_old_temperature_warns_on_the_card(case: Case, run: Run) -> None:
    rows = [["stock", "name=platy", "count=6", "length=4 cm"],
            ["water", "temperature=25 C", "ph=7.4", "alkalinity=6 dH", "on=2026-10-29T10:00"],
            ["in-water", "none"]]  # fmt: skip
    file = case(*rows)
    add_at(file, NOW, ["suspected", "condition=ICH", "shown-by=eye"])
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        chosen("plan", str(file), *PLAN, number=1)
        card = " ".join(run("today", str(file)).out.split()).replace("\u00a0", " ")
    assert "measure it now" in card
    assert "25 C" in card


def test_country_warmth_and_chloride_of_the_tap_are_asked_when_they_bear(
    case: Case, run: Run
) -> None:
    koi = ["stock", "name=koi", "count=6", "length=30 cm"]
    water = ["water", "temperature=16 C", "nitrite=0.4 mg/L as N"]
    asked = " ".join(fits(run, case(koi, water))["to_be_asked"])
    assert "season" in asked
    assert "chloride" in asked
    assert "country" not in asked
    more = [["system", "main", "lowest=12 C", "highest=18 C"],
            ["water", "sample=tap", "chloride=20 mg/L"],
            ["suspected", "condition=ICH", "shown-by=eye"]]  # fmt: skip
    asked = " ".join(fits(run, case(koi, water, *more))["to_be_asked"])
    assert "season" not in asked
    assert "chloride" not in asked
    assert "country" in asked


def test_the_list_of_findings_goes_by_site_and_word(run: Run) -> None:
    rows = run("findings", "gill", "--json").answer["findings"]
    assert {"gill_look", "m_fluke_gill"} <= {row["finding"] for row in rows}
    assert len({row["site"] for row in rows}) > 1
    assert run("findings", "xyzzy", "--json").error["code"] == "E-FIND-01"
    assert "gill_look" in run("findings", "gill").out


def test_the_shell_offers_findings_their_answers_and_kinds(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """As a shell asks: the words so far, and the place of the one to be completed."""
    for begun, offered in (
        ("finding spot_s", "spot_size="),
        ("finding spot_size=", "spot_size=grain_0p3_1mm"),
        ("stock host=paracheirodon_i", "host=paracheirodon_innesi"),
    ):
        line = f"tankside case add a.jsonl {begun}"
        monkeypatch.setenv("_TANKSIDE_COMPLETE", "complete_bash")
        monkeypatch.setenv("COMP_WORDS", line)
        monkeypatch.setenv("COMP_CWORD", "5")
        with pytest.raises(SystemExit):
            app([], prog_name="tankside")
        assert offered in capfd.readouterr().out.splitlines()
