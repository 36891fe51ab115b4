"""What is asked about fish in a tank is asked about a group that is bathed or fed apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, Course, LabelEntry, StockGroup, System, run
from tankside.course.actions import Bath, MedicatedFeed
from tankside.errors import BadInput, refused_as
from tankside.intake.dose_request import AtHand, DoseRequest
from tankside.services.dose import work_out

FISH = StockGroup("fish", "cyprinus_carpio_koi", "koi", 3, 20.0, None, "main", "adult", False)


@pytest.fixture
def bathed(
    water: System, facts: Knowledge, container_of: Callable[[str], LabelEntry]
) -> Callable[..., Any]:
    """Return a function that bathes a group and gives what forbids it and how many amounts."""

    def go(
        group: StockGroup, agent: str, mg_l: float, minutes: float, tank: System | None = None
    ) -> tuple[set[str], int]:
        tank = tank or water
        box = replace(tank, id="bath", name="the bath", kind=BodyKind.BATH)
        step = Bath(8, "main", group.id, "bath", agent, mg_l, minutes)
        labels = {agent: container_of(agent)}
        course_run = run([tank, box], [group], Course("c", 2, (step,)), facts, labels)
        return {caution.code for caution in course_run.blocked}, len(course_run.amounts)

    return go


def test_a_sound_bath_is_shown(bathed: Callable[..., Any]) -> None:
    assert bathed(FISH, "formalin", 150.0, 30.0) == (set(), 1)


def test_a_species_that_does_not_bear_it_is_not_bathed(bathed: Callable[..., Any]) -> None:
    """Suckermouth catfish and hydrogen peroxide, as in the tank itself."""
    catfish = replace(FISH, host_id="ancistrus_spp", name="bristlenose")
    assert "E-DOSE-26" in bathed(catfish, "hydrogen_peroxide", 3.1, 60.0)[0]


def test_a_species_that_nobody_knows_is_not_bathed(bathed: Callable[..., Any]) -> None:
    stranger = replace(FISH, host_id=None, name="some fish")
    assert bathed(stranger, "formalin", 150.0, 30.0)[0]


def test_fish_with_hurt_gills_are_not_bathed_in_formalin(bathed: Callable[..., Any]) -> None:
    codes, amounts = bathed(replace(FISH, gill_damage=True), "formalin", 150.0, 30.0)
    assert "E-DOSE-25" in codes
    assert amounts == 0


def test_fish_that_are_eaten_get_a_word_in_a_bath_too(
    bathed: Callable[..., Any], water: System
) -> None:
    pond = replace(water, food_fish=True)
    assert "S-FOOD" in bathed(FISH, "bronopol", 15.0, 30.0, pond)[0]


def test_fish_that_are_eaten_get_a_word_in_feed_too(water: System, facts: Knowledge) -> None:
    pond = replace(water, food_fish=True)
    step = MedicatedFeed(8, "main", "fish", "metronidazole", 50.0)
    course_run = run([pond], [FISH], Course("c", 2, (step,)), facts)
    assert "S-FOOD" in {caution.code for caution in course_run.safety}


# One amount at the command line ----------------------------------------------------------------


def asked(**more: Any) -> DoseRequest:
    """A bath of goldfish in 20 L of formalin for half an hour, with some things otherwise."""
    fields: dict[str, Any] = {
        "agent": "formalin", "strength": "150 mg/L", "volume": "20 L", "second_volume": "20 L",
        "label": "as product", "syringe": "0.1 mL", "animals": ("goldfish",), "route": "bath",
        "minutes": "30 min", "at_hand": AtHand(seen_to=("clear-solution=yes",)),
        "readings": {"temperature_c": "18 C", "oxygen_mg_l": "8 mg/L"},
        "choices": {"invertebrates": "no", "plants": "no", "food_fish": "no"},
    }  # fmt: skip
    return DoseRequest(**(fields | more))


def test_a_bath_beside_the_tank_has_its_amount_and_says_how_long() -> None:
    """150 uL/L in 20 L is 3 mL."""
    dosing = work_out(asked())
    assert dosing.amount.text == "3\xa0mL"
    assert "30\xa0min" in dosing.line
    assert "not an alarm clock" in dosing.line


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"minutes": "61 min"}, "E-DOSE-12"),
        ({"minutes": None}, "E-DOSE-20"),
        ({"strength": "260 mg/L"}, "E-DOSE-10"),
        ({"strength": "1500 mg/L"}, "E-DOSE-10"),
        ({"animals": ()}, "E-DOSE-12"),
        ({"readings": {"temperature_c": "18 C"}}, "E-DOSE-20"),
        ({"fishless": True, "animals": ()}, "E-DOSE-12"),
        ({"animals": ("moon fish",)}, "E-DOSE-20"),
    ],
)
def test_a_bath_that_must_not_be_is_refused(more: dict[str, Any], code: str) -> None:
    with pytest.raises(refused_as(code)) as refused:
        work_out(asked(**more))
    assert refused.value.code == code


def test_every_kind_of_animal_in_the_bath_is_asked_about() -> None:
    peroxide = {"agent": "hydrogen_peroxide", "strength": "3.1 mg/L", "label": "35 % w/w",
                "scale": "0.01 g", "minutes": "30 min"}  # fmt: skip
    # 3.1 mg/L in 20 L is 62 mg, in 177 mg of a 35 % container: 0.18 g on this scale.
    assert work_out(asked(**peroxide, animals=("koi",))).amount.text == "0.18\xa0g"
    with pytest.raises(BadInput) as refused:
        work_out(asked(**peroxide, animals=("koi", "ancistrus_spp")))
    assert refused.value.code == "E-DOSE-26"
