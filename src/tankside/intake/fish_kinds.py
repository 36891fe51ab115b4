"""Which kinds of fish a case says are ill, and whether one kind is ill among several."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.case import CaseView
from tankside.claims import Host
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose.repeats import HOST
from tankside.intake.species import find_host

ONLY_ONE, ONE_OF_SEVERAL = "only_one_kind_kept", "one_kind_of_several"
RELATED, ALL = "related_kinds", "all_kinds"
TELLING_DEATHS = 3
"""Fewer deaths may fall in one kind by chance."""

Answers = dict[str, frozenset[str]]


def kinds_of(view: CaseView, facts: DiagnosisFacts, hosts: Mapping[str, Host]) -> Answers:
    """Return the kind of the sick fish, and how many kinds are ill.

    The kind is told when every group that is said to be ill (every group of fish, when nobody
    said which) is of a recorded kind. A finding or count of one group says that it is ill, not
    that the others are well; deaths in one kind alone do.

    Args:
        view: the case.
        facts: kinds of fish with odds of their own.
        hosts: kinds of animals by id.
    """
    kind_of = {host: kind.id for kind in facts.kinds.values() for host in kind.hosts}
    fish = {name: group for name, group in view.stock.items() if group.living == "fish"}
    named = {
        name: find_host(hosts, group.description.host, group.description.name)
        for name, group in fish.items()
    }
    ill = affected_groups(view) & fish.keys() or set(fish)
    answers: Answers = {}
    kinds = {kind_of.get(host.id) if host else None for name, host in named.items() if name in ill}
    if kinds and None not in kinds:
        answers[HOST] = frozenset(kind for kind in kinds if kind)
    if len(fish) > 1 and len({host.id if host else name for name, host in named.items()}) > 1:
        dead = [name for name, group in fish.items() if group.deaths]
        many = sum(fish[name].deaths for name in dead) >= TELLING_DEATHS
        spread = {ONE_OF_SEVERAL} if len(dead) == 1 and many else {ONE_OF_SEVERAL, RELATED, ALL}
        answers["species_spread"] = frozenset(spread)
    elif len(fish) == 1:
        answers["species_spread"] = frozenset((ONLY_ONE,))
    return answers


def affected_groups(view: CaseView) -> set[str]:
    """Return the groups of stock in which something was found or counted."""
    in_findings = {f.group for f in view.findings if f.group}
    counted = {c.group for c in view.counts if c.group and c.positive}
    return in_findings | counted
