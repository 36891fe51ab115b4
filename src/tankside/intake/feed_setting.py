"""Fish, food and days of a dose in food, as typed or as the stock of a case tells them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import SubstanceName
from tankside.course import Caution, StockGroup
from tankside.course.amounts.feed_amount import per_kilogram_of_fish
from tankside.course.amounts.limits import FEED
from tankside.course.bodies.facts import Range
from tankside.course.bodies.stock import Living, living_of, with_weights
from tankside.errors import BadInput
from tankside.intake.dose_refused import asked
from tankside.intake.dose_request import DoseRequest
from tankside.intake.dose_setting import DoseSetting
from tankside.intake.strength import form_factor_as_typed
from tankside.quantity import IN_FOOD, Kind, parse_quantity
from tankside.quantity.per import PERCENT

_SHARE = "%"
_OF_WEIGHT = "% of body weight"


@dataclass(frozen=True, slots=True)
class Fed:
    """One dose in food as told.

    Args:
        mg_per_kg_day: what a kilogram of fish is to get in a day [mg/kg/d].
        fish_g: what all fish weigh, at least, as worked with, and at most [g].
        food_g_day: the food of a day [g].
        days: on how many days.
    """

    mg_per_kg_day: float
    fish_g: Range
    food_g_day: float
    days: int


def fish_of(facts: Knowledge, setting: DoseSetting) -> tuple[StockGroup, ...]:
    """Return the fish of the water meant: all of them eat what is put into it."""
    here = (group for group in setting.stock if group.body == setting.system.id)
    fish = tuple(group for group in here if living_of(facts, group) is Living.FISH)
    return with_weights(facts, tuple(group for group in fish if group.count > 0))


def read_fed(
    facts: Knowledge,
    request: DoseRequest,
    substance: SubstanceName,
    setting: DoseSetting,
    fish: Sequence[StockGroup],
) -> tuple[Fed | None, tuple[Caution, ...]]:
    """Read fish, food and days; where anything is missing, None and all that is missing.

    Args:
        facts: what is known.
        request: what is asked, as typed.
        substance: what its name means.
        setting: water, animals and container.
        fish: the fish that are fed.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.. a number or a unit; E-DOSE-12 more days than are printed.
    """
    agent = substance.agents[0]
    fish_g, missing = _fish_g(request, fish, facts, agent, setting.system.id)
    missing += _misfit(facts, fish, agent, setting.system.id)
    days = _days(request, agent)
    if days is None:
        missing.append(
            asked("days", "On how many days is it fed?", "the days (days=5 d)",
                  "No file prints it: a veterinarian says on how many days.",
                  agent.id, setting.system.id)
        )  # fmt: skip
    if request.ration is None:
        missing.append(
            asked("ration", "How much is fed in a day?",
                  'a share of the weight of the fish ("1 % of body weight") or grams ("2 g/d")',
                  "Weigh the food of a day: ration=.", agent.id, setting.system.id)
        )  # fmt: skip
    amount = parse_quantity(request.strength.partition(" as ")[0], IN_FOOD, field="strength")
    factor = form_factor_as_typed(agent, _form(request, substance), request.strength)
    if fish_g is None or days is None or request.ration is None:
        return None, tuple(missing)
    food_g = _food_g(request.ration, fish_g[1])
    told = float(amount.canonical()) * factor
    if amount.kind is Kind.FEED_CONTENT:
        told = per_kilogram_of_fish(told, food_g, fish_g[1])
    return Fed(told, fish_g, food_g, days), tuple(missing)


def _form(request: DoseRequest, substance: SubstanceName) -> str:
    typed = request.strength.partition(" as ")[2].strip()
    return typed or substance.form.removeprefix("as ")


def _fish_g(
    request: DoseRequest, fish: Sequence[StockGroup], facts: Knowledge, agent: Agent, body: str
) -> tuple[Range | None, list[Caution]]:
    """Return what the fish weigh: as weighed for this dose, else by the stock."""
    if not fish:
        return None, [
            asked("animal", "Which fish are fed?", "the kinds of fish that eat it",
                  "Enter the fish (stock).", agent.id, body)
        ]  # fmt: skip
    unknown = [group.name for group in fish if group.weight_g is None or not group.number_known]
    by_stock = None if unknown else _sum(fish)
    if request.fish_weight is None:
        if by_stock is not None:
            return by_stock, []
        return None, [
            asked("fish_weight", f"What do the fish weigh: {', '.join(unknown)}?",
                  "the weight of all fish together, or weight and number of each kind",
                  "Weigh them in a bucket of water on a scale: fish-weight=, or stock weight=.",
                  agent.id, body)
        ]  # fmt: skip
    weighed = parse_quantity(request.fish_weight, Kind.MASS, field="fish_weight").number("g")
    if by_stock is not None and not by_stock[0] <= weighed <= by_stock[2]:
        said = f"{weighed:.4g} g do not fit the stock: {by_stock[0]:.4g} to {by_stock[2]:.4g} g"
        return None, [
            asked("fish_weight", f"What do the fish weigh? {said}.",
                  "a weight that fits number and size of the fish, in the unit of the scale",
                  "Weigh again and look at the unit, or correct the stock.", agent.id, body)
        ]  # fmt: skip
    return (weighed, weighed, weighed), []


def _sum(fish: Sequence[StockGroup]) -> Range:
    each = [(group.count, group.weight_g or (0.0, 0.0, 0.0)) for group in fish]
    low, point, high = (sum(count * weight[edge] for count, weight in each) for edge in range(3))
    return low, point, high


def _misfit(facts: Knowledge, fish: Sequence[StockGroup], agent: Agent, body: str) -> list[Caution]:
    """Ask again where a weight that was typed cannot be that of so long a fish (pounds, grams)."""
    return [
        asked("fish_weight", f"{group.name}: {group.weight_g[1]:.4g} g does not fit the length.",
              f"{by_length[0]:.3g} to {by_length[2]:.3g} g for one of {group.length_cm:g} cm",
              "Weigh again and look at the unit, or measure the length again.", agent.id, body)
        for group, by_length in _with_lengths(facts, fish)
        if group.weight_g is not None and not by_length[0] <= group.weight_g[1] <= by_length[2]
    ]  # fmt: skip


def _with_lengths(
    facts: Knowledge, fish: Sequence[StockGroup]
) -> Iterator[tuple[StockGroup, Range]]:
    for group in fish:
        (by_length,) = with_weights(facts, (replace(group, weight_g=None),))
        if by_length.weight_g is not None:
            yield group, by_length.weight_g


def _days(request: DoseRequest, agent: Agent) -> int | None:
    """Return on how many days it is fed: as typed, else as printed; None where neither is.

    Raises:
        BadInput: E-NUM-04 no whole days; E-DOSE-12 more days than any that is printed.
    """
    printed = agent.find(f"course_days.{FEED}")
    if request.days is None:
        return None if printed is None else round(printed.number())
    typed = parse_quantity(request.days, Kind.TIME, field="days").number("d")
    most = None if printed is None else printed.bounds()[1]
    if typed < 1 or typed != round(typed) or (most is not None and typed > most):
        raise BadInput(
            "E-DOSE-12",
            "So many days in food are not what is printed.",
            given=request.days,
            needed="whole days" + ("" if most is None else f", at most {most:g}"),
            next_step="Feed it on fewer days; a veterinarian says whether it is given again.",
            field="days",
        )
    return round(typed)


def _food_g(ration: str, fish_g: float) -> float:
    """Return the food of a day [g]; a bare share is one of the weight of the fish."""
    bare = ration.strip()
    text = f"{bare.removesuffix(_SHARE).strip()} {_OF_WEIGHT}" if bare.endswith(_SHARE) else bare
    read = parse_quantity(text, (Kind.RATION, Kind.FOOD), field="ration")
    share = float(read.canonical())
    return share if read.kind is Kind.FOOD else share / PERCENT * fish_g
