"""What is written about a case: the all-clear, the sheet for a laboratory, the quarantine."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tankside import library
from tankside.course import InWater
from tankside.errors import BadInput
from tankside.follow.by_protocol import CareAdvice
from tankside.intake.care_course import care_setting
from tankside.intake.quarantine_clock import QuarantineOfWater, quarantines
from tankside.services.care_case import CareAnswer, care_of_case

ALL_CLEAR, LABORATORY, QUARANTINE = "all-clear", "laboratory", "quarantine"
KINDS = (ALL_CLEAR, LABORATORY, QUARANTINE)


@dataclass(frozen=True, slots=True)
class LetterAnswer:
    """What a letter about a case rests on.

    Args:
        kind: ``all-clear``, ``laboratory`` or ``quarantine``.
        care: the care of the case.
        quarantines: of each body of water.
        in_water: what is in the water of the sick fish by the account; None when the water or
            the fish are not known.
    """

    kind: str
    care: CareAnswer
    quarantines: tuple[QuarantineOfWater, ...]
    in_water: tuple[InWater, ...] | None

    @property
    def is_over(self) -> bool:
        """Whether every cause may be called over by its protocol, or the case was closed clear."""
        closed = self.care.view.closed
        if closed is not None:
            return closed.outcome == "clear"
        return all(care.judged.advice is CareAdvice.MAY_BE_OVER for care in self.care.cares)


def letter(path: str | Path, kind: str) -> LetterAnswer:
    """Return what a letter about a case rests on.

    Args:
        path: the case file.
        kind: ``all-clear``, ``laboratory`` or ``quarantine``.

    Raises:
        BadInput: E-WORD-02 there is no such letter; the case cannot be read.
    """
    if kind not in KINDS:
        raise BadInput(
            "E-WORD-02",
            "There is no letter of that kind.",
            given=kind,
            needed=f"one of: {', '.join(KINDS)}",
            next_step="Type one of them.",
            field="kind",
        )
    care, facts = care_of_case(path), library.load()
    setting = care_setting(care.view, facts, care.day, care.labels)
    in_water = None if setting.case is None else setting.case.main.residues
    return LetterAnswer(kind, care, quarantines(care.view, facts), in_water)
