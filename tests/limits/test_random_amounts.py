"""P7: what is printed gives back what was asked within 2 %, or is refused as not measurable.

The way back is worked here, from the printed text alone, in exact fractions; nothing of the
program's own sums is used for it.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from tests.limits.conftest import Route

from tankside.claims import Knowledge
from tankside.course import CourseRun, LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.amounts.limits import Limit
from tankside.course.amounts.printing import Request, print_amount
from tankside.errors import Mistake

TWO_PER_CENT = Fraction(2, 100)
Back = Callable[[str, str, LabelEntry, float], Fraction]
STEPS = ("0.001", "0.01", "0.05", "0.1", "0.5", "1", "5")


WHY = "the limit itself is on trial"


def drawn(rng: random.Random) -> tuple[Request, LabelEntry]:
    """Draw one amount as it might be asked for; half of them sit at their hard limit."""
    basis = rng.choice([*StrengthBasis])
    strength = (
        Decimal(rng.randint(1, 400))
        if basis is StrengthBasis.MG_PER_ML
        else Decimal(rng.randint(1, 1000)) / 1000
    )
    label = LabelEntry(
        "x", strength, basis, "a form", Decimal(rng.randint(100, 1000)) / 1000,
        rng.choice([Decimal(rng.randint(800, 1400)) / 1000, None]),
        Tool(rng.choice([*ToolUnit]), Decimal(rng.choice(STEPS))),
        rng.choice([Tool(ToolUnit.MILLILITRE, Decimal(rng.choice(STEPS[2:]))), None]),
        solid=rng.random() < 0.5,
    )  # fmt: skip
    asked = round(10 ** rng.uniform(-2.5, 3.5), 4)
    litres = rng.randint(10, 30_000) / 10
    at_limit = rng.random() < 0.5
    limit = Limit(asked if at_limit else asked * 2, "agent.x.hard_max.prolonged", "a leaflet")
    return Request("x", "the agent", "as x", asked, litres, litres, 0.0, limit), label


def check(given_back: Back, count: int, seed: int) -> Counter[str]:
    """Print ``count`` random amounts and hold each to its words; return what became of them."""
    rng, seen = random.Random(seed), Counter[str]()
    for _ in range(count):
        request, label = drawn(rng)
        assert request.limit is not None
        try:
            amount = print_amount.__wrapped__(request, label)
        except Mistake as refused:
            no_density = refused.code == "E-PROD-01" and label.density_g_ml is not None
            seen["density told and asked for" if no_density else refused.code] += 1
            continue
        seen["shown"] += 1
        back = given_back(amount.text, amount.stock_solution, label, request.for_l)
        asked = Fraction(Decimal(str(request.strength_mg_l)))
        case = (request, label, amount.text)
        assert amount.value > 0, case
        assert abs(back / asked - 1) <= TWO_PER_CENT, case
        assert back <= Fraction(Decimal(str(request.limit.mg_l))) * (1 + Fraction(1, 10**9)), case
    return seen


def test_two_thousand_random_amounts_give_back_what_was_asked_or_are_refused(
    given_back: Callable[[str, str, LabelEntry, float], Fraction],
) -> None:
    seen = check(given_back, 2000, seed=7)
    assert set(seen) <= {"shown", "E-DOSE-24", "E-PROD-01"}, seen
    assert seen["shown"] > 1000
    assert seen["E-DOSE-24"] > 20


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_a_hundred_thousand_random_amounts_give_back_what_was_asked_or_are_refused(
    given_back: Callable[[str, str, LabelEntry, float], Fraction],
) -> None:
    seen = check(given_back, 100_000, seed=70)
    assert set(seen) <= {"shown", "E-DOSE-24", "E-PROD-01"}, seen
    assert seen["shown"] > 50_000


def test_a_dose_exactly_at_its_hard_limit_passes_for_every_agent(
    facts: Knowledge, mixed: Route, treated: Callable[..., CourseRun]
) -> None:
    """The strength of the limit itself is inside; one per cent more is not."""
    from tankside.course.amounts.limits import Around, hard_limit

    water = "marine" if facts.find(f"agent.{mixed.agent}.needs.marine") else "fresh"
    limit = hard_limit(facts, mixed.agent, mixed.name, Around(18.0, 300.0, False, water))
    assert limit is not None
    at = treated(mixed, strength=limit.mg_l / mixed.usual, reason=WHY)
    above = treated(mixed, strength=limit.mg_l * 1.01 / mixed.usual, reason=WHY)
    assert "E-DOSE-10" not in {c.code for c in at.blocked}
    assert at.amounts
    assert "E-DOSE-10" in {c.code for c in above.blocked}
