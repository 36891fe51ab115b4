"""The outcome of asking for an amount: the amount, or what stands against it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from tankside.claims import whole_setting
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.label import ToolUnit
from tankside.course.amounts.stock_solution import TOO_SMALL
from tankside.course.bodies.caution import Caution
from tankside.quantity.per import MG_PER_G
from tankside.quantity.show import amount as written
from tankside.quantity.show import rounded

_BUCKETFUL = Decimal(whole_setting(2000, "g or mL that are stirred into one bucket of 10 L"))
_TO_LARGE = Decimal(MG_PER_G)
_SHOWN = whole_setting(2, "significant digits of about how much goes into one bucket")


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
        made = stock.removeprefix(TOO_SMALL)
        made = made[:1].lower() + made[1:].rstrip(".")
        return f"{self.text} of a stock solution of {name}{held} ({made})"

    def stirred(self, name: str) -> str:
        """The amount stirred into tank water: in one bucket, or in as many lots as it takes."""
        lots = 1 if self.amount is None else _lots(self.amount)
        if lots == 1:
            return f"Stir {self.of(name)} into a bucket of tank water"
        each, large = _in_lots(self.amount, lots)
        return (
            f"Weigh out {self.of(name)}, {large}, in {lots} lots of about {each}; stir each into a "
            f"bucket of tank water, one after another round the edge"
        )


def _lots(amount: PrintedAmount) -> int:
    """Return in how many buckets an amount is stirred, so that each can be stirred and carried."""
    small = amount.unit == ToolUnit.MILLIGRAM.value
    return 1 if small else max(1, math.ceil(amount.value / _BUCKETFUL))


def _in_lots(amount: PrintedAmount | None, lots: int) -> tuple[str, str]:
    """Return what goes into one bucket, and the whole in its large unit."""
    assert amount is not None
    large = "kg" if amount.unit == ToolUnit.GRAM.value else "L"
    each = rounded(amount.value / lots, _SHOWN)
    return written(each, amount.unit), written(amount.value / _TO_LARGE, large)
