"""For what an amount is asked: the substance, the water with its animals, the country, the hour."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.case import CaseView
from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import SubstanceName
from tankside.course import LabelEntry
from tankside.intake import clock
from tankside.intake.country import country_code, find_country
from tankside.intake.dose_request import EQUIPMENT, FEED, DoseRequest
from tankside.intake.dose_setting import (
    DoseSetting,
    setting_as_typed,
    setting_of_case,
    system_asked,
)
from tankside.intake.formulation import refuse_without_formulation
from tankside.intake.substances import named_agent, read_as
from tankside.intake.unanswered import refuse_unanswered
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class AskedSetting:
    """For what one amount is asked.

    Args:
        substance: what the name typed means.
        setting: waters, animals and containers.
        country: two letters, or as told where they are not known; None when nobody told it.
        now: when it is to be weighed out.
    """

    substance: SubstanceName
    setting: DoseSetting
    country: str | None
    now: Moment

    @property
    def agent(self) -> Agent:
        """The agent that is meant."""
        return self.substance.agents[0]

    @property
    def label(self) -> LabelEntry | None:
        """The container of the agent; None where there is none."""
        return self.setting.labels.get(self.agent.id)

    def names_read(self, facts: Knowledge) -> tuple[str, ...]:
        """Return what the name was read as, where that is not plain."""
        note = read_as(facts, self.substance.typed)
        return (note,) if note else ()


def asked_setting(
    facts: Knowledge, request: DoseRequest, view: CaseView | None, at: Moment | None
) -> AskedSetting:
    """Return for what an amount is asked, as typed or as a case tells it.

    Args:
        facts: what is known.
        request: what is asked, as typed.
        view: the case that tells water, animals and container; None when they are typed.
        at: when it is to be weighed out; None for now.

    Raises:
        BadInput: a name, a number, a unit or a choice that is refused.
        NotPossible: E-DOSE-20 nobody said where animals live; E-DOSE-28 an amount that was asked
            for the same water before was never answered.
    """
    country = None if request.country is None else country_code(facts, request.country)
    substance = named_agent(facts, request.agent, "agent")
    refuse_without_formulation(substance.agents[0])
    now = at or Moment(clock.now().isoformat(timespec="minutes"))
    if view is None:
        typed = setting_as_typed(facts, request, substance.agents[0], now)
        return AskedSetting(substance, typed, country, now)
    if request.route not in (FEED, EQUIPMENT) and view.main is not None:
        refuse_unanswered(view, facts, system_asked(view, request), now)
    setting = setting_of_case(facts, request, view, now)
    if view.opened.country is not None:
        country = find_country(facts, view.opened.country) or view.opened.country
    return AskedSetting(substance, setting, country, now)
