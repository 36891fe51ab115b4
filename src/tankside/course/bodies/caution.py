"""What stands against a step: blocked, care or note, with why and what to do instead."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.errors.code import CautionTarget, Level
from tankside.errors.register import check_caution

__all__ = ["Caution", "Level"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to know before doing a step.

    Args:
        level: blocked (not offered), care (possible: watch or reduce), note (information).
        code: stable identifier of the register, E-.. where one of the refusal codes fits.
        words: what is the matter, in one sentence of plain words.
        why: the reason with its numbers.
        claim_key: key of the claim it rests on ("" when it rests on arithmetic alone).
        what_instead: what to do.
        hour: elapsed hour it concerns, the first where it lasts; None when the whole course.
        until: last elapsed hour of what lasts; None where it is of its hour alone.
        body: body of water it concerns ("" when all).
        group: group of animals it concerns ("" when all).
        agent: agent it concerns ("" when none).
        action: index of the action it concerns; None when none.

    Raises:
        UnregisteredCode: the code is not registered, has another level, or lacks a part.
    """

    level: Level
    code: str
    words: str
    why: str
    claim_key: str
    what_instead: str
    hour: int | None = None
    body: str = ""
    group: str = ""
    agent: str = ""
    action: int | None = None
    until: int | None = None

    def __post_init__(self) -> None:
        """Check it against the register."""
        check_caution(
            self.code,
            self.level,
            texts={"words": self.words, "why": self.why, "what instead": self.what_instead},
            points_to={
                CautionTarget.BODY: self.body,
                CautionTarget.GROUP: self.group,
                CautionTarget.AGENT: self.agent,
                CautionTarget.HOUR: self.hour,
                CautionTarget.CLAIM: self.claim_key,
            },
        )
