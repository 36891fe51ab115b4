"""Set up a case for simulation: shared by plan, forecast and follow-up."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.course import LabelEntry
from tankside.follow import most_affected, start_state
from tankside.intake.assemble import Assembled, organism_of
from tankside.intake.case_seed import chance_of
from tankside.intake.counts import counted_words, group_counts
from tankside.intake.host_factor import meeting
from tankside.intake.likely_cause import likeliest
from tankside.intake.parasite_looks import ParasiteLooks, looks_in
from tankside.intake.situation import Watched, Wishes, situation
from tankside.plan import Trial, read_levers
from tankside.quantity.moment import Moment

NO_WISHES = Wishes()


def set_up(
    case: Assembled,
    *,
    organism: str | None,
    seed: int | None,
    labels: Mapping[str, LabelEntry],
    start: Moment,
    work: Moment,
    wishes: Wishes = NO_WISHES,
) -> Trial:
    """Return everything that stays the same while courses of a case are compared.

    Args:
        case: the assembled case.
        organism: organism id as typed; None to take it from the case.
        seed: of chance as typed; None to derive it from the case.
        labels: containers by agent id.
        start: counts up to this moment describe what is there at hour 0.
        work: after this moment work can begin.
        wishes: what the practitioner wishes.

    Raises:
        NotPossible: E-FC-02 no life cycle with figures; E-DOSE-20 no measured temperature.
    """
    view, facts = case.view, case.facts
    parasite = parasite_meant(view, facts, organism)
    seen = looks_of(case, parasite)
    believed = start_state(group_counts(seen, case.hosts, start), case.hosts, parasite, facts)
    watched = most_affected(group_counts(seen, case.hosts), case.hosts, believed)
    counted = counted_words(seen, parasite.seen_by)
    place = situation(case, parasite, read_levers(facts), wishes, work, Watched(watched, counted))
    chance = chance_of(view) if seed is None else seed
    hosts = meeting(case.hosts, parasite, facts)
    return Trial(place, facts, labels, parasite, hosts, believed, chance)


def parasite_meant(view: CaseView, facts: Knowledge, organism: str | None) -> Organism:
    """Return the parasite a question is about, where a forecast can be run for it.

    Args:
        view: the case.
        facts: what is known.
        organism: organism id as typed; None to take it from the case.

    Raises:
        NotPossible: E-FC-02 no life cycle with figures.
    """
    return organism_of(view, facts, organism, None if organism else likeliest(view, facts))


def looks_of(case: Assembled, organism: Organism) -> ParasiteLooks:
    """Return the looks at fish that speak of a parasite in the waters that are asked about."""
    return looks_in(case.view, case.facts, organism, (system.id for system in case.systems))
