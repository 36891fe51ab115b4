"""Food that carries an agent: how much of the container goes into the food of a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from tankside.claims import Knowledge, whole_setting
from tankside.course.amounts import double_check
from tankside.course.amounts.choice import handling
from tankside.course.amounts.label import LabelEntry, StrengthBasis
from tankside.course.amounts.limits import Limit, is_inside
from tankside.course.amounts.other_forms import other_readings
from tankside.course.amounts.printing import label_words, mass
from tankside.course.amounts.stock_solution import Weighing, finer_tool
from tankside.course.amounts.weighing import weigh_out
from tankside.course.bodies.facts import Range
from tankside.errors import BadInput
from tankside.quantity.per import MG_PER_G
from tankside.quantity.show import amount, plain, rounded

_SHOWN = whole_setting(4, "significant digits of what is only told of food, not weighed")
_G_PER_KG = 1000
TOO_COARSE = "E-DOSE-24"


@dataclass(frozen=True, slots=True)
class FeedRequest:
    """One dose in food asked for.

    Args:
        agent: agent id.
        agent_name: name in plain words.
        mg_per_kg_day: what a kilogram of fish is to get in a day [mg/kg/d].
        fish_g: what all fish that are fed weigh, at least, as worked with, and at most [g].
        food_g_day: the food of a day [g].
        days: on how many days it is fed.
        limit: the hard limit in food [mg/kg/d]; None when none is known.
    """

    agent: str
    agent_name: str
    mg_per_kg_day: float
    fish_g: Range
    food_g_day: float
    days: int
    limit: Limit | None


@dataclass(frozen=True, slots=True)
class FeedAmount:
    """What goes into the food, exactly as printed.

    Args:
        agent: agent id.
        text: the printed amount in the tool's unit.
        value: the number printed.
        unit: "g", "mg" or "mL".
        days: for the food of how many days it is, since less could not be measured.
        food_g: that food [g].
        active_mg_day: what it brings into the food of one day [mg].
        mg_per_kg_day: what a kilogram of fish gets in a day, as weighed [mg/kg/d].
        most_mg_per_kg_day: the same if the fish are as light as they may be.
        sum_text: the whole sum in one line.
        limit: the hard limit that it was held to.
        label: the container it was worked out for.
        read_back: what another form in the container would bring, else "".
        handling: what whoever handles it must know, (field, words) each.
        finer: which tool would measure it better, where a step is much of it; else "".
    """

    agent: str
    text: str
    value: Decimal
    unit: str
    days: int
    food_g: float
    active_mg_day: float
    mg_per_kg_day: float
    most_mg_per_kg_day: float
    sum_text: str
    limit: Limit
    label: LabelEntry
    read_back: str
    handling: tuple[tuple[str, str], ...]
    finer: str


def per_kilogram_of_fish(g_per_kg_food: float, food_g: float, fish_g: float) -> float:
    """Return what a kilogram of fish gets in a day from food of some content [mg/kg/d].

    Equation: content x food / fish (2.5 g/kg of food at 1 % of body weight are 25 mg/kg/d).

    Args:
        g_per_kg_food: content of the food [g/kg].
        food_g: the food of a day [g].
        fish_g: the fish that eat it [g].
    """
    return g_per_kg_food * MG_PER_G * food_g / fish_g


def print_feed(facts: Knowledge, request: FeedRequest, label: LabelEntry) -> FeedAmount:
    """Return what goes into the food of a day, or of the fewest days that can be measured.

    Raises:
        BadInput: E-DOSE-10 above the hard limit, held for the lightest the fish may be; E-DOSE-24
            too little for the tool even for all days at once; E-PROD-01, E-NUM-09 from the sum.
        NotPossible: E-DOSE-900 when the way back does not agree.
    """
    limit = refuse_above(request, request.mg_per_kg_day)
    kilograms = Decimal(str(request.fish_g[1])) / _G_PER_KG
    days, weighing = _fewest_days(request, kilograms, label)
    dosed_kg = kilograms * days
    per_kg = weighing.active_mg / dosed_kg
    refuse_above(request, float(per_kg))
    text = amount(weighing.value, weighing.unit.value)
    double_check.confirm(
        text, label_words(label), "", str(dosed_kg), str(per_kg), str(request.mg_per_kg_day)
    )
    return FeedAmount(
        agent=request.agent,
        text=text,
        value=weighing.value,
        unit=weighing.unit.value,
        days=days,
        food_g=request.food_g_day * days,
        active_mg_day=float(weighing.active_mg) / days,
        mg_per_kg_day=float(per_kg),
        most_mg_per_kg_day=_at_most(request, float(per_kg)),
        sum_text="".join(_sum(request, weighing, label, days)),
        limit=limit,
        label=label,
        read_back=_read_back(facts, request, label, text, dosed_kg),
        handling=handling(facts, request.agent),
        finer=finer_tool(weighing.value, label.tool).replace(", or a stock solution", ""),
    )


def refuse_above(request: FeedRequest, mg_per_kg_day: float) -> Limit:
    """Return the hard limit; refuse what passes it for the lightest the fish may be.

    Raises:
        BadInput: E-DOSE-10.
    """
    limit, most = request.limit, _at_most(request, mg_per_kg_day)
    if limit is not None and is_inside(most, limit):
        return limit
    needed = "an agent with a published limit in food"
    if limit is not None:
        needed = f"at most {feed_words(limit.mg_l)}{limit.cited}"
    lighter = request.fish_g[0] < request.fish_g[1]
    asked = "" if limit is None else feed_words(limit.mg_l * request.fish_g[0] / request.fish_g[1])
    weigh = f"Weigh the fish (stock weight=), or ask for at most {asked}"
    raise BadInput(
        "E-DOSE-10",
        f"{request.agent_name}: above the hard limit in food."
        if limit is not None
        else f"{request.agent_name}: no limit in food is known, so no amount is shown.",
        given=f"{feed_words(most)}"
        + (f" if they weigh {mass(request.fish_g[0] * MG_PER_G)}" if lighter else ""),
        needed=needed,
        next_step=weigh if lighter and limit is not None else "Lower the dose; ask a veterinarian.",
        field="strength",
    )


def feed_words(mg_per_kg_day: float | Decimal) -> str:
    """Write a dose in food: ``50 mg/kg of fish a day``."""
    return f"{amount(rounded(mg_per_kg_day, _SHOWN), 'mg/kg')} of fish a day"


def _at_most(request: FeedRequest, mg_per_kg_day: float) -> float:
    return mg_per_kg_day * request.fish_g[1] / request.fish_g[0]


def _fewest_days(
    request: FeedRequest, kilograms: Decimal, label: LabelEntry
) -> tuple[int, Weighing]:
    """Return for the food of how many days the tool measures an amount well, and that amount.

    Food takes up no litre of a stock solution: too little for the tool is weighed for several days.
    Where no number of days makes a step at most 4 % of it, the fewest that lie on a mark stand.
    """
    target = Decimal(str(request.mg_per_kg_day))
    refused: BadInput | None = None
    on_a_mark: list[tuple[int, Weighing]] = []
    for days in range(1, request.days + 1):
        try:
            weighing = _not_above(request, target, kilograms * days, label)
        except BadInput as mistake:
            if mistake.code != TOO_COARSE:
                raise
            refused = mistake
            continue
        if not weighing.stock and not finer_tool(weighing.value, label.tool):
            return days, weighing
        on_a_mark += [] if weighing.stock else [(days, weighing)]
    if on_a_mark:
        return on_a_mark[0]
    raise refused or BadInput(
        TOO_COARSE,
        "This amount cannot be measured with this tool, not even for all days at once.",
        given=f"{mass(float(target * kilograms) * request.days)} on steps of "
        f"{plain(label.tool.step)} {label.tool.unit.value}",
        needed="a finer tool: a step of at most 4 % of the amount",
        next_step="Use a finer scale, or ask a chemist to weigh it.",
        field="scale",
    )


def _not_above(
    request: FeedRequest, target: Decimal, dosed_kg: Decimal, label: LabelEntry
) -> Weighing:
    """Weigh out, rounded down where rounding up would pass the limit."""
    weighing = weigh_out(target, dosed_kg, label)
    most = _at_most(request, float(weighing.active_mg / dosed_kg))
    if request.limit is None or is_inside(most, request.limit):
        return weighing
    return weigh_out(target, dosed_kg, label, down=True)


def _sum(request: FeedRequest, weighing: Weighing, label: LabelEntry, days: int) -> Iterator[str]:
    """Write the sum so that it can be redone with a pocket calculator."""
    fish_g = request.fish_g[1]
    day_mg = request.mg_per_kg_day * fish_g / _G_PER_KG
    yield (
        f"{feed_words(request.mg_per_kg_day)} x {amount(rounded(fish_g, _SHOWN), 'g')} of fish"
        f" = {mass(day_mg)} a day"
    )
    if days > 1:
        yield f"; x {days} days = {mass(day_mg * days)}"
    if label.active_per_form != 1:
        yield f" / {plain(label.active_per_form)} ({label.form})"
    if label.basis is not StrengthBasis.PURE or label.strength != 1:
        yield f" / {plain(label.strength)} {label.basis.value}"
    exact = amount(rounded(weighing.exact, _SHOWN), weighing.unit.value)
    yield f" = {exact}; on the tool {amount(weighing.value, weighing.unit.value)}"


def _read_back(
    facts: Knowledge, request: FeedRequest, label: LabelEntry, text: str, dosed_kg: Decimal
) -> str:
    """Say which form the container holds, and what the same amount of another would bring."""

    def brings(read: LabelEntry) -> str:
        per_kg = double_check.strength_from_print(text, label_words(read), "", str(dosed_kg))
        return feed_words(float(per_kg))

    others = [
        f"{brings(other)} if it is {other.form.removeprefix('as ')}"
        for other in other_readings(facts, label)
    ]
    if not others:
        return ""
    form = label.form.removeprefix("as ")
    return (
        f"The container of {request.agent_name} must say {form}: the same amount would bring "
        f"{', '.join(others)}, not {brings(label)}."
    )
