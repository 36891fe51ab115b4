"""Cases typed as a practitioner would: scenarios 1 and 2, corrections, good inputs, files."""

from __future__ import annotations

import json
import os
import shlex
import stat
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

from tankside.case import Reading, State
from tankside.case.water_test import WaterTest
from tankside.quantity.show import NO_BREAK
from tankside.records.case_file import read_case
from tankside.services import cases
from tankside.services.differential_case import evidence_of

Run = Callable[..., Any]

# Scenario 1: freshwater tropical, keeper Marta Vell, Elm Road, day 0 = Mon 2 Mar 2026.
ELM = [
    ["system", "inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm",
     "takes-away=11 L gravel", "takes-away=6 L wood", "adds=6 L external filter",
     "hose=14 L/min for 12.5 min", "label=216 L", "carbon=yes", "heater-dial=28 C",
     "filter=external", "shared-tools=net of the shrimp tank"],
    ["stock", "name=panda corydoras", "count=6", "length=4 cm"],
    ["stock", "name=pearl gourami", "count=4", "length=10 cm"],
    ["stock", "loach", "name=clown loach", "count=2", "length=9 cm", "arrived=2026-02-24",
     "quarantined=no"],
    ["stock", "name=bristlenose", "count=1", "length=11 cm"],
    ["water", "temperature=25.5 C", "ph=7.4", "ammonia=0.3 mg/L as N", "nitrite=0 mg/L as N",
     "nitrate=30 mg/L as NO3", "kh=5 dH", "oxygen=7.2 mg/L"],
    ["finding", "onset_speed=days", "share_affected=several", "flashing=frequent",
     "breathing=fast", "clamped_fins=yes", "spots_visible=yes", "spot_size=grain, over",
     "spot_colour=white", "spot_form=smooth", "spot_distribution=body and fins"],
    ["wet-mount", "skin-scrape", "fish=worst loach", "alive=yes", "slide-age=5 min",
     "m_big_ciliate=7 crescent", "m_fluke_skin=none", "m_disc_ring=none"],
    ["wet-mount", "gill-clip", "fish=one tetra", "m_big_ciliate=1 crescent"],
    ["count", "fish=worst loach", "spots=44"],
    ["count", "group=cardinal-tetra", "spots=mean 5"],
    ["count", "on=2026-03-04", "fish=worst loach", "spots=61"],
    ["count", "on=2026-03-05", "fish=worst loach", "spots=30"],
    ["death", "1", "on=2026-03-05", "group=cardinal-tetra"],
    ["count", "on=2026-03-07", "fish=worst loach", "spots=0"],
    ["done", "on=2026-03-07", "action=water change", "changed=40 L", "amount=80 g",
     "agent=sodium_chloride"],
    ["count", "on=2026-03-09", "fish=worst loach", "spots=2"],
    ["count", "on=2026-03-14", "spots=0 of 5", "method=skin-scrape"],
]  # fmt: skip

# Scenario 2: goldfish, keeper Tomas Brandl, Harbour Street, day 0 = Thu 9 Apr 2026.
HARBOUR = [
    ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm",
     "filter=new internal, 3 weeks old", "filter-ripe=no"],
    ["stock", "name=oranda", "count=2", "length=14 cm"],
    ["stock", "name=ryukin", "count=3", "length=11 cm", "arrived=2026-03-05", "quarantined=no"],
    ["in-water", "on=2026-04-07", "agent=all-in-one pond remedy", "amount=?"],
    ["event", "old sponge thrown away"],
    ["water", "temperature=19.0 C", "ph=7.8", "ammonia=1.2 mg/L as N", "nitrite=2.6 mg/L as NO2",
     "chloride=25 mg/L", "oxygen=6.0 mg/L", "conditioner=yes"],
    ["finding", "flashing=occasional", "clamped_fins=yes", "breathing=gasping",
     "skin_film=local", "gill_look=pale"],
    ["wet-mount", "gill-clip", "fish=fish 1", "alive=yes", "m_fluke_gill=9 many"],
    ["wet-mount", "gill-clip", "fish=fish 2", "alive=yes", "m_fluke_gill=14 many"],
    ["wet-mount", "skin-scrape", "m_disc_ring=2 few", "fields=10"],
    ["count", "on=2026-04-09", "method=gill-clip", "fish=fish 1", "flukes=9"],
    ["water", "on=2026-04-10", "ammonia=0.6 mg/L as N"],
    ["count", "on=2026-05-02", "method=gill-clip", "flukes=1 of 3"],
]  # fmt: skip


def type_in(run: Run, file: str, lines: Iterable[list[str]]) -> list[str]:
    shown = []
    for words in lines:
        ran = run("case", "add", file, *words)
        assert ran.code == 0, (words, ran.err)
        shown.append(ran.out)
    return shown


def test_scenario_1_is_typed_and_read_back(elm: Run) -> None:
    notes = [line for line in "".join(type_in(elm, "elm.jsonl", ELM)).splitlines()
             if line.startswith("NOTE")]  # fmt: skip
    assert len(notes) == 1
    assert notes[0].startswith("NOTE panda corydoras: not on file by that name")
    view = read_case("elm.jsonl").view()
    main = view.systems["main"]
    assert round(main.volume.point_l or 0) == 173
    assert main.volume.second_l == 175
    assert round(main.volume.difference_percent or 0) == 1
    assert round(main.volume.told_difference_percent or 0) == 25
    assert main.readings[Reading.TEMPERATURE].number("C") == 25.5
    assert main.description.heater_dial is not None
    assert view.stock["cardinal_tetra"].alive == 11
    assert view.evidence["m_big_ciliate"][0].answers == {"crescent_nucleus"}
    assert view.evidence["m_fluke_skin"][0].state is State.NONE
    assert view.evidence["spot_size"][0].answers == {"grain_0p3_1mm", "over_1mm"}
    loach = view.counts_by_fish()["spots", "by_eye", "worst loach"]
    assert [(view.day(c.moment), c.number) for c in loach] == [
        (0, 44), (2, 61), (3, 30), (5, 0), (7, 2)]  # fmt: skip
    last = view.counts[-1]
    assert (last.infected, last.examined, view.day(last.moment)) == (0, 5, 12)
    assert [a.amount.value for a in view.actions_done if a.amount] == ["80"]
    assert "system.main.uv" in view.not_asked
    assert "already_in_the_water" in view.not_asked


def test_scenario_1_shown_never_offers_the_label_for_a_dose(elm: Run) -> None:
    type_in(elm, "elm.jsonl", ELM)
    text = elm("case", "show", "elm.jsonl").out.replace(NO_BREAK, " ")
    assert "173 L; 175 L by a second method, 1 % apart" in text
    assert "216 L: never used for doses (25 % above the measured volume)" in text
    shown = elm("case", "show", "elm.jsonl", "--json").answer
    assert shown["systems"][0]["told_volume_l"] == 216


def test_scenario_2_is_typed_and_both_gallons_are_refused(tankside: Run) -> None:
    opened = ("--keeper", "Tomas Brandl", "--water", "fresh", "--zone", "Europe/London")
    named = ("--name", "Harbour Street", "--opened", "2026-04-09")
    assert tankside("case", "new", "harbour.jsonl", *named, *opened).code == 0
    notes = [
        line
        for text in type_in(tankside, "harbour.jsonl", HARBOUR)
        for line in text.splitlines()
        if line.startswith("NOTE")
    ]
    note = next(line for line in notes if "remedy" in line)
    assert any("old sponge thrown away: kept as words" in line for line in notes)
    assert note.startswith("NOTE all-in-one pond remedy: kept as told; no substance on file")
    for word in ("gallons", "gal"):
        ran = tankside("case", "add", "harbour.jsonl", "system", f"keeper-says=40 {word}", "--json")
        assert ran.error["code"] == "E-UNIT-04"
        assert "US gal or imperial gal" in ran.error["needed"]
    view = read_case("harbour.jsonl").view()
    main = view.systems["main"]
    assert main.volume.point_l == 162
    assert main.volume.weak
    nitrite = main.readings[Reading.NITRITE]
    assert nitrite.measured is not None
    assert nitrite.measured.text == "2.6 mg/L as NO2"
    assert round(nitrite.number("mg/L as N") or 0, 1) == 0.8
    assert main.readings[Reading.AMMONIA].number("mg/L as N") == 0.6
    remedy = view.agents_in_water[0]
    assert (remedy.amount, remedy.amount_state) == (None, "keeper_does_not_know")
    assert main.description.filter_ripe == "no"
    assert view.stock["ryukin"].description.arrived == "2026-03-05T12:00+00:00"


def test_reading_the_ion_as_nitrogen_needs_to_be_typed_wrongly_on_purpose(elm: Run) -> None:
    assert elm("case", "add", "elm.jsonl", "water", "nitrite=2.6 mg/L").code == 2


def test_an_undated_entry_of_a_case_typed_in_afterwards_joins_the_day_before_it(elm: Run) -> None:
    type_in(elm, "elm.jsonl", [["count", "on=2026-03-04", "spots=61"], ["death", "0"]])
    entries = read_case("elm.jsonl").entries
    assert entries[1].occurred_at == "2026-03-02T00:00+00:00"
    assert entries[-1].occurred_at == entries[-2].occurred_at == "2026-03-04T12:00+00:00"


def test_an_undated_entry_of_a_case_opened_today_happens_now(tankside: Run) -> None:
    opening = ("--name", "x", "--keeper", "y", "--water", "?", "--zone", "Asia/Kathmandu")
    assert tankside("case", "new", "x.jsonl", *opening).code == 0
    type_in(tankside, "x.jsonl", [["death", "0"]])
    entries = read_case("x.jsonl").entries
    assert entries[1].occurred_at == "2026-10-31T18:00+00:00"
    assert entries[1].recorded_at == "2026-10-31T18:00:00Z"


def test_a_correction_stands_beside_the_old_entry_and_can_be_taken_further(elm: Run) -> None:
    type_in(elm, "elm.jsonl", [["count", "on=2026-03-04", "fish=loach", "spots=61"]])
    replace = ("count", "fish=loach", "spots=16", "--correct", "3", "--reason", "digits swapped")
    assert elm("case", "add", "elm.jsonl", *replace).code == 0
    stored = read_case("elm.jsonl")
    assert [c.number for c in stored.view().counts] == [16]
    assert stored.view().counts[0].occurred_at == "2026-03-04T12:00+00:00"
    text = elm("case", "show", "elm.jsonl", "--history").out
    assert "61 spots, loach  [corrected by entry 4]" in text
    void = ("--void", "3", "--reason", "another tank")
    assert elm("case", "add", "elm.jsonl", *void).code == 0
    assert read_case("elm.jsonl").view().counts == ()
    assert [e.kind for e in read_case("elm.jsonl").entries[2:]] == [
        "count", "correction", "correction"]  # fmt: skip


@pytest.mark.parametrize(
    "words",
    [
        ("count", "spots=1", "--correct", "9", "--reason", "r"),
        ("death", "1", "--correct", "3", "--reason", "r"),
        ("count", "spots=1", "flukes=2", "--correct", "3", "--reason", "r"),
        ("count", "spots=1", "--correct", "3"),
        ("count", "spots=1", "--void", "3", "--reason", "r"),
        ("--correct", "3", "--reason", "r"),
        (),
    ],
)
def test_a_correction_without_aim_or_reason_is_refused(elm: Run, words: tuple[str, ...]) -> None:
    type_in(elm, "elm.jsonl", [["count", "spots=61"]])
    before = Path("elm.jsonl").read_bytes()
    assert elm("case", "add", "elm.jsonl", *words).code == 2
    assert Path("elm.jsonl").read_bytes() == before


GOOD = [
    ["system", "meter= 25 L "], ["system", "meter=0.001 m3"], ["system", "meter=1000 L"],
    ["system", "meter=0.5 L"], ["system", "meter=12.5 L"], ["water", "ph=7.0"],
    ["water", "temperature=-1.5 C"], ["water", "ph=9.2"], ["water", "salinity=0 g/L"],
    ["note", "=SUM(A1)"], ["note", "🐟 seen"], ["note", "x" * 10_000], ["note", "line\nline"],
    ["photo", "file=O'Brien.jpg", "of=<b>"], ["photo", "file=Łódź.jpg", "of=李"],
    ["death", "0"], ["finding", "Flashing=not-looked"], ["note", "x", "on=2026-10-31T18:04+00:00"],
    ["note", "x", "on=2026-10-31T23:45+05:45"], ["event", "x", "on=2024-02-29"],
    ["count", "flukes=0 of 5"], ["count", "flukes=5 of 5"], ["finding", "flashing=not-looked"],
    ["in-water", "none"], ["in-water", "?"], ["event", "none"], ["event", "?"],
    ["water", "oxygen=not-measured", "nitrite=?"], ["system", "label=40 US gal"],
    ["system", "id=box", "co2=yes"], ["system", "water=?"], ["stock", "id=eel", "count=1"],
    ["count", "spots=?"], ["death", "12", "group=cardinal-tetra"],
]  # fmt: skip


@pytest.mark.parametrize("words", GOOD, ids=lambda words: " ".join(words)[:30])
def test_a_good_input_is_taken_at_the_command_line(elm: Run, words: list[str]) -> None:
    type_in(elm, "elm.jsonl", [words])
    stored = read_case("elm.jsonl")
    assert stored.version == 3
    assert elm("case", "export", "elm.jsonl").out.encode() == Path("elm.jsonl").read_bytes()


def test_digits_are_kept_as_typed(elm: Run) -> None:
    type_in(elm, "elm.jsonl", [["water", "ph= 7.0 ", "temperature=25.50 C"]])
    tested = read_case("elm.jsonl").entries[-1]
    assert isinstance(tested, WaterTest)
    assert [r.amount and r.amount.value for r in tested.readings] == ["7.0", "25.50"]


def test_two_cases_may_have_equal_names(elm: Run) -> None:
    opening = ("--name", "Elm Road", "--keeper", "Marta Vell", "--water", "fresh")
    dated = ("--opened", "2026-03-02", "--zone", "Europe/London")
    assert elm("case", "new", "elm2.jsonl", *opening, *dated).code == 0
    listed = elm("case", "list", "--json").answer["cases"]
    assert [c["file"] for c in listed] == ["elm.jsonl", "elm2.jsonl"]
    assert {c["name"] for c in listed} == {"Elm Road"}


def test_a_broken_case_in_a_folder_is_listed_as_broken(elm: Run) -> None:
    Path("bad.jsonl").write_text("{}\n")
    listed = elm("case", "list", "--json").answer["cases"]
    assert "E-CASE-01" in listed[0]["fault"]
    assert listed[1]["fault"] == ""


def test_a_csv_with_units_in_its_header_and_a_declared_comma_is_taken(elm: Run) -> None:
    text = "kind;on;temperature [C];ammonia [mg/L as N]\r\n" + "".join(
        f"water;2026-03-{day:02d};25,{day};0,3\r\n" for day in (3, 4)
    )
    Path("water.csv").write_bytes(
        b"\xef\xbb\xbf# decimal=comma separator=semicolon\r\n" + text.encode()
    )
    assert elm("case", "add", "elm.jsonl", "--from", "water.csv").code == 0
    readings = read_case("elm.jsonl").view().systems
    assert readings == {}
    tests = read_case("elm.jsonl").view().water_tests
    assert [t.readings[0].amount.value for t in tests if t.readings[0].amount] == ["25.3", "25.4"]


def test_a_point_in_a_file_that_declares_a_comma_is_refused(elm: Run) -> None:
    Path("w.csv").write_text("# decimal=comma separator=semicolon\nkind;ph\nwater;7.4\n")
    ran = elm("case", "add", "elm.jsonl", "--from", "w.csv", "--json")
    assert ran.error["code"] == "E-NUM-02"
    assert ran.error["field"].startswith("line 3")


def test_one_kind_may_be_given_for_a_whole_file(elm: Run) -> None:
    Path("c.csv").write_text("on,fish,spots\n2026-03-04,loach,61\n2026-03-05,loach,30\n")
    assert elm("case", "add", "elm.jsonl", "count", "--from", "c.csv").code == 0
    assert [c.number for c in read_case("elm.jsonl").view().counts] == [61, 30]


def test_entries_come_from_a_json_file_and_a_course_is_kept_as_written(elm: Run) -> None:
    course = {"days": 14, "actions": [{"at_h": 0, "kind": "salt", "grams": 346.0}], "x": None}
    fields = {"kind": "course_chosen", "name": "Salt", "occurred_at": "2026-03-02T18:00+00:00",
              "starts_at": "2026-03-02T18:00+00:00", "course": course}  # fmt: skip
    Path("course.json").write_text(json.dumps(fields))
    assert elm("case", "add", "elm.jsonl", "--from", "course.json").code == 0
    chosen = read_case("elm.jsonl").view().course
    assert chosen is not None
    assert chosen.course == course


def test_export_import_export_through_the_commands_is_byte_identical(elm: Run) -> None:
    type_in(elm, "elm.jsonl", ELM)
    assert elm("case", "export", "elm.jsonl", "--to", "one.jsonl").code == 0
    assert elm("case", "import", "one.jsonl", "two.jsonl").code == 0
    assert elm("case", "export", "two.jsonl", "--to", "three.jsonl").code == 0
    assert Path("one.jsonl").read_bytes() == Path("three.jsonl").read_bytes()
    assert stat.S_IMODE(Path("three.jsonl").stat().st_mode) == 0o600


def test_a_misspelt_key_is_answered_with_the_near_one(elm: Run) -> None:
    ran = elm("case", "add", "elm.jsonl", "water", "temprature=25 C", "--json")
    assert ran.error["code"] == "E-NUM-01" or "temperature" in ran.error["needed"]
    ran = elm("case", "add", "elm.jsonl", "stock", "name=x", "lenght=3 cm", "--json")
    assert "perhaps length=" in ran.error["needed"]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["watr", "ph=7"], "E-WORD-01"), (["water", "ph=7", "colour=red"], "E-WORD-01"),
        (["water", "loose"], "E-WORD-01"), (["water", "ph=7", "ph=8"], "E-DUP-01"),
        (["stock", "name=a", "name=b"], "E-DUP-01"), (["finding", "f=a", "f=b"], "E-DUP-01"),
        (["system", "carbon=maybe"], "E-WORD-02"), (["system", "hose=14 L/min"], "E-WORD-02"),
        (["system", "salt-rise=500 g"], "E-WORD-02"), (["system", "adds=5 L"], "E-WORD-02"),
        (["system", "inside-length=5 cm"], "E-WORD-03"), (["system"], "E-WORD-03"),
        (["finding"], "E-WORD-03"), (["finding", "f="], "E-WORD-02"),
        (["decision", "perhaps", "reason=x"], "E-WORD-02"), (["decision", "stop"], "E-CASE-04"),
        (["other-amount", "action=salt"], "E-CASE-04"), (["note", "x", "on=2026-03-04",
         "on=2026-03-05"], "E-DUP-01"), (["photo", "file=../x.jpg"], "E-PATH-01"),
        (["stock", "name=x", "arrived=2027-01-01"], "E-DATE-03"), (["in-water", "x"], "E-WORD-01"),
        (["finding", "loose"], "E-WORD-01"), (["system", "main", "main"], "E-DUP-01"),
    ],
)  # fmt: skip
def test_a_word_that_does_not_fit_is_refused(elm: Run, words: list[str], code: str) -> None:
    before = Path("elm.jsonl").read_bytes()
    ran = elm("case", "add", "elm.jsonl", *words, "--json")
    assert (ran.code, ran.error["code"]) == (2, code), ran.error
    assert Path("elm.jsonl").read_bytes() == before


@pytest.mark.parametrize(
    ("option", "value", "code"),
    [
        ("--opened", "03/04/2026", "E-DATE-01"), ("--opened", "2027-01-01", "E-DATE-03"),
        ("--zone", "Mars", "E-DATE-04"), ("--name", "", "E-PATH-01"),
        ("--name", "evil\u202ename", "E-PATH-01"), ("--water", "swamp", "E-CASE-04"),
        ("--country", "Atlantis", "E-WORD-02"), ("--country", "EU", "E-WORD-02"),
    ],
)  # fmt: skip
def test_a_case_that_cannot_be_opened_leaves_no_file(
    tankside: Run, option: str, value: str, code: str
) -> None:
    words = {"--name": "x", "--keeper": "y", "--water": "fresh", "--zone": "UTC"} | {option: value}
    flat = [part for pair in words.items() for part in pair]
    ran = tankside("case", "new", "x.jsonl", *flat, "--json")
    assert (ran.code, ran.error["code"]) == (2, code), ran.error
    assert list(Path().iterdir()) == []


def test_a_full_disk_ends_with_exit_code_5(elm: Run, monkeypatch: pytest.MonkeyPatch) -> None:

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    before = Path("elm.jsonl").read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        ran = elm("case", "add", "elm.jsonl", "note", "x", "--json")
    assert (ran.code, ran.error["code"]) == (5, "E-DB-02")
    assert "Not saved, disk full" in ran.error["message"]
    assert Path("elm.jsonl").read_bytes() == before


def test_a_finding_the_ranking_cannot_read_is_refused_with_what_is_near(elm: Run) -> None:
    before = Path("elm.jsonl").read_bytes()
    ran = elm("case", "add", "elm.jsonl", "finding", "spot_sise=grain", "flashing=often", "--json")
    assert ran.error["code"] == "E-FIND-01"
    assert "perhaps spot_size" in ran.error["needed"]
    often = elm("case", "add", "elm.jsonl", "finding", "flashing=often", "--json")
    assert (often.error["code"], "frequent" in often.error["needed"]) == ("E-FIND-02", True)
    unclear = elm("case", "add", "elm.jsonl", "finding", "spot_form=f", "--json")
    assert unclear.error["code"] == "E-FIND-02"
    assert Path("elm.jsonl").read_bytes() == before
    typed = elm("case", "add", "elm.jsonl", "finding", "flashing=frequent", "--json")
    assert "notes" not in typed.answer


def test_a_group_or_system_that_was_never_described_is_a_slip(elm: Run) -> None:
    type_in(elm, "elm.jsonl", [["system", "display", "meter=100 L"], ["water", "ph=7.4"]])
    assert Reading.PH in read_case("elm.jsonl").view().systems["display"].readings
    for words in (["death", "1", "group=tetra"], ["water", "ph=7", "system=main"]):
        ran = elm("case", "add", "elm.jsonl", *words, "--json")
        assert ran.error["code"] == "E-WORD-02"
        assert "cardinal_tetra" in ran.error["needed"] or "display" in ran.error["needed"]
    type_in(elm, "elm.jsonl", [["system", "hospital", "meter=20 L"]])
    assert elm("case", "add", "elm.jsonl", "water", "ph=7", "--json").error["code"] == "E-WORD-03"
    type_in(elm, "elm.jsonl", [["water", "ph=7", "system=hospital"], ["stock", "eel", "count=1"]])


def test_rows_of_a_file_may_name_what_earlier_rows_describe(elm: Run) -> None:
    rows = "kind,group,count,number\nstock,loach,2,\ndeath,loach,,1\n"
    Path("x.csv").write_text(rows)
    assert elm("case", "add", "elm.jsonl", "--from", "x.csv").code == 0
    assert read_case("elm.jsonl").view().stock["loach"].alive == 1


def test_a_form_hands_keys_and_values_apart(elm: Run) -> None:
    words = [("temperature", "25.5 C"), ("on", "2026-03-04")]
    added = cases.add_typed("elm.jsonl", "water", words, by="me")
    assert [entry.kind for entry in added.new] == ["water_test"]
    fields = {"kind": "note", "text": "x", "occurred_at": "2026-03-04T12:00+00:00"}
    assert cases.add_fields("elm.jsonl", [fields], by="me").stored.version == 4


def test_what_is_shown_covers_every_kind_of_entry(elm: Run) -> None:
    more = [
        ["system", "hospital", "name=box", "use=hospital", "salt-rise=500 g raised 0.90 g/L",
         "shares-water=none", "lowest=9.5 C", "uv=?"],
        ["stock", "loach", "weight=5 g", "length=8 cm", "length-to=9 cm", "quarantined=?"],
        ["event", "hose left running", "changed=80 L"], ["event", "?"], ["in-water", "?"],
        ["in-water", "agent=salt", "amount=2 g/L"], ["in-water", "agent=dye", "amount=?"],
        ["water", "system=hospital", "sample=tap", "ph=7.4", "oxygen=not-measured", "nitrite=?"],
        ["finding", "activity=?", "breathing=fast or gasping"],
        ["count", "spots=mean 5"], ["count", "spots=not-looked", "fish=loach"],
        ["not-done", "action=siphon", "reason=away"], ["other-amount", "action=salt",
         "amount=60 g"], ["suspected", "condition=ICH", "shown-by=look"],
        ["decision", "go-on", "reason=spots gone is not clear"], ["photo", "file=a.jpg"],
        ["course", "name=salt", "starts=2026-03-03T18:00"], ["note", "x"],
        ["closed", "lost-contact"],
    ]  # fmt: skip
    type_in(elm, "elm.jsonl", more)
    text = elm("case", "show", "elm.jsonl", "--history").out.replace(NO_BREAK, " ")
    for shown in ("556 L", "one method only, weak", "8 cm, to 9 cm", "80 L changed", "2 g/L",
                 "amount not known", "tap water, ph 7.4, oxygen not looked, nitrite keeper does",
                 "breathing: fast or gasping", "mean 5 spots", "spots not looked, loach",
                 "siphon (not done)", "salt (other amount), 60 g", "ICH suspected, by look",
                 "go on: spots gone", "salt, from 2026-03-03", "CLOSED: lost contact",
                 "uv keeper does not know", "quarantined keeper does not know"):  # fmt: skip
        assert shown in text, shown
    answer = elm("case", "show", "elm.jsonl", "--json").answer
    assert answer["closed"]["outcome"] == "lost_contact"
    assert len(answer["history"]) == answer["version"]


def test_the_present_must_be_told_in_full(elm: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    for shown in ("2026-03-04", "2026-03-04T10:00", "now"):
        monkeypatch.setenv("TANKSIDE_NOW", shown)
        assert elm("case", "add", "elm.jsonl", "death", "0", "--json").error["code"] == "E-DATE-01"
    monkeypatch.delenv("TANKSIDE_NOW")
    assert elm("case", "show", "elm.jsonl").code == 0


def test_a_file_that_is_not_there_or_empty_is_said(elm: Run) -> None:
    Path("empty.jsonl").write_text("\n")
    Path("numbered.json").write_text('[{"kind": "note", "id": 3, "text": "x"}]')
    for name, code in (("no.csv", "E-PATH-02"), ("empty.jsonl", "E-CSV-01"),
                       ("numbered.json", "E-CASE-04")):  # fmt: skip
        ran = elm("case", "add", "elm.jsonl", "--from", name, "--json")
        assert ran.error["code"] == code
    assert elm("case", "import", "no.jsonl", "new.jsonl", "--json").error["code"] == "E-PATH-02"
    assert elm("case", "export", "elm.jsonl", "--json").answer["lines"][0].startswith("{")
    assert elm("case", "list", "nowhere", "--json").error["code"] == "E-PATH-02"
    Path("empty").mkdir()
    assert elm("case", "list", "empty").out.startswith("No cases here")


def test_the_commands_of_the_manual_run_as_printed(tankside: Run) -> None:
    page = (Path(__file__).parents[2] / "docs" / "case.md").read_text(encoding="utf-8")
    block = page.split("```")[1].replace("\\\n", " ")
    lines = [shlex.split(line) for line in block.strip().splitlines()]
    assert len(lines) > 8
    for words in lines:
        assert words[0] == "tankside"
        ran = tankside(*words[1:])
        assert ran.code == 0, (words, ran.err)
        assert "NOTE" not in ran.out
    assert [c.number for c in read_case("elm.jsonl").view().counts] == [16]


def test_the_manual_names_every_key_that_show_prints(elm: Run) -> None:
    page = (Path(__file__).parents[2] / "docs" / "case.md").read_text(encoding="utf-8")
    answer = elm("case", "show", "elm.jsonl", "--json").answer
    assert [key for key in answer if f'"{key}"' not in page] == []


def test_present_means_every_answer_but_the_healthy_one_and_says_less_than_a_named_one(
    elm: Run,
) -> None:
    assert (
        elm("case", "add", "elm.jsonl", "wet-mount", "skin-scrape", "m_big_ciliate=present").code
        == 0
    )
    assert _answers("m_big_ciliate") == {
        "crescent_nucleus", "nucleus_beaded_or_hidden", "daughters_inside_spot"
    }  # fmt: skip
    elm("case", "add", "elm.jsonl", "wet-mount", "gill-clip", "m_big_ciliate=7 crescent_nucleus")
    elm("case", "add", "elm.jsonl", "wet-mount", "fin-clip", "m_big_ciliate=1 present")
    assert _answers("m_big_ciliate") == {"crescent_nucleus"}


def _answers(finding: str) -> frozenset[str]:
    return evidence_of(read_case("elm.jsonl").view()).answers[finding]
