"""One life cycle at one temperature: how long each stage lasts, and what reaches it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside import library
from tankside.claims import Claim, Knowledge
from tankside.claims.organism import LifeStage, Organism, Place, StageKind
from tankside.errors import BadInput
from tankside.lifecycle import (
    Range,
    StageDurations,
    egg_window_days,
    free_life_days,
    last_hatch_days,
    life_days,
    residence_days,
    stage_durations,
)
from tankside.lifecycle.inputs.parameters import lies_loose, missing_parameters

COLDEST_C, WARMEST_C = 0.0, 40.0
STRENGTHS = ("lc50_mg_l", "half_g_l", "half_c")
"""What the half-kill of an agent is called: by mass, by salinity, by warmth."""
SIPHON = "practice.course.siphon_bottom_share"


@dataclass(frozen=True, slots=True)
class AgentOnStage:
    """What an agent does to a stage.

    Args:
        agent: its id.
        name: its name.
        ratio: how many times the strength it takes than against another stage, as low, middle and
            high; None where a strength of its own is on file.
        beside: that other stage, in words; "" where a strength of its own is on file.
    """

    agent: str
    name: str
    ratio: Range | None
    beside: str = ""


@dataclass(frozen=True, slots=True)
class StagePassage:
    """One stage at one temperature.

    Args:
        stage: the stage.
        time_d: how long it lasts, as low, middle and high [d]; None where no figure says.
        met_by: agents with a figure for it.
        no_figure: names of agents for which a figure is asked for and none is known.
        loose: part of it that a siphon can lift, where it lies on the bottom.
    """

    stage: LifeStage
    time_d: Range | None
    met_by: tuple[AgentOnStage, ...]
    no_figure: tuple[str, ...]
    loose: float = 1.0


@dataclass(frozen=True, slots=True)
class LifeCycleAnswer:
    """One life cycle at one temperature.

    Args:
        organism: the parasite.
        temperature_c: of the water [C].
        durations: the windows that dates are made from.
        passages: every stage, in the order of its life.
        visible_from: share of the stay on the fish before a spot shows; None where none does.
        egg_window_d: when a second dose meets what hatched and has not laid [d]; None without.
        last_hatch_d: when the last of the eggs that a dose spared have hatched [d]; None without.
        release_salt: salt at which half of the cysts no longer release young; None without.
        siphon: share of what lies on the bottom that one siphoning takes.
    """

    organism: Organism
    temperature_c: float
    durations: StageDurations
    passages: tuple[StagePassage, ...]
    visible_from: Claim | None
    egg_window_d: tuple[float, float] | None
    last_hatch_d: float | None
    release_salt: Claim | None
    siphon: Claim


def running_organisms(facts: Knowledge | None = None) -> Mapping[str, Organism]:
    """Return the parasites whose life cycle can be run, by id."""
    everything = (facts or library.load()).organisms
    return {name: o for name, o in everything.items() if not missing_parameters(o)}


def life_cycle(organism: str, temperature_c: float) -> LifeCycleAnswer:
    """Return a life cycle at a temperature.

    Args:
        organism: id of a parasite whose life cycle can be run.
        temperature_c: of the water [C].

    Raises:
        BadInput: E-LEARN-01 no life cycle of that name runs, E-LEARN-02 no water of a fish tank
            is that cold or warm.
    """
    facts = library.load()
    running = running_organisms(facts)
    if organism not in running:
        raise BadInput(
            "E-LEARN-01",
            "No life cycle of that name can be drawn.",
            given=organism,
            needed=", ".join(running),
            next_step="Choose one of the list.",
            field="organism",
        )
    if not COLDEST_C <= temperature_c <= WARMEST_C:
        raise BadInput(
            "E-LEARN-02",
            "That is no temperature of water with fish in it.",
            given=f"{temperature_c:g} C",
            needed=f"{COLDEST_C:g} to {WARMEST_C:g} C",
            next_step="Type what the thermometer in the water shows.",
            field="temperature",
        )
    parasite = running[organism]
    host = parasite.at(Place.HOST)[0]
    return LifeCycleAnswer(
        organism=parasite,
        temperature_c=temperature_c,
        durations=stage_durations(parasite, temperature_c),
        passages=tuple(_passage(parasite, s, temperature_c, facts) for s in parasite.stages),
        visible_from=parasite.claims.get(f"{host.key}.visible_from"),
        egg_window_d=egg_window_days(parasite, temperature_c),
        last_hatch_d=last_hatch_days(parasite, temperature_c),
        release_salt=_of_bottom(parasite, "release_salt_half_g_l"),
        siphon=facts.claim(SIPHON),
    )


def _of_bottom(organism: Organism, quantity: str) -> Claim | None:
    """Return the claim of a stage on the bottom, where one states something."""
    keys = [f"{stage.key}.{quantity}" for stage in organism.at(Place.BOTTOM)]
    return next((organism.claims[key] for key in keys if organism.known(key)), None)


def _passage(
    organism: Organism, stage: LifeStage, temperature_c: float, facts: Knowledge
) -> StagePassage:
    met, without = [], []
    for agent in sorted(facts.agents.values(), key=lambda agent: agent.name):
        key = f"kill.{agent.id}.{stage.key}"
        if any(organism.known(f"{key}.{strength}") for strength in STRENGTHS):
            met.append(AgentOnStage(agent.id, agent.name, None))
        elif organism.known(f"{key}.ratio"):
            claim = organism.claims[f"{key}.ratio"]
            low, high = claim.bounds()
            beside = _beside(organism, agent.id)
            met.append(AgentOnStage(agent.id, agent.name, (low, claim.number(), high), beside))
        elif any(name.startswith(f"{key}.") for name in organism.claims):
            without.append(agent.name)
    time_d = _time(organism, stage, temperature_c)
    loose = lies_loose(organism, stage)
    return StagePassage(stage, time_d, tuple(met), tuple(without), loose)


def _beside(organism: Organism, agent: str) -> str:
    """Return the stage for which the strength of an agent is on file, in words."""
    return next(
        (
            stage.words
            for stage in organism.stages
            if any(organism.known(f"kill.{agent}.{stage.key}.{s}") for s in STRENGTHS)
        ),
        "",
    )


def _time(organism: Organism, stage: LifeStage, temperature_c: float) -> Range | None:
    if stage.kind is StageKind.SEEKING:
        return free_life_days(organism, stage, temperature_c)
    needed = "residence" if stage.kind is StageKind.TIMED else "loss_per_d"
    if not organism.known(f"{stage.key}.{needed}"):
        return None
    if stage.kind is StageKind.TIMED:
        return residence_days(organism, stage, temperature_c)
    return life_days(organism, stage, temperature_c)
