"""House checks: the shipped base passes, every seeded fault is found with its repair."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tankside.library import data_root
from tankside.library.lint import lint

KEPT = (
    "sources/works.csv",
    "sources/diagnosis.csv",
    "agents/levamisole.toml",
    "agents/fenbendazole.toml",
    "hosts/danio_rerio.toml",
    "organism_claims/dactylogyrus_vastator.csv",
    "quarantine/times.toml",
    "experiments/ho_13.toml",
    "spread/cryptocaryon_irritans.toml",
    "spread/cryptocaryon_irritans.csv",
)
WORKS, AGENT, OTHER, HOST = KEPT[0], KEPT[2], KEPT[3], KEPT[4]
WORM, TIMES, SPREAD = KEPT[5], KEPT[6], KEPT[8]


def swap(old: str, new: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        assert old in text, f"the fault cannot be seeded: {old!r} is not in the file"
        return text.replace(old, new, 1)

    return change


def both(first: Callable[[str], str], second: Callable[[str], str]) -> Callable[[str], str]:
    return lambda text: second(first(text))


def without(field: str) -> Callable[[str], str]:
    return lambda body: "".join(x for x in body.splitlines(True) if not x.startswith(field))


def behind(added: str) -> Callable[[str], str]:
    return lambda line: f"{line}\n{added}"


def upside_down(text: str) -> str:
    head, *rows = text.strip().split("\n")
    return "\n".join([head, *reversed(rows)]) + "\n"


def claim(key: str, change: Callable[[str], str]) -> Callable[[str], str]:
    """Change one [[claim]] of a TOML text."""

    def inside(text: str) -> str:
        head, *claims = text.split("\n[[claim]]\n")
        chosen = next(i for i, body in enumerate(claims) if f'key = "{key}"\n' in body)
        claims[chosen] = change(claims[chosen])
        return "\n[[claim]]\n".join([head, *claims])

    return inside


def again(key: str, change: Callable[[str], str] = lambda body: body) -> Callable[[str], str]:
    """Enter one claim a second time, right behind the first."""
    return claim(key, lambda body: body.rstrip("\n") + "\n\n[[claim]]\n" + change(body))


def drop(key: str) -> Callable[[str], str]:
    def dropped(text: str) -> str:
        head, *claims = text.split("\n[[claim]]\n")
        left = [body for body in claims if f'key = "{key}"\n' not in body]
        assert len(left) < len(claims)
        return "\n[[claim]]\n".join([head, *left])

    return dropped


def last_first(text: str) -> str:
    head, first, *claims = text.split("\n[[claim]]\n")
    return "\n[[claim]]\n".join([head, *claims[:-1], claims[-1].rstrip("\n") + "\n", first])


def row(key: str, change: Callable[[str], str]) -> Callable[[str], str]:
    """Change one row of the register."""

    def inside(text: str) -> str:
        lines = text.split("\n")
        chosen = next(i for i, line in enumerate(lines) if line.startswith(f"{key},"))
        lines[chosen] = change(lines[chosen])
        return "\n".join(lines)

    return inside


TANGLED = 'conditions = { level = "blocked", why = "made up" }\nprovenance = "memory"\n'
STRANGER = f'\n[[claim]]\nkey = "incompatible.nothing"\nvalue = 72\nunit = "h"\n{TANGLED}'

WORDLESS = 'high = 2\nunit = "g/L"\nprovenance = "memory"\n'
MOST = f'\n[[claim]]\nkey = "most.salt"\n{WORDLESS}'
PART = '\n[[claim]]\nkey = "holds.nothing"\nvalue = 1\nunit = "mg/mg"\nprovenance = "memory"\n'
BY_TEST = '\n[[claim]]\nkey = "titrate.every"\nvalue = 24\nunit = "h"\nprovenance = "memory"\n'

# name of the fault, file, how it is seeded, key in the message, check, a word of the repair
FAULTS: tuple[tuple[str, str, Callable[[str], str], str, str, str], ...] = (
    (
        "spread from an unregistered work",
        SPREAD,
        swap('[[experiment]]\nsource = "yoshinaga_2007"', '[[experiment]]\nsource = "nobody_1900"'),
        "nobody_1900",
        "spread_sources",
        "data/sources",
    ),
    (
        "printed row of no experiment",
        SPREAD,
        swap('[[row]]\nsource = "jfc_2018"', '[[row]]\nsource = "colorni_1985"'),
        "colorni_1985",
        "spread_rows",
        "experiment",
    ),
    (
        "readings that are believed too little",
        SPREAD,
        swap("weight = 1.0", "weight = 0.7"),
        "reading",
        "spread_rows",
        "mend",
    ),
    (
        "spread of a claim that the table lacks",
        SPREAD,
        swap('claim = "cyst.offspring"', 'claim = "cyst.brood"'),
        "",
        "spread_table",
        "tankside bench spread",
    ),
    (
        "misspelt field",
        AGENT,
        claim("dose.bath", swap("confidence", "confidance")),
        "dose.bath",
        "field",
        "use one of",
    ),
    (
        "provenance missing",
        AGENT,
        claim("dose.bath", swap('provenance = "found"\n', "")),
        "dose.bath",
        "provenance",
        "one of found",
    ),
    (
        "provenance in old words",
        AGENT,
        claim("dose.bath", swap('"found"', '"published_found"')),
        "dose.bath",
        "provenance",
        "one of found",
    ),
    (
        "confidence in old words",
        AGENT,
        claim("dose.bath", swap('"high"', '"med"')),
        "dose.bath",
        "confidence",
        "one of high",
    ),
    (
        "unit not known",
        AGENT,
        claim("dose.bath", swap('"mg/L"', '"mgl"')),
        "dose.bath",
        "unit_known",
        "units.py",
    ),
    (
        "unit not of the quantity",
        AGENT,
        claim("minutes.bath", swap('"min"', '"h"')),
        "minutes.bath",
        "unit_of_quantity",
        "convert it to min",
    ),
    (
        "low above high",
        AGENT,
        claim("dose.bath", swap("low = 2", "low = 3")),
        "dose.bath",
        "range_order",
        "exchange",
    ),
    (
        "value outside its range",
        AGENT,
        claim("dose.bath", swap("value = 2", "value = 20")),
        "dose.bath",
        "value_in_range",
        "widen",
    ),
    (
        "dangling source",
        AGENT,
        claim("dose.bath", swap("uf_ifas_cir91", "uf_ifas_cir19")),
        "dose.bath",
        "source",
        "add the work",
    ),
    (
        "duplicate key",
        AGENT,
        again("dose.bath", swap("value = 2", 'value = 2.0\nplace = "p. 6"')),
        "dose.bath",
        "one_default",
        "why_default",
    ),
    (
        "default without reason",
        AGENT,
        claim("dose.bath", swap("confidence", "default = true\nconfidence")),
        "dose.bath",
        "why_default",
        "why_default",
    ),
    ("claim entered twice", AGENT, again("dose.bath"), "dose.bath", "no_duplicate", "keep one"),
    (
        "memory marked as found",
        HOST,
        claim("air_breather", swap('"memory"', '"found"')),
        "air_breather",
        "memory_not_found",
        "memory",
    ),
    (
        "found without source",
        AGENT,
        claim("dose.bath", swap('source = "uf_ifas_cir91"\n', "")),
        "dose.bath",
        "found_has_source",
        "name the source",
    ),
    (
        "missing basis",
        AGENT,
        claim("hard_max.bath", without("basis")),
        "hard_max.bath",
        "basis_stated",
        "basis",
    ),
    ("unsorted file", AGENT, last_first, "course_days.feed", "file_sorted", "alphabet"),
    ("unsorted flat table", WORM, upside_down, "printed", "file_sorted", "alphabet"),
    (
        "DOI malformed",
        WORKS,
        row("thomas_2016", swap("10.7717/peerj.1857", "doi:10.7717/peerj.1857")),
        "thomas_2016",
        "doi_form",
        "10.1234",
    ),
    (
        "source registered twice",
        WORKS,
        row("thomas_2016", lambda line: f"{line}\n{line}"),
        "thomas_2016",
        "source_twice",
        "one row per work",
    ),
    (
        "source key malformed",
        WORKS,
        row("thomas_2016", swap("thomas_2016", "Thomas-2016")),
        "Thomas-2016",
        "source_key_form",
        "author_year",
    ),
    (
        "register not sorted",
        WORKS,
        row("thomas_2016", behind("aaa_2000,A work nobody wrote 2000,,,found,")),
        "aaa_2000",
        "register_sorted",
        "before thomas_2016",
    ),
    (
        "mirror cited",
        WORKS,
        row("thomas_2016", swap(",,found", ",scribd.com/doc/1,found")),
        "thomas_2016",
        "work_cited",
        "mirrors",
    ),
    (
        "one work under two keys",
        WORKS,
        row("thomas_2016", behind("thomas_2016_b,Another name for it,10.7717/peerj.1857,,found,")),
        "thomas_2016_b",
        "one_key_per_work",
        "delete this row",
    ),
    (
        "status word",
        WORKS,
        row("thomas_2016", swap(",found,", ",seen,")),
        "thomas_2016",
        "status",
        "one of found",
    ),
    (
        "columns of the register",
        WORKS,
        swap("key,citation", "id,citation"),
        "",
        "columns",
        "use exactly key",
    ),
    (
        "nothing stated",
        AGENT,
        claim("effect.plants", without("unknown")),
        "effect.plants",
        "unknown",
        "unknown =",
    ),
    (
        "value and unknown",
        AGENT,
        claim("effect.plants", swap("unknown", 'value = "spared"\nunknown')),
        "effect.plants",
        "unknown",
        "not both",
    ),
    (
        "malformed key",
        AGENT,
        claim("dose.bath", swap("dose.bath", "Dose bath")),
        "Dose bath",
        "key",
        "lower-case",
    ),
    (
        "impossible number",
        HOST,
        claim("ph_high", swap("value = ", "value = 1")),
        "ph_high",
        "possible",
        "from 0 to 14",
    ),
    (
        "number in quotes",
        AGENT,
        claim("dose.bath", swap("low = 2", 'low = "2"')),
        "dose.bath",
        "type",
        "as a number",
    ),
    (
        "not a number",
        AGENT,
        claim("dose.bath", swap("value = 2", "value = nan")),
        "dose.bath",
        "finite",
        "finite",
    ),
    (
        "broken file",
        AGENT,
        swap('kind = "substance"', 'kind = "substance'),
        "",
        "readable",
        "correct the line",
    ),
    (
        "id is not the file",
        AGENT,
        swap('id = "levamisole"', 'id = "levamisol"'),
        "levamisol",
        "id_is_file",
        "same lower-case name",
    ),
    (
        "head lacks a field",
        AGENT,
        swap('basis = "as levamisole', 'base = "as levamisole'),
        "basis",
        "head",
        "write exactly",
    ),
    (
        "tolerance missing",
        HOST,
        drop("tolerance.heat"),
        "tolerance.heat",
        "host_complete",
        "no figure found",
    ),
    (
        "tolerance word",
        HOST,
        claim("tolerance.copper", swap('"avoid"', '"bad"')),
        "tolerance.copper",
        "host_words",
        "tolerant, care, avoid",
    ),
    (
        "tolerant by estimate",
        HOST,
        claim(
            "tolerance.copper",
            both(
                both(swap('"found"', '"estimate"'), swap('"avoid"', '"tolerant"')),
                swap('"high"', '"low"'),
            ),
        ),
        "tolerance.copper",
        "tolerant_is_measured",
        "caution",
    ),
    (
        "edges exchanged",
        HOST,
        claim("temperature_low", swap("value = ", "value = 4")),
        "temperature_low",
        "host_ranges",
        "correct the edge",
    ),
    (
        "most without words",
        HOST,
        lambda t: t + MOST + 'confidence = "low"\n',
        "most.salt",
        "most_is_printed",
        "as_printed",
    ),
    (
        "hazard field empty",
        AGENT,
        drop("people.splash"),
        "people.splash",
        "agent_complete",
        "not needed",
    ),
    (
        "dose without limit",
        AGENT,
        drop("hard_max.bath"),
        "dose.bath",
        "dose_has_limit",
        "add hard_max.bath",
    ),
    (
        "dose above limit",
        AGENT,
        claim("hard_max.bath", swap("value = 2", "value = 1")),
        "dose.bath",
        "dose_has_limit",
        "lower the dose",
    ),
    (
        "part that is no agent",
        AGENT,
        lambda t: t + PART + 'confidence = "low"\n',
        "holds.nothing",
        "parts_are_agents",
        "id of a file",
    ),
    (
        "one-sided pair",
        AGENT,
        lambda t: t + STRANGER + 'confidence = "low"\n',
        "incompatible.nothing",
        "pairs_mutual",
        "add incompatible.levamisole",
    ),
    (
        "given by test, but not how",
        AGENT,
        lambda t: t + BY_TEST + 'confidence = "low"\n',
        "titrate.reads",
        "titration_whole",
        "add the claim",
    ),
    (
        "law without date",
        AGENT,
        claim("law.us", swap(', date = "2023-11-30"', "")),
        "law.us",
        "law_is_dated",
        "place, date",
    ),
    (
        "sure estimate",
        TIMES,
        claim(
            "fishless.cryptocaryon_irritans",
            both(swap('"low"', '"high"'), swap('"common_practice"', '"estimate"')),
        ),
        "fishless.cryptocaryon",
        "estimate_not_sure",
        "medium",
    ),
    (
        "kind of agent",
        AGENT,
        swap('kind = "substance"', 'kind = "drug"'),
        "kind",
        "agent_kind",
        "one of substance",
    ),
    (
        "effect word",
        AGENT,
        claim("effect.filter", swap('"lost"', '"dead"')),
        "effect.filter",
        "agent_words",
        "rest in note",
    ),
    (
        "number of an authorisation in a value",
        AGENT,
        claim("law.us", swap("No approved drug", "NADA 141-999: no approved drug")),
        "law.us",
        "no_authorisation_number",
        "without the number",
    ),
    (
        "European number in a note",
        AGENT,
        claim("dose.bath", swap('note = "', 'note = "EU/2/19/111; ')),
        "dose.bath",
        "no_authorisation_number",
        "without the number",
    ),
    (
        "number of an authorisation in a citation",
        WORKS,
        row("thomas_2016", swap("Thomas", "Summary of product, AN 01234/2012, Thomas")),
        "thomas_2016",
        "no_authorisation_number",
        "without the number",
    ),
    (
        "number in the conditions of a rejected claim",
        AGENT,
        claim("law.us", swap("key =", 'rejected = "Vm 12345/4000"\nkey =')),
        "law.us",
        "no_authorisation_number",
        "without the number",
    ),
    (
        "code name of a product",
        AGENT,
        swap('name = "Levamisole"', 'name = "Levamisole (XQ-417)"'),
        "levamisole",
        "no_product_code",
        "name the substance",
    ),
    (
        "code of a list kept elsewhere",
        WORM,
        swap("mature worms", "mature worms; see B07"),
        "printed.adult",
        "no_product_code",
        "name the substance",
    ),
    (
        "first person in a note",
        AGENT,
        claim("dose.bath", swap('note = "', 'note = "my estimate; ')),
        "dose.bath",
        "nobody_speaks",
        "state the fact",
    ),
    (
        "first person in conditions",
        HOST,
        claim("figure.copper", swap("96-h LC50", "96-h LC50, as I recall it")),
        "figure.copper",
        "nobody_speaks",
        "state the fact",
    ),
    ("empty file", TIMES, lambda t: t.split("\n[[claim]]")[0], "", "not_empty", "add one"),
    (
        "unknown table",
        AGENT,
        lambda t: t + "\n[legal]\nok = true\n",
        "",
        "schema",
        "agent.schema.json",
    ),
)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small copy of the shipped base, clean by itself."""
    root = tmp_path_factory.mktemp("base")
    for name in KEPT:
        (root / name).parent.mkdir(exist_ok=True)
        shutil.copy(data_root() / name, root / name)
    return root


def test_the_shipped_base_passes() -> None:
    assert [str(problem) for problem in lint()] == []


def test_the_small_copy_is_clean_before_it_is_spoilt(small: Path) -> None:
    assert [str(problem) for problem in lint(small)] == []


def test_every_seeded_fault_has_a_name_of_its_own() -> None:
    assert len({fault[0] for fault in FAULTS}) == len(FAULTS)


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault[0].replace(" ", "_"))
def test_a_seeded_fault_is_found_with_file_key_and_repair(
    fault: tuple[str, str, Callable[[str], str], str, str, str], small: Path, tmp_path: Path
) -> None:
    _, file, spoil, key, check, repair = fault
    root = tmp_path / "base"
    shutil.copytree(small, root)
    path = root / file
    path.write_text(spoil(path.read_text(encoding="utf-8")), encoding="utf-8")
    hits = [p for p in lint(root) if p.check == check and p.file == file and key in p.key]
    assert hits, [str(problem) for problem in lint(root)]
    assert repair in hits[0].repair
    report = str(hits[0])
    assert file in report
    assert hits[0].message in report
    assert "Repair: " in report


def test_a_likelihood_that_cites_an_unregistered_work_is_found(tmp_path: Path) -> None:
    root = tmp_path / "base"
    shutil.copytree(data_root(), root)
    path = root / "conditions" / "argulus.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('"noaman_2010_argulus"', '"nobody_1900"'), encoding="utf-8")
    hits = [p for p in lint(root) if p.check == "source" and p.file == "conditions/argulus.toml"]
    assert hits
    assert "nobody_1900" in hits[0].message


def test_a_kill_by_an_agent_that_is_not_there_is_found(tmp_path: Path) -> None:
    root = tmp_path / "base"
    shutil.copytree(data_root(), root)
    path = root / "organisms" / "ichthyophthirius_multifiliis.toml"
    claims = 'key = "kill.moonwort.swimmer.x"\nvalue = 1\nprovenance = "estimate"\n'
    text = path.read_text(encoding="utf-8") + f'\n[[claim]]\n{claims}confidence = "low"\n'
    path.write_text(text, encoding="utf-8")
    hits = [p for p in lint(root) if p.check == "kills_name_agents"]
    assert [p.key for p in hits] == ["kill.moonwort.swimmer.x"]
