"""The same question put to a general Bayesian library, to compare speed and answers."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from itertools import pairwise

import numpy as np
import pyagrum  # type: ignore[import-not-found, unused-ignore]

from tankside.claims.diagnosis import LikelihoodLaw
from tankside.diagnose import Evidence, Tables, rank

REPEATS = 20
CAUSES = (
    "ICH", "COLUMN", "TRICHO", "SEPTIC", "NITROGEN", "GILLFLUKE",
    "CHILO", "SAPRO", "SKINFLUKE", "ICHTHYOBODO", "MYCOBACT", "BGD",
)  # fmt: skip
FINDINGS = ("flashing", "breathing", "clamped_fins", "skin_film", "white_patch", "red_ulcer")


def network(tables: Tables, causes: tuple[str, ...], findings: tuple[str, ...]) -> pyagrum.BayesNet:
    """Return the full joint network of a few causes and findings, written out in tables.

    Every finding's table is spelled out from the published definition, answer by answer and
    combination by combination, without the code that the ranking uses: for graded signs
    F(a | S) = F(a | leak) * product of min(1, F(a | c) / F(a | leak)).

    Args:
        tables: compiled knowledge (its numbers only).
        causes: the causes of the network.
        findings: noisy-OR and noisy-MAX findings.
    """
    net = pyagrum.BayesNet("part")
    for cause in causes:
        net.add(pyagrum.LabelizedVariable(cause, "", ["no", "yes"]))
        prior = tables.facts.conditions[cause].prior.point
        net.cpt(cause).fillWith([1 - prior, prior])
    for finding in findings:
        asked = tables.facts.findings[finding]
        if asked.law not in (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX):
            raise ValueError(finding)
        net.add(pyagrum.LabelizedVariable(finding, "", list(asked.answers)))
        for cause in causes:
            net.addArc(cause, finding)
        _fill(net, tables, causes, finding)
    return net


def _fill(net: pyagrum.BayesNet, tables: Tables, causes: tuple[str, ...], finding: str) -> None:
    cells = tables.cells[finding].chance
    rows = {cause: cells[tables.row(cause)] for cause in causes}
    leak = cells[-1]
    for number in range(2 ** len(causes)):
        present = {cause: (number >> k) & 1 for k, cause in enumerate(causes)}
        reached = []
        for answer in range(len(leak)):
            below = sum(leak[: answer + 1])
            for cause, there in present.items():
                if there:
                    below *= min(1.0, sum(rows[cause][: answer + 1]) / sum(leak[: answer + 1]))
            reached.append(below)
        chances = [reached[0], *(b - a for a, b in pairwise(reached))]
        net.cpt(finding)[{**{c: int(v) for c, v in present.items()}}] = chances


def ratio(tables: Tables) -> float:
    """Return how many times faster the ranking is than the library.

    The library answers for twelve causes and six findings, fully enumerated; the ranking weighs
    the whole list, every single and every pair, on the same findings.
    """
    answers: Mapping[str, str] = {
        name: tables.facts.findings[name].answers[-1] for name in FINDINGS
    }
    net = network(tables, CAUSES, FINDINGS)
    engine = pyagrum.LazyPropagation(net)
    evidence = Evidence.of(answers)

    def ask() -> None:
        engine.setEvidence(dict(answers))
        engine.makeInference()
        for cause in CAUSES:
            engine.posterior(cause)
        engine.eraseAllEvidence()

    return _median(ask) / _median(lambda: rank(tables, evidence))


def _median(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return float(np.median(taken))
