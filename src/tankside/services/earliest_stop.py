"""The date to wait for, worked out from the counts and the temperature alone."""

from __future__ import annotations

from tankside import library
from tankside.case import CaseView
from tankside.follow import NotBefore, not_before
from tankside.intake.assemble import midnight, organism_of
from tankside.intake.counts import looks
from tankside.intake.likely_cause import likeliest
from tankside.intake.water_temperature import measured_temperature_c
from tankside.lifecycle import stage_durations


def earliest_stop(view: CaseView) -> NotBefore:
    """Return the earliest day on which a stop may be discussed, as the case stands.

    Raises:
        NotPossible: E-DOSE-20 the temperature was not measured; E-FC-02 no life cycle with
            figures stands behind what is suspected.
    """
    facts = library.load()
    organism = organism_of(view, facts, None, likeliest(view, facts))
    first = view.opened.moment.day
    today = (view.last_moment().day - first).days
    durations = stage_durations(organism, measured_temperature_c(view))
    return not_before(looks(view, midnight(view, first)), durations, today)
