"""One dose in food: from what is asked to the amount in the food of a day and its limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tankside import course as courses
from tankside.case import CaseView
from tankside.claims import Agent, Claim, Knowledge, Source
from tankside.course import Caution, Course, Level, StockGroup
from tankside.course.actions import MedicatedFeed
from tankside.course.amounts.by_hand import not_seen_to
from tankside.course.amounts.choice import label_too_old, unfit_label
from tankside.course.amounts.feed_amount import FeedAmount, FeedRequest, print_feed
from tankside.course.amounts.limits import FEED, Limit, hard_limit, lowest_useful, soft_limit
from tankside.course.amounts.needs import Readings, around
from tankside.course.amounts.place import unfit_place
from tankside.intake.asked_setting import AskedSetting, asked_setting
from tankside.intake.dose_refused import no_label, refusal_of
from tankside.intake.dose_request import DoseRequest
from tankside.intake.dose_setting import DoseSetting
from tankside.intake.fed import fed_already, in_water_already
from tankside.intake.feed_setting import FoodTold, fish_of, read_fed
from tankside.intake.law import rules_of_law
from tankside.library import load
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class FeedAnswer:
    """One dose in food with everything that belongs beside it.

    Args:
        agent: what it is of.
        amount: what goes into the food, with its sum.
        fed: fish, food and days as they were told.
        fish: the names of the fish that are fed.
        usual_low_mg_kg_day: the usual dose, low end [mg/kg/d]; None when not known.
        usual_high_mg_kg_day: the usual dose, high end [mg/kg/d]; None when not known.
        hard_mg_kg_day: the dose never passed [mg/kg/d].
        printed_days: the claim on how many days; None when none is on file.
        repeat: how often it is given again, as printed; "" when nothing is.
        note: what its file adds to the dose; "" when nothing.
        waiting: the claim on the waiting time before eating; None when not known.
        cautions: what stands against it or must be watched.
        practice: what is done with medicated food, by subject.
        law: the rules on file for the country.
        country: two letters; None when nobody told it.
        sources: works behind the limits.
        names_read: what names were read as, where that is not plain.
    """

    agent: Agent
    amount: FeedAmount
    fed: FoodTold
    fish: tuple[str, ...]
    usual_low_mg_kg_day: float | None
    usual_high_mg_kg_day: float | None
    hard_mg_kg_day: float
    printed_days: Claim | None
    repeat: str
    note: str
    waiting: Claim | None
    cautions: tuple[Caution, ...]
    practice: Mapping[str, str]
    law: tuple[Claim, ...]
    country: str | None
    sources: tuple[Source, ...]
    names_read: tuple[str, ...]


def work_out_feed(
    request: DoseRequest, view: CaseView | None = None, at: Moment | None = None
) -> FeedAnswer:
    """Work out one dose in food; the volume of the water is not needed.

    Args:
        request: what is asked, as typed.
        view: the case that tells animals and container; None when they are typed.
        at: when it is to be weighed out; None for now.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.., E-PROD-.., E-DOSE-.. when it may not be shown.
        NotPossible: E-DOSE-20 something must be known first; E-DOSE-900 the check failed.
    """
    facts = load()
    meant = asked_setting(facts, request, view, at)
    agent, setting, label = meant.agent, meant.setting, meant.label
    fish = fish_of(facts, setting)
    fed, missing = read_fed(facts, request, meant.substance, setting, fish)
    cautions = _cautions(facts, meant, fish, 0.0 if fed is None else fed.mg_per_kg_day)
    blocked = [*missing, *(c for c in cautions if c.level is Level.BLOCKED)]
    if view is not None:
        blocked += fed_already(view, facts, agent, setting.system.id, meant.now)
    blocked += _container(facts, meant)
    if blocked:
        raise refusal_of(blocked, request, label=label is not None)
    if label is None:
        raise no_label(agent.name)
    assert fed is not None  # what is missing was refused
    limit = _limit(facts, agent, setting, fish)
    asked = FeedRequest(
        agent.id, agent.name, fed.mg_per_kg_day, fed.fish_g, fed.food_g_day, fed.days, limit
    )
    names = tuple(group.name for group in fish)
    return _answer(facts, meant, print_feed(facts, asked, label), fed, names, cautions)


def _limit(
    facts: Knowledge, agent: Agent, setting: DoseSetting, fish: tuple[StockGroup, ...]
) -> Limit | None:
    return hard_limit(facts, agent.id, FEED, around(facts, Readings.at_start(setting.system), fish))


def _cautions(
    facts: Knowledge, meant: AskedSetting, fish: tuple[StockGroup, ...], mg_per_kg_day: float
) -> tuple[Caution, ...]:
    """Return what stands against feeding it to these fish, whatever their water is like."""
    agent, setting = meant.agent, meant.setting
    body = setting.system.id
    steps = tuple(MedicatedFeed(0, body, group.id, agent.id, mg_per_kg_day) for group in fish)
    run = courses.run(setting.systems, setting.stock, Course(FEED, 1, steps), facts)
    return (
        *(caution for caution in run.safety if caution.agent == agent.id),
        *unfit_place(facts, agent.id, agent.name, setting.system, fish, 0),
        *in_water_already(facts, agent, setting.system),
    )


def _container(facts: Knowledge, meant: AskedSetting) -> Iterator[Caution]:
    label, agent = meant.label, meant.agent
    if label is None:
        return
    unfit = label_too_old(facts, agent.name, label) or unfit_label(
        facts, agent.id, agent.name, label
    )
    if unfit is not None:
        yield unfit
    yield from not_seen_to(facts, label, agent.name, 0, meant.setting.system.id)


def _answer(
    facts: Knowledge,
    meant: AskedSetting,
    amount: FeedAmount,
    fed: FoodTold,
    fish: tuple[str, ...],
    cautions: tuple[Caution, ...],
) -> FeedAnswer:
    agent = meant.agent
    low, high = lowest_useful(facts, agent.id, FEED), soft_limit(facts, agent.id, FEED)
    hard, dose = amount.limit, agent.find(f"dose.{FEED}")
    keys = dict.fromkeys(lim.source for lim in (low, high, hard) if lim is not None and lim.source)
    return FeedAnswer(
        agent=agent,
        amount=amount,
        fed=fed,
        fish=fish,
        usual_low_mg_kg_day=None if low is None else low.mg_l,
        usual_high_mg_kg_day=None if high is None else high.mg_l,
        hard_mg_kg_day=hard.mg_l,
        printed_days=agent.find(f"course_days.{FEED}"),
        repeat="" if dose is None else dose.conditions.get("repeat", ""),
        note="" if dose is None else dose.note,
        waiting=agent.find("withdrawal"),
        cautions=cautions,
        practice=facts.words_under("practice.medicated_food"),
        law=rules_of_law(facts, agent.id, meant.country),
        country=meant.country,
        sources=tuple(facts.source(key) for key in keys),
        names_read=meant.names_read(facts),
    )
