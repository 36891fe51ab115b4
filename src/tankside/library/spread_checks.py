"""Named house checks of the spread files: what is cited, what a row speaks of, whole tables."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.library.house import House
from tankside.library.problem import Problem
from tankside.library.spread_files import FOLDER, SpreadPlan, joint_rows, spread_plan

NEAR_ONE = 1e-9


def _plans(house: House) -> Iterator[tuple[str, SpreadPlan]]:
    """Yield (file, plan) of every plan that can be read."""
    for path in sorted((house.root / FOLDER).glob("*.toml")):
        yield f"{FOLDER}/{path.name}", spread_plan(house.root, path.stem)


def spread_sources(house: House) -> Iterator[Problem]:
    """Every work that a plan cites is registered."""
    for file, plan in _plans(house):
        cited = {q.source for q in plan.quantities} | {d.source for d in plan.derived}
        cited |= {paper.source for paper in plan.experiments}
        for key in sorted(cited - {""} - set(house.sources)):
            yield Problem(
                "spread_sources",
                file,
                key,
                f"the source {key!r} is not in the register.",
                "add the work to data/sources or correct the key.",
            )


def spread_rows(house: House) -> Iterator[Problem]:
    """Every printed row belongs to an experiment of its plan, and prints one kind of result."""
    for file, plan in _plans(house):
        papers = {paper.source for paper in plan.experiments}
        for row in plan.rows:
            kinds = sum(map(bool, (row.of, row.above, row.below, row.about)))
            if row.source not in papers or kinds != 1:
                yield Problem(
                    "spread_rows",
                    file,
                    row.source,
                    f"the row {row.says!r} has no experiment, or not one kind of result.",
                    "add the [[experiment]]; write dead and of, above, below or about.",
                )
        if abs(sum(reading.weight for reading in plan.readings) - 1) > NEAR_ONE:
            yield Problem(
                "spread_rows", file, "reading", "the weights of the readings are not 1.", "mend."
            )


def spread_table(house: House) -> Iterator[Problem]:
    """Every plan has its table, with the claims it is about as columns."""
    for file, plan in _plans(house):
        rows = joint_rows(house.root, plan.organism, [])
        wanted = {q.claim for q in plan.quantities if q.claim} | {d.claim for d in plan.derived}
        if rows is None or not wanted <= set(rows.keys):
            yield Problem(
                "spread_table",
                file,
                "",
                "the table beside the plan is missing or lacks a column.",
                "write it anew: tankside bench spread --write.",
            )


CHECKS = (spread_sources, spread_rows, spread_table)
