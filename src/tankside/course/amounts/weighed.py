"""The outcome of asking for an amount: the amount, or what stands against it."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.course.amounts.amount import PrintedAmount
from tankside.course.bodies.caution import Caution


@dataclass(frozen=True, slots=True)
class Weighed:
    """The outcome of asking for an amount: the amount, or the cautions that stand instead.

    ``active_mg`` is what goes in: the printed amount's content, or the exact target when there
    is no amount (no container named yet, or refused, which blocks the course).
    """

    active_mg: float
    amount: PrintedAmount | None
    cautions: tuple[Caution, ...]

    @property
    def amounts(self) -> tuple[PrintedAmount, ...]:
        """The amount as a tuple of none or one."""
        return () if self.amount is None else (self.amount,)

    @property
    def text(self) -> str:
        """The printed amount, or words that ask for the label."""
        return self.amount.text if self.amount is not None else "(no amount: read the label first)"

    def of(self, name: str) -> str:
        """The amount with what it is of: the substance, what the container holds, a stock solution.

        The words of the stock solution stand in the same sentence: without them the millilitres
        would be taken from the container.
        """
        if self.amount is None:
            return f"{self.text} of {name}"
        held, stock = self.amount.label.holds, self.amount.stock_solution
        if not stock:
            return f"{self.text} of {name}{held}"
        made = stock[:1].lower() + stock[1:].rstrip(".")
        return f"{self.text} of a stock solution of {name}{held} ({made})"
