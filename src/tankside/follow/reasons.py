"""When counts do not fit the course: the five reasons to examine, likeliest to show first."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Reason(StrEnum):
    """Why a treatment fails."""

    STOPPED_EARLY = "stopped early or interrupted"
    UNDER_DOSED = "under-dosed or taken out again"
    RE_ENTERED = "brought in again"
    WRONG_CAUSE = "another cause"
    RESISTANT = "a strain or stage that the agent does not reach"


@dataclass(frozen=True, slots=True)
class Clues:
    """What the record says that bears on the reasons; None is "not known".

    Args:
        stopped: the course was stopped or steps were not done.
        other_amount: another amount than planned went in.
        carbon_in: carbon is in the water.
        uv_on: UV runs.
        ozone_on: ozone is given.
        skimmer_on: a protein skimmer runs.
        volume_weak: the volume rests on one method or on a label.
        new_animals: animals or plants came in since the start.
        shared_tools: nets or siphons are shared with another tank.
        proven: the parasite was seen under the microscope.
        warm: the water was warmed as part of the course.
        deaths_go_on: animals go on dying although fewer parasites are seen.
    """

    stopped: bool | None = None
    other_amount: bool | None = None
    carbon_in: bool | None = None
    uv_on: bool | None = None
    ozone_on: bool | None = None
    skimmer_on: bool | None = None
    volume_weak: bool | None = None
    new_animals: bool | None = None
    shared_tools: bool | None = None
    proven: bool | None = None
    warm: bool | None = None
    deaths_go_on: bool | None = None


@dataclass(frozen=True, slots=True)
class ToExamine:
    """One reason, what points to it in this case, and the test that tells it apart."""

    reason: Reason
    pointers: tuple[str, ...]
    test: str


_TESTS = {
    Reason.STOPPED_EARLY: "Go through the day cards: which steps were done, when was the last.",
    Reason.UNDER_DOSED: (
        "Measure the strength (salt by meter, copper by test). Look into the filter for carbon; "
        "check UV, ozone and skimmer; measure the volume again by a second method."
    ),
    Reason.RE_ENTERED: (
        "Ask what came in: fish, plants, water, nets and siphons from another tank."
    ),
    Reason.WRONG_CAUSE: "Take a fresh skin scrape and a gill clip of two live, affected fish.",
    Reason.RESISTANT: (
        "Only after the other four: a proven parasite, measured strength and a complete course. "
        "Compare another agent or a transfer to clean water."
    ),
}


def examine(clues: Clues) -> tuple[ToExamine, ...]:
    """Return the five reasons, those that something in the record points to first.

    Where animals go on dying although fewer parasites are seen, another cause comes before all.
    """
    pointers: dict[Reason, tuple[str, ...]] = {
        Reason.STOPPED_EARLY: _said((clues.stopped, "Steps of the course were left out.")),
        Reason.UNDER_DOSED: _said(
            (clues.carbon_in, "Carbon is in the water."),
            (clues.uv_on, "UV runs."),
            (clues.ozone_on, "Ozone is given."),
            (clues.skimmer_on, "The skimmer runs."),
            (clues.other_amount, "Another amount than planned went in."),
            (clues.volume_weak, "The volume rests on one method only."),
        ),
        Reason.RE_ENTERED: _said(
            (clues.new_animals, "Something came in since the start."),
            (clues.shared_tools, "Nets or siphons are shared with another tank."),
        ),
        Reason.WRONG_CAUSE: _said(
            (clues.deaths_go_on, "Fewer parasites are seen, yet animals go on dying."),
            (_not(clues.proven), "The parasite was never seen under the microscope."),
        ),
        Reason.RESISTANT: _said((clues.warm, "Strains differ in what heat does to them.")),
    }
    listed = [ToExamine(reason, pointers[reason], _TESTS[reason]) for reason in Reason]
    first = Reason.WRONG_CAUSE if clues.deaths_go_on else None
    return tuple(sorted(listed, key=lambda row: (row.reason is not first, not row.pointers)))


def _said(*clues: tuple[bool | None, str]) -> tuple[str, ...]:
    return tuple(words for holds, words in clues if holds)


def _not(clue: bool | None) -> bool | None:
    return None if clue is None else not clue
