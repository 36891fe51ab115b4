"""A frozen model written out as a reaction network, for general stochastic simulators.

A residence time of gamma shape k is a chain of k exponential steps, which the frozen widths allow
exactly. Water that changes is constant within a window: the simulator is stopped at its end,
``warm`` and ``kill`` are set anew, counts are thinned where water or bottom is taken away, and it
goes on. So nothing is left to timed events or to concentrations that decay while the simulator
runs. Where only the temperature changes, a rule in time may say so instead, in one window.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import log

import numpy as np
from numpy.typing import NDArray

from tankside.bench.kernel_models import Model, warming
from tankside.course.bodies.tank_hours import Channel
from tankside.quantity.per import HOURS_PER_DAY

OPERATORS = {
    ast.Add: "plus",
    ast.Sub: "minus",
    ast.Mult: "times",
    ast.Div: "divide",
    ast.Pow: "power",
}
MATH = "http://www.w3.org/1998/Math/MathML"
TIME = "http://www.sbml.org/sbml/symbols/time"
SBML = "http://www.sbml.org/sbml/level3/version1/core"
SWEEP_PER_H = 100.0
"""Parasites of a dead fish leave or die at this rate: 0.01 h on average, in place of at once."""


@dataclass(frozen=True, slots=True)
class Reaction:
    """What is used up, what comes of it, and how fast [1/h]."""

    name: str
    used: dict[str, int]
    made: dict[str, int]
    speed: str


@dataclass(frozen=True, slots=True)
class Network:
    """Species with their first counts, parameters with their first values, reactions."""

    species: dict[str, int]
    parameters: dict[str, float]
    reactions: tuple[Reaction, ...]
    fish: int
    pull_shape: float
    rules: dict[str, str] = field(default_factory=dict)

    def column(self, starts: str) -> list[int]:
        """Return the places of the species whose names start so."""
        return [k for k, name in enumerate(self.species) if name.startswith(starts)]


@dataclass(frozen=True, slots=True)
class Window:
    """Hours of constant water: what is taken away at its start, then its speed and kill."""

    begin_h: int
    end_h: int
    warm: float
    kill_per_h: float
    bottom_removed: float
    water_removed: float


def network_of(model: Model) -> Network:
    """Write a frozen model as a network: T on the fish, M on the bottom, N swimmers, A alive."""
    claim = {key: stated.number() for key, stated in model.organism.claims.items()}
    stay, below = (round(claim[f"{s}.residence_cv"] ** -2) for s in ("feeding", "cyst"))
    groups = [(g.count, int(model.start.per_fish.get(g.id, (0.0,))[0])) for g in model.hosts]
    first = [each for count, each in groups for _ in range(count)]
    species = {f"T_{i}_{k}": first[i] * (k == 0) for i in range(len(first)) for k in range(stay)}
    species |= {f"A_{i}": 1 for i in range(len(first))} | {f"M_{k}": 0 for k in range(below)}
    parameters = {
        "leave": stay / claim["feeding.residence"],
        "hatch": below / claim["cyst.residence"],
        "fade": log(2) / claim["swimmer.life"],
        "find": claim["swimmer.search_l_per_h"]
        / float(model.tank_hours.strata[0].bodies[0].volume_l),
        "lethal": claim.get("host.lethal_burden", 1.0),
        "danger": claim.get("host.death_per_h", 0.0),
        "sweep": SWEEP_PER_H,
        "warm": 1.0,
        "kill": 0.0,
    }
    parameters |= {f"pull_{i}": 1.0 for i in range(len(first))}
    share = claim.get("host.dead_leave_share", 0.0)
    reactions = [r for i in range(len(first)) for r in _on_fish(i, stay, share)]
    reactions += _off_fish(below, int(claim["cyst.offspring"]))
    spread = claim.get("host.attraction_cv", 0.0)
    shape = spread**-2 if spread > 0 else 0.0
    return Network(species | {"N": 0}, parameters, tuple(reactions), len(first), shape)


def _on_fish(i: int, steps: int, leave_share: float) -> Iterator[Reaction]:
    names = [f"T_{i}_{k}" for k in range(steps)]
    burden = "(" + " + ".join(names) + ")"
    for step, after in pairwise([*names, "M_0"]):
        yield Reaction(f"on_{step}", {step: 1}, {after: 1}, f"leave * warm * {step}")
    for step in names:
        gone = f"sweep * (1 - A_{i}) * {step}"
        yield Reaction(f"out_{step}", {step: 1}, {"M_0": 1}, f"{leave_share!r} * {gone}")
        yield Reaction(f"with_{step}", {step: 1}, {}, f"{1 - leave_share!r} * {gone}")
    yield Reaction(f"meet_{i}", {"N": 1}, {names[0]: 1}, f"find * pull_{i} * A_{i} * N")
    risk = f"danger * A_{i} * ({burden} / lethal) ** 2 / (1 + ({burden} / lethal) ** 2)"
    yield Reaction(f"die_{i}", {f"A_{i}": 1}, {}, risk)


def _off_fish(steps: int, brood: int) -> list[Reaction]:
    names = [f"M_{k}" for k in range(steps)]
    chain = [
        Reaction(f"on_{step}", {step: 1}, {after: 1}, f"hatch * warm * {step}")
        for step, after in pairwise(names)
    ]
    last = Reaction("release", {names[-1]: 1}, {"N": brood}, f"hatch * warm * {names[-1]}")
    return [*chain, last, Reaction("fade_N", {"N": 1}, {}, "(fade + kill) * N")]


def windows_of(model: Model) -> list[Window]:
    """Cut the hours of a frozen model where its water changes."""
    claim = {key: stated.number() for key, stated in model.organism.claims.items()}
    hours = model.tank_hours.hours
    warm = claim["feeding.residence_q10"] ** (
        (warming(model.settings, hours) - claim["feeding.residence_ref_c"]) / 10
    )
    kill = model.swimmer_kill_per_h
    taken = {Channel.BOTTOM_REMOVED: np.zeros(hours), Channel.WATER_REMOVED: np.zeros(hours)}
    for event in model.tank_hours.events:
        taken[event.channel][event.hour] = event.share
    bottom, water = taken.values()
    new = (np.diff(warm) != 0) | (np.diff(kill) != 0) | (bottom[1:] > 0) | (water[1:] > 0)
    cuts = sorted({0, hours, *(np.flatnonzero(new) + 1).tolist(), *range(0, hours, HOURS_PER_DAY)})
    return [
        Window(a, b, float(warm[a]), float(kill[a]), float(bottom[a]), float(water[a]))
        for a, b in pairwise(cuts)
    ]


def warmed_by_rule(net: Network, model: Model) -> Network:
    """Return the network with the warming as a rule in time, without a condition.

    min(t, r) is written (t + r - abs(t - r)) / 2, because simulators turn conditions into events.
    """
    claim = {key: stated.number() for key, stated in model.organism.claims.items()}
    course = model.settings
    until = float(course["warming_h"])
    per_c = log(claim["feeding.residence_q10"]) / 10
    level = per_c * (course["start_c"] - claim["feeding.residence_ref_c"])
    slope = per_c * (course["end_c"] - course["start_c"]) / until
    rule = f"exp({level!r} + {slope / 2!r} * (time + {until!r} - abs(time - {until!r})))"
    return replace(net, rules={"warm": rule})


def whole(model: Model) -> list[Window]:
    """Return all hours of a model as one window, for a network with its own rule."""
    return [Window(0, model.tank_hours.hours, 1.0, 0.0, 0.0, 0.0)]


def thinned(
    net: Network, counts: NDArray[np.int64], window: Window, rng: np.random.Generator
) -> NDArray[np.int64]:
    """Return the counts after what is taken away at the start of a window, drawn for each."""
    left = counts.copy()
    for starts, share in (("M_", window.bottom_removed), ("N", window.water_removed)):
        place = net.column(starts)
        if share > 0:
            left[place] -= rng.binomial(left[place], share)
    return left


def totals(net: Network, counts: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return (on fish, bottom, swimmers, fish alive, nothing left) along the last axis."""
    parts = [counts[..., net.column(starts)].sum(axis=-1) for starts in ("T_", "M_", "N", "A_")]
    return np.stack([*parts, sum(parts[:-1]) == 0], axis=-1)


def sbml(net: Network) -> str:
    """Return the network in the systems-biology exchange format, level 3 version 1."""
    species = "".join(
        f'<species id="{name}" compartment="c" initialAmount="{count}" constant="false" '
        'hasOnlySubstanceUnits="true" boundaryCondition="false"/>'
        for name, count in net.species.items()
    )
    values = "".join(
        f'<parameter id="{name}" value="{value!r}" constant="false"/>'
        for name, value in net.parameters.items()
    )
    rules = "".join(
        f'<assignmentRule variable="{name}"><math xmlns="{MATH}">'
        f"{_math(ast.parse(rule, mode='eval').body)}</math></assignmentRule>"
        for name, rule in net.rules.items()
    )
    rules = f"<listOfRules>{rules}</listOfRules>" if rules else ""
    reactions = "".join(_reaction(r, net.species) for r in net.reactions)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><sbml xmlns="{SBML}" level="3" version="1">'
        '<model id="m" substanceUnits="item" timeUnits="second" extentUnits="item">'
        '<listOfCompartments><compartment id="c" spatialDimensions="3" size="1" constant="true"/>'
        f"</listOfCompartments><listOfSpecies>{species}</listOfSpecies>"
        f"<listOfParameters>{values}</listOfParameters>{rules}"
        f"<listOfReactions>{reactions}</listOfReactions></model></sbml>"
    )


def _reaction(reaction: Reaction, species: dict[str, int]) -> str:
    tree = ast.parse(reaction.speed, mode="eval").body
    named = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    sides = {"Reactants": reaction.used, "Products": reaction.made}
    lists = "".join(
        f"<listOf{side}>"
        + "".join(
            f'<speciesReference species="{name}" stoichiometry="{many}" constant="true"/>'
            for name, many in members.items()
        )
        + f"</listOf{side}>"
        for side, members in sides.items()
        if members
    )
    others = sorted((named & set(species)) - set(reaction.used))
    acting = "".join(f'<modifierSpeciesReference species="{name}"/>' for name in others)
    lists += f"<listOfModifiers>{acting}</listOfModifiers>" if acting else ""
    return (
        f'<reaction id="{reaction.name}" reversible="false" fast="false">{lists}'
        f'<kineticLaw><math xmlns="{MATH}">{_math(tree)}</math></kineticLaw></reaction>'
    )


def _math(node: ast.expr) -> str:
    """Return an expression of names, numbers, five operators and two functions in MathML."""
    if isinstance(node, ast.Name) and node.id == "time":
        return f'<csymbol encoding="text" definitionURL="{TIME}">t</csymbol>'
    if isinstance(node, ast.Name):
        return f"<ci>{node.id}</ci>"
    if isinstance(node, ast.Constant):
        return f"<cn>{node.value!r}</cn>"
    if isinstance(node, ast.BinOp):
        parts = _math(node.left) + _math(node.right)
        return f"<apply><{OPERATORS[type(node.op)]}/>{parts}</apply>"
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return f"<apply><{node.func.id}/>{''.join(map(_math, node.args))}</apply>"
    raise ValueError(ast.dump(node))
