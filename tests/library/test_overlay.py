"""What a practice adds can only tighten: no file of it lifts or covers what was released."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library.practice_folder import AGENT, agent_file, claim, host_file, label_file

from tankside.claims import THIS_PRACTICE, Claim, Confidence, Knowledge, Provenance
from tankside.claims.host import NOT_KNOWN
from tankside.course.amounts.limits import Around, hard_limit, reason_limit, soft_limit
from tankside.course.amounts.tolerance import WORST_FIRST, host_classes, tolerance
from tankside.course.bodies.stock import StockGroup
from tankside.errors import BadInput
from tankside.library import load, released
from tankside.library.load import shipped
from tankside.library.overlay import OverlayFiles, merged
from tankside.library.overlay_lint import overlay_problems
from tankside.library.overlay_load import with_overlay
from tankside.library.overlay_place import VARIABLE
from tankside.library.subject_files import SubjectFile

MG_L = 'value = {}\nunit = "mg/L"\nbasis = "as product"'
BATH = "agent.formalin.hard_max.bath"


def added(folder: Path) -> Knowledge:
    return with_overlay(shipped(), folder)


def test_a_stricter_limit_holds_and_says_what_was_released(tmp_path: Path) -> None:
    agent_file(tmp_path, "formalin", claim("hard_max.bath", MG_L.format(120)))
    facts = added(tmp_path)
    assert [c.number() for c in facts.facts[BATH]] == [120, 250]
    limit = hard_limit(facts, "formalin", "bath", Around(20.0, None, False, "fresh"))
    assert limit is not None
    assert limit.mg_l == 120
    assert THIS_PRACTICE in limit.cited
    assert "beside the released 250 mg/L" in limit.cited


def test_a_looser_limit_lifts_nothing_and_is_shown(tmp_path: Path) -> None:
    agent_file(tmp_path, "formalin", claim("hard_max.bath", MG_L.format(2500)))
    facts = added(tmp_path)
    around = Around(20.0, None, False, "fresh")
    limit, before = (hard_limit(f, "formalin", "bath", around) for f in (facts, shipped()))
    assert limit is not None
    assert before is not None
    assert limit.mg_l == before.mg_l == 250
    assert f"beside {THIS_PRACTICE} 2500 mg/L" in limit.cited
    assert [c.number() for c in facts.rivals(BATH).others] == [2500]


def test_what_was_released_is_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    agent_file(tmp_path, "formalin", claim("hard_max.bath", MG_L.format(120)))
    monkeypatch.setenv(VARIABLE, str(tmp_path))
    listed = released.released_list().read_text(encoding="utf-8")
    assert load().altered == frozenset()
    assert released.altered_files(released.data_root(), listed) == frozenset()
    assert shipped().facts[BATH][0].number() == 250
    assert load() is load(), "answers are kept by the object"


def test_a_changed_file_is_read_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path))
    agent_file(tmp_path, "formalin", claim("hard_max.bath", MG_L.format(120)))
    before = load()
    agent_file(tmp_path, "formalin", claim("hard_max.bath", MG_L.format(99)))
    assert load().facts[BATH][0].number() == 99
    assert load().overlay_print != before.overlay_print


def test_the_usual_folder_is_used_where_it_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert load() is shipped()
    folder = tmp_path / "tankside" / "practice"
    agent_file(folder, "formalin", claim("hard_max.bath", MG_L.format(120)))
    assert load().facts[BATH][0].number() == 120
    monkeypatch.setenv(VARIABLE, "")
    assert load() is shipped()


def test_a_named_folder_that_is_gone_stops_every_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "gone"))
    with pytest.raises(BadInput, match="E-KNOW-03"):
        load()


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('[agent]\nid = "formalin"\nname = \n', 3, "not valid TOML"),
        ("HEAD" + claim("hard_max.bath", 'value = "x"\nunit = "mg/L"\nfoo = 1'), 10, "foo"),
        ("HEAD" + claim("hard_max.bath", 'value = 1\nunit = "mg/l"\nbasis = "a"'), 10, "unit"),
        ("HEAD" + claim("hard_max.bath", 'value = 1\nunit = "mg/L"'), 10, "basis"),
        ("HEAD" + claim("dose.bath", MG_L.format(2500)), 10, "not inside the limit 250 mg/L"),
        ("HEAD" + claim("dose.dip", MG_L.format(5)), 10, "none is on file"),
        ("HEAD" + claim("law.here", 'value = "check local law."'), 10, "no place or date"),
        ("HEAD" + claim("people.hazard", 'value = "none"'), 10, "people.hazard"),
        (
            "HEAD" + 2 * claim("hard_max.bath", MG_L.format(1)),
            10,
            "twice",
        ),
        ("RENAMED", 3, "name is 'Water'"),
        (AGENT.format(id="tonic", name="Tonic", basis="as sold", actives='"x"', host_class="x")
         + claim("dose.bath", MG_L.format(5)), 2, "no released file"),
    ],
)  # fmt: skip
def test_a_fault_names_its_file_and_line(
    text: str, line: int, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = agent_file(tmp_path, "formalin")
    head = file.read_text(encoding="utf-8")
    renamed = head.replace('name = "Formalin"', 'name = "Water"')
    said = text.replace("HEAD", head).replace("RENAMED", renamed + claim("note_1", 'value = "x"'))
    if "tonic" in said:
        file = file.with_name("tonic.toml")
        (tmp_path / "agents" / "formalin.toml").unlink()
    file.write_text(said, encoding="utf-8")
    problems = overlay_problems(shipped(), tmp_path)
    named = [problem for problem in problems if words in f"{problem.key} {problem.message}"]
    assert named, problems
    assert (named[0].file, named[0].line) == (f"agents/{file.name}", line)
    monkeypatch.setenv(VARIABLE, str(tmp_path))
    with pytest.raises(BadInput, match="E-KNOW-01") as refused:
        load()
    assert refused.value.field == f"{problems[0].file}, line {problems[0].line}"


@pytest.mark.parametrize("file", ["notes.txt", "agents/a.csv", "practice/own.toml", "a/b/c.toml"])
def test_what_nothing_reads_is_a_fault(file: str, tmp_path: Path) -> None:
    path = tmp_path / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("x = 1\n", encoding="utf-8")
    problems = overlay_problems(shipped(), tmp_path)
    assert ("not_read", file) in {(problem.check, problem.file) for problem in problems}


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ({"name": "Neon Tetra"}, "which is released"),
        ({"latin": "Paracheirodon innesi"}, "which is released"),
        ({"group": "things"}, "no released kind is of the group"),
    ],
)
def test_a_new_kind_cannot_take_the_place_of_a_released(
    head: dict[str, Any], words: str, tmp_path: Path
) -> None:
    host_file(tmp_path, **head)
    assert words in str(overlay_problems(shipped(), tmp_path))


def test_a_new_kind_must_say_what_it_bears_if_only_that_nobody_knows(tmp_path: Path) -> None:
    host_file(
        tmp_path, "lane_tetra", claim("usual_length", 'value = 4\nunit = "cm"'), unknown=False
    )
    problems = overlay_problems(shipped(), tmp_path)
    missing = {p.key for p in problems if p.check == "host_complete"}
    assert "tolerance.copper" in missing
    assert {p.file for p in problems} == {"hosts/lane_tetra.toml"}


def test_what_relatives_do_not_bear_holds_for_a_new_kind_called_tolerant(tmp_path: Path) -> None:
    facts = shipped()
    avoiding = next(
        (host.group, name.removeprefix("tolerance."))
        for host in facts.hosts.values()
        for name in sorted(host.claims)
        if name.startswith("tolerance.") and (c := host.find(name)) and c.value == "avoid"
    )
    group, name = avoiding
    tolerant = claim(f"tolerance.{name}", 'value = "tolerant"')
    host_file(tmp_path, "lane_tetra", tolerant, group=group)
    host = added(tmp_path).hosts["lane_tetra"]
    standing = host.find(f"tolerance.{name}")
    assert standing is not None
    assert standing.value == "avoid"


def test_a_label_for_no_agent_is_a_fault(tmp_path: Path) -> None:
    label_file(tmp_path, "blue", agent="tonic", strength="1 % w/v")
    (problem,) = overlay_problems(shipped(), tmp_path)
    assert (problem.file, problem.line) == ("labels/blue.toml", 2)


def test_a_statement_of_care_stands_beside_and_carries_the_mark(tmp_path: Path) -> None:
    protocol = shipped().care["argulus"]
    text = (
        f'[care]\nid = "argulus"\nname = "{protocol.name}"\ndepth = "{protocol.depth}"\n'
        f"causes = {list(protocol.causes)}\n".replace("'", '"')
        + claim("prevention.lane_net", 'value = "Keep one net for each pond."\n'
                'conditions = { act = "husbandry", decides = "keeper" }')
    )  # fmt: skip
    (tmp_path / "care").mkdir()
    file = tmp_path / "care" / "argulus.toml"
    file.write_text(text, encoding="utf-8")
    assert overlay_problems(shipped(), tmp_path) == ()
    statements = added(tmp_path).care["argulus"].statements
    assert len(statements) == len(protocol.statements) + 1
    assert statements[-1].mark == THIS_PRACTICE
    taken = protocol.statements[0]
    key = f"{taken.section}.{taken.name}"
    file.write_text(text.replace("prevention.lane_net", key), encoding="utf-8")
    assert "a released statement has this key" in str(overlay_problems(shipped(), tmp_path))


ROUTES = ("prolonged", "bath", "dip")
AGENT_KEYS = (
    "hard_max", "soft_max", "hard_max_warm", "hard_max_young", "soft_max_small", "dose",
    "minutes_max", "interval", "warm_above", "small_below",
)  # fmt: skip
HOST_KEYS = ("most", "most_bath", "dose_share", "tolerance")
WATERS = st.sampled_from([None, "fresh", "marine"])


@st.composite
def additions(draw: st.DrawFn) -> tuple[list[SubjectFile], str, str]:
    """Return files of any content about one agent and one kind, as no check has seen them."""
    facts = shipped()
    agent = draw(st.sampled_from(sorted(a for a in facts.agents if facts.agents[a].offered)))
    host = draw(st.sampled_from(sorted(facts.hosts)))
    classes = host_classes(facts, facts.agents[agent]) or ("salt",)
    keys = {
        **{f"agent.{agent}.{key}.{route}": "agents" for key in AGENT_KEYS for route in ROUTES},
        f"agent.{agent}.dose_per_alkalinity": "agents",
        **{f"host.{host}.{key}.{name}": "hosts" for key in HOST_KEYS for name in classes},
    }
    chosen = draw(st.lists(st.sampled_from(sorted(keys)), min_size=1, max_size=4, unique=True))
    claims = [_random_claim(draw, facts, key) for key in chosen]
    subjects = [
        SubjectFile(kind, of, f"{kind}/{of}.toml", _head(facts, kind, of), {}, tuple(ours))
        for kind, of in (("agents", agent), ("hosts", host))
        if (ours := [c for c in claims if keys[c.key] == kind])
    ]
    return subjects, agent, host


def _head(facts: Knowledge, kind: str, of: str) -> dict[str, Any]:
    return {"group": facts.hosts[of].group} if kind == "hosts" else {}


def _random_claim(draw: st.DrawFn, facts: Knowledge, key: str) -> Claim:
    standing = facts.find(key)
    if ".tolerance." in key:
        value: Any = draw(st.sampled_from(["tolerant", "care", "avoid"]))
        unit = ""
    else:
        of = 10.0 if standing is None or isinstance(standing.value, str) else standing.bounds()[1]
        value = of * draw(st.sampled_from([0.1, 0.5, 0.999, 1.0, 2.0, 10.0, 1000.0]))
        unit = "mg/L" if standing is None else standing.unit
    conditions = {"as_printed": "x"}
    water = draw(WATERS)
    conditions |= {"water": water} if water else {}
    conditions |= {"soft": "yes"} if draw(st.booleans()) else {}
    return Claim(
        key, value, unit, Provenance.COMMON_PRACTICE, Confidence.LOW,
        source=THIS_PRACTICE, overlay="x.toml", conditions=conditions,
    )  # fmt: skip


@settings(max_examples=120, deadline=None)
@given(
    content=additions(),
    temperature_c=st.sampled_from([None, 12.0, 24.0, 31.0]),
    water=st.sampled_from([None, "fresh", "brackish", "marine"]),
    young=st.sampled_from([None, True, False]),
    alkalinity=st.sampled_from([None, 20.0, 300.0]),
    length_cm=st.sampled_from([None, 2.0, 30.0]),
)
def test_no_content_of_any_file_makes_a_limit_looser(
    content: tuple[list[SubjectFile], str, str],
    temperature_c: float | None,
    water: str | None,
    young: bool | None,
    alkalinity: float | None,
    length_cm: float | None,
) -> None:
    subjects, agent, host = content
    before = shipped()
    after = merged(before, OverlayFiles(tuple(subjects), {}, {}), "x")
    group = StockGroup(
        id="g", name="them", host_id=host, count=3, body="main", length_cm=length_cm, weight_g=None
    )
    around = Around(temperature_c, alkalinity, young, water, (group,))
    for route in ROUTES:
        for limit in (hard_limit, soft_limit, reason_limit):
            old, new = (limit(facts, agent, route, around) for facts in (before, after))
            if old is not None:
                assert new is not None, (limit.__name__, route)
                assert new.mg_l <= old.mg_l, (limit.__name__, route, old, new)
            elif limit is hard_limit:
                assert new is None, "a route without a released limit was opened"
        classes = host_classes(before, before.agents[agent])
        verdicts = [
            WORST_FIRST.index(tolerance(facts, facts.hosts[host], classes) or NOT_KNOWN)
            for facts in (before, after)
        ]
        assert verdicts[1] <= verdicts[0]
        for short in (f"minutes_max.{route}", f"dose.{route}"):
            old_claim, new_claim = (f.agents[agent].find(short) for f in (before, after))
            if old_claim is not None and not isinstance(old_claim.value, str):
                assert new_claim is not None
                assert new_claim.bounds()[1] <= old_claim.bounds()[1]
            else:
                assert new_claim is None
