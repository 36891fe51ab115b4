"""The date to wait for, worked out from the counts and the temperature alone."""

from __future__ import annotations

from tankside import library
from tankside.case import CaseView
from tankside.follow import NotBefore
from tankside.intake.parasite_looks import looks_in
from tankside.intake.stop_date import stop_date
from tankside.intake.trial_setup import parasite_meant
from tankside.intake.water_temperature import measured_temperature_c
from tankside.lifecycle import stage_durations


def earliest_stop(view: CaseView) -> NotBefore:
    """Return the earliest day on which a stop may be discussed, as the case stands.

    Raises:
        NotPossible: E-DOSE-20 the temperature was not measured; E-FC-02 no life cycle with
            figures stands behind what is suspected.
    """
    facts = library.load()
    organism = parasite_meant(view, facts, None)
    bodies = () if view.main is None else (view.main.id,)
    seen = looks_in(view, facts, organism, bodies)
    durations = stage_durations(organism, measured_temperature_c(view))
    return stop_date(seen, durations, view.last_moment().day)
