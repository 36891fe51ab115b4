"""The five reasons of a failure are always all there; what the record points to comes first."""

from __future__ import annotations

from tankside.follow import Clues, Reason, examine


def test_all_five_reasons_are_listed_each_with_its_test() -> None:
    listed = examine(Clues())
    assert {row.reason for row in listed} == set(Reason)
    assert all(row.test for row in listed)


def test_carbon_left_in_points_to_under_dosing_first() -> None:
    first = examine(Clues(carbon_in=True))[0]
    assert first.reason is Reason.UNDER_DOSED
    assert any("Carbon" in words for words in first.pointers)


def test_a_resistant_strain_is_not_thought_of_before_the_others() -> None:
    assert examine(Clues())[-1].reason is Reason.RESISTANT


def test_not_known_points_to_nothing() -> None:
    assert all(not row.pointers for row in examine(Clues()))
