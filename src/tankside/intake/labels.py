"""From what a label says, as typed, to the container that amounts are worked out for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import chain

from tankside.case import Amount, CaseView
from tankside.case.medicine import LabelRead
from tankside.claims import Agent, Knowledge
from tankside.course import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.amounts.by_hand import BY_HAND
from tankside.course.amounts.choice import PRODUCT, find_form, forms_of, plain_form
from tankside.errors import BadInput
from tankside.intake.strength import form_names
from tankside.intake.substances import named_agent
from tankside.quantity import Kind, Measured, parse_quantity
from tankside.quantity.moment import (
    Moment,
    check_moment,
    hours_between,
    parse_date,
    parse_moment,
)

_SHAPE = re.compile(r"(?P<agent>[^=]+)=(?P<strength>.+?)(?: (?P<form>as .+))?")
UNKNOWN_FORM = "?"
"""Typed as the form where the label does not tell which it is."""
_HUNDRED = Decimal(100)
_UNITS = {"g": ToolUnit.GRAM, "mg": ToolUnit.MILLIGRAM, "mL": ToolUnit.MILLILITRE}
_BASES = {
    Kind.STRENGTH_W_W: StrengthBasis.MASS_PER_MASS,
    Kind.STRENGTH_W_V: StrengthBasis.MASS_PER_VOLUME,
    Kind.STRENGTH_V_V: StrengthBasis.VOLUME_PER_VOLUME,
}
_OF_A_FORM = (
    StrengthBasis.PURE,
    StrengthBasis.MASS_PER_MASS,
    StrengthBasis.MASS_PER_VOLUME,
    StrengthBasis.MG_PER_ML,
)
"""Strengths that are a mass of the form which a substance's name may tell."""
BY_NAME = {need.name: need for need in BY_HAND}
NEEDED = 'agent=strength, for example "sodium_chloride=pure" or "copper_sulphate=25 % w/w as Cu"'


@dataclass(frozen=True, slots=True)
class AtHand:
    """What else is told about a container at hand, as typed.

    Args:
        expires: the date printed on it; None when not read.
        read_on: day or moment at which the label was read; None for now.
        seen_to: answers "name=yes" or "name=no" to what the substance needs by hand.
    """

    expires: str | None = None
    read_on: str | None = None
    seen_to: tuple[str, ...] = ()


def labels_of(view: CaseView, facts: Knowledge, zero: Moment) -> dict[str, LabelEntry]:
    """Return the containers that a case holds, by agent id, as they are at hour 0.

    Raises:
        BadInput: E-PROD-01, E-PROD-02, E-UNIT-*, E-NUM-* a label that the sum cannot use.
    """
    read = (label_of(facts, entry, zero) for entry in view.labels)
    return {label.agent: label for label in read}


def container_of(view: CaseView, facts: Knowledge, agent: str) -> LabelEntry | None:
    """Return the container of one agent in a case, as it was read; None where there is none."""
    read = (label_of(facts, entry, entry.moment) for entry in view.labels)
    return next((label for label in reversed([*read]) if label.agent == agent), None)


def label_of(facts: Knowledge, entry: LabelRead, zero: Moment) -> LabelEntry:
    """Return one container of a case; raises like ``labels_of``."""
    answers = {seen.need: seen.answer for seen in entry.seen_to}
    typed = f"{entry.agent}={entry.strength}"
    tools = Tools(_step(entry.scale, "scale"), _step(entry.syringe, "syringe"))
    label = _label(facts, typed, tools, _density(entry.density))
    return replace(
        label,
        read_at_h=hours_between(zero, entry.moment),
        expired=_expired(entry.expires, zero.day),
        photo=entry.photo or "",
        ready=tuple(need for need, answer in answers.items() if answer == "yes"),
        not_ready=tuple(need for need, answer in answers.items() if answer == "no"),
    )


def at_hand(label: LabelEntry, typed: AtHand, now: Moment) -> LabelEntry:
    """Return a container with what else was typed about it.

    Raises:
        BadInput: E-DATE-* a date that cannot be; E-WORD-01, E-WORD-02 an answer that is none.
    """
    read = now
    if typed.read_on is not None:
        read = parse_moment(typed.read_on, field="label_read", zone="UTC")
        check_moment(read, field="label_read", now=now.when)
    answers = dict(_answer(text) for text in typed.seen_to)
    return replace(
        label,
        read_at_h=min(0.0, hours_between(now, read)),
        expired=_expired(typed.expires, now.day),
        ready=tuple(need for need, yes in answers.items() if yes),
        not_ready=tuple(need for need, yes in answers.items() if not yes),
    )


def _answer(text: str) -> tuple[str, bool]:
    name, _, answer = text.partition("=")
    need = name.strip().replace("-", "_")
    if need not in BY_NAME or answer not in ("yes", "no"):
        needs = ", ".join(f"{need.typed}=yes" for need in BY_HAND)
        raise BadInput(
            "E-WORD-02",
            "This does not answer what must be looked at by hand.",
            given=text,
            needed=f"yes or no to one of: {needs}",
            next_step="Type it again; leave out what nobody looked at.",
            field="seen_to",
        )
    return need, answer == "yes"


def _expired(printed: str | None, today: date) -> bool | None:
    return None if printed is None else parse_date(printed, field="expires") < today


def _step(step: Amount | None, field: str) -> Tool | None:
    return None if step is None else _tool(f"{step.value} {step.unit}", field)


def read_labels(
    facts: Knowledge,
    typed: Iterable[str],
    scale: str | None,
    syringe: str | None,
    density: str | None = None,
) -> dict[str, LabelEntry]:
    """Read labels by agent id.

    Args:
        facts: agents and their forms.
        typed: labels, each ``agent=strength [as FORM]``.
        scale: smallest step of the scale, for example "1 g".
        syringe: smallest step of the syringe, for example "0.5 mL".
        density: density of the contents as printed, "1.01 g/mL"; None when it is not.

    Raises:
        BadInput: E-PROD-01 a label that the sum cannot use; E-PROD-02 an agent not known;
            E-UNIT-*, E-NUM-* for the numbers.
    """
    tools = Tools(_tool(scale, "scale"), _tool(syringe, "syringe"))
    printed = density and parse_quantity(density, Kind.DENSITY, field="density").to("g/mL")
    read = (_label(facts, text, tools, printed or None) for text in typed)
    return {label.agent: label for label in read}


@dataclass(frozen=True, slots=True)
class Tools:
    """What is at hand to measure with; None where there is none."""

    scale: Tool | None
    syringe: Tool | None

    def first_and_second(self, volume: bool, solid: bool) -> tuple[Tool | None, Tool | None]:
        """Return what measures a container out, and what measures a stock solution of it.

        A strength told by volume is measured by volume where it can be; a solid is weighed.
        """
        if self.scale is None or (volume and self.syringe is not None):
            return (None if solid else self.syringe), self.scale
        return self.scale, self.syringe


def _density(amount: Amount | None) -> Decimal | None:
    return None if amount is None else amount.measured(Kind.DENSITY).to("g/mL")


def _tool(step: str | None, field: str) -> Tool | None:
    if step is None:
        return None
    kinds = Kind.VOLUME if field == "syringe" else Kind.MASS
    read = parse_quantity(step, kinds, field=field)
    if read.unit.symbol not in _UNITS:
        raise _unfit(step, "a step in g, mg or mL", field)
    return Tool(_UNITS[read.unit.symbol], Decimal(read.value))


def _label(facts: Knowledge, text: str, tools: Tools, printed: Decimal | None = None) -> LabelEntry:
    shape = _SHAPE.fullmatch(text.strip())
    if shape is None:
        raise _unfit(text, NEEDED, "label")
    substance = named_agent(facts, shape["agent"], "label")
    agent = substance.agents[0]
    strength, basis, volume = _strength(shape["strength"].strip())
    form = shape["form"] or (substance.form if basis in _OF_A_FORM else "") or None
    taken, share = _form(agent, basis, form)
    by_volume = basis is StrengthBasis.VOLUME_PER_VOLUME
    if PRODUCT not in agent.basis and (by_volume or basis is StrengthBasis.AS_PRODUCT):
        raise _unfit(text, "the mass of the active substance: % w/w, % w/v, or g/L", "label")
    density = printed or density_of(agent, basis, strength)
    solid = basis is StrengthBasis.PURE and density is None
    first, second = tools.first_and_second(volume, solid)
    if first is None:
        tool = "a scale" if solid else 'the tool it is measured with: a scale ("1 g") or a syringe'
        raise _unfit(text, f'{tool} ("0.1 {"g" if solid else "mL"}")', "scale")
    return LabelEntry(
        agent=agent.id,
        strength=strength,
        basis=basis,
        form=taken,
        form_named=form is not None and plain_form(form) != UNKNOWN_FORM,
        active_per_form=share,
        density_g_ml=density,
        tool=first,
        stock_tool=second,
        solid=not volume,
    )


def density_of(agent: Agent, basis: StrengthBasis, strength: Decimal) -> Decimal | None:
    """Return the density [g/mL] that is printed of a solution of this very strength, or None.

    It belongs to the strength: that of 35 % peroxide says nothing of a bottle of 3 %.
    """
    claims = (every for short, every in agent.claims.items() if short.split(".")[0] == "density")
    for claim in chain.from_iterable(claims):
        percent = claim.conditions.get(f"percent {basis.value}")
        low_high = [Decimal(edge) for edge in percent.split("-")] if percent else []
        if claim.known and low_high and low_high[0] <= strength * _HUNDRED <= low_high[-1]:
            return Decimal(str(claim.number()))
    return None


def _strength(text: str) -> tuple[Decimal, StrengthBasis, bool]:
    """Return strength, basis and whether it is a liquid."""
    if text == "pure":
        return Decimal(1), StrengthBasis.PURE, False
    if text == "as product":
        return Decimal(1), StrengthBasis.AS_PRODUCT, True
    kinds = (*_BASES, Kind.MASS_CONCENTRATION)
    try:
        read: Measured = parse_quantity(text, kinds, field="label")
    except BadInput as refused:
        if refused.code not in ("E-RANGE-01", "E-NUM-09"):
            raise
        raise _unfit(text, "a strength above 0, as a share of at most 100 %", "label") from refused
    if read.kind is Kind.MASS_CONCENTRATION:
        return read.to("g/L"), StrengthBasis.MG_PER_ML, True
    basis = _BASES[read.kind]
    return Decimal(read.value) / _HUNDRED, basis, basis is not StrengthBasis.MASS_PER_MASS


def _form(agent: Agent, basis: StrengthBasis, form: str | None) -> tuple[str, Decimal]:
    """Return the form that a container is taken for, and how much of the basis it holds.

    A label that names no form is taken as the basis only where no container holds another form:
    read as the wrong one, it would be dosed up to some times too strong. Where it is said that
    the label does not tell ("as ?"), it is taken for the form that holds most, so that the water
    gets at most what was asked for.
    """
    if basis is StrengthBasis.AS_PRODUCT and form is None:
        return agent.basis, Decimal(1)
    sold = forms_of(agent, in_containers=True)
    if form is None and len(set(sold.values())) <= 1:
        return agent.basis, Decimal(1)
    if form is not None and plain_form(form) == UNKNOWN_FORM:
        richest = max(sold, key=lambda name: sold[name])
        names = {plain_form(name): name for name in (*form_names(agent), agent.basis)}
        return names[richest], sold[richest]
    share = None if form is None else find_form(agent, form)
    if form is not None and share is not None:
        return form, share
    raise _unfit(
        form or "no form named",
        f"one of: {', '.join(sorted(form_names(agent)))}; or as ? where the label does not tell",
        "label",
    )


def _unfit(typed: str, needed: str, field: str) -> BadInput:
    return BadInput(
        "E-PROD-01",
        "This label does not say what a sum needs.",
        given=typed,
        needed=needed,
        next_step="Read the label again: substance, strength with its basis, form.",
        field=field,
    )
