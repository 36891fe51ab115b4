"""Lint refuses care that leaves something out, orders it badly, doses, or hides a duty."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.library import data_root
from tankside.library.care_checks import care_of_every_cause
from tankside.library.house import House
from tankside.library.lint import lint
from tankside.library.subject_files import read_subjects

SPOTS, ALWAYS, GROUPS = "care/ich.toml", "care/any_cause.toml", "care/not_in_list.toml"
KEPT = (SPOTS, ALWAYS, GROUPS, *(f"sources/{n}.csv" for n in ("works", "care", "fits")))
KEPT += ("sources/diagnosis.csv", "sources/water.csv")
BREAK = "\n\n[[claim]]\n"
Change = Callable[[str], str]


def claims(text: str) -> list[str]:
    return text.rstrip("\n").split(BREAK)


def joined(parts: list[str]) -> str:
    return BREAK.join(parts) + "\n"


def without_section(section: str) -> Change:
    def dropped(text: str) -> str:
        head, *rest = claims(text)
        left = [body for body in rest if not body.startswith(f'key = "{section}.')]
        assert len(left) < len(rest), f"the fault cannot be seeded: nothing under {section}"
        return joined([head, *left])

    return dropped


def in_claim(key: str, old: str, new: str) -> Change:
    def changed(text: str) -> str:
        parts = claims(text)
        at = next(i for i, body in enumerate(parts) if body.startswith(f'key = "{key}"\n'))
        assert re.search(old, parts[at]), f"the fault cannot be seeded: {old!r} is not in {key}"
        parts[at] = re.sub(old, lambda _: new, parts[at], count=1)
        return joined(parts)

    return changed


def swap(old: str, new: str) -> Change:
    def changed(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return changed


def drug_first(text: str) -> str:
    """Let the first drug of the day be said before the water."""
    parts = claims(text)
    drug = next(
        i
        for i, body in enumerate(parts)
        if body.startswith('key = "today.') and 'act = "medicine"' in body
    )
    water = next(
        i
        for i, body in enumerate(parts)
        if body.startswith('key = "today.') and 'act = "by_hand"' in body
    )
    parts[water] = parts[water].replace('act = "by_hand"', 'act = "water"')
    parts.insert(water, parts.pop(drug))
    return joined(parts)


SALT, DOSES, FINISH = "today.warm_fresh_water", "today.plan_several_doses", "finish_skin_gill"

# name of the fault, file, how it is seeded, key in the message, check
FAULTS: tuple[tuple[str, str, Change, str, str], ...] = (
    *(
        (f"nothing under {section}", SPOTS, without_section(section), section, "care_sections")
        for section in ("now", "must_not", "laboratory", "stop_rule", "prevention")
    ),
    ("no end of suffering", ALWAYS, without_section("suffering"), "suffering", "care_end_of_life"),
    ("a drug before the water", SPOTS, drug_first, DOSES, "care_order"),
    (
        "a drug at once",
        SPOTS,
        in_claim("now.treat_emergency_untreated", 'act = "know"', 'act = "salt"'),
        "now.treat_emergency_untreated",
        "care_order",
    ),
    (
        "an amount of salt",
        SPOTS,
        in_claim(SALT, "steady low salt", "salt of 3 g/L"),
        SALT,
        "care_amounts",
    ),
    (
        "an amount in the note of a medicine",
        SPOTS,
        in_claim(DOSES, r"\nprovenance", '\nnote = "two mg in the copy"\nprovenance'),
        DOSES,
        "care_amounts",
    ),
    (
        "a share where a veterinarian decides",
        ALWAYS,
        in_claim("suffering.make_sure", "The fish stays", "At 5 % the fish stays"),
        "suffering.make_sure",
        "care_amounts",
    ),
    (
        "a medicine left to the keeper",
        SPOTS,
        in_claim(DOSES, 'decides = "veterinarian"', 'decides = "keeper"'),
        DOSES,
        "care_medicines",
    ),
    (
        "a duty without its date",
        SPOTS,
        in_claim("report.not_listed", ', as_of = "not printed"', ""),
        "report.not_listed",
        "care_duties",
    ),
    (
        "a country outside the duties",
        SPOTS,
        in_claim(
            "now.air", 'decides = "keeper"', 'decides = "keeper", country = "GB", as_of = "2020"'
        ),
        "now.air",
        "care_duties",
    ),
    (
        "a stop rule without days",
        SPOTS,
        in_claim(f"stop_rule.{FINISH}", ', days = "7, 14"', ""),
        f"stop_rule.{FINISH}",
        "care_duties",
    ),
    (
        "a day that is no number",
        SPOTS,
        in_claim(f"stop_rule.{FINISH}", ', days = "7, 14"', ', days = "soon"'),
        f"stop_rule.{FINISH}",
        "care_words",
    ),
    (
        "a section nobody reads",
        SPOTS,
        in_claim("now.air", 'key = "now.air"', 'key = "soon.air"'),
        "soon.air",
        "care_words",
    ),
    (
        "an act nobody knows",
        SPOTS,
        in_claim("now.air", 'act = "air"', 'act = "breeze"'),
        "now.air",
        "care_words",
    ),
    (
        "leaving out what is not there",
        GROUPS,
        swap('depth = "situation"', 'depth = "situation"\nwithout = ["now.breeze"]'),
        "now.breeze",
        "care_without",
    ),
    ("a depth nobody knows", SPOTS, swap('depth = "full"', 'depth = "deep"'), "depth", "head"),
    ("a head without a name", SPOTS, swap('name = "', 'title = "'), "name", "head"),
    (
        "a second source that is not in the register",
        SPOTS,
        in_claim(DOSES, r"further = \[", 'further = ["no_such_work", '),
        f"care.ich.{DOSES}",
        "source",
    ),
    (
        "second sources that are no list",
        SPOTS,
        in_claim(DOSES, r"further = \[.*\]", 'further = "a_work"'),
        DOSES,
        "type",
    ),
    (
        "a statement too long to be read aloud",
        SPOTS,
        in_claim("now.air", "Increase aeration at once", "Increase aeration at once " * 12),
        "now.air",
        "schema",
    ),
    (
        "a field nobody reads",
        SPOTS,
        in_claim("now.air", r"\nprovenance", '\nunit = "mg"\nprovenance'),
        "now.air",
        "schema",
    ),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in KEPT:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copyfile(data_root() / name, tmp_path / name)
    return tmp_path


def of_care(root: Path) -> list[tuple[str, str, str]]:
    return [
        (problem.file, problem.key, problem.check)
        for problem in lint(root)
        if problem.file.startswith("care/") and problem.check != "care_of_every_cause"
    ]


def test_the_copy_without_a_fault_is_clean(folder: Path) -> None:
    assert of_care(folder) == []


@pytest.mark.parametrize(
    ("file", "seed", "key", "check"),
    [pytest.param(*fault[1:], id=fault[0].replace(" ", "_")) for fault in FAULTS],
)
def test_a_planted_fault_is_named(
    folder: Path, file: str, seed: Change, key: str, check: str
) -> None:
    path = folder / file
    path.write_text(seed(path.read_text(encoding="utf-8")), encoding="utf-8")
    assert (file, key, check) in of_care(folder)


def house(folder: Path, *conditions: str) -> House:
    (folder / "conditions").mkdir()
    for condition in conditions:
        (folder / "conditions" / f"{condition}.toml").write_text("", encoding="utf-8")
    return House(folder, tuple(read_subjects(folder, [])), {}, ())


GROUPED = tuple(f"not_in_list_{name}" for name in ("germ", "organ", "rest", "water"))


def test_a_cause_without_a_protocol_is_refused(folder: Path) -> None:
    problems = list(care_of_every_cause(house(folder, "ich", "khv", *GROUPED)))
    assert [(p.file, p.key) for p in problems] == [("conditions/khv.toml", "KHV")]
    assert "care/khv.toml" in problems[0].repair


def test_a_protocol_of_a_cause_that_is_not_there_is_refused(folder: Path) -> None:
    problems = list(care_of_every_cause(house(folder, *GROUPED)))
    assert [(p.file, p.key) for p in problems] == [(SPOTS, "ICH")]


@pytest.mark.parametrize(
    ("file", "old", "new", "key"),
    [
        (SPOTS, 'causes = ["ICH"]', "causes = []", "ich"),
        (SPOTS, 'causes = ["ICH"]', 'causes = ["ICH", "NOT_IN_LIST_REST"]', "NOT_IN_LIST_REST"),
        (ALWAYS, "causes = []", 'causes = ["KHV"]', "any_cause"),
        (GROUPS, 'only = "NOT_IN_LIST_GERM"', 'only = "ICH"', "now.close_the_tank"),
    ],
)
def test_a_protocol_serves_each_cause_alone(
    folder: Path, file: str, old: str, new: str, key: str
) -> None:
    path = folder / file
    path.write_text(swap(old, new)(path.read_text(encoding="utf-8")), encoding="utf-8")
    assert key in [p.key for p in care_of_every_cause(house(folder, "ich", "khv", *GROUPED))]


def test_the_command_tells_a_missing_section_and_how_to_repair_it(folder: Path) -> None:
    path = folder / SPOTS
    path.write_text(without_section("stop_rule")(path.read_text(encoding="utf-8")))
    ran = CliRunner().invoke(app, ["knowledge", "lint", "--folder", str(folder)])
    assert ran.exit_code == 2
    assert "care/ich.toml: stop_rule: the protocol says nothing under stop_rule." in ran.output
