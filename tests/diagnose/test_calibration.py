"""Words against truth, and advice against fixed orders, on cases drawn from perturbed tables.

The tables that draw the cases are not those that rank them: every cell of every case is redrawn
inside its recorded range. Point estimates, no bands. The table of docs/differential.md is printed
by the first test.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from tests.diagnose.drawn_cases import Drawn, draw

from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.diagnose import Evidence, Tables, in_words, look_next, rank

pytestmark = pytest.mark.slow
CASES, SHARES = 20_000, (0.15, 0.3, 0.6)
ASKED = (Role.CONTEXT, Role.SIGN, Role.WATER_TEST, Role.MICROSCOPY)
LIKELY = 2 / 3
PATHS, SEED = 120, 23


def partly(drawn: Drawn, facts: DiagnosisFacts, share: float, rng: np.random.Generator) -> Evidence:
    """Return a share of the answers of history, looks, water and microscope, said once each."""
    coarse = {f.fine_of.finding for f in facts.findings.values() if f.fine_of}
    names = [n for n in drawn.answers if n not in coarse and facts.findings[n].role in ASKED]
    return Evidence.of({n: drawn.answers[n] for n in names if rng.random() < share})


def test_words_for_what_comes_first_are_right_as_often_as_they_say(tables: Tables) -> None:
    rng = np.random.default_rng(17)
    said: dict[str, list[tuple[float, bool]]] = {}
    for _ in range(CASES):
        drawn = draw(tables, rng)
        ranking = rank(tables, partly(drawn, tables.facts, float(rng.choice(SHARES)), rng))
        first = ranking.order()[0]
        chance = ranking.of(first)
        said.setdefault(in_words(chance, calibrated=False), []).append(
            (chance, first in drawn.truth)
        )
    for word, rows in said.items():
        print(word, len(rows), np.mean([c for c, _ in rows]), np.mean([t for _, t in rows]))
    words = ("likely", "very likely", "almost certain")
    sure = [true for word in words for _, true in said[word]]
    expected = [chance for word in words for chance, _ in said[word]]
    assert np.mean(sure) >= np.mean(expected) - 0.03
    assert np.mean([true for _, true in said["almost certain"]]) >= 0.95


def test_the_advice_is_as_quick_as_the_best_fixed_order_and_reaches_as_many(
    tables: Tables,
) -> None:
    cases = [started(tables, rng) for rng in [np.random.default_rng(SEED)] for _ in range(PATHS)]
    advised = [path(tables, drawn, dict(seen), None) for drawn, seen in cases]
    reached = [minutes for minutes in advised if minutes is not None]
    best: list[float] = []
    for order in permutations(("history", "look_over", "water_test", "scrape")):
        fixed = (*order, "droppings", "necropsy")
        times = [path(tables, drawn, dict(seen), fixed) for drawn, seen in cases]
        there = [minutes for minutes in times if minutes is not None]
        if not best or (np.median(there), -len(there)) < (np.median(best), -len(best)):
            best = there
    assert np.median(reached) <= np.median(best)
    assert len(reached) >= len(best)


def started(tables: Tables, rng: np.random.Generator) -> tuple[Drawn, dict[str, str]]:
    """Return a drawn case that shows something, with host, water and one sign told."""
    facts = tables.facts
    while True:
        drawn = draw(tables, rng)
        signs = [
            n
            for n, answer in drawn.answers.items()
            if facts.findings[n].sitting == "look_over"
            and answer != facts.findings[n].baseline_answer
        ]
        if drawn.truth == {"NONE"} or not signs:
            continue
        first = ("water_type", "host_fw", "host_marine", str(rng.choice(signs)))
        return drawn, {n: drawn.answers[n] for n in first if n in drawn.answers}


def path(
    tables: Tables, drawn: Drawn, seen: dict[str, str], fixed: tuple[str, ...] | None
) -> float | None:
    """Return the minutes until a true row comes first at "likely"; None when that never comes."""
    facts = tables.facts
    minutes, done = 0.0, set[str]()
    for turn in range(7):
        ranking = rank(tables, Evidence.of(seen))
        first = ranking.order()[0]
        if ranking.of(first) > LIKELY:
            return minutes if first in drawn.truth else None
        if fixed is not None:
            following = fixed[turn] if turn < len(fixed) else ""
        else:
            looks = look_next(ranking, cannot=frozenset(done)).looks
            following = looks[0].sitting if looks and turn < 6 else ""
        if not following:
            return None
        asked = [f for f in facts.findings.values() if f.sitting == following and f.looked_for]
        sitting = facts.sittings[following]
        each = 2 + sum(f.cost_minutes for f in asked if f.id not in seen)
        minutes += sitting.minutes if sitting.shared else min(sitting.minutes, each)
        seen |= {f.id: drawn.answers[f.id] for f in asked if f.id in drawn.answers}
        done.add(following)
    return None
