from __future__ import annotations

import numpy as np
import pytest

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import Evidence, Tables, bands, rank

SEEN = {
    "water_type": "freshwater", "spots_visible": "yes", "spot_form": "smooth_dome_in_skin",
    "flashing": "frequent", "mortality": "few", "m_disc_ring": "few", "gill_look": "pale_or_mucus",
}  # fmt: skip


def test_bands_hold_the_estimate_and_have_width(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(SEEN))
    edges = bands(ranking, np.random.default_rng(1), 300)
    for name in ranking.order()[:6]:
        low, high = edges.edges[name]
        assert low < ranking.of(name) < high
    assert sum(edges.first.values()) == pytest.approx(1)


def test_the_same_stream_gives_the_same_bands(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(SEEN))
    first, two = (bands(ranking, np.random.default_rng(5), 130) for _ in range(2))
    assert first == two


def test_without_ranges_the_bands_close_on_the_estimate(facts: DiagnosisFacts) -> None:
    """With every range shut to its point a redraw is the ranking itself: same laws, same sums.

    Cells are printed to four digits, so that their sums miss 1 by as much; sets that hold next to
    nothing of the belief are not redrawn.
    """
    import dataclasses
    from types import MappingProxyType

    from tankside.claims.diagnosis import Cell, Chance
    from tankside.diagnose import compile_tables

    def shut(chance: Chance) -> Chance:
        return Chance(chance.point, chance.point, chance.point)

    def cell(old: Cell) -> Cell:
        return Cell(old.finding, {a: shut(c) for a, c in old.answers.items()}, old.sources)

    conditions = {
        c.id: dataclasses.replace(
            c, prior=shut(c.prior), cells={n: cell(x) for n, x in c.cells.items()}
        )
        for c in facts.conditions.values()
    }
    findings = {
        f.id: dataclasses.replace(
            f, baseline=cell(f.baseline), healthy=cell(f.healthy) if f.healthy else None
        )
        for f in facts.findings.values()
    }
    firm = dataclasses.replace(
        facts,
        conditions=MappingProxyType(conditions),
        findings=MappingProxyType(findings),
        twins=(),
        numbers={
            **facts.numbers,
            "riddle_below": dataclasses.replace(facts.numbers["riddle_below"], value=0.0),
        },
    )
    tables = compile_tables(firm)
    for answers in (SEEN, {"m_big_ciliate": "crescent_nucleus", "m_flat_heart": "many",
                           "m_fluke_gill": "many", "m_hyphae": "yes"}):  # fmt: skip
        ranking = rank(tables, Evidence.of(answers))
        edges = bands(ranking, np.random.default_rng(2), 3)
        for name in ranking.order():
            assert edges.edges[name] == pytest.approx((ranking.of(name),) * 2, abs=2e-3)


def test_a_cause_of_few_data_has_wider_bands_than_a_well_known_one(tables: Tables) -> None:
    """The second white-spot ciliate rests on two hobby articles; white spot on a literature."""
    well_known = rank(tables, Evidence.of({"m_big_ciliate": "crescent_nucleus"}))
    doubtful = rank(tables, Evidence.of({"m_big_ciliate": "daughters_inside_spot"}))
    low, high = bands(well_known, np.random.default_rng(3), 300).edges["ICH"]
    thin_low, thin_high = bands(doubtful, np.random.default_rng(3), 300).edges["NEOICH"]
    assert thin_high - thin_low > high - low


def test_a_silent_cell_stays_silent_in_every_redraw(facts: DiagnosisFacts) -> None:
    """Two causes that say nothing about hyphae keep their chances, however the leak is drawn."""
    import dataclasses
    from types import MappingProxyType

    from tankside.claims.diagnosis import Chance
    from tankside.diagnose import compile_tables

    chosen = {}
    for name in ("ICH", "CHILO"):
        old = facts.conditions[name]
        firm = Chance(old.prior.point, old.prior.point, old.prior.point)
        chosen[name] = dataclasses.replace(old, prior=firm)
        assert "m_hyphae" not in old.cells
    hyphae = dataclasses.replace(facts.findings["m_hyphae"], healthy=None)
    few = dataclasses.replace(
        facts,
        conditions=MappingProxyType(chosen),
        findings=MappingProxyType({**facts.findings, "m_hyphae": hyphae}),
        pairs=(),
        twins=(),
    )
    ranking = rank(compile_tables(few), Evidence.of({"m_hyphae": "yes"}))
    edges = bands(ranking, np.random.default_rng(6), 50)
    for name in ("ICH", "CHILO", "NONE"):
        low, high = edges.edges[name]
        assert low == pytest.approx(high, abs=1e-12)
