"""Turns that an ordinary amount does not take: animals judged by their kind, doors, mixtures."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tankside.case.medicine import LabelRead, SeenTo
from tankside.claims import Knowledge
from tankside.course import Caution, Course, NewWater, StockGroup, System, run
from tankside.course.actions import Dose, WaterChange
from tankside.course.bodies.caution import Level
from tankside.course.safety import gases, oxygen
from tankside.errors import BadInput, Mistake
from tankside.intake.dose_request import AtHand, DoseRequest
from tankside.intake.labels import at_hand, read_labels
from tankside.library import load
from tankside.present.block_text import document_text
from tankside.present.handling import handling_of
from tankside.quantity.moment import Moment
from tankside.report.dose_text import dose_document
from tankside.services.cases import Opening, add_words, new_case
from tankside.services.dose import work_out
from tankside.services.dose_case import case_beside

FACTS = load()
KOI = StockGroup("koi", "cyprinus_carpio_koi", "koi", 3, 20.0, None, "main", "adult", False)
SHRIMP = StockGroup("s", "neocaridina_davidi", "cherry shrimps", 20, 2.0, None, "main", "adult")


def cautions(
    water: System, stock: list[StockGroup], agent: str, mg_l: float, facts: Knowledge = FACTS
) -> list[Caution]:
    course_run = run([water], stock, Course("c", 2, (Dose(8, "main", agent, mg_l),)), facts)
    return [c for c in course_run.safety if c.code in ("E-DOSE-26", "E-DOSE-20")]


def test_shrimps_entered_by_kind_are_judged_once_by_their_kind(water: System) -> None:
    """Copper and shrimps: the group is named; the tank's yes to invertebrates adds no second."""
    crowded = replace(water, invertebrates=True)
    said = cautions(crowded, [KOI, SHRIMP], "copper_sulphate", 0.4)
    about = [c for c in said if "shrimp" in c.words or "invertebrates" in c.words]
    assert [(c.level, c.group) for c in about] == [(Level.BLOCKED, "s")]
    general = cautions(crowded, [KOI], "copper_sulphate", 0.4)
    assert [c.level for c in general if "invertebrates" in c.words] == [Level.BLOCKED]


def test_an_agent_said_to_spare_plants_says_nothing_of_them(water: System) -> None:
    """No file says so yet: the claim is put in for this test, and taken out again."""
    key = "agent.formalin.effect.plants"
    spared = replace(FACTS.facts[key][0], value="spared")
    facts = Knowledge(
        {**FACTS.facts, key: (spared,)}, FACTS.sources, agents=FACTS.agents, hosts=FACTS.hosts
    )
    planted = replace(water, plants=True)
    assert any("plants" in c.words for c in cautions(planted, [KOI], "formalin", 15.0))
    assert not any("plants" in c.words for c in cautions(planted, [KOI], "formalin", 15.0, facts))


def test_in_a_mixture_a_class_that_no_print_names_leaves_the_others_said(water: System) -> None:
    """Formalin with malachite green: what is printed of one is told, the other stays not known."""
    host = FACTS.hosts["cyprinus_carpio_koi"]
    silent = replace(
        host, claims={k: c for k, c in host.claims.items() if k != "tolerance.formalin"}
    )
    facts = Knowledge(
        FACTS.facts, FACTS.sources, agents=FACTS.agents, hosts={**FACTS.hosts, host.id: silent}
    )
    said = [c for c in cautions(water, [KOI], "formalin_malachite_green", 15.0, facts)
            if c.code == "E-DOSE-26"]  # fmt: skip
    assert any("not known for koi" in c.words for c in said)


# One amount at the command line and from a case -----------------------------------------------


def salt(**more: Any) -> DoseRequest:
    fields = {"agent": "salt", "strength": "2 g/L", "volume": "100 L", "second_volume": "100 L",
             "label": "pure", "scale": "1 g", "animals": ("goldfish",)}  # fmt: skip
    return DoseRequest(**(fields | more))


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"in_water": ("salt=2 g/L",)}, "E-DOSE-25"),
        ({"in_water": ("salt=250 g",)}, "E-DOSE-25"),
        ({"in_water": ("formalin",)}, "E-WORD-01"),
        ({"in_water": ("=5 g",)}, "E-WORD-01"),
        ({"in_water": ("formalin=five g",)}, "E-NUM-04"),
        ({"changed": "101 L"}, "E-RANGE-01"),
        ({"choices": {"carbon": "perhaps"}}, "E-WORD-02"),
        ({"stage": "old"}, "E-WORD-02"),
        ({"at_hand": AtHand(seen_to=("clear-solution",))}, "E-WORD-02"),
        ({"at_hand": AtHand(seen_to=("clear-solution=maybe",))}, "E-WORD-02"),
        ({"at_hand": AtHand(seen_to=("blessed=yes",))}, "E-WORD-02"),
        ({"at_hand": AtHand(read_on="2999-01-01")}, "E-DATE-03"),
        ({"agent": "copper_sulphate", "label": "pure as CuSO4.5H2O",
          "strength": "0.1 mg/L as cheese"}, "E-UNIT-03"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_beside_an_amount_is_refused(more: dict[str, Any], code: str) -> None:
    with pytest.raises(Mistake) as refused:
        work_out(salt(**more))
    assert refused.value.code == code


def test_the_whole_of_the_water_may_be_changed_and_is_dosed_anew() -> None:
    assert work_out(salt(changed="100 L", choices={"tap": "none"})).amount.text == "200\xa0g"


def test_without_a_known_limit_by_this_route_there_is_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The limit is asked for again when the answer is made: were it lost, nothing is shown."""
    monkeypatch.setattr("tankside.services.dose.hard_limit", lambda *_: None)
    with pytest.raises(BadInput) as refused:
        work_out(salt())
    assert refused.value.code == "E-DOSE-10"


def test_the_two_steps_of_a_stock_solution_are_printed() -> None:
    green = DoseRequest(
        agent="malachite_green", strength="0.05 mg/L as oxalate", volume="60 L",
        second_volume="60 L", label="pure as oxalate", scale="0.1 g", syringe="0.1 mL",
        fishless=True, readings={"ph": "7.0"}, at_hand=AtHand(seen_to=("zinc-free=yes",)),
    )  # fmt: skip
    dosing = work_out(green)
    assert dosing.amount.stock_solution
    made = dosing.amount.stock_solution.partition(". ")[2].rstrip(".")
    assert made[:1].lower() + made[1:] in dosing.line
    assert "of a stock solution of malachite green" in dosing.line


@pytest.mark.parametrize(
    ("label", "held"),
    [
        ("pure as CuSO4.5H2O", " (as CuSO4.5H2O, as sold)"),
        ("25 % w/w as CuSO4.5H2O", " (as CuSO4.5H2O, 25 % w/w, as sold)"),
        ("12.5 g/L as Cu", " (12.5 mg/mL, as sold)"),
    ],
)
def test_a_line_never_calls_a_salt_or_a_solution_by_the_name_of_what_it_holds(
    label: str, held: str
) -> None:
    """0.18 mg/L of copper in 120.6 L are 21.7 mg of copper, but 85 mg of the crystals weighed."""
    dosing = work_out(
        DoseRequest(
            agent="copper_ionic", strength="0.18 mg/L as Cu", volume="120.6 L", label=label,
            second_volume="120.6 L", scale=None if "g/L" in label else "1 mg",
            syringe="0.01 mL" if "g/L" in label else None, fishless=True,
            readings={"alkalinity_mg_l_caco3": "140 mg/L as CaCO3"}, choices={"water": "marine"},
        )
    )  # fmt: skip
    words = dosing.line.replace("\N{NO-BREAK SPACE}", " ")
    amount = dosing.amount.text.replace("\N{NO-BREAK SPACE}", " ")
    assert f"{amount} of copper, free ion{held}" in words


def test_a_label_that_is_only_read_back_has_no_expiry_and_no_answers() -> None:
    label = read_labels(FACTS, ["sodium_chloride=pure"], "1 g", None)["sodium_chloride"]
    now = Moment("2026-03-04T12:00+00:00")
    assert at_hand(label, AtHand(), now) == label
    read = at_hand(label, AtHand(read_on="2026-03-03T12:00"), now)
    assert read.read_at_h == -24
    day = at_hand(label, AtHand(expires="2026-03-04"), now)
    assert day.expired is False


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T12:00+00:00")
    file = tmp_path / "elm.jsonl"
    new_case(file, Opening("Elm", "a keeper", "fresh", "UTC", "2026-03-04"), by="me")
    for kind, words in (
        ("system", ["meter=100 L", "hose=10 L/min for 10 min"]),
        ("stock", ["name=goldfish", "count=3"]),
        ("label", ["agent=salt", "strength=pure", "scale=1 g"]),
    ):
        add_words(file, kind, words, by="me")
    return file


def test_beside_a_case_nothing_is_typed_that_the_case_tells(case: Path) -> None:
    with pytest.raises(BadInput) as refused:
        case_beside(case, salt())
    assert refused.value.code == "E-CLI-04"
    assert "volume" in refused.value.given
    assert "label" in refused.value.given


def test_a_water_that_the_case_does_not_have_gives_no_amount(case: Path) -> None:
    ask = DoseRequest("salt", "2 g/L", system="pond")
    with pytest.raises(BadInput) as refused:
        work_out(ask, case_beside(case, ask))
    assert (refused.value.code, refused.value.field) == ("E-WORD-02", "system")


def test_a_container_entered_again_replaces_the_older_one(case: Path) -> None:
    add_words(case, "label", ["agent=salt", "strength=50 % w/w", "scale=1 g"], by="me")
    ask = DoseRequest("salt", "2 g/L")
    assert work_out(ask, case_beside(case, ask)).amount.text == "400\xa0g"


def test_an_amount_of_a_case_is_corrected_under_the_same_rules(case: Path) -> None:
    from tankside.services.cases import correct

    add_words(case, "dose", ["agent=salt", "strength=2 g/L"], by="me")
    before = case.read_bytes()
    with pytest.raises(BadInput) as refused:
        correct(case, 5, "dose", ["agent=salt", "strength=20 g/L"], reason="slip", by="me")
    assert refused.value.code == "E-DOSE-10"
    assert case.read_bytes() == before
    correct(case, 5, "dose", ["agent=salt", "strength=1 g/L"], reason="slip", by="me")
    assert case.read_bytes().startswith(before)
    assert b"1 g/L" in case.read_bytes().removeprefix(before)


@pytest.mark.parametrize(
    ("needs", "code"),
    [(("blessed",), "E-WORD-01"), (("buffer", "buffer"), "E-DUP-01")],
)
def test_an_answer_of_a_container_is_on_the_list_and_stands_once(
    needs: tuple[str, ...], code: str
) -> None:
    with pytest.raises(BadInput) as refused:
        LabelRead(
            id=2, occurred_at="2026-03-04T12:00+00:00", recorded_at="2026-03-04T12:00:00Z",
            by="me", agent="salt", strength="pure",
            seen_to=tuple(SeenTo(need=need, answer="yes") for need in needs),
        )  # fmt: skip
    assert refused.value.code == code


def test_what_is_dangerous_and_where_to_store_it_goes_with_an_amount() -> None:
    (formalin,) = handling_of(
        work_out(
            DoseRequest(
                agent="formalin", strength="15 mg/L", volume="100 L", second_volume="100 L",
                label="as product", syringe="0.1 mL", fishless=True,
                readings={"oxygen_mg_l": "8 mg/L", "temperature_c": "20 C"},
                at_hand=AtHand(seen_to=("clear-solution=yes",)),
            )
        ).amount
        for _ in range(1)
    )  # fmt: skip
    assert [t.partition(":")[0] for t in formalin.lines if ":" in t][-5:] == [
        "Wear", "Splashed", "Do not mix", "Store", "Waste water"
    ]  # fmt: skip


def test_an_amount_without_a_usual_range_says_so() -> None:
    dosing = work_out(salt())
    assert "usual 1 to 3\xa0g/L" in document_text(dose_document(dosing))
    assert "usual not known" in document_text(dose_document(replace(dosing, usual_low_mg_l=None)))


# The water, when a threshold is lost or the pH falls --------------------------------------------


@pytest.mark.parametrize(
    "key",
    [oxygen.OXYGEN_CARE_KEY, oxygen.OXYGEN_FLOOR_KEY, gases.AMMONIA_CARE_KEY,
     gases.AMMONIA_HARM_KEY, gases.NITRITE_CARE_KEY, gases.PH_JUMP_KEY],
)  # fmt: skip
def test_a_threshold_that_is_lost_ends_the_sum_and_never_passes(water: System, key: str) -> None:
    """Ammonia and pH are given, so that every threshold is asked for."""
    measured = replace(water, total_ammonia_mg_l_n=0.5, nitrite_mg_l_n=0.1)
    course = Course("c", 2, (Dose(8, "main", "sodium_chloride", 1000.0),))
    assert not run([measured], [KOI], course, FACTS).blocked
    facts = Knowledge(
        {name: rivals for name, rivals in FACTS.facts.items() if name != key},
        FACTS.sources, agents=FACTS.agents, hosts=FACTS.hosts,
    )  # fmt: skip
    with pytest.raises(KeyError):
        run([measured], [KOI], course, facts)


@pytest.mark.parametrize(("before", "new_ph", "rises"), [(7.2, 9.0, True), (9.0, 5.5, False)])
def test_what_a_jump_of_ph_makes_of_the_ammonia_is_said_where_it_rises(
    water: System, before: float, new_ph: float, rises: bool
) -> None:
    """Only a rise makes ammonia more toxic."""
    soft = replace(
        water, ph=before, alkalinity_mg_l_caco3=40.0, total_ammonia_mg_l_n=0.5,
        new_water=NewWater(ph=new_ph, alkalinity_mg_l_caco3=20.0 + 130.0 * rises),
    )  # fmt: skip
    course_run = run([soft], [KOI], Course("c", 4, (WaterChange(8, "main", 80.0),)), FACTS)
    jumps = [c.why for c in course_run.safety if c.code == "S-PH"]
    assert jumps
    assert any("toxic share of the ammonia" in why for why in jumps) is rises
