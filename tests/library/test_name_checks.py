"""Names of substances in the files: each seeded fault is found, with the file and the repair."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tankside.library import data_root, name_checks
from tankside.library.house import House
from tankside.library.lint import CHECKS
from tankside.library.problem import Problem
from tankside.library.schema_check import schema_problems
from tankside.library.source_files import read_sources
from tankside.library.subject_files import read_subjects

SALT = "agents/sodium_chloride.toml"
FORMALIN = "agents/formalin.toml"
AMBIGUOUS = "practice/ambiguous_names.toml"
KEPT = ("sources/works.csv", "sources/diagnosis.csv", AMBIGUOUS)
Change = Callable[[str], str]


def swap(old: str, new: str) -> Change:
    def change(text: str) -> str:
        assert old in text, f"the fault cannot be seeded: {old!r} is not in the file"
        return text.replace(old, new, 1)

    return change


def both(first: Change, second: Change) -> Change:
    return lambda text: second(first(text))


def without_names(text: str) -> str:
    head, _, rest = text.partition("also = [\n")
    return head + rest.partition("\n]\n")[2]


NACL = '{ name = "NaCl", kind = "formula", provenance = "memory" }'
# name of the fault, file, how it is seeded, check, key, a word of the repair
Fault = tuple[str, str, Change, str, str, str]
FAULTS: tuple[Fault, ...] = (
    ("no names", SALT, without_names, "names_are_there", "also", "add also"),
    ("a name of another agent", SALT, swap('"common salt"', '"Formol"'), "names_apart", "ormol",
     "practice/ambiguous_names.toml"),
    ("a name of another agent in the plural", SALT, swap('"common salt"', '"blue stones"'),
     "names_apart", "blue stones", "practice/ambiguous_names.toml"),
    ("a name twice", SALT, swap(NACL, f"{NACL}, {NACL.replace('Na', 'na')}"), "names_apart",
     "naCl", "keep it in one file"),
    ("a form that is none", FORMALIN, swap('form = "as formaldehyde"', 'form = "as moon dust"'),
     "name_forms", "50-00-0", "as formaldehyde"),
    ("found, but nowhere", SALT, swap(NACL, NACL.replace("memory", "found")), "name_sources",
     "NaCl", "register"),
    ("a work that is not there", SALT,
     swap(NACL, NACL.replace("memory", 'found", source = "nobody_1900')), "name_sources", "NaCl",
     "register"),
    ("recalled, yet from a work", SALT,
     swap(NACL, NACL.replace('"memory"', '"memory", source = "thomas_2016"')), "name_sources",
     "NaCl", "register"),
    ("a digit of a number", SALT, swap("7647-14-5", "7647-14-6"), "cas_digit", "7647-14-6",
     "safety sheet"),
    ("digits the wrong way round", SALT, swap("7647-14-5", "7674-14-5"), "cas_digit",
     "7674-14-5", "safety sheet"),
    ("no number at all", SALT, swap("7647-14-5", "7647145"), "cas_digit", "7647145",
     "safety sheet"),
    ("a kind that is none", SALT, swap('kind = "formula"', 'kind = "brand"'), "schema", "agent",
     "schema"),
    ("a field that is none", SALT, swap(NACL, NACL.replace("kind", "maker")), "schema", "agent",
     "schema"),
    ("several that are no agents", AMBIGUOUS,
     swap('"copper_chelated, copper_cit', '"copper_chalated, copper_cit'), "ambiguous_names",
     "copper", "agent, agent, other"),
    ("several that is one", AMBIGUOUS, swap('"chloramine_t, other"', '"chloramine_t"'),
     "ambiguous_names", "chloramine", "agent, agent, other"),
    ("a key that is not the name", AMBIGUOUS, swap('key = "seasalt"', 'key = "sea_salt"'),
     "ambiguous_names", "sea_salt", "conditions"),
    ("an agent's own name", AMBIGUOUS,
     both(swap('key = "seasalt"', 'key = "nacl"'), swap('"sea salt"', '"NaCl"')),
     "ambiguous_names", "nacl", "conditions"),
)  # fmt: skip


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the agents and of what their names need, clean by itself."""
    root = tmp_path_factory.mktemp("base")
    shutil.copytree(data_root() / "agents", root / "agents")
    for name in KEPT:
        (root / name).parent.mkdir(exist_ok=True)
        shutil.copy(data_root() / name, root / name)
    return root


def name_faults(root: Path) -> list[Problem]:
    house = House(root, tuple(read_subjects(root, [])), read_sources(root, []), ())
    problems = [problem for check in name_checks.CHECKS for problem in check(house)]
    return [*problems, *schema_problems(root)]


def test_the_linter_asks_for_names() -> None:
    assert set(name_checks.CHECKS) <= set(CHECKS)


def test_the_copy_is_clean_before_it_is_spoilt(base: Path) -> None:
    assert name_faults(base) == []


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f[0])
def test_a_seeded_fault_is_found_with_file_key_and_repair(fault: Fault, base: Path) -> None:
    _, file, spoil, check, key, repair = fault
    path = base / file
    sound = path.read_text(encoding="utf-8")
    path.write_text(spoil(sound), encoding="utf-8")
    try:
        problems = name_faults(base)
    finally:
        path.write_text(sound, encoding="utf-8")
    hits = [p for p in problems if p.check == check and key in p.key]
    assert hits, problems
    assert any(p.file == file for p in hits)
    assert repair in hits[0].repair
