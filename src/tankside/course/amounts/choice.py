"""Whether an agent may be chosen at all: offered, with safety fields filled, container fitting."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType

from tankside.claims import Agent, Knowledge, setting, whole_setting
from tankside.course.amounts.label import LabelEntry, StrengthBasis
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_range
from tankside.quantity.per import PERCENT

LABEL_AGE_KEY = "practice.course.age_limit_label"
HAZARD = "hazard"
FIELDS = ("ppe", "splash", "do_not_mix", "storage", "disposal")
LIGHT = "light"
TAKES = ("removes", "partly")
LOW_HAZARD = "low"
SUBSTANCE = "substance"
_PERCENT = Decimal(PERCENT)
NO_CONTAINER = "none"
PRODUCT = "product"
"""Stands in the basis of an agent that is told, and dosed, in the product itself."""
_SAME_FORM = Decimal(str(setting(0.001, "claims of a form are printed with four digits")))


def missing_fields(facts: Knowledge, agent: str) -> tuple[str, ...]:
    """Return the people fields that are empty; none are needed when the hazard is low."""
    hazard = facts.find(f"agent.{agent}.people.hazard")
    if hazard is not None and hazard.value == LOW_HAZARD:
        return ()
    empty = [f for f in FIELDS if facts.find(f"agent.{agent}.people.{f}") is None]
    return (*(() if hazard is not None else ("hazard",)), *empty)


def standing_against(facts: Knowledge, agent: str, agent_name: str) -> Iterator[Caution]:
    """Yield what forbids choosing an agent: E-DOSE-27 not offered, S-PEOPLE fields missing."""
    record = facts.agents.get(agent)
    if record is not None and (not record.offered or record.kind != SUBSTANCE):
        yield _not_offered(record, agent_name)
    missing = missing_fields(facts, agent)
    if missing:
        yield Caution(
            Level.BLOCKED,
            "S-PEOPLE",
            f"{agent_name} cannot be chosen: nobody has filled in {', '.join(missing)}.",
            f"Missing: {', '.join(missing)}. Whoever handles it must know them first.",
            f"agent.{agent}.people.{missing[0]}",
            "Choose another agent, or add the fields with their source.",
            agent=agent,
        )


def _not_offered(agent: Agent, agent_name: str) -> Caution:
    """Give the reason that the agent's own file states."""
    claim = agent.find("not_offered")
    kind = agent.kind.replace("_", " ")
    why = str(claim.value) if claim is not None else f"It is {kind}: nothing to weigh into water."
    source = f" ({claim.source})" if claim is not None and claim.source else ""
    return Caution(
        Level.BLOCKED,
        "E-DOSE-27",
        f"{agent_name} is not offered: no amount is worked out.",
        why + source,
        f"agent.{agent.id}.not_offered" if claim is not None else "",
        "Choose an agent that is offered; ask a veterinarian where a prescription is needed.",
        agent=agent.id,
    )


@lru_cache(maxsize=whole_setting(512, "every agent, twice"))
def forms_of(agent: Agent, in_containers: bool = False) -> Mapping[str, Decimal]:
    """Return how much of the agent's basis one mass of each form holds, by its plain name.

    With ``in_containers`` those that only strengths are told in (an element) are left out.
    """
    forms = {plain_form(agent.basis): Decimal(1)}
    for short, claims in agent.claims.items():
        conditions = claims[0].conditions
        only_told = in_containers and conditions.get("container") == NO_CONTAINER
        if short.startswith("form.") and claims[0].known and not only_told:
            name = conditions.get("form", "") or short.removeprefix("form.")
            forms[plain_form(name)] = Decimal(str(claims[0].number()))
    return MappingProxyType(forms)


def find_form(agent: Agent, form: str) -> Decimal | None:
    """Return how much of the agent's basis one mass of a form holds; None where it has none such.

    A form is spelt alike wherever it is typed: with "as" or without, in any case.
    """
    plain = plain_form(form)
    if plain == PRODUCT and PRODUCT in agent.basis:
        return Decimal(1)
    return forms_of(agent).get(plain)


def plain_form(form: str) -> str:
    """Return a form as it is compared: no leading "as", no case, single blanks."""
    return " ".join(form.lower().split()).removeprefix("as ").strip()


def unfit_label(facts: Knowledge, agent: str, agent_name: str, label: LabelEntry) -> Caution | None:
    """Refuse a container of another agent, or a form that was not converted as its claim says.

    A form that the agent's file does not name passes only as the agent's own basis (factor 1).
    """
    if label.agent != agent:
        return _unfit(
            agent, agent_name, f"its label is that of {label.agent.replace('_', ' ')}", agent
        )
    record = facts.agents.get(agent)
    if record is None:
        return None
    stated = forms_of(record).get(plain_form(label.form), Decimal(1))
    if abs(label.active_per_form - stated) <= _SAME_FORM * stated:
        return _not_as_sold(record, agent_name, label)
    how = f"1 of {label.form} holds {stated}, not {label.active_per_form}, {record.basis}"
    return _unfit(agent, agent_name, how, record.basis)


def label_too_old(facts: Knowledge, agent_name: str, label: LabelEntry) -> Caution | None:
    """Refuse a container that has expired or was read too long ago (E-PROD-03)."""
    limit_h = find_range(facts, LABEL_AGE_KEY)
    stale = limit_h is not None and not -label.read_at_h <= limit_h[1]
    if not label.expired and not stale:
        return None
    return Caution(
        Level.BLOCKED,
        "E-PROD-03",
        f"The container of {agent_name} "
        + ("has expired." if label.expired else "was read too long ago."),
        "What a label says of strength and stability holds for a limited time.",
        LABEL_AGE_KEY,
        "Read the label at hand again, or use another container.",
        agent=label.agent,
    )


def _not_as_sold(agent: Agent, agent_name: str, label: LabelEntry) -> Caution | None:
    """Refuse a strength in which a form is never sold for this use: a slip, or another product.

    What strengths are only told in (the element of a salt) is in no container by itself.
    """
    sold = forms_of(agent, in_containers=True)
    only_told = forms_of(agent).keys() - sold.keys()
    if label.basis is StrengthBasis.PURE and plain_form(label.form) in only_told:
        how = f"nothing is sold as pure {label.form.removeprefix('as ')} for this"
        return _unfit(agent.id, agent_name, how, f"one of {', '.join(sold)}")
    for short, claims in agent.claims.items():
        percent = claims[0].conditions.get("percent") if short.startswith("form.") else None
        form = plain_form(claims[0].conditions.get("form", ""))
        if percent is None or form != plain_form(label.form):
            continue
        low, high = (Decimal(edge) / _PERCENT for edge in percent.split("-"))
        if not low <= label.strength <= high:
            how = f"the label was typed with {label.strength * _PERCENT:f} %"
            needed = f"{percent} % {label.form}; weaker ones hold other things too"
            return _unfit(agent.id, agent_name, how, needed)
    return None


def handling(facts: Knowledge, agent: str) -> tuple[tuple[str, str], ...]:
    """Return what whoever handles an agent must know, (field, words) each, its hazard first.

    It stands with every amount, whatever the tank: it is no caution about one of them. What light
    does to the agent is the last of it.
    """
    claims = {field: facts.find(f"agent.{agent}.people.{field}") for field in (HAZARD, *FIELDS)}
    lines = [(field, str(claim.value)) for field, claim in claims.items() if claim is not None]
    return (*lines, *_light(facts, agent))


def _light(facts: Knowledge, agent: str) -> Iterator[tuple[str, str]]:
    claim = facts.find(f"agent.{agent}.removal.light")
    if claim is not None and str(claim.value) in TAKES:
        said = f" ({claim.note})" if claim.note else ""
        yield (
            LIGHT,
            f"It breaks the substance down{said}: keep it low on the days of a dose, dose in the "
            "evening.",
        )


def _unfit(agent: str, agent_name: str, how: str, needed: str) -> Caution:
    return Caution(
        Level.BLOCKED,
        "E-PROD-01",
        f"This container is not read as {agent_name}.",
        f"Needed: {needed}; {how}.",
        f"agent.{agent}.form",
        "Read the label again: which substance, and which salt or hydrate.",
        agent=agent,
    )
