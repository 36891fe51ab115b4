"""Around a dose: how surely the water is known, and filter, carbon, UV, ozone and skimmer."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.amounts.choice import TAKES
from tankside.course.amounts.tolerance import class_effect
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import Switch
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.system import BodyKind, FilterState
from tankside.course.bodies.words import show
from tankside.course.safety.scene import CourseScene
from tankside.course.safety.unknown_effects import TEST_DAILY
from tankside.course.water.nitrogen import LOST, SPARED, filter_class

ASK_KEY = "practice.course.volume_ask_difference"
DOES_NOT = "does_not"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield E-DOSE-21 (a weak volume), and cautions of filter, carbon, UV, ozone and skimmer."""
    for body, agent in scene.treated():
        doses = scene.doses(body, agent)
        if doses:
            yield from _weak_volume(scene, body, doses[0][0])
        if doses and scene.bodies[body].system.kind is not BodyKind.BATH:
            hours = [hour for hour, _ in doses]
            yield from _filter(scene, body, agent, hours[0])
            yield from _carbon(scene, body, agent, hours)
            yield from _uv(scene, body, agent, hours)
            yield from _beside(scene, body, agent, hours[0])


def _weak_volume(scene: CourseScene, body: str, hour: int) -> Iterator[Caution]:
    """Ask for a second method where the volumes that fit lie further apart than the rule allows.

    One method alone is given that error on both sides, so it always asks.
    """
    allowed = find_number(scene.facts, ASK_KEY)
    volume = scene.bodies[body].system.volume
    if allowed is None or volume.larger_l <= volume.smaller_l * (1 + allowed):
        return
    yield Caution(
        Level.CARE, "E-DOSE-21", f"The water volume of {scene.bodies[body].system.name} is weak.",
        f"{volume.how}: {show(volume.smaller_l, 'L')} to {show(volume.larger_l, 'L')} fit, and "
        f"amounts are worked out for {show(volume.point_l, 'L')}.",
        ASK_KEY, "Measure it by a second method before dosing.", hour=hour, body=body,
    )  # fmt: skip


def _filter(scene: CourseScene, body: str, agent: str, hour: int) -> Iterator[Caution]:
    """Say what is known of an agent and a filter at work; what is not known is said elsewhere."""
    claim = class_effect(scene.facts, agent, "filter")
    unripe = scene.bodies[body].system.filter_state is FilterState.UNRIPE
    effect = SPARED if claim is None or unripe else filter_class(claim.value)
    if claim is None or effect == SPARED:
        return
    name = scene.agent_name(agent)
    yield Caution(
        Level.CARE,
        "S-FILTER",
        f"Filter {'may be lost' if effect == LOST else 'at risk'} with {name}.",
        claim.note or f"Stated by {claim.source or 'practice'}.",
        claim.key,
        TEST_DAILY,
        hour=hour,
        body=body,
        agent=agent,
    )


def _carbon(scene: CourseScene, body: str, agent: str, hours: list[int]) -> Iterator[Caution]:
    run = scene.bodies[body]
    claim = scene.facts.find(f"agent.{agent}.removal.carbon")
    takes = None if claim is None else str(claim.value)
    if takes == DOES_NOT:
        return
    touched = Switch.CARBON in run.steps.switches
    if any(run.carbon[hour] > 0 for hour in hours):
        yield Caution(
            Level.CARE, "S-CARBON", f"Carbon is in while {scene.agent_name(agent)} is given.",
            "It takes the agent out." if takes in TAKES else "It may take the agent out.",
            f"agent.{agent}.removal.carbon", "Take the carbon out first; keep it for the end.",
            hour=hours[0], body=body, agent=agent,
        )  # fmt: skip
    elif run.system.carbon_in is None and not touched:
        yield Caution(
            Level.NOTE, "S-CARBON", "Not known whether carbon is in the filter.",
            "Carbon takes many agents out.", f"agent.{agent}.removal.carbon",
            "Look in the filter; take carbon out.", hour=hours[0], body=body, agent=agent,
        )  # fmt: skip


def _uv(scene: CourseScene, body: str, agent: str, hours: list[int]) -> Iterator[Caution]:
    run = scene.bodies[body]
    claim = scene.facts.find(f"agent.{agent}.removal.uv")
    if claim is None or str(claim.value) not in TAKES or not run.system.uv_on:
        return
    runs = run.switched(Switch.UV, run.system.uv_turnover_per_h or 1.0)  # its flow may be unknown
    if any(runs[hour] > 0 for hour in hours):
        yield Caution(
            Level.CARE, "S-UV", f"UV is on while {scene.agent_name(agent)} is given.",
            "UV light breaks the agent down.", claim.key, "Turn UV off until the course ends.",
            hour=hours[0], body=body, agent=agent,
        )  # fmt: skip


def _beside(scene: CourseScene, body: str, agent: str, hour: int) -> Iterator[Caution]:
    """Yield what runs beside the filter and takes an agent out, or may: ozone, a skimmer.

    What nobody has published of an agent is no proof that it stays.
    """
    system, name = scene.bodies[body].system, scene.agent_name(agent)
    running = (
        (system.ozone_on, "S-OZONE", "ozone", "Ozone", "breaks the agent down"),
        (system.skimmer_on, "S-SKIMMER", "skimmer", "The skimmer", "takes the agent out"),
    )
    for runs, code, what, title, does in running:
        claim = scene.facts.find(f"agent.{agent}.removal.{what}")
        takes = None if claim is None else str(claim.value)
        if not runs or takes == DOES_NOT:
            continue
        may = f"May be that it {does}: no figure was found, and none is no proof that it stays."
        noted = f" {claim.note[:1].upper()}{claim.note[1:]}." if claim and claim.note else ""
        yield Caution(
            Level.CARE, code, f"{title} is on while {name} is given.",
            f"It {does}.{noted}" if takes in TAKES else may,
            f"agent.{agent}.removal.{what}",
            f"Turn {title.lower()} off before the first dose and on after the last; keep air on.",
            hour=hour, body=body, agent=agent,
        )  # fmt: skip
