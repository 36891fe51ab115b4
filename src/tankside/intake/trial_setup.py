"""Set up a case for simulation: shared by plan, forecast and follow-up."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.course import LabelEntry
from tankside.follow import most_affected, start_state
from tankside.intake.assemble import Assembled, organism_of, seed_of
from tankside.intake.counts import group_counts
from tankside.intake.likely_cause import likeliest
from tankside.intake.situation import Wishes, situation
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
    likely = None if organism else likeliest(view, facts)
    parasite = organism_of(view, facts, organism, likely)
    believed = start_state(group_counts(view, case.hosts, start), case.hosts, parasite, facts)
    watched = most_affected(group_counts(view, case.hosts), case.hosts, believed)
    place = situation(case, parasite, read_levers(facts), wishes, work, watched)
    chance = seed_of(view) if seed is None else seed
    return Trial(place, facts, labels, parasite, case.hosts, believed, chance)
