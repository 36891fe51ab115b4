"""No amount rests on water that is not there, and none leads above a hard limit.

After a random history an amount is asked for. Where one is shown, the reckoner adds what it holds
to what may be there at most, in the smallest water there may be, and holds the sum against the
hard limit that its own reader found in the knowledge files.
"""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from tests.reckoner.by_program import folded, moment_of
from tests.reckoner.histories import CLEAN, LABELS, STRENGTHS, History, history, moment
from tests.reckoner.pool import NOTHING, POINT
from tests.reckoner.printed_rates import Shelf
from tests.reckoner.reckoning import Water, reckon, reckoner_at
from tests.reckoner.typed_words import Row

from tankside.errors import Mistake
from tankside.intake.dose_request import DoseRequest
from tankside.services.dose import work_out

FAST, SLOW = 40, 400
LEAST_SHARE_SHOWN = Fraction(1, 8)
"""At least this many of the askings must come to an amount, or the check says nothing."""
SHARE_NEAR = 0.6
"""Share of the histories in which the water holds nearly as much as it may."""
TOOL = Fraction(2, 100)
"""What one rounding to the step of a tool may change."""
USUAL = STRENGTHS | {
    "sodium_chloride": ("1 g/L", "2 g/L", "3 g/L", "4.6 g/L", "4.9 g/L"),
    "methylene_blue": (
        "2 mg/L as methylene blue trihydrate",
        "3 mg/L as methylene blue trihydrate",
    ),
    "formalin": ("15 mg/L", "25 mg/L"),
    "metronidazole": ("5 mg/L", "13 mg/L"),
    "praziquantel": ("2 mg/L", "10 mg/L"),
}
REASON = "as the vet advised on 3 March"


def made_ready(story: History, system: str) -> list[Row]:
    """Return a history with what an amount needs to be shown: fresh readings and labels."""
    at = f"on={moment(story.now)}"
    answers = [
        Row(("not-done", "action=dose", f"index={number}", at))
        for number, row in enumerate(story.rows, 2)
        if row.kind == "dose"
    ]
    labels = [
        Row(("label", f"agent={agent}", f"strength={strength}", *more, at))
        for agent, strength, *more in LABELS
    ]
    return [*story.rows, *answers, *labels, Row(("water", *CLEAN, f"system={system}", at))]


def near_the_limit(
    rows: list[Row], now: int, shelf: Shelf, system: str, agent: str, draw: random.Random
) -> Row:
    """Return a log of as much of an agent as brings its water some way up to the hard limit."""
    point_l = reckoner_at(rows, now, shelf).volumes(system)[POINT]
    hard = shelf.agents[agent].hard_mg_l or Fraction(0)
    mg = round(hard * point_l * draw.randint(30, 98) / 100)
    words = (f"action={agent}", f"agent={agent}", f"amount={mg} mg", f"system={system}")
    described = next(row.minute for row in rows if row.kind == "label")
    return Row(("done", *words, f"on={moment(draw.choice((now - 1, described + 1)))}"))


def faults_of(seeds: range, shelf: Shelf) -> tuple[int, list[str]]:
    """Return how many amounts were shown, and in words what was wrong with any."""
    shown, faults = 0, []
    for seed in seeds:
        story = history(seed, joins=seed % 2 == 0)
        draw = random.Random(seed)
        system = draw.choice([row.words[1] for row in story.rows if row.kind == "system"])
        agent = draw.choice(("sodium_chloride", *USUAL))
        asked = draw.choice(USUAL[agent])
        rows = made_ready(story, system)
        if draw.random() < SHARE_NEAR:
            rows.append(near_the_limit(rows, story.now, shelf, system, agent, draw))
        request = DoseRequest(agent, asked, system=system, reason=REASON)
        try:
            answer = work_out(request, folded(rows), moment_of(story.now))
        except Mistake:
            continue
        shown += 1
        fault = wrong(rows, story.now, shelf, request, Fraction(answer.amount.active_mg))
        faults += [f"history {seed}: {fault}"] if fault else []
    return shown, faults


def wrong(rows: list[Row], now: int, shelf: Shelf, request: DoseRequest, mg: Fraction) -> str:
    """Return what is wrong with an amount that was shown; "" when nothing is."""
    system = request.system or "main"
    water: Water | None = reckon(rows, now, shelf)[system]
    hard = shelf.agents[request.agent].hard_mg_l
    if water is None or hard is None:
        return "an amount for water that nobody measured, or without a hard limit"
    there = water.get(request.agent, NOTHING)
    if there is None:
        return "an amount on top of what nobody knows"
    keys = {"agent": request.agent, "strength": request.strength, "system": system}
    reckoner = reckoner_at(rows, now, shelf)
    smaller = reckoner.volumes(system)[0]
    worst = there[0][1] + mg / smaller
    meant = reckoner.to_reach(keys) or Fraction(0)
    if worst > hard * (1 + Fraction(1, 10**12)):
        return f"{float(worst)} mg/L of {request.agent}, over {hard}"
    if abs(mg - meant) > TOOL * meant:
        return f"{float(mg)} mg of {request.agent} shown where {float(meant)} mg are missing"
    return ""


def test_no_amount_leads_above_a_hard_limit(shelf: Shelf) -> None:
    shown, faults = faults_of(range(FAST), shelf)
    assert not faults
    assert shown >= LEAST_SHARE_SHOWN * FAST


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_none_of_many_amounts_leads_above_a_hard_limit(shelf: Shelf) -> None:
    shown, faults = faults_of(range(FAST, FAST + SLOW), shelf)
    assert not faults
    assert shown >= LEAST_SHARE_SHOWN * SLOW
