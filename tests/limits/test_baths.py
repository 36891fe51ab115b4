"""What is asked about fish in a tank is asked about a group that is bathed or fed apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside.course import BodyKind, Course, StockGroup, run
from tankside.course.actions import Bath, MedicatedFeed

FISH = StockGroup("fish", "cyprinus_carpio_koi", "koi", 3, 20.0, None, "main", "adult", False)


@pytest.fixture
def bathed(water, facts, container_of):
    """Return a function that bathes a group and gives what forbids it and how many amounts."""

    def go(group: StockGroup, agent: str, mg_l: float, minutes: float, tank=None):
        tank = tank or water
        box = replace(tank, id="bath", name="the bath", kind=BodyKind.BATH)
        step = Bath(8, "main", group.id, "bath", agent, mg_l, minutes)
        labels = {agent: container_of(agent)}
        found = run([tank, box], [group], Course("c", 2, (step,)), facts, labels)
        return {caution.code for caution in found.blocked}, len(found.amounts)

    return go


def test_a_sound_bath_is_shown(bathed):
    assert bathed(FISH, "formalin", 150.0, 30.0) == (set(), 1)


def test_a_species_that_does_not_bear_it_is_not_bathed(bathed):
    """Suckermouth catfish and hydrogen peroxide, as in the tank itself."""
    catfish = replace(FISH, host_id="ancistrus_spp", name="bristlenose")
    assert "E-DOSE-26" in bathed(catfish, "hydrogen_peroxide", 3.1, 60.0)[0]


def test_a_species_that_nobody_knows_is_not_bathed(bathed):
    stranger = replace(FISH, host_id=None, name="some fish")
    assert bathed(stranger, "formalin", 150.0, 30.0)[0]


def test_fish_with_hurt_gills_are_not_bathed_in_formalin(bathed):
    codes, amounts = bathed(replace(FISH, gill_damage=True), "formalin", 150.0, 30.0)
    assert "E-DOSE-25" in codes
    assert amounts == 0


def test_fish_that_are_eaten_get_a_word_in_a_bath_too(bathed, water):
    pond = replace(water, food_fish=True)
    assert "S-FOOD" in bathed(FISH, "bronopol", 15.0, 30.0, pond)[0]


def test_fish_that_are_eaten_get_a_word_in_feed_too(water, facts):
    pond = replace(water, food_fish=True)
    step = MedicatedFeed(8, "main", "fish", "metronidazole", 50.0)
    found = run([pond], [FISH], Course("c", 2, (step,)), facts)
    assert "S-FOOD" in {caution.code for caution in found.safety}
