from __future__ import annotations

import dataclasses
from types import MappingProxyType

import numpy as np
import pytest

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import Evidence, Tables, compile_tables, rank, unexplained

TWO_CAUSES = {"m_big_ciliate": "crescent_nucleus", "m_flat_heart": "many", "flashing": "frequent"}


def test_two_causes_that_explain_everything_need_no_third(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(TWO_CAUSES))
    assert not ranking.triples
    assert unexplained(ranking) == ()


def test_a_third_cause_is_weighed_when_the_best_pair_leaves_a_strong_specific_finding(
    tables: Tables,
) -> None:
    seen = Evidence.of({**TWO_CAUSES, "m_fluke_gill": "many", "m_hyphae": "yes"})
    ranking = rank(tables, seen)
    assert ranking.triples
    best, _ = ranking.sets(1)[0]
    assert len(best) == 3
    assert {"ICH", "CHILO"} <= set(best)


def test_triples_leave_the_weights_of_the_smaller_sets_as_they_were(tables: Tables) -> None:
    seen = Evidence.of({**TWO_CAUSES, "m_fluke_gill": "many", "m_hyphae": "yes"})
    wide = rank(tables, seen)
    size = len(tables.space.members)
    assert len(wide.log_weight) > size
    from tankside.diagnose.ranking import rank_in

    plain = rank_in(tables, seen, tables.space)
    assert np.allclose(wide.log_weight[:size], plain.log_weight, atol=1e-12)


def test_an_excluded_pair_has_no_chance(tables: Tables) -> None:
    seen = Evidence.of({"m_big_ciliate": ["crescent_nucleus", "nucleus_beaded_or_hidden"]})
    ranking = rank(tables, seen)
    pairs = {frozenset(causes): chance for causes, chance in ranking.sets(len(ranking.chance))}
    assert pairs[frozenset(("CRYPTO", "ICH"))] == 0


def test_a_predisposition_multiplies_the_odds_of_its_pair(facts: DiagnosisFacts) -> None:
    """The factor in the data is the factor on the odds; the chance of a second cause, which the
    factors share out, stays, so that every other pair gives way by a little.
    """
    plain = compile_tables(dataclasses.replace(facts, pairs=()))
    rule = next(r for r in facts.pairs if (r.first, r.second) == ("LERNAEA", "EPISTYLIS"))
    with_rule = compile_tables(dataclasses.replace(facts, pairs=(rule,)))
    seen = Evidence.of({"visible_parasite": "thread_anchored"})
    before, after = rank(plain, seen), rank(with_rule, seen)
    index = next(
        i for i in range(len(before.chance)) if set(before.members(i)) == {"LERNAEA", "EPISTYLIS"}
    )
    gained = after.log_weight - before.log_weight
    others = np.delete(gained, index)
    assert gained[index] == pytest.approx(np.log(rule.factor.point), abs=0.05)
    assert others == pytest.approx(0, abs=0.05)


def test_a_silent_cell_says_nothing_about_its_cause(facts: DiagnosisFacts) -> None:
    """Causes without a cell for a finding keep their odds against each other."""
    tables = compile_tables(facts)
    silent = [c.id for c in facts.conditions.values() if "m_hyphae" not in c.cells]
    before = rank(tables, Evidence({})).log_weight
    after = rank(tables, Evidence.of({"m_hyphae": "yes"})).log_weight
    rows = [tables.row(name) + 1 for name in silent if facts.conditions[name].listed]
    assert len(rows) > 2
    gained = after[rows] - before[rows]
    assert gained == pytest.approx(gained[0])


def test_a_remembered_context_pulls_less_than_a_confirmed_one(tables: Tables) -> None:
    seen = Evidence.of({"new_fish": "unquarantined_30d"})
    soft = Evidence(seen.answers, frozenset(("new_fish",)))
    none = rank(tables, Evidence({})).of("ICH")
    assert none < rank(tables, soft).of("ICH") < rank(tables, seen).of("ICH")


def test_a_finding_of_no_weight_changes_nothing(tables: Tables) -> None:
    seen = Evidence.of({"m_pear_ciliate": "surface_only"})
    spoiled = Evidence(seen.answers, frozenset(), {"m_pear_ciliate": 0.0})
    assert rank(tables, spoiled).of("TETRA") == pytest.approx(
        rank(tables, Evidence({})).of("TETRA")
    )


def test_one_spot_is_explained_once(tables: Tables) -> None:
    """Without spots six descriptors are not six arguments against a cause."""
    bare = rank(tables, Evidence.of({"spots_visible": "no"}))
    assert bare.masks.keys() == {"spots_visible"}
    assert rank(tables, Evidence.of({"spots_visible": "no"})).of("ICH") > 0.005


def test_twins_of_the_catalogue_share_their_chance(facts: DiagnosisFacts) -> None:
    conditions = dict(facts.conditions)
    conditions["ICH2"] = dataclasses.replace(conditions["ICH"], id="ICH2")
    tables = compile_tables(dataclasses.replace(facts, conditions=MappingProxyType(conditions)))
    ranking = rank(tables, Evidence.of({"m_big_ciliate": "crescent_nucleus"}))
    assert ranking.of("ICH") == pytest.approx(ranking.of("ICH2"), rel=0.05)
