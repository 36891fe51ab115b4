"""How much water there is, how surely, and what two methods of measuring it say to each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tankside.errors import BadInput


class Agreement(StrEnum):
    """What the difference between two ways of measuring the same water demands."""

    AGREE = "agree"
    ASK = "ask"
    STOP = "stop"
    ONE_METHOD = "one_method"


@dataclass(frozen=True, slots=True)
class Volume:
    """Net water volume of one body.

    Args:
        point_l: the volume that amounts are worked out for [L].
        smaller_l: the smallest volume that fits what is known [L]; limits are checked here.
        larger_l: the largest volume that fits what is known [L].
        how: in words, how it was measured.
    """

    point_l: float
    smaller_l: float
    larger_l: float
    how: str

    def __post_init__(self) -> None:
        ordered = 0 < self.smaller_l <= self.point_l <= self.larger_l
        if not (ordered and math.isfinite(self.larger_l)):
            raise BadInput(
                "E-NUM-09",
                "The water volume must be above 0 and lie between its smaller and larger bound.",
                given=f"{self.smaller_l} / {self.point_l} / {self.larger_l} L",
                needed="smaller <= point <= larger, all above 0, in litres",
                next_step="Measure the water inside the glass, or fill it by timed hose.",
                field="volume",
            )


def added(volumes: Sequence[Volume]) -> Volume:
    """Return the volume of waters that are joined: the sum of what each was measured to be."""
    return Volume(
        sum(volume.point_l for volume in volumes),
        sum(volume.smaller_l for volume in volumes),
        sum(volume.larger_l for volume in volumes),
        " + ".join(dict.fromkeys(volume.how for volume in volumes)),
    )


@dataclass(frozen=True, slots=True)
class VolumeRules:
    """Relative differences at which two methods are questioned or refused (from claims)."""

    ask_difference: float
    stop_difference: float


@dataclass(frozen=True, slots=True)
class VolumeCheck:
    """The outcome of comparing two methods; ``difference`` is relative to the smaller figure."""

    agreement: Agreement
    difference: float | None


def compare_volumes(first_l: float, second_l: float | None, rules: VolumeRules) -> VolumeCheck:
    """Compare two measurements of the same water.

    Args:
        first_l: the figure that would be used [L].
        second_l: an independent figure [L]; None when there is none.
        rules: relative differences at which to ask and to stop.

    Returns:
        The agreement and the difference as a share of the smaller figure (the cautious side).
    """
    if second_l is None:
        return VolumeCheck(Agreement.ONE_METHOD, None)
    smaller, larger = sorted((first_l, second_l))
    if not (smaller > 0 and math.isfinite(larger)):
        return VolumeCheck(Agreement.STOP, None)
    difference = (larger - smaller) / smaller
    if not difference <= rules.stop_difference:
        return VolumeCheck(Agreement.STOP, difference)
    if not difference <= rules.ask_difference:
        return VolumeCheck(Agreement.ASK, difference)
    return VolumeCheck(Agreement.AGREE, difference)


def volume_from_methods(
    first_l: float, second_l: float | None, rules: VolumeRules, how: str
) -> Volume:
    """Return the volume that two methods leave possible.

    The first method is the point value. With one method only, the "ask" difference is taken as
    its error on both sides and ``how`` says so.

    Raises:
        BadInput: E-DOSE-21 when the methods differ by more than the stop rule.
    """
    check = compare_volumes(first_l, second_l, rules)
    if check.agreement is Agreement.STOP:
        raise BadInput(
            "E-DOSE-21",
            "Two ways of measuring this water differ too much to dose on either.",
            given=f"{first_l:g} L and {second_l:g} L",
            needed=f"a difference of at most {rules.stop_difference:.0%} of the smaller figure",
            next_step="Measure again: inside length, width and water height, less what takes room.",
            field="volume",
        )
    if second_l is None:
        smaller = first_l / (1 + rules.ask_difference)
        larger = first_l * (1 + rules.ask_difference)
        return Volume(first_l, smaller, larger, f"{how}; one method only, weak")
    return Volume(first_l, min(first_l, second_l), max(first_l, second_l), how)
