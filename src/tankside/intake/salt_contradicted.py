"""One reading of salinity far below what was logged: which of the two is wrong, before more salt.

A reading stands in place of what was reckoned. A single one that contradicts the log may be a meter
that was read wrongly; a limit is held with what may be there, so more salt waits for a second one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tankside.case import CaseView, Reading
from tankside.case.water_test import WaterTest
from tankside.claims import Knowledge
from tankside.claims.substance_names import resolve
from tankside.course import Caution, Level, PrintedAmount, System
from tankside.course.bodies.effects import SALT
from tankside.intake.bodies_of_water import courses_of
from tankside.intake.joined_waters import joined_waters
from tankside.intake.water_balance import residues_of
from tankside.quantity.moment import Moment
from tankside.quantity.per import MG_PER_G

SURE = 2
"""Readings after the last salt was logged that are believed against the log."""


def salt_contradicted(
    view: CaseView,
    facts: Knowledge,
    system: System,
    amount: PrintedAmount,
    hard_mg_l: float,
    now: Moment,
) -> Iterator[Caution]:
    """Yield a stop where the log and one reading together leave room for too much salt.

    Args:
        view: the case.
        facts: what substances are called.
        system: the water the amount is for.
        amount: of salt, as it would be shown.
        hard_mg_l: the strength never passed [mg/L].
        now: the moment it is weighed out.
    """
    read = _readings_since_the_log(view, facts, system.id, now)
    if amount.agent != SALT or not 0 < len(read) < SURE:
        return
    without = replace(view, water_tests=())
    lots = residues_of(
        without, facts, now, system.id, lambda at, shown: courses_of(at, facts, shown)
    )
    logged_mg_l = sum(lot.edges(-1)[1] for lot in lots if lot.agent == SALT and lot.high_mg_l)
    there_mg_l = sum(lot.high_mg_l or 0.0 for lot in system.residues if lot.agent == SALT)
    together_mg_l = logged_mg_l + float(amount.active_mg) / system.volume.smaller_l
    if logged_mg_l <= there_mg_l or together_mg_l <= hard_mg_l:
        return
    logged, shown, most, hard = (
        f"{mg_l / MG_PER_G:.2g} g/L" for mg_l in (logged_mg_l, there_mg_l, together_mg_l, hard_mg_l)
    )
    yield Caution(
        Level.BLOCKED,
        "E-DOSE-20",
        f"What was logged makes up to {logged} of salt, and one reading says {shown}: one of them "
        "is wrong.",
        f"With this amount it could be {most}, and never more than {hard}; not known is not safe.",
        "",
        "Read the salinity once more with a rinsed and checked meter: a second reading stands. Or "
        "correct what was logged, or tell which water was changed.",
        hour=0,
        body=system.id,
        agent=SALT,
    )


def _readings_since_the_log(
    view: CaseView, facts: Knowledge, system: str, now: Moment
) -> list[WaterTest]:
    """Return the tests of a water that read salinity after the last salt that was logged in it."""
    parts = joined_waters(view).now(system)
    logged = [
        *((lot.moment.utc, lot.id) for lot in view.agents_in_water if _is_salt(facts, lot.agent)),
        *((done.moment.utc, done.id) for done in view.actions_done if _is_salt(facts, done.agent)),
        *((asked.moment.utc, asked.id) for asked in view.doses if _is_salt(facts, asked.agent)),
    ]
    return [
        test
        for test in view.water_tests
        if test.system in parts
        and test.sample == "tank"
        and test.moment.utc <= now.utc
        and any(line.what is Reading.SALINITY and line.amount for line in test.readings)
        and all((test.moment.utc, test.id) > entry for entry in logged)
    ]


def _is_salt(facts: Knowledge, name: str | None) -> bool:
    agent = resolve(facts, name).agent if name else None
    return agent is not None and agent.id == SALT
