"""What each kind of animal and plant in the water bears of each agent, and who is not known.

The worst of the kind, of its relatives and of its class of life is told; naming a kind never
weakens what stands against its class.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tankside.claims import Agent, Claim, Knowledge
from tankside.course.amounts.tolerance import (
    AVOID,
    CARE,
    CLASS_OF,
    HURT,
    NOT_KNOWN,
    SPARED,
    TOLERANT,
    class_effect,
    host_classes,
    spares_animals,
    told_of,
    tolerance,
    unnamed_tolerance,
)
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.stock import Living, StockGroup, living_of
from tankside.course.bodies.system import BodyKind
from tankside.course.bodies.tank_hours import Channel
from tankside.course.safety.scene import CourseScene
from tankside.course.safety.unknown_effects import Unknowns

NO_SPECIES = "species not known"
IN_GENERAL = (Living.INVERTEBRATE, Living.PLANT)
TYPED = {Living.INVERTEBRATE: "invertebrates", Living.PLANT: "plants"}


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield cautions on species (E-DOSE-26), unknown stock (-20), invertebrates and plants."""
    yield from _nobody(scene)
    for body, agent in scene.treated():
        unknowns = Unknowns(scene, body, agent)
        groups = [*scene.groups_with(body, agent), *scene.plants_with(body, agent)]
        yield from _named(scene, body, agent, groups, unknowns)
        if scene.given(body, agent):
            for living in IN_GENERAL:
                yield from _in_general(scene, body, agent, living, unknowns)
            unknowns.note_filter()
        yield from unknowns.told()
    for event, group in scene.handed():
        if event.channel in (Channel.BATH, Channel.FEED):
            unknowns = Unknowns(scene, event.body, event.agent)
            yield from _named(scene, event.body, event.agent, [group], unknowns)
            yield from unknowns.told()


def _nobody(scene: CourseScene) -> Iterator[Caution]:
    """Block doses of a tank with fish whose stock nobody has entered."""
    for body, agent in scene.treated():
        kind = scene.bodies[body].system.kind
        fish_expected = kind in (BodyKind.MAIN, BodyKind.HOSPITAL)
        somebody = any(bool(scene.in_body(g.id, body).any()) for g in scene.stock)
        if fish_expected and not somebody and scene.given(body, agent):
            yield Caution(
                Level.BLOCKED,
                "E-DOSE-20",
                f"No animals are entered for {scene.bodies[body].system.name}.",
                "What lives in it decides what may be given.",
                "",
                "Enter the animals that live in it (stock), or say use=fishless; animals that bear "
                f"{scene.agent_name(agent)} lift this stop.",
                body=body,
                agent=agent,
            )


def _named(
    scene: CourseScene,
    body: str,
    agent: str,
    groups: Sequence[StockGroup],
    unknowns: Unknowns,
) -> Iterator[Caution]:
    """Judge the groups that are entered by name."""
    record = scene.agent(agent)
    if record is not None and spares_animals(record):
        groups = [group for group in groups if living_of(scene.facts, group) is Living.PLANT]
    classes = () if record is None else host_classes(scene.facts, record)
    sorted_groups: dict[str, list[StockGroup]] = {}
    for group in groups:
        verdict = bears(scene.facts, group, record, classes)
        sorted_groups.setdefault(verdict, []).append(group)
    for verdict, alike in sorted_groups.items():
        if verdict == AVOID:
            for group in alike:
                yield _avoid(scene, body, agent, classes, group)
        elif verdict == CARE:
            yield _care(scene, body, agent, classes, alike)
        elif verdict == NOT_KNOWN:
            unknowns.note_groups(alike, classes)
        elif verdict == NO_SPECIES:
            yield _unknown_species(scene, body, agent, alike)


def bears(
    facts: Knowledge, group: StockGroup, record: Agent | None, classes: tuple[str, ...]
) -> str:
    """Return what a group bears of an agent: the worst of its kind and of its class of life.

    Args:
        facts: what is known.
        group: the animals or plants; of relatives where nothing is known of the kind.
        record: the agent; None where it is not on file.
        classes: the classes of agents that it is held against.

    Returns:
        tolerant, care, avoid, not_known, or that the species is not known.
    """
    host = None if group.host_id is None else facts.hosts.get(group.host_id)
    living = living_of(facts, group)
    in_class = NOT_KNOWN
    if record is not None and living in IN_GENERAL:
        in_class = _by_class(facts, record, living)
    if in_class == AVOID and living is Living.INVERTEBRATE:
        return AVOID
    if host is None:
        return NOT_KNOWN if living is Living.PLANT else NO_SPECIES
    of_kind = tolerance(facts, host, classes)
    if AVOID in (of_kind, in_class):
        return AVOID if of_kind == AVOID else CARE
    if of_kind == NOT_KNOWN and in_class == TOLERANT:
        return TOLERANT
    if CARE in (of_kind, in_class):
        return CARE
    return of_kind


def _by_class(facts: Knowledge, record: Agent, living: Living) -> str:
    """Return what the agent's own file says of a class of life."""
    claim = class_effect(facts, record.id, CLASS_OF[living])
    if claim is None:
        return NOT_KNOWN
    effect = str(claim.value)
    return AVOID if effect in HURT else TOLERANT if effect == SPARED else CARE


def _avoid(
    scene: CourseScene, body: str, agent: str, classes: tuple[str, ...], group: StockGroup
) -> Caution:
    by_class = [(name, _claim(scene, group, name)) for name in classes]
    worst = {name: claim for name, claim in by_class if claim is not None and claim.value == AVOID}
    if worst:
        why, key = _why(scene, tuple(worst), [group]), next(iter(worst.values())).key
    else:
        why, key = _why_class(scene, agent, living_of(scene.facts, group))
    return Caution(
        Level.BLOCKED,
        "E-DOSE-26",
        f"{scene.agent_name(agent)} is not for {group.name}.",
        why,
        key,
        f"Move {group.name} out first, or choose another way.",
        body=body,
        group=group.id,
        agent=agent,
    )


def _care(
    scene: CourseScene,
    body: str,
    agent: str,
    classes: tuple[str, ...],
    groups: list[StockGroup],
) -> Caution:
    name = scene.agent_name(agent)
    why, key = _why(scene, classes, groups), f"host.{groups[0].host_id}.tolerance."
    if why == ".":
        why, key = _why_class(scene, agent, living_of(scene.facts, groups[0]))
    else:
        key += classes[0]
    return Caution(
        Level.CARE,
        "E-DOSE-26",
        f"{name}: care with {', '.join(_names(groups))}.",
        why,
        key,
        "Try two animals first, start low, watch, or choose another way.",
        body=body,
        group=groups[0].id if len(groups) == 1 else "",
        agent=agent,
    )


def _claim(scene: CourseScene, group: StockGroup, name: str) -> Claim | None:
    host = scene.host(group)
    return None if host is None else told_of(scene.facts, host, name)


def _why(scene: CourseScene, classes: tuple[str, ...], groups: Sequence[StockGroup]) -> str:
    """Say for each group what is printed of each class, of a relative where it is read across."""
    said = []
    for group in groups:
        for name in classes:
            claim = _claim(scene, group, name)
            if claim is not None:
                of_kind = claim.key.startswith(f"host.{group.host_id}.")
                of = "" if of_kind else f"nothing of its own; {_relative(scene, claim)}: "
                said.append(f"{group.name}: {of}{_printed(claim)}")
    return "; ".join(dict.fromkeys(said)) + "."


def _names(groups: Sequence[StockGroup]) -> tuple[str, ...]:
    """Return the names of groups, each once: one kind may live in many tanks of one water."""
    return tuple(dict.fromkeys(group.name for group in groups))


def _relative(scene: CourseScene, claim: Claim) -> str:
    host = scene.facts.hosts.get(claim.key.split(".")[1])
    return "a relative" if host is None else f"of its relative {host.name}"


def _printed(claim: Claim) -> str:
    words = claim.conditions.get("as_printed", str(claim.value))
    return f"{words} ({claim.source})" if claim.source else words


def _why_class(scene: CourseScene, agent: str, living: Living) -> tuple[str, str]:
    """Return what is stated of a class of life, and the claim."""
    claim = class_effect(scene.facts, agent, CLASS_OF[living])
    if claim is None:
        kinds = f"Every kind of {CLASS_OF[living]} on file is to be kept from it."
        return kinds, f"agent.{agent}.effect.{CLASS_OF[living]}"
    said = claim.note or "stated in the file of the agent"
    source = f" ({claim.source})" if claim.source else ""
    return f"{said[:1].upper()}{said[1:]}{source}.", claim.key


def _unknown_species(
    scene: CourseScene, body: str, agent: str, groups: list[StockGroup]
) -> Caution:
    names = ", ".join(_names(groups))
    return Caution(
        Level.CARE if agent == SALT else Level.BLOCKED,
        "E-DOSE-20",
        f"Species not known: {names}. {scene.agent_name(agent)} needs it.",
        "What an unknown species tolerates is not known.",
        "",
        "Name the species (stock host= or name=), or a near relative: one on file that bears it, "
        "or of which nothing is against it, lifts this stop.",
        body=body,
        agent=agent,
    )


def _in_general(
    scene: CourseScene, body: str, agent: str, living: Living, unknowns: Unknowns
) -> Iterator[Caution]:
    """Judge invertebrates and plants that are told of only in general.

    What is named of them is judged by name, and at least as hard as its class.
    """
    system, record = scene.bodies[body].system, scene.agent(agent)
    what, name = TYPED[living], scene.agent_name(agent)
    here: bool | None = getattr(system, what)
    if here is False or record is None or _any_named(scene, body, agent, living):
        return
    if living is Living.INVERTEBRATE and spares_animals(record):
        return
    verdict = unnamed_tolerance(scene.facts, record, living, system.water)
    why, key = _why_class(scene, agent, living)
    if here and verdict == AVOID and living is Living.INVERTEBRATE:
        yield Caution(
            Level.BLOCKED, "E-DOSE-26", f"{name} kills shrimps, snails and other invertebrates.",
            why, key, "Move the fish out and treat them there.", body=body, agent=agent,
        )  # fmt: skip
    elif here and verdict in (AVOID, CARE):
        yield Caution(
            Level.CARE, "E-DOSE-26", f"{name} may hurt the {what}.", why, key,
            f"Take the {what} out, or treat the fish elsewhere.", body=body, agent=agent,
        )  # fmt: skip
    elif here and verdict == NOT_KNOWN:
        unknowns.note(f"the {what}")
    elif here is None and verdict == AVOID:
        yield Caution(
            Level.CARE, "E-DOSE-20", f"Are there {what} in {system.name}? {name} hurts them.",
            "Not asked, or the keeper does not know.", key,
            f"Ask; take the {what} out first. {what}=no lifts this.", body=body, agent=agent,
        )  # fmt: skip


def _any_named(scene: CourseScene, body: str, agent: str, living: Living) -> bool:
    groups = [*scene.groups_with(body, agent), *scene.plants_with(body, agent)]
    return any(living_of(scene.facts, group) is living for group in groups)
