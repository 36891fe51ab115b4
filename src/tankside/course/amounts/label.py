"""What a label says about a bottle or bag, and the tool that measures it out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from tankside.quantity.per import PERCENT
from tankside.quantity.show import amount

_PERCENT = Decimal(PERCENT)


class StrengthBasis(StrEnum):
    """How the printed strength is meant."""

    PURE = "pure"  # the substance itself; strength is its purity, share by mass
    MASS_PER_MASS = "w/w"  # share by mass
    MASS_PER_VOLUME = "w/v"  # grams in 100 mL, given as a share (0.37 = 37 g in 100 mL)
    VOLUME_PER_VOLUME = "v/v"  # share by volume
    MG_PER_ML = "mg/mL"  # milligrams in one millilitre
    AS_PRODUCT = "as product"  # told in the product: by volume for a liquid, else by mass


class ToolUnit(StrEnum):
    """What the keeper's tool reads."""

    GRAM = "g"
    MILLIGRAM = "mg"
    MILLILITRE = "mL"


@dataclass(frozen=True, slots=True)
class Tool:
    """A scale or syringe: its unit and its smallest readable step."""

    unit: ToolUnit
    step: Decimal


@dataclass(frozen=True, slots=True)
class LabelEntry:
    """One container as its label says.

    Args:
        agent: agent id of the active substance.
        strength: share (0 to 1) or mg/mL, as ``basis`` says.
        basis: how the strength is printed.
        form: salt or hydrate that the strength refers to, as printed ("as CuSO4.5H2O").
        active_per_form: mass of the agent's dosing basis in one mass of ``form`` (1 when the
            same), from a claim.
        density_g_ml: density [g/mL]; None when not known (never assumed).
        tool: what measures it out.
        stock_tool: syringe for a stock solution when the tool is too coarse; None when none.
        read_at_h: elapsed hour at which the label was read (age limit).
        expired: whether the printed date has passed; None when not read.
        photo: name of the photo or typed label kept in the case.
        solid: whether it is weighed (True) or measured by volume (False).
        form_named: whether the label names the form; False where the agent's basis was taken.
        ready: what an agent needs to be seen to by hand (``needs.<name>``) and was answered yes.
        not_ready: the same, answered no.
    """

    agent: str
    strength: Decimal
    basis: StrengthBasis
    form: str
    active_per_form: Decimal
    density_g_ml: Decimal | None
    tool: Tool
    stock_tool: Tool | None = None
    read_at_h: float = 0.0
    expired: bool | None = None
    photo: str = ""
    solid: bool = True
    form_named: bool = True
    ready: tuple[str, ...] = ()
    not_ready: tuple[str, ...] = ()

    @property
    def holds(self) -> str:
        """What the container holds where it is not the pure basis, in brackets; else ""."""
        parts = []
        if self.active_per_form != 1:
            parts.append(self.form)
        if self.basis is StrengthBasis.MG_PER_ML:
            parts.append(amount(self.strength, "mg/mL"))
        elif self.strength != 1:
            parts.append(amount(self.strength * _PERCENT, f"% {self.basis.value}"))
        return f" ({', '.join((*parts, 'as sold'))})" if parts else ""
