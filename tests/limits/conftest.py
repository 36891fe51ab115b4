"""One agent by one route in plain water, with the usual dose told by its own claims."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    FilterState,
    LabelEntry,
    StockGroup,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
    Volume,
    run,
)
from tankside.course.actions import Bath, Dose
from tankside.course.actions.action import Action
from tankside.course.actions.feed import MedicatedFeed
from tankside.course.amounts.by_hand import BY_HAND
from tankside.library import load

GROUP = "fish"
USUAL = "printed as usual, though above the soft limit"
STOCK = re.compile(r"D[a-z]+ ([0-9.]+)\s(mg|g|mL) in water to make ([0-9.]+)\s(mg|g|mL)")


@dataclass(frozen=True)
class Route:
    """One way in which an agent has a published dose.

    Args:
        agent: agent id.
        name: prolonged, bath, dip or feed.
        usual: the usual strength [mg/L, or mg/kg/d for feed]: the stated value, else the upper
            end of the range.
        minutes: the longest time [min]; None where the route has none.
    """

    agent: str
    name: str
    usual: float
    minutes: float | None


def routes() -> Iterator[Route]:
    """Yield every agent and route with a published dose told in the water or per kg of fish."""
    facts = load()
    for agent in facts.agents.values():
        if agent.kind != "substance" or not agent.offered:
            continue
        for name in agent.routes:
            claim = facts.find(f"agent.{agent.id}.dose.{name}")
            assert claim is not None
            usual = claim.bounds()[1] if claim.value is None else claim.number()
            longest = facts.find(f"agent.{agent.id}.minutes_max.{name}")
            yield Route(agent.id, name, usual, None if longest is None else longest.bounds()[1])


def plain_water() -> System:
    """Return a tank in which nothing but the dose itself can be wrong."""
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(100, 100, 100, "two methods"), water="fresh",
        temperature_c=18.0, ph=7.5, alkalinity_mg_l_caco3=300.0, oxygen_mg_l=8.0,
        oxygen_dawn_mg_l=7.5, total_ammonia_mg_l_n=0.0, nitrite_mg_l_n=0.0, surface_area_m2=0.6,
        carbon_in=False, uv_on=False, filter_state=FilterState.RIPE, plants=False,
        invertebrates=False, food_fish=False,
    )  # fmt: skip


def water_for(agent: str) -> System:
    """Return plain water of the kind that an agent is for."""
    sea = load().find(f"agent.{agent}.needs.marine") is not None
    return replace(plain_water(), water="marine" if sea else "fresh")


def fish(weight: float = 1) -> StockGroup:
    """Return grown fish of a hardy kind whose gills were looked at."""
    grams = (10.0 * weight, 20.0 * weight, 30.0 * weight)
    return StockGroup(GROUP, "carassius_auratus", "goldfish", 6, 8.0, grams, "main", "adult", False)


def pure(agent: str) -> LabelEntry:
    """Return a container of the agent's own basis, well seen to, on fine tools."""
    return LabelEntry(
        agent, Decimal(1), StrengthBasis.PURE, "the basis", Decimal(1), None,
        Tool(ToolUnit.MILLIGRAM, Decimal("0.01")), Tool(ToolUnit.MILLILITRE, Decimal("0.01")),
        ready=tuple(need.name for need in BY_HAND),
    )  # fmt: skip


def treat(
    route: Route,
    *,
    strength: float = 1,
    minutes: float = 1,
    weight: float = 1,
    volume: Volume | None = None,
    label: LabelEntry | None = None,
    at_h: tuple[int, ...] = (8,),
    reason: str = "",
) -> CourseRun:
    """Run one agent by one route; the numbers multiply what is usual."""
    water = water_for(route.agent)
    water = water if volume is None else replace(water, volume=volume)
    bath = replace(water, id="bath", name="the bath", kind=BodyKind.BATH)
    mg_l = route.usual * strength
    lasts = None if route.minutes is None else route.minutes * minutes

    def step(hour: int) -> Action:
        if route.name == "feed":
            return MedicatedFeed(hour, "main", GROUP, route.agent, mg_l)
        why = reason or (USUAL if strength == 1 else "")
        if route.name == "prolonged":
            return Dose(hour, "main", route.agent, mg_l, reason=why)
        assert lasts is not None
        return Bath(hour, "main", GROUP, "bath", route.agent, mg_l, lasts, route.name, why)

    course = Course("one agent", 30, tuple(step(hour) for hour in at_h))
    labels = {route.agent: label or pure(route.agent)}
    return run([water, bath], [fish(weight)], course, load(), labels)


def worked_back(text: str, stock: str, label: LabelEntry, litres: float) -> Fraction:
    """Return the strength [mg/L] that the printed words give, by this test's own arithmetic."""
    number, unit = text.replace("\xa0", " ").split(" ")
    amount = Fraction(number)
    made = STOCK.search(stock)
    if made:
        if unit != made[4]:
            return Fraction(0)
        amount, unit = amount * Fraction(made[1]) / Fraction(made[3]), made[2]
    s = Fraction(label.strength)
    rho = None if label.density_g_ml is None else Fraction(label.density_g_ml)
    liquid = label.basis is StrengthBasis.AS_PRODUCT and not label.solid
    if label.basis in (StrengthBasis.PURE, StrengthBasis.MASS_PER_MASS) or (
        label.basis is StrengthBasis.AS_PRODUCT and not liquid
    ):
        grams = {"g": amount, "mg": amount / 1000}.get(unit)
        if grams is None:
            assert rho is not None
            grams = amount * rho
        active_mg = grams * s * 1000
    else:
        ml = amount
        if unit != "mL":
            assert rho is not None
            ml = amount / (1000 if unit == "mg" else 1) / rho
        active_mg = ml * s * (1 if label.basis is StrengthBasis.MG_PER_ML else 1000)
    return active_mg * Fraction(label.active_per_form) / Fraction(Decimal(str(litres)))


@pytest.fixture(scope="session")
def given_back() -> Callable[[str, str, LabelEntry, float], Fraction]:
    """Return the tests' own way back from printed words to a strength."""
    return worked_back


@pytest.fixture(scope="session")
def facts() -> Knowledge:
    return load()


@pytest.fixture
def water() -> System:
    """Return a tank in which nothing but the dose itself can be wrong."""
    return plain_water()


@pytest.fixture
def container_of() -> Callable[[str], LabelEntry]:
    """Return the function that gives a container of an agent on its own basis."""
    return pure


@pytest.fixture
def salt() -> LabelEntry:
    """Return a bag of pure salt on a fine scale."""
    return pure("sodium_chloride")


@pytest.fixture
def treated() -> Callable[..., CourseRun]:
    """Return the function that runs one agent by one route."""
    return treat


@pytest.fixture
def every_route() -> list[Route]:
    """Return every agent and route with a published dose."""
    return ROUTES


ROUTES = list(routes())


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give every test that takes ``route`` each agent and route in turn, by name."""
    if "route" in metafunc.fixturenames:
        metafunc.parametrize("route", ROUTES, ids=lambda route: f"{route.agent}-{route.name}")
    if "mixed" in metafunc.fixturenames:
        mixed = [route for route in ROUTES if route.name != "feed"]
        metafunc.parametrize("mixed", mixed, ids=lambda route: f"{route.agent}-{route.name}")
    if "spaced" in metafunc.fixturenames:
        key = "agent.{}.interval.prolonged"
        held = [route for route in ROUTES if route.name == "prolonged"]
        spaced = [route for route in held if load().find(key.format(route.agent)) is not None]
        metafunc.parametrize("spaced", spaced, ids=lambda route: route.agent)
    if "timed" in metafunc.fixturenames:
        timed = [route for route in ROUTES if route.minutes is not None]
        metafunc.parametrize("timed", timed, ids=lambda route: f"{route.agent}-{route.name}")
