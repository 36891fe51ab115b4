"""The account kept while a course declares itself: what may be and what is surely in each water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tankside.claims import Knowledge
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.by_hand import not_seen_to
from tankside.course.amounts.choice import (
    handling,
    label_too_old,
    standing_against,
    unfit_label,
)
from tankside.course.amounts.label import LabelEntry
from tankside.course.amounts.limits import (
    Around,
    Limit,
    hard_limit,
    is_inside,
    other_routes,
    reason_limit,
)
from tankside.course.amounts.needs import Readings, around, unmet
from tankside.course.amounts.new_water import Filled, let_out, recipe
from tankside.course.amounts.other_forms import read_back, read_form_again
from tankside.course.amounts.printing import Request, judge, placed, print_amount, refusal
from tankside.course.amounts.titration import standing_against as against_titration
from tankside.course.amounts.titration import titration
from tankside.course.amounts.water_account import Edges, WaterAccount
from tankside.course.amounts.weighed import Weighed
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import (
    AGENT_PREFIX,
    AgentAdded,
    AgentUnknown,
    Effect,
    Exchanged,
    Held,
    InflowShut,
    Moved,
    ReadingEntered,
)
from tankside.course.bodies.facts import Range, find_range
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import BodyKind, Inflow, NewWater, System
from tankside.course.bodies.words import show
from tankside.errors import BadInput, Mistake


@dataclass(slots=True)
class Account:
    """Running account of the agents in each body, told as if nothing were lost but by changes.

    It answers the ``Ledger`` questions of an action. ``action`` is the index of the action that
    is declaring itself; ``at`` is the body each group is in.
    """

    systems: Mapping[str, System]
    stock: Mapping[str, StockGroup]
    facts: Knowledge
    labels: Mapping[str, LabelEntry]
    action: int = 0
    waters: dict[str, WaterAccount] = field(default_factory=dict)
    intended: dict[str, dict[str, float]] = field(default_factory=dict)
    readings: dict[str, Readings] = field(default_factory=dict)
    at: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    printed: dict[Request, PrintedAmount] = field(default_factory=dict)
    ranges: dict[str, Range | None] = field(default_factory=dict)
    reasons: dict[tuple[str, str], str] = field(default_factory=dict)
    checked: dict[tuple[str, str, str, str], tuple[Limit | None, tuple[Caution, ...]]] = field(
        default_factory=dict
    )

    def __post_init__(self) -> None:
        self.at = {group.id: group.body for group in self.stock.values()}
        for system in self.systems.values():
            self.intended[system.id] = {}
            self.readings[system.id] = Readings.at_start(system)
            self.waters[system.id] = water = WaterAccount(
                system.volume, _lasting, system.residues_at_h
            )
            if system.inflow is not None:
                water.inflows_l_h[system.id] = system.inflow.edges_l_h()
            for residue in system.residues:
                water.start_with(residue)

    def volume_l(self, body: str) -> float:
        """Return the point volume of a body [L]."""
        return self.systems[body].volume.point_l

    def new_water(self, body: str) -> NewWater:
        """Return the new water this body is filled with."""
        return self.systems[body].new_water

    def pass_to(self, hour: int) -> None:
        """Let what runs through the waters run up to an hour."""
        for water in self.waters.values():
            water.pass_to(hour)

    def inflow(self, body: str) -> Inflow | None:
        """Return what runs through a body; None when nothing does."""
        return self.systems[body].inflow

    def recipe(self, body: str, litres: float, new: NewWater) -> str:
        """Say what ``litres`` of new water must be before they go into a body."""
        system, read = self.systems[body], self.readings[body].values
        filled = Filled(
            system,
            new,
            litres,
            self._holds(body),
            temperature_c=read.get("temperature_c"),
            ph=read.get("ph"),
            alkalinity_mg_l_caco3=read.get("alkalinity_mg_l_caco3"),
            salinity_g_l=read.get("salinity_g_l", system.salinity_g_l),
        )
        return recipe(self.facts, filled)

    def let_out(self, body: str, *also: str) -> str:
        """Say where water out of a body may go, by what it and ``also`` bring; "" for nothing."""
        return let_out(self.facts, dict.fromkeys((*self._holds(body), *also)))

    def _holds(self, body: str) -> tuple[str, ...]:
        return tuple(lot.agent for lot in self.waters[body].in_water())

    def body_name(self, body: str) -> str:
        """Return the name of a body as the keeper says it."""
        return self.systems[body].name if body in self.systems else body

    def where(self, body: str) -> str:
        """Return " in NAME" of a body; "" where the case has only one."""
        waters = [system for system in self.systems.values() if system.kind is not BodyKind.BATH]
        return "" if len(waters) < 2 else f" in {self.body_name(body)}"

    def agent_name(self, agent: str) -> str:
        """Return an agent's name as it stands in a sentence."""
        if agent not in self.names:
            record = self.facts.agents.get(agent)
            full = record.name if record else agent.replace("_", " ")
            self.names[agent] = (full[0].lower() + full[1:]).split(" (")[0]
        return self.names[agent]

    def group_name(self, group: str) -> str:
        """Return a group's name."""
        return self.stock[group].name if group in self.stock else group

    def account_mg_l(self, body: str, agent: str) -> float | None:
        """Return what is surely there at the point volume [mg/L]; None when not known.

        An effect is counted on what is surely there, a limit is held with what may be there.
        """
        return self.waters[body].of(agent).low_mg_l

    def missing_mg(self, body: str, agent: str, to_mg_l: float, most_mg_l: float) -> float:
        """Return what is missing to a strength, so that another is not passed [mg].

        The first is meant at the point volume, the second holds in the smallest that fits.
        """
        there, volume = self.waters[body].of(agent), self.systems[body].volume
        room_mg = (most_mg_l - there.edges(-1)[1]) * volume.smaller_l
        return max(0.0, min((to_mg_l - there.edges(0)[1]) * volume.point_l, room_mg))

    def against_titration(self, hour: int, body: str, agent: str) -> tuple[Caution, ...]:
        """Return what stands against bringing an agent to a strength by test in this water."""
        name, system = self.agent_name(agent), self.systems[body]
        return against_titration(self.facts, agent, name, system, hour)

    def basis(self, agent: str) -> str:
        """Return what a strength of an agent is told as ("as Cu")."""
        record = self.facts.agents.get(agent)
        return record.basis.split(",")[0] if record else ""

    def as_tested(self, body: str, agent: str, mg_l: float) -> str:
        """Return a strength in the unit that its test reads, else on the agent's own basis."""
        how = titration(self.facts, agent, self.systems[body].water)
        if how is None:
            return f"{show(mg_l, 'mg/L')} {self.basis(agent)}".rstrip()
        return show(mg_l / how.per_reading, how.unit)

    def may_be_mg_l(self, body: str, agent: str) -> float | None:
        """Return what may be there at the point volume [mg/L]; None when not known."""
        return self.waters[body].of(agent).high_mg_l

    def intended_mg_l(self, body: str) -> Mapping[str, float]:
        """Return the strength that the course is holding of each agent [mg/L]."""
        return dict(self.intended[body])

    def number(self, key: str) -> Range | None:
        """Return (low, value, high) of a claim, or None when unknown."""
        if key not in self.ranges:
            self.ranges[key] = find_range(self.facts, key)
        return self.ranges[key]

    def weigh(  # noqa: PLR0913 (one for each thing that an amount depends on)
        self,
        hour: int,
        body: str,
        agent: str,
        mg_l: float,
        for_l: float,
        route: str = "prolonged",
        reason: str = "",
        meant_mg_l: float | None = None,
        who: str = "",
    ) -> Weighed:
        """Work out an amount for ``for_l`` litres at ``mg_l``, or say why there is none.

        Whether the agent may be chosen at all, what it needs to be known of the water and the
        fish, and its limits are asked first; whatever stands against it is in the cautions, and
        a blocking one leaves no amount.
        """
        limit, cautions = self._allowed(hour, body, agent, route, who)
        exact_mg = mg_l * for_l
        meant = mg_l if meant_mg_l is None else meant_mg_l
        request = replace(
            self._request(body, agent, mg_l, for_l, limit),
            passed=self._soft(self._around(body, who), agent, route, meant),
            elsewhere=other_routes(self.facts, agent, route, self._around(body, who)),
            reason=reason or self.reasons.get((body, agent), ""),
        )
        cautions = (*cautions, *self._judged(request, hour, body))
        if any(caution.level is Level.BLOCKED for caution in cautions):
            return Weighed(exact_mg, None, cautions)
        label = self.labels.get(agent)
        unfit = self._unfit_container(label, agent, hour, body)
        if label is None or unfit:
            return Weighed(exact_mg, None, (*cautions, *unfit))
        return self._printed(request, label, hour, body, cautions)

    def _judged(self, request: Request, hour: int, body: str) -> tuple[Caution, ...]:
        """Return what the limits say against a request; nothing when it is inside them."""
        try:
            judge(request)
        except BadInput as refused:
            return (refusal(refused, self.action, hour, body, request, self.body_name(body)),)
        return ()

    def _printed(
        self,
        request: Request,
        label: LabelEntry,
        hour: int,
        body: str,
        cautions: tuple[Caution, ...],
    ) -> Weighed:
        """Return the amount as it is printed for one container, or what refuses it."""
        name = self.agent_name(request.agent)
        try:
            amount = self.printed.get(request) or print_amount(request, label)
        except Mistake as refused:
            caution = refusal(refused, self.action, hour, body, request, self.body_name(body))
            return Weighed(request.strength_mg_l * request.for_l, None, (*cautions, caution))
        self.printed[request] = amount
        shown = replace(
            placed(amount, self.action, hour, body),
            read_back=read_back(self.facts, name, amount),
            handling=handling(self.facts, request.agent),
        )
        cautions = (*cautions, *read_form_again(self.facts, name, amount))
        return Weighed(float(amount.active_mg), shown, cautions)

    def _unfit_container(
        self, label: LabelEntry | None, agent: str, hour: int, body: str
    ) -> tuple[Caution, ...]:
        """Return what stands against the container: none named, too old, unfit, or not seen to."""
        if label is None:
            return (self._no_label(agent),)
        name = self.agent_name(agent)
        unfit = label_too_old(self.facts, name, label) or unfit_label(
            self.facts, agent, name, label
        )
        if unfit is not None:
            return (unfit,)
        return tuple(not_seen_to(self.facts, label, name, hour, body))

    def _allowed(
        self, hour: int, body: str, agent: str, route: str, who: str
    ) -> tuple[Limit | None, tuple[Caution, ...]]:
        """Return the hard limit here and what is unmet; asked once per body, agent and route.

        A group that comes for a bath (``who``) is asked about like those that live there.
        """
        allowed = self.checked.get((body, agent, route, who))
        if allowed is None:
            here = self._around(body, who)
            limit = hard_limit(self.facts, agent, route, here)
            name = self.agent_name(agent)
            cautions = (
                *standing_against(self.facts, agent, name),
                *unmet(self.facts, agent, name, self.readings[body], here.groups, hour),
            )
            allowed = self.checked[body, agent, route, who] = (limit, cautions)
        return allowed

    def _around(self, body: str, who: str) -> Around:
        """Return what limits may depend on in a body, a group that comes for a bath included."""
        here = (g for g, where in self.at.items() if where == body or g == who)
        return around(self.facts, self.readings[body], [self.stock[g] for g in here])

    def _soft(self, here: Around, agent: str, route: str, meant_mg_l: float) -> Limit | None:
        """Return the soft limit that the strength meant passes, or None."""
        soft = reason_limit(self.facts, agent, route, here)
        return None if soft is None or is_inside(meant_mg_l, soft) else soft

    def _request(
        self, body: str, agent: str, mg_l: float, for_l: float, limit: Limit | None
    ) -> Request:
        volume = self.systems[body].volume
        whole = for_l == volume.point_l
        there = self.waters[body].of(agent)
        there_mg_l = self._there_at_most(body, agent) if whole else 0.0
        return Request(
            agent=agent,
            agent_name=self.agent_name(agent),
            basis=self.basis(agent),
            strength_mg_l=float(mg_l),
            for_l=float(for_l),
            limit_l=volume.smaller_l if whole else for_l,
            there_mg_l=there_mg_l,
            counted_mg_l=(there.low_mg_l or 0.0) if whole else 0.0,
            limit=limit,
        )

    def _there_at_most(self, body: str, agent: str) -> float:
        """Return what a hard limit counts as there already: all of it, in the smallest volume.

        Of what was there before the course, and of what it put in itself, nothing is taken as
        lost but what changes of water took out [mg/L].
        """
        return self.waters[body].of(agent).edges(-1)[1]

    def _no_label(self, agent: str) -> Caution:
        return Caution(
            Level.NOTE,
            "E-PROD-01",
            f"No amount of {self.agent_name(agent)} is shown: no label has been entered.",
            "An amount needs the strength, its basis and the tool that measures it.",
            "",
            "Read the label and name the scale or syringe.",
            agent=agent,
        )

    def apply(self, hour: int, effect: Effect) -> None:
        """Enter one effect into the account."""
        match effect:
            case AgentAdded(body=body, agent=agent, mg=mg):
                self.waters[body].put_in(agent, effect.surely_mg, mg)
            case AgentUnknown(body, agent):
                self.waters[body].put_in_unknown(agent)
            case Held(body, agent, mg_l, reason):
                self.intended[body][agent] = mg_l
                if reason:
                    self.reasons[body, agent] = reason
            case Exchanged(body, litres):
                self.waters[body].exchange(litres, surely=effect.surely)
            case InflowShut(body, for_h):
                self.waters[body].shut(for_h)
            case ReadingEntered(body, values):
                self._measured(hour, body, values)
            case Moved(group, to_body):
                self._moved(group, to_body)
            case _:
                pass

    def _moved(self, group: str, to_body: str) -> None:
        here = self.at.get(group)
        if here is None or (to_body and to_body not in self.systems):
            raise BadInput(
                "E-COURSE-02",
                "A move names animals or a tank that are not part of the case.",
                given=f"{group} to {to_body}",
                needed=f"one of {', '.join(self.at)} to one of {', '.join(self.systems)}",
                next_step="Enter the animals and the tank first, or correct the move.",
                field="course",
            )
        self.at[group] = to_body
        self.checked.clear()

    def _measured(self, hour: int, body: str, values: Mapping[str, float]) -> None:
        for name, value in values.items():
            if name.startswith(AGENT_PREFIX):
                self.waters[body].read(name.removeprefix(AGENT_PREFIX), value, value)
        fields = {n: v for n, v in values.items() if not n.startswith(AGENT_PREFIX)}
        self.readings[body].take(hour, fields)
        self.checked.clear()


def _lasting(agent: str) -> Edges:
    """Return no loss: while a course declares itself, agents leave only with water."""
    del agent
    return 0.0, 0.0
