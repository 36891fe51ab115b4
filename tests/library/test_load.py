"""The base loads fast, resolves every source, and takes a new subject as one new file."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

import pytest

from tankside.claims import Provenance
from tankside.errors import BadInput
from tankside.library import data_root, load
from tankside.library.lint import lint
from tankside.library.load import read_knowledge

COLD_START = 4
"""Processor time of a first load, start of the interpreter included, at most so many times that of
parsing the text of its files with the standard library; 1.7 to 2.7 measured."""

AGENT = """[agent]
id = "moonwort_oil"
name = "Moonwort oil"
kind = "substance"
basis = "as moonwort oil"
actives = ["moonwort"]
host_class = ""

[[claim]]
key = "dose.bath"
value = 3
unit = "mg/L"
basis = "as moonwort oil"
provenance = "estimate"
confidence = "low"
note = "made up"

[[claim]]
key = "hard_max.bath"
value = 4
unit = "mg/L"
basis = "as moonwort oil"
provenance = "estimate"
confidence = "low"
note = "made up"
"""
HOST = """[host]
id = "lanterna_ficta"
name = "lantern tetra"
latin = "Lanterna ficta"
group = "tetra"
water = "fresh"

[[claim]]
key = "temperature_high"
value = 27
unit = "C"
provenance = "estimate"
confidence = "low"

[[claim]]
key = "temperature_low"
value = 22
unit = "C"
provenance = "estimate"
confidence = "low"

[[claim]]
key = "tolerance.copper"
unknown = "nobody has tried"
provenance = "estimate"
confidence = "low"

[[claim]]
key = "tolerance.salt"
value = "care"
provenance = "estimate"
confidence = "low"
"""
ORGANISM = """[organism]
id = "spiralis_ficta"
latin = "Spiralis ficta"
name = "made-up worm"
water = "fresh"
seen_by = "worms"
note = "made up"

[[stage]]
key = "adult"
place = "host"
kind = "rated"
words = "on the skin"

[[claim]]
key = "adult.life"
value = 9
low = 6
high = 14
unit = "d"
provenance = "estimate"
confidence = "low"
note = "made up"
"""


def test_the_whole_base_loads_cold_in_little_more_time_than_its_text_is_parsed(
    tmp_path: Path,
) -> None:
    """Both in one new process, so that a slow or busy machine slows both alike."""
    script = (
        "import time, tomllib\n"
        "from tankside.library import load\n"
        "from tankside.library import data_root\n"
        "facts, loaded = len(load().facts), time.process_time()\n"
        "texts = [path.read_text(encoding='utf-8') for path in data_root().rglob('*.toml')]\n"
        "begun = time.process_time()\n"
        "for text in texts: tomllib.loads(text)\n"
        "print(facts, loaded / (time.process_time() - begun))"
    )
    times = []
    for number in range(3):  # each with an empty place for what is kept
        cold = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path / str(number))}
        run = subprocess.run(
            [sys.executable, "-c", script], env=cold, capture_output=True, text=True, check=True
        )
        facts, ratio = run.stdout.split()
        times.append(float(ratio))
    assert int(facts) > 5000
    assert min(times) < COLD_START


def test_no_file_of_the_base_is_parsed_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    parsed = Counter[str]()
    parse = tomllib.loads

    def counted(text: str) -> dict[str, object]:
        parsed[text] += 1
        return parse(text)

    monkeypatch.setattr(tomllib, "loads", counted)
    knowledge = read_knowledge(data_root(), [])
    assert len(knowledge.facts) > 5000
    assert set(parsed.values()) == {1}


def test_every_claim_resolves_to_a_source_or_carries_a_mark() -> None:
    base = load()
    for same_key in (*base.facts.values(), *base.rejected.values()):
        for claim in same_key:
            if claim.source:
                assert claim.source in base.sources, claim.key
            else:
                assert claim.provenance is not Provenance.FOUND, claim.key


def test_what_others_build_on_is_there() -> None:
    base = load()
    assert base.agents["copper_sulphate"].basis == "as CuSO4.5H2O"
    assert base.bounds("agent.formalin.dose.prolonged") == (15, 25)
    assert base.number("agent.copper_ionic.hard_max.prolonged") == 0.20
    assert base.hosts["poecilia_reticulata"].tolerance("copper") == "avoid"
    assert base.hosts["poecilia_reticulata"].tolerance("levamisole") == "not_known"
    assert base.find("host.poecilia_reticulata.tolerance.levamisole") is None


def test_rivals_tell_default_and_why() -> None:
    rivals = load().rivals("organism.ichthyophthirius_multifiliis.rivals.bottom_stage_warm")
    assert rivals.default is not None
    assert rivals.default.source == "coyne_2011"
    assert [other.value for other in rivals.others] == [6]
    assert rivals.others[0].provenance is Provenance.COMMON_PRACTICE
    assert "no source" in rivals.why


def test_trade_facts_without_source_stand_beside_what_they_disagree_with() -> None:
    base = load()
    ich, second = "ichthyophthirius_multifiliis", "neoichthyophthirius_schlotfeldti"
    for key in (
        f"organism.{ich}.rivals.bottom_stage_warm",
        f"organism.{ich}.rivals.division_in_light",
        f"organism.{ich}.rivals.course_length_warm",
        f"organism.{second}.rivals.salt_strength",
    ):
        rivals = base.rivals(key)
        assert rivals.default is not None
        assert rivals.default.provenance is not Provenance.COMMON_PRACTICE
        assert any(other.provenance is Provenance.COMMON_PRACTICE for other in rivals.others)
        assert rivals.why


def test_rejected_claims_are_kept_but_never_looked_up() -> None:
    base = load()
    refused = base.rejected["agent.formalin_malachite_green.interval.prolonged"]
    assert refused[0].high == 240
    assert base.claim("agent.formalin_malachite_green.interval.prolonged").high == 48


def test_an_unknown_key_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        load().claim("agent.nothing.dose.bath")
    with pytest.raises(KeyError):
        load().rivals("agent.nothing.dose.bath")


@pytest.mark.parametrize(
    ("folder", "name", "text", "key", "value"),
    [
        ("agents", "moonwort_oil", AGENT, "agent.moonwort_oil.dose.bath", 3),
        ("hosts", "lanterna_ficta", HOST, "host.lanterna_ficta.temperature_high", 27),
        ("organisms", "spiralis_ficta", ORGANISM, "organism.spiralis_ficta.adult.life", 9),
    ],
)
def test_a_new_subject_is_one_new_file(
    folder: str, name: str, text: str, key: str, value: int, tmp_path: Path
) -> None:
    root = tmp_path / "data"
    shutil.copytree(data_root(), root)
    assert not (root / folder / f"{name}.toml").exists()
    (root / folder / f"{name}.toml").write_text(text, encoding="utf-8")
    base = load(root)
    assert base.number(key) == value
    if folder == "agents":
        assert base.agents[name].routes == ("bath",)
    if folder == "organisms":
        assert [stage.key for stage in base.organisms[name].stages] == ["adult"]
        assert base.organisms[name].known("adult.life")
    if folder == "hosts":
        assert base.hosts[name].tolerance("copper") == "not_known"
        assert base.hosts[name].tolerance("salt") == "care"
        assert base.hosts[name].temperature_range_c() == (22, 27)


def test_a_faulty_base_is_refused_with_file_key_and_repair(tmp_path: Path) -> None:
    root = tmp_path / "data"
    (root / "agents").mkdir(parents=True)
    text = AGENT.replace('confidence = "low"', 'confidence = "sure"')
    (root / "agents" / "moonwort_oil.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        load(root)
    assert refused.value.code == "E-KNOW-01"
    assert refused.value.field == "agents/moonwort_oil.toml"
    assert "high, medium, low" in refused.value.needed
    assert [p.check for p in lint(root)].count("confidence") == 2


def test_names_of_breeds_and_the_trade_belong_to_one_host_each() -> None:
    names = [name for host in load().hosts.values() for name in host.also]
    assert len(names) == len(set(names))
    assert "oranda" in load().hosts["carassius_auratus_fancy"].also
