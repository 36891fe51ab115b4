"""A step of a plan of care: the words of a protocol at their hour, with what the water feels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.actions.air import Air
from tankside.course.actions.feed import Fast

AIR_IN, NO_FOOD = "air", "fast"


@dataclass(frozen=True, slots=True)
class CareStep:
    """Do what a protocol says; of what it does only air and food are worked out.

    Args:
        at_h: elapsed hour.
        body: body of water it is done at.
        words: the sentence of the protocol, with who decides and how sure it is.
        act: what it asks for, a word of the protocols.
        felt: what the water feels of it: ``air`` goes in, or ``fast``; "" for nothing.
    """

    kind: ClassVar[str] = "care"

    at_h: int
    body: str
    words: str
    act: str
    felt: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Say the sentence, with the effects and events of the step that the water feels."""
        if self.felt == AIR_IN:
            felt = Air(self.at_h, self.body, on=True).declare(ledger)
        elif self.felt == NO_FOOD:
            felt = Fast(self.at_h, self.body).declare(ledger)
        else:
            felt = Declared((), "")
        return Declared(felt.effects, self.words, felt.events)
