"""What is done for the causes of a case, whether or not a course can be simulated for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from tankside import library
from tankside.case import CaseView
from tankside.claims.care import (
    GENERAL,
    NO_PARASITE_COURSE,
    CareProtocol,
    CareSection,
    CareStatement,
    care_of,
)
from tankside.course import LabelEntry
from tankside.errors import Mistake
from tankside.follow.by_protocol import JudgedByProtocol, judge
from tankside.intake.assemble import midnight
from tankside.intake.care_course import OfferedCare, care_setting, offered_care, offered_quarantine
from tankside.intake.care_seen import (
    WaterDeaths,
    care_began,
    day_after,
    deaths_of_waters,
    look_days,
    protocol_inputs,
    stop_rules,
)
from tankside.intake.cause_treated import CauseTreated, Certainty, causes_treated, water_fault
from tankside.intake.country import find_country
from tankside.intake.labels import labels_of
from tankside.intake.likely_cause import parasite_behind
from tankside.intake.readings_watch import reading_warnings
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.quantity.moment import Moment
from tankside.records.case_store import read_case
from tankside.records.stored_case import StoredCase
from tankside.services.published_dates import PublishedDatesAnswer, published_dates

NO_FIGURES = "E-FC-02"
TWO_CAUSES = "two_causes"
EVERYWHERE = frozenset({"any", "international"})


@dataclass(frozen=True, slots=True)
class CareOfCause:
    """The care of one cause in a case.

    Args:
        cause: the cause and how sure it is.
        protocol: all that is said of it, with what holds whatever the cause.
        began: the day its days are counted from.
        look_on: the days on which its own rule has the animals looked at; empty when no source
            prints any.
        judged: what was seen against what it expects.
    """

    cause: CauseTreated
    protocol: CareProtocol
    began: date
    look_on: tuple[date, ...]
    judged: JudgedByProtocol

    def of_cause(self, *sections: CareSection) -> tuple[CareStatement, ...]:
        """Return what is said in some sections, that of the cause itself before the general."""
        said = [s for section in sections for s in self.protocol.said(section)]
        return tuple(sorted(said, key=self.is_general))

    def is_general(self, statement: CareStatement) -> bool:
        """Whether a statement holds whatever the cause."""
        return statement.claim.key.startswith(f"care.{GENERAL}.")

    @property
    def stop_rules(self) -> tuple[CareStatement, ...]:
        """The rules of the cause itself for its end."""
        return stop_rules(self.protocol)


@dataclass(frozen=True, slots=True)
class CareAnswer:
    """What is done for a case.

    Args:
        stored: the case as read.
        view: the case.
        day: the day it is asked on.
        cares: the care of each cause, the first to be met first; of several causes the last says
            what holds for two causes at once.
        deaths: deaths of each body of water.
        remarks: what the readings of the water warn of.
        country: two letters of the country of the tank; "" when nobody told it.
        refused: why no course can be simulated; None when one can.
        in_print: the times in print for its parasite, as days; None when there are none.
        offers: courses of care that can be chosen (``services.care_choice.care_names``).
        labels: containers by agent id, for amounts in a course.
    """

    stored: StoredCase
    view: CaseView
    day: date
    cares: tuple[CareOfCause, ...]
    deaths: tuple[WaterDeaths, ...]
    remarks: tuple[str, ...] = ()
    country: str = ""
    refused: Mistake | None = None
    in_print: PublishedDatesAnswer | None = None
    offers: tuple[OfferedCare, ...] = ()
    labels: Mapping[str, LabelEntry] = field(default_factory=dict)

    @property
    def first(self) -> CareOfCause:
        """The care of the cause that is met first."""
        return self.cares[0]

    @property
    def water_first(self) -> bool:
        """Whether a measured fault of the water stands before another cause."""
        return water_fault(tuple(care.cause for care in self.cares)) is not None

    @property
    def named(self) -> CareOfCause:
        """The care of the surest cause that is no measured fault of the water, else the first."""
        others = (c for c in self.cares if c.cause.certainty is not Certainty.MEASURED)
        return next(others, self.first)

    @property
    def no_parasite_course(self) -> bool:
        """Whether no course against a parasite is offered unasked: one would harm, or delay."""
        stands = self.named.cause.certainty in (Certainty.CONFIRMED, Certainty.SUSPECTED)
        return stands and not NO_PARASITE_COURSE.isdisjoint(self.named.protocol.courses)

    @property
    def is_simulable(self) -> bool:
        """Whether a life cycle with figures stands behind a cause, so that more could be told."""
        facts = library.load()
        behind = (
            parasite_behind(care.cause.cause, facts, self.view.opened.water) for care in self.cares
        )
        return any(o is not None and not missing_parameters(o) for o in behind)

    @property
    def next_hour(self) -> CareStatement:
        """The step that matters most within the hour."""
        return self.first.of_cause(CareSection.NOW, CareSection.FIRST_HOUR)[0]

    @property
    def today(self) -> CareStatement:
        """The step that matters most today, after the first hour."""
        of_day = self.first.of_cause(CareSection.TODAY, CareSection.FIRST_HOUR)
        return next((s for s in of_day if s is not self.next_hour), self.next_hour)

    @property
    def look_again(self) -> date:
        """The day on which to look again."""
        return min(day_after(care.began, care.judged.next_look) for care in self.cares)

    def duties(self, care: CareOfCause) -> tuple[CareStatement, ...]:
        """Return who must be told of a cause where the tank stands; all of them if unknown."""
        said = care.protocol.said(CareSection.REPORT)
        if not self.country:
            return said
        places = {self.country, *EVERYWHERE, *(["EU"] if self.in_union else [])}
        return tuple(duty for duty in said if duty.country in places)

    @property
    def in_union(self) -> bool:
        """Whether the country of the tank is one of the European Union, by the list of places."""
        listed = library.load().find(f"practice.law.place_{self.country.lower()}")
        return listed is not None and "EU" in str(listed.value).replace(",", " ").split()


def care_of_case(
    path: str | Path,
    on: date | None = None,
    refused: Mistake | None = None,
    labels: Mapping[str, LabelEntry] | None = None,
) -> CareAnswer:
    """Return what is done for the causes of a case.

    Args:
        path: the case file.
        on: the day it is asked on; None for the latest of the case.
        refused: why no course can be simulated, to be told beside it.
        labels: containers by agent id; None for those of the case.

    Raises:
        BadInput: the case cannot be read.
    """
    facts, stored = library.load(), read_case(path)
    view = stored.view()
    day = on or view.last_moment().day
    causes = causes_treated(view, facts)
    cares = [_care(view, cause, care_of(facts.care, cause.cause), day) for cause in causes]
    others = [cause for cause in causes if cause.certainty is not Certainty.MEASURED]
    if len(others) > 1:
        both = CauseTreated(TWO_CAUSES, "Two causes", others[1].certainty, "both stand")
        cares.append(_care(view, both, care_of(facts.care, TWO_CAUSES), day))
    held = labels_of(view, facts, midnight(view, day)) if labels is None else labels
    setting = care_setting(view, facts, day, held)
    offers = (
        *(o for care in cares for o in offered_care(setting, care.protocol)),
        *offered_quarantine(setting),
    )
    at = max(midnight(view, day), view.last_moment(day), key=lambda moment: moment.utc)
    return CareAnswer(
        stored,
        view,
        day,
        tuple(cares),
        deaths_of_waters(view),
        reading_warnings(view, facts, Moment(at.text)),
        find_country(facts, view.opened.country or "") or "" if view.opened.country else "",
        refused,
        _in_print(path) if refused is not None and refused.code == NO_FIGURES else None,
        offers,
        held,
    )


def _in_print(path: str | Path) -> PublishedDatesAnswer | None:
    dates = published_dates(path, None)
    return dates if dates is not None and dates.missing and dates.dated else None


def _care(view: CaseView, cause: CauseTreated, protocol: CareProtocol, day: date) -> CareOfCause:
    began = care_began(view, cause)
    return CareOfCause(
        cause,
        protocol,
        began,
        tuple(day_after(began, number) for number in look_days(protocol)),
        judge(protocol_inputs(view, library.load(), cause, protocol, day)),
    )
