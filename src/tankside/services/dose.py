"""One amount: from what is typed to the sum, its limits, its cautions and the people lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from tankside import course as courses
from tankside.claims import Agent, Knowledge
from tankside.course import (
    Amount,
    BodyKind,
    Caution,
    Course,
    FilterState,
    InWater,
    LabelEntry,
    Level,
    StockGroup,
    System,
    VolumeRules,
    volume_from_methods,
)
from tankside.course.action import Action
from tankside.course.actions import Bath, Dose, WaterChange
from tankside.course.choice import FIELDS, forms_of
from tankside.course.limits import hard_limit, lowest_useful, soft_limit
from tankside.course.needs import Readings, around
from tankside.errors import BadInput, NotPossible
from tankside.library import load
from tankside.quantity import DOSE, Kind, parse_quantity
from tankside.services.assemble_stock import find_host
from tankside.services.assemble_water import agent_id
from tankside.services.labels import read_labels

T = TypeVar("T")

BODY = "tank"
BATH = "bath"
PROLONGED = "prolonged"
PRODUCT = "product"
EMERGENCY = (
    "Fish roll over or gasp: air on, fish out into clean water of the same temperature, or change "
    "half the water with matched water; give no more.",
    "A person is splashed, breathes it in or swallows it: see the people lines, call a poison "
    "centre or doctor, show the label.",
)
READINGS: Mapping[str, tuple[Kind, str]] = {
    "temperature_c": (Kind.TEMPERATURE, "C"),
    "alkalinity_mg_l_caco3": (Kind.ALKALINITY, "mg/L as CaCO3"),
    "ph": (Kind.PH, "pH"),
    "oxygen_mg_l": (Kind.OXYGEN, "mg/L"),
    "salinity_g_l": (Kind.SALINITY, "g/L"),
}


@dataclass(frozen=True, slots=True)
class DoseAsk:
    """One amount asked for, as typed.

    ``animals`` are kinds by name; empty means nobody was named (then nothing is weighed out)
    unless ``fishless``. ``changed`` asks for the amount to put back with that much new water;
    ``reason`` is what is typed for passing a soft limit.
    """

    agent: str
    strength: str
    volume: str
    label: str
    second_volume: str | None = None
    scale: str | None = None
    syringe: str | None = None
    changed: str | None = None
    there: str | None = None
    route: str = "prolonged"
    minutes: str | None = None
    reason: str = ""
    animals: Sequence[str] = ()
    fishless: bool = False
    readings: Mapping[str, str | None] = field(default_factory=dict)
    choices: Mapping[str, str | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DoseAnswer:
    """One amount with everything that belongs beside it."""

    agent: Agent
    amount: Amount
    line: str
    usual_low_mg_l: float | None
    usual_high_mg_l: float | None
    hard_mg_l: float
    cautions: tuple[Caution, ...]
    people: Mapping[str, str]
    sources: tuple[str, ...]
    emergency: tuple[str, ...] = EMERGENCY


def work_out(ask: DoseAsk) -> DoseAnswer:
    """Work out one amount.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.., E-PROD-.., E-DOSE-.. when it may not be shown.
        NotPossible: E-DOSE-900 when the two sums differ.
    """
    facts = load()
    agent = _agent(facts, ask.agent)
    labels = read_labels(facts, (f"{agent.id}={ask.label}",), ask.scale, ask.syringe)
    system = _system(facts, ask, agent)
    stock = tuple(_group(facts, name) for name in ask.animals)
    wanted = read_strength(agent, ask.strength)
    course = _course(ask, agent, system, stock, wanted)
    run = courses.run([system, *_box(ask, system)], stock, course, facts, labels)
    blocked = [c for c in run.blocked if c.agent in ("", agent.id)]
    if blocked:
        raise _refused(blocked[0])
    if not run.amounts:
        raise NotPossible(
            "E-DOSE-25",
            f"Nothing to weigh out: the water already holds this strength of {agent.name}.",
            given=ask.strength,
            needed="a strength above what is there already",
            next_step="Check what was typed as already there.",
        )
    return _answer(facts, ask, agent, labels[agent.id], run, system, stock)


def _agent(facts: Knowledge, name: str) -> Agent:
    found = facts.agents.get(agent_id(facts, name))
    if found is None:
        raise BadInput(
            "E-PROD-02",
            "This substance is not known by that name.",
            given=name,
            needed="one of: " + ", ".join(sorted(facts.agents)),
            next_step="Type the active substance as the label names it.",
            field="agent",
        )
    return found


def read_strength(agent: Agent, text: str) -> float:
    """Read a strength [mg/L] and bring it to the agent's basis.

    Raises:
        BadInput: E-UNIT-03 no form, where containers of this agent come in several; E-NUM-..,
            E-UNIT-.. what is no strength.
    """
    bare, _, form = text.partition(" as ")
    factor = _form_factor(agent, f"as {form.strip()}" if form else None, text)
    read = parse_quantity(bare, DOSE, field="strength")
    return float(read.canonical()) * factor


def _form_factor(agent: Agent, form: str | None, given: str) -> float:
    told = {
        claims[0].conditions.get("form", ""): claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].known
    }
    several = len(set(forms_of(agent, in_containers=True).values())) > 1
    if form is None and (several or "copper" in agent.actives) and PRODUCT not in agent.basis:
        raise _no_basis(given, told)
    if form is None or form == agent.basis:
        return 1.0
    for name, factor in told.items():
        if name.lower() == form.lower():
            return factor
    raise _no_basis(given, told)


def _no_basis(given: str, told: Mapping[str, float]) -> BadInput:
    return BadInput(
        "E-UNIT-03",
        "Say what the mass is of.",
        given=given,
        needed="mg/L " + ", mg/L ".join(told),
        next_step="Write the basis after the unit, for example 0.18 mg/L as Cu.",
        field="strength",
    )


def _system(facts: Knowledge, ask: DoseAsk, agent: Agent) -> System:
    rules = VolumeRules(
        facts.number("practice.course.volume_ask_difference"),
        facts.number("practice.course.volume_stop_difference"),
    )
    first = parse_quantity(ask.volume, Kind.VOLUME, field="volume").number("L")
    second = ask.second_volume and parse_quantity(
        ask.second_volume, Kind.VOLUME, field="second volume"
    ).number("L")
    there = _there(agent, ask, first)
    found = _read(ask.readings)
    return System(
        id=BODY,
        name="the tank",
        kind=BodyKind.FISHLESS if ask.fishless else BodyKind.MAIN,
        volume=volume_from_methods(first, second or None, rules, "as typed"),
        water=ask.choices.get("water") or "fresh",
        temperature_c=found.get("temperature_c"),
        alkalinity_mg_l_caco3=found.get("alkalinity_mg_l_caco3"),
        ph=found.get("ph"),
        oxygen_mg_l=found.get("oxygen_mg_l"),
        salinity_g_l=found.get("salinity_g_l"),
        carbon_in=_yes(ask.choices.get("carbon")),
        filter_state=_filter(ask.choices.get("filter")),
        invertebrates=_yes(ask.choices.get("invertebrates")),
        plants=_yes(ask.choices.get("plants")),
        food_fish=_yes(ask.choices.get("food_fish")),
        residues=there,
    )


def _there(agent: Agent, ask: DoseAsk, volume_l: float) -> tuple[InWater, ...]:
    """Return what is in the water already; for a change, the strength that is being held."""
    if ask.changed is not None:
        held = read_strength(agent, ask.strength)
        return (InWater(agent.id, held, held),)
    if ask.there is None:
        return ()
    read = parse_quantity(ask.there, (Kind.MASS, *DOSE), field="there")
    mass = read.kind is Kind.MASS
    mg_l = read.number("mg") / volume_l if mass else float(read.canonical())
    return (InWater(agent.id, mg_l, mg_l),)


def _read(typed: Mapping[str, str | None]) -> dict[str, float]:
    return {
        name: parse_quantity(text, READINGS[name][0], field=name).number(READINGS[name][1])
        for name, text in typed.items()
        if text is not None
    }


def _yes(text: str | None) -> bool | None:
    return _one_of(text, {"yes": True, "no": False})


def _filter(text: str | None) -> FilterState | None:
    return _one_of(text, {"ripe": FilterState.RIPE, "unripe": FilterState.UNRIPE})


def _one_of(text: str | None, choices: Mapping[str, T]) -> T | None:
    if text is None:
        return None
    if text not in choices:
        raise BadInput(
            "E-CLI-02",
            "This choice is not known.",
            given=text,
            needed=" or ".join(choices),
            next_step="Leave it out when nobody knows.",
        )
    return choices[text]


def _group(facts: Knowledge, name: str) -> StockGroup:
    host = find_host(facts.hosts, None, name)
    if host is None:
        return StockGroup(name.strip().lower(), None, name, 1, None, None, BODY)
    return StockGroup(host.id, host.id, name, 1, None, None, BODY)


def _apart(ask: DoseAsk) -> bool:
    """Whether it is a bath beside the tank: fish put in for minutes, and nothing put back."""
    timed = ask.route != PROLONGED and ask.minutes is not None
    return timed and bool(ask.animals) and ask.changed is None


def _box(ask: DoseAsk, system: System) -> tuple[System, ...]:
    """Return the water of the bath; the volume and the readings typed are those of the bath."""
    return (replace(system, id=BATH, name="the bath", kind=BodyKind.BATH),) if _apart(ask) else ()


def _course(
    ask: DoseAsk, agent: Agent, system: System, stock: Sequence[StockGroup], mg_l: float
) -> Course:
    minutes = None
    if ask.minutes is not None:
        minutes = parse_quantity(ask.minutes, Kind.TIME, field="minutes").number("min")
    reason = ask.reason.strip()
    if minutes is not None and _apart(ask):
        baths = (
            Bath(0, BODY, group.id, BATH, agent.id, mg_l, minutes, ask.route, reason)
            for group in stock
        )
        return Course("one amount", 1, tuple(baths))
    dose = Dose(0, BODY, agent.id, mg_l, True, route=ask.route, minutes=minutes, reason=reason)
    steps: tuple[Action, ...] = (dose,)
    if ask.changed is not None:
        litres = parse_quantity(ask.changed, Kind.VOLUME, field="changed").number("L")
        if not litres <= system.volume.point_l:
            raise BadInput(
                "E-UNIT-02",
                "More water is changed than there is.",
                given=ask.changed,
                needed=f"at most {system.volume.point_l:g} L",
                next_step="Check both volumes.",
                field="changed",
            )
        steps = (dose, WaterChange(1, BODY, litres))
    return Course("one amount", 1, steps)


def _refused(caution: Caution) -> BadInput:
    return BadInput(
        caution.code,
        caution.words,
        needed=caution.why.replace("\xa0", " "),
        next_step=caution.what_instead,
        field=caution.claim_key,
    )


def _answer(
    facts: Knowledge,
    ask: DoseAsk,
    agent: Agent,
    label: LabelEntry,
    run: courses.CourseRun,
    system: System,
    stock: tuple[StockGroup, ...],
) -> DoseAnswer:
    del label
    hard = hard_limit(facts, agent.id, ask.route, around(Readings.at_start(system), stock))
    low, high = lowest_useful(facts, agent.id, ask.route), soft_limit(facts, agent.id, ask.route)
    if hard is None:
        raise NotPossible("E-DOSE-10", "No limit is known by this route.", given=ask.route)
    people = {
        name: str(claim.value)
        for name in ("hazard", *FIELDS)
        if (claim := agent.find(f"people.{name}")) is not None
    }
    keys = dict.fromkeys(lim.source for lim in (low, high, hard) if lim is not None and lim.source)
    cited = tuple(f"{key}: {facts.source(key).citation}" for key in keys)
    line = next(line for line in run.lines if line.amounts)
    return DoseAnswer(
        agent=agent,
        amount=run.amounts[-1],
        line=line.text,
        usual_low_mg_l=None if low is None else low.mg_l,
        usual_high_mg_l=None if high is None else high.mg_l,
        hard_mg_l=hard.mg_l,
        cautions=tuple(c for c in run.safety if c.level is not Level.BLOCKED),
        people=people,
        sources=cited,
    )
