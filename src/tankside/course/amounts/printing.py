"""Turn a weighing into the amount that is shown, checked both ways and against hard limits."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Context, Decimal
from functools import lru_cache

from tankside.claims import setting, whole_setting
from tankside.course.amounts import double_check
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.label import LabelEntry, StrengthBasis, ToolUnit
from tankside.course.amounts.limits import Limit, RouteLimit, is_inside
from tankside.course.amounts.stock_solution import Weighing, finer_tool, measured_with
from tankside.course.amounts.weighing import product_per_active, weigh_out
from tankside.course.bodies.caution import Caution, Level
from tankside.errors import BadInput, Mistake
from tankside.quantity.per import MG_PER_G
from tankside.quantity.show import (
    COMPARED_DIGITS,
    NO_BREAK,
    amount,
    plain,
    rounded,
    volume_words,
)

_SHOWN = whole_setting(3, "significant digits of a strength that is only told, not weighed")
_REASON = whole_setting(10, "characters that a reason has at least")
_MG_PER_G = Decimal(MG_PER_G)
_BY_VOLUME = (
    StrengthBasis.MASS_PER_VOLUME,
    StrengthBasis.VOLUME_PER_VOLUME,
    StrengthBasis.MG_PER_ML,
)


@dataclass(frozen=True, slots=True)
class Request:
    """One amount asked for.

    Args:
        agent: agent id.
        agent_name: name in plain words.
        basis: how its concentration is told.
        strength_mg_l: strength to add [mg/L].
        for_l: water it is for [L].
        limit_l: volume in which the hard limit is checked [L]: the smallest that fits for a
            dose of the whole body, the litres themselves for new water measured to the tape.
        there_mg_l: what may be there already, at most and in ``limit_l`` [mg/L].
        limit: the hard limit of this agent by this route; None when none is known.
        passed: the soft limit that the strength meant passes; None when it passes none.
        reason: the reason as typed, "" when none.
        elsewhere: the limits by other routes.
        counted_mg_l: what is surely there, so that it was taken off what was asked [mg/L]; None
            where that is the same as ``there_mg_l``.
    """

    agent: str
    agent_name: str
    basis: str
    strength_mg_l: float
    for_l: float
    limit_l: float
    there_mg_l: float
    limit: Limit | None
    passed: Limit | None = None
    reason: str = ""
    elsewhere: tuple[RouteLimit, ...] = ()
    counted_mg_l: float | None = None

    @property
    def taken_off_mg_l(self) -> float:
        """What was taken off the strength asked for, since it is there [mg/L]."""
        return self.there_mg_l if self.counted_mg_l is None else self.counted_mg_l


_SAME = setting(1.000001, "amounts that differ by less are the same: rounding of binary numbers")


def label_words(label: LabelEntry) -> str:
    """Return the label line, as printed on the card and as read back by the double check."""
    density = "not known" if label.density_g_ml is None else plain(label.density_g_ml)
    basis = label.basis.value
    if label.basis is StrengthBasis.AS_PRODUCT and not label.solid:
        basis += ", by volume"
    return (
        f"strength {plain(label.strength)} {basis}; 1 of {label.form} holds "
        f"{plain(label.active_per_form)}; density {density}"
    )


def judge(request: Request) -> None:
    """Hold what is asked to its limits, whatever container there is.

    The hard limit is compared in the smallest volume that fits with what is there already; the
    soft limit, which is about what somebody means to give, with the strength that is meant.

    Raises:
        BadInput: E-DOSE-10 above the hard limit; E-DOSE-11 above the soft one without a reason.
    """
    asked_mg = request.strength_mg_l * request.for_l
    if request.limit is not None:
        _refuse_above(request, asked_mg / request.limit_l)
    soft = request.passed
    if soft is not None and len(request.reason.strip()) < _REASON:
        raise BadInput(
            "E-DOSE-11",
            f"{request.agent_name}: this is above the soft limit. It needs a written reason.",
            given=_blanks(_meant(request)),
            needed=f"at most {concentration(soft.mg_l, '')}{soft.cited}, or a reason of at "
            f"least {_REASON} characters",
            next_step="Lower the strength, or write down why it must be stronger.",
            field="reason",
        )


def _meant(request: Request) -> str:
    """Say what is held to a soft limit: the whole strength, where a part of it is there already."""
    there_mg_l = request.taken_off_mg_l
    if not there_mg_l > 0:
        return concentration(request.strength_mg_l, request.basis)
    return (
        f"{concentration(request.strength_mg_l + there_mg_l, '')} in all "
        f"({concentration(there_mg_l, '')} there, "
        f"{concentration(request.strength_mg_l, '')} to add)"
    )


@lru_cache(maxsize=whole_setting(4096, "amounts kept, a search asks for the same ones again"))
def print_amount(request: Request, label: LabelEntry) -> PrintedAmount:
    """Return the amount to show, or refuse it.

    Raises:
        Mistake: E-PROD-.., E-NUM-09, E-DOSE-24 from the sum; E-DOSE-10 above the hard limit
            (no override); E-DOSE-900 when the way back does not agree.
    """
    litres = Decimal(str(request.for_l))
    target = Decimal(str(request.strength_mg_l))
    weighing = weigh_out(target, litres, label)
    if _above(request, float(weighing.active_mg) / request.limit_l):
        weighing = weigh_out(target, litres, label, down=True)
    strength = weighing.active_mg / litres
    text = amount(weighing.value, weighing.unit.value)
    at_limit = float(weighing.active_mg) / request.limit_l
    _refuse_above(request, at_limit)
    double_check.confirm(
        text,
        label_words(label),
        weighing.stock,
        str(request.for_l),
        str(strength),
        str(request.strength_mg_l),
    )
    return PrintedAmount(
        action=-1,
        hour=0,
        body="",
        agent=request.agent,
        text=text,
        value=weighing.value,
        unit=weighing.unit.value,
        active_mg=weighing.active_mg,
        for_l=litres,
        strength_mg_l=strength,
        strength_smaller_mg_l=Decimal(str(at_limit)),
        basis=request.basis,
        sum_text=_sum_text(request, weighing, label, text, strength),
        label=label,
        stock_solution=weighing.stock,
        finer=finer_tool(weighing.value, measured_with(label, weighing)),
        reason=request.reason.strip() if request.passed else "",
    )


def _above(request: Request, at_limit_mg_l: float) -> bool:
    """Whether the total is not inside the limit (never inside when it is no number)."""
    if request.limit is None:
        return False
    return not is_inside(at_limit_mg_l + request.there_mg_l, request.limit)


def _refuse_above(request: Request, at_limit_mg_l: float) -> None:
    if request.limit is None:
        raise BadInput(
            "E-DOSE-10",
            f"{request.agent_name}: no limit is known by this route, so no amount is shown.",
            given=_blanks(concentration(request.strength_mg_l, request.basis)),
            needed="an agent and a route with a published limit",
            next_step=_other_route(request) or "Choose another agent or another route.",
            field="agent",
        )
    if not _above(request, at_limit_mg_l):
        return
    total = at_limit_mg_l + request.there_mg_l
    raise BadInput(
        "E-DOSE-10",
        f"{request.agent_name}: this is above the hard limit. There is no override.",
        given=_blanks(_total(request, total)),
        needed=f"at most {concentration(request.limit.mg_l, '')}{request.limit.cited}",
        next_step=_lower(request),
        field="strength",
    )


def _total(request: Request, total_mg_l: float) -> str:
    """Say what is held to the hard limit: what is there counted, in the smallest volume."""
    litres = volume_words(request.limit_l, COMPARED_DIGITS)
    total = f"{concentration(total_mg_l, '')} if there are {litres}"
    if not request.there_mg_l > 0:
        return total
    return f"{total}, with {concentration(request.there_mg_l, '')} there already"


def _lower(request: Request) -> str:
    """Say what would pass: the most that may be asked for as the water is known."""
    assert request.limit is not None
    left_mg_l = request.limit.mg_l - request.there_mg_l
    most_mg_l = left_mg_l * request.limit_l / request.for_l + request.taken_off_mg_l
    if not left_mg_l > 0:
        return "Wait, or change water first: what is there already is at the limit."
    asked = [f"Ask for at most {_floored(most_mg_l)}"]
    if request.limit_l < request.for_l:
        asked.append("measure the volume by a second method")
    if request.there_mg_l > 0:
        asked.append("wait, or change water first")
    parts = (f"{', or '.join(asked)}.", _unsure(request), _other_route(request))
    return " ".join(part for part in parts if part)


def _unsure(request: Request) -> str:
    """Say what narrows it where less is surely there than may be; "" where that is the same.

    The amount counts on what is surely there and the limit on what may be, each in its volume.
    """
    surely_mg = request.taken_off_mg_l * request.for_l
    if not request.there_mg_l * request.limit_l > surely_mg * _SAME:
        return ""
    return (
        f"Surely there is {concentration(request.taken_off_mg_l, '')}: a test of it today narrows "
        "that, and so does carbon=no where no carbon is in the filter."
    )


def _other_route(request: Request) -> str:
    """Say by which other routes a limit is published, "" where by none."""
    if not request.elsewhere:
        return ""
    routes = [
        f"route={other.route} at most {concentration(other.mg_l, '')}"
        + ("" if other.minutes is None else f" for at most {other.minutes:g} min")
        for other in request.elsewhere
    ]
    return f"Timed, beside the tank or with its end planned: {'; '.join(routes)}."


def _floored(mg_l: float) -> str:
    """Write a strength that may be asked for, never rounded up over the limit."""
    rounding = Context(prec=_SHOWN, rounding=ROUND_DOWN)
    return concentration(rounding.create_decimal(Decimal(str(mg_l))), "")


def _sum_text(
    request: Request, weighing: Weighing, label: LabelEntry, text: str, strength: Decimal
) -> str:
    """Write the sum so that it can be redone with a pocket calculator."""
    active = request.strength_mg_l * request.for_l
    parts = [
        f"{concentration(request.strength_mg_l, request.basis)} x "
        f"{amount(rounded(Decimal(str(request.for_l)), 2 * _SHOWN), 'L')} = {mass(active)}"
    ]
    if label.active_per_form != 1:
        parts.append(f"/ {plain(label.active_per_form)} ({label.form})")
    if label.basis is not StrengthBasis.PURE or label.strength != 1:
        parts.append(f"/ {plain(label.strength)} {label.basis.value}")
    if label.density_g_ml is not None and _needs_density(label):
        parts.append(f"(density {plain(label.density_g_ml)} g/mL)")
    if len(parts) > 1 or weighing.stock:
        exact = product_per_active(label, label.tool.unit) * Decimal(str(active))
        parts.append(f"= {amount(rounded(exact, _SHOWN + 1), label.tool.unit.value)}")
    gives = concentration(strength, "")
    tool = f"{text} of the stock solution" if weighing.stock else f"on the tool {text}"
    return " ".join(parts) + f"; {tool}, which gives {gives}"


def _needs_density(label: LabelEntry) -> bool:
    """Whether the sum crosses from mass to volume: only then is the density a part of it."""
    by_volume = label.basis in _BY_VOLUME or (
        label.basis is StrengthBasis.AS_PRODUCT and not label.solid
    )
    return by_volume is not (label.tool.unit is ToolUnit.MILLILITRE)


def concentration(mg_l: float | Decimal, basis: str) -> str:
    """Write a strength in mg/L, or in g/L from 1000 mg/L up, with its basis."""
    return _scaled(mg_l, "mg/L", "g/L", basis)


def _blanks(text: str) -> str:
    """Return a text with plain blanks: a refusal shows any other sign of what is given as code."""
    return text.replace(NO_BREAK, " ")


def mass(mg: float | Decimal) -> str:
    """Write a mass in mg, or in g from 1000 mg up."""
    return _scaled(mg, "mg", "g", "")


def _scaled(value: float | Decimal, small: str, large: str, basis: str) -> str:
    exact = Decimal(str(value))
    unit = small
    if exact >= _MG_PER_G:
        exact, unit = exact / _MG_PER_G, large
    return amount(rounded(exact, _SHOWN + 1), f"{unit} {basis}".strip())


def placed(amount: PrintedAmount, action: int, hour: int, body: str) -> PrintedAmount:
    """Return the amount with the step it belongs to."""
    return replace(amount, action=action, hour=hour, body=body)


def refusal(
    mistake: Mistake, action: int, hour: int, body: str, request: Request, water: str
) -> Caution:
    """Return the caution that stands in place of a refused amount; it says of what, and where."""
    limit = request.passed if mistake.code == "E-DOSE-11" else request.limit
    return Caution(
        Level.BLOCKED,
        mistake.code,
        _of_what(mistake.message, request.agent_name, water),
        f"Asked for {mistake.given}; needed {mistake.needed}.",
        limit.claim_key if limit else "",
        mistake.next_step,
        hour=hour,
        body=body,
        agent=request.agent,
        action=action,
    )


def _of_what(message: str, agent: str, water: str) -> str:
    """Return a refusal that names the agent and the water, unless it names the agent already."""
    if message.lower().startswith(agent.lower()):
        return message
    return f"{agent[0].upper()}{agent[1:]} for {water}: {message[0].lower()}{message[1:]}"
