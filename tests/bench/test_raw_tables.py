"""The tables alone: the product anyone would write down, one cause at a time."""

from __future__ import annotations

import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from tankside.bench.rank_scores import Share, score
from tankside.bench.raw_tables import order_by_tables
from tankside.bench.vignettes import read_vignettes
from tankside.diagnose import NONE, OUTSIDE, Evidence, Tables
from tankside.errors import BadInput
from tankside.services.differential import tables

SEEN = {"flashing": "frequent", "skin_film": "local", "m_disc_ring": "many"}


def by_hand(compiled: Tables, seen: dict[str, str]) -> dict[str, Fraction]:
    """Multiply share and cells of every row as exact fractions, with no array arithmetic."""
    facts = compiled.facts
    shares = compiled.prior.shares(np.array([c.prior.point for c in facts.conditions.values()]))
    weights: dict[str, Fraction] = {}
    for row, name in enumerate((*compiled.ids, NONE)):
        product = Fraction(float(shares[row]))
        for finding, answer in seen.items():
            column = facts.findings[finding].answers.index(answer)
            product *= Fraction(float(compiled.cells[finding].chance[row][column]))
        outside = name != NONE and facts.conditions[name].outside
        shown = OUTSIDE if outside else name
        weights[shown] = weights.get(shown, Fraction(0)) + product
    return weights


def test_the_order_is_that_of_the_products() -> None:
    compiled = tables()
    order = order_by_tables(compiled, Evidence.of(SEEN))
    weights = by_hand(compiled, SEEN)
    assert set(order) == set(weights)
    assert all(weights[a] >= weights[b] * (1 - Fraction(1, 10**9)) for a, b in pairwise(order))
    assert order[0] == "TRICHO"


def test_nothing_seen_is_the_order_of_the_priors_and_what_nobody_knows_is_refused() -> None:
    compiled = tables()
    assert order_by_tables(compiled, Evidence({}))[0] == NONE
    with pytest.raises(BadInput, match="colour_of_the_cat"):
        order_by_tables(compiled, Evidence.of({"colour_of_the_cat": "black"}))


def test_scores_count_the_tables_beside_the_ranking(tmp_path: Path) -> None:
    file = tmp_path / "cases.json"
    seen = {"m_disc_ring": "many"}
    cases = [{"id": "A", "confirmed": ["TRICHO"], "findings": seen},
             {"id": "B", "confirmed": ["KHV"], "findings": seen}]  # fmt: skip
    file.write_text(json.dumps({"vignettes": cases}), encoding="utf-8")
    compiled = tables()
    scores = score(compiled, read_vignettes(file, compiled.facts), lambda case: case.evidence)
    assert (scores.raw_top1, scores.raw_top3_any) == (Share(1, 2), Share(1, 2))
