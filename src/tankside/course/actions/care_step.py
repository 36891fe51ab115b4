"""A step of a plan of care: an instruction at its hour, which the water does not feel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger


@dataclass(frozen=True, slots=True)
class CareStep:
    """Do what a protocol says; what it does is not simulated.

    Args:
        at_h: elapsed hour.
        body: body of water it is done at.
        words: the sentence of the protocol, with who decides and how sure it is.
        act: what it asks for, a word of the protocols.
    """

    kind: ClassVar[str] = "care"

    at_h: int
    body: str
    words: str
    act: str

    def declare(self, ledger: Ledger) -> Declared:
        """Say the sentence; it changes nothing in the account of the water."""
        del ledger
        return Declared((), self.words)
