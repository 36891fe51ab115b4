"""Run a frozen set-up and judge it by its frozen rule.

``python -m tests.experiments.run_setup [part of an id ...]`` prints one line per check;
with ``--keep`` first, the verdicts are written to ``verdicts.json``, each with the words that
other seeds give: a pass that another seed takes away is on the edge and is not counted.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np
from tests.experiments.outcomes import OUTCOMES
from tests.experiments.setups_read import HERE, Check, checks
from tests.experiments.tank import DONOR, FISH, tank_hours

from tankside import library, lifecycle
from tankside.claims.claim import Claim, Confidence, Provenance
from tankside.claims.organism import Organism

SEED = 20
OTHER_SEEDS = (21, 22, 23)
KEPT = HERE / "verdicts.json"
WIDEST_POINTS, WIDEST_FACTOR = 60.0, 3.0
QUANTILES = (0.05, 0.5, 0.95)


@dataclass(frozen=True)
class Verdict:
    """The published value, what the model says, and how the rule judges that.

    For events ``low``, ``middle`` and ``high`` all are the probability. ``word`` is passed,
    failed, useless (inside, but too wide to say anything) or expected failure.
    """

    id: str
    role: str
    rule: str
    published: float
    low: float
    middle: float
    high: float
    word: str

    def interval(self) -> str:
        """Return the 90 % interval, or the probability of the event, in words."""
        if self.rule == "event":
            return f"P = {self.middle:.2f}"
        said = (f"{x:.3g}" if x < np.inf else "never" for x in (self.middle, self.low, self.high))
        return "{} [{}, {}]".format(*said)


def judge(check: Check, histories: int | None = None, seed: int = SEED) -> Verdict:
    """Run one check and apply its rule."""
    values = outcome(check, histories or check["histories"], seed)
    if check["rule"] == "event":
        share = float(values.mean())
        word = "passed" if share >= check["pass_at"] else "failed"
        low = middle = high = share
    else:
        low, middle, high = (
            float(q) for q in np.quantile(values, QUANTILES, method="inverted_cdf")
        )
        word = _inside(check, low, high)
    if "expected_failure" in check and word != "passed":
        word = "expected failure"
    return Verdict(
        check["id"], check["role"], check["rule"], check["published"], low, middle, high, word
    )


def _inside(check: Check, low: float, high: float) -> str:
    if not low <= check["published"] <= high:
        return "failed"
    if check["rule"] == "points":
        return "useless" if high - low > WIDEST_POINTS else "passed"
    return "useless" if high > WIDEST_FACTOR * low else "passed"


def outcome(check: Check, histories: int, seed: int = SEED) -> Any:
    """Return the outcome of each history (or the chance of the event in each)."""
    run = play(check, histories, seed)
    untreated = None
    if check["outcome"] == "ratio_to_untreated":
        untreated = play(check, histories, seed, treated=False)
    return OUTCOMES[check["outcome"]](check, run, untreated)


def play(
    check: Check, histories: int, seed: int = SEED, *, treated: bool = True
) -> lifecycle.Histories:
    """Run the set-up: open water in strata, claims, fish and beginning in the histories."""
    organism = organism_of(check)
    water = tank_hours(check, np.random.default_rng(seed), treated=treated)
    weight = middle(check["weight_g"])
    groups = [
        lifecycle.HostGroup(FISH, check["fish"], weight, susceptibility=_factor(check, treated))
    ]
    if "donor" in check["start"]:
        groups.append(lifecycle.HostGroup(DONOR, 1, weight))
    draws = lifecycle.draw(organism, histories, seed)
    compiled = lifecycle.compile(organism, water, tuple(groups))
    every = check.get("record_every_h", 24)
    moments = tuple(range(0, water.hours + 1, every))
    return lifecycle.run(
        compiled, beginning(check), draws, histories, seed, threads=1, record_h=moments
    )


def _factor(check: Check, treated: bool) -> lifecycle.Range:
    for treatment in check.get("treatment", []):
        if treated and treatment["kind"] == "susceptibility":
            low, high = treatment["factor"]
            return (low, (low + high) / 2, high)
    return (1.0, 1.0, 1.0)


def beginning(check: Check) -> lifecycle.InitialState:
    """Return the state at hour 0."""
    start = check["start"]
    swimmers = {}
    if "swimmers" in start:
        swimmers = {"tank0": middle(start["swimmers"])}
    if "swimmers_per_fish" in start:
        swimmers = {"tank0": middle([check["fish"] * x for x in start["swimmers_per_fish"]])}
    carried = {FISH: "per_fish", DONOR: "donor"}
    bottom = {"tank0": middle(start["bottom_stages"])} if "bottom_stages" in start else {}
    return lifecycle.InitialState(
        {group: middle(start[key]) for group, key in carried.items() if key in start},
        bottom=bottom,
        swimmers=swimmers,
        age=start.get("age"),
        immune={FISH: middle(start["immune"])} if "immune" in start else {},
        steady_bottom=start.get("bottom", True),
        exact=start.get("exact", False),
    )


def middle(ends: list[float]) -> lifecycle.Range:
    """Return the range with its geometric middle (arithmetic when it begins at 0)."""
    low, high = ends
    return (low, float(np.sqrt(low * high)) if low > 0 else (low + high) / 2, high)


def organism_of(check: Check) -> Organism:
    """Return the organism of the library, with the figures the set-up itself brings."""
    organism: Organism = library.load().organisms[check["organism"]]
    extra = [*check.get("kill", []), *check.get("held", [])]
    brought = {row["key"]: _claim(row, check["source"]) for row in extra}
    if not brought:
        return organism
    rivals = {k: v for k, v in organism.rivals.items() if k not in brought}
    return replace(organism, claims={**organism.claims, **brought}, rivals=rivals)


def _claim(row: dict[str, Any], source: str) -> Claim:
    return Claim(
        row["key"],
        row["value"],
        "",
        Provenance.FOUND,
        Confidence.LOW,
        low=row.get("low"),
        high=row.get("high"),
        source=source,
        note=row.get("note", ""),
    )


def main(wanted: list[str]) -> None:
    """Print one line per check whose id holds any of the words; keep the verdicts if asked."""
    keep = wanted[:1] == ["--keep"]
    wanted = wanted[1:] if keep else wanted
    rows = {}
    for check in checks():
        if wanted and not any(word in check["id"] for word in wanted):
            continue
        verdict = judge(check)
        others = [judge(check, seed=seed).word for seed in OTHER_SEEDS] if keep else []
        rows[verdict.id] = kept_row(verdict, others)
        print(
            f"{verdict.id} | {verdict.role} | published {verdict.published:g} | "
            f"{verdict.interval()} | {verdict.word} {' '.join(others)}",
            flush=True,
        )
    if keep:
        before = {row["id"]: row for row in json.loads(KEPT.read_text(encoding="utf-8"))}
        kept = [(before | rows)[check["id"]] for check in checks()]
        KEPT.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


def kept_row(verdict: Verdict, others: list[str]) -> dict[str, Any]:
    """Return what is kept of a verdict: numbers as text, for one may be infinite."""
    numbers = {name: str(getattr(verdict, name)) for name in ("low", "middle", "high")}
    return asdict(verdict) | numbers | {"other_seeds": others}


if __name__ == "__main__":
    main(sys.argv[1:])
