"""From a case to the evidence of the differential; what a case says is not asked again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tankside.case import CaseView, State
from tankside.case.seen import WetMount
from tankside.claims import Host
from tankside.claims.case_words import CaseWords
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import Evidence
from tankside.diagnose.context import sample_weight
from tankside.intake.fish_kinds import affected_groups, kinds_of
from tankside.intake.stock import find_host
from tankside.intake.water_evidence import Answers, water_answers
from tankside.quantity import Kind

QUARANTINED, UNQUARANTINED, NOT_ADDED = "quarantined", "unquarantined_30d", "none_60d"
FEW, SOME = 5, 30
"""Edges of the answers of ``spot_count``."""
WATERS = {"fresh": "freshwater", "brackish": "brackish", "marine": "marine"}


def evidence(
    view: CaseView, facts: DiagnosisFacts, words: CaseWords, hosts: Mapping[str, Host]
) -> Evidence:
    """Return all that a case says to the differential.

    What somebody answered stands; the rest is derived from water, stock, events, readings,
    deaths and counts. A question that was not asked, or whose answer nobody knows, is left out.

    Args:
        view: the case.
        facts: findings and their answers.
        words: how words of a case answer context findings.
        hosts: kinds of animals by id.
    """
    answers: Answers = {**_derived(view, facts, words, hosts), **_answered(view, facts)}
    kept = {name: some for name, some in answers.items() if name in facts.findings and some}
    remembered = frozenset(
        name for name in ("new_fish", "recent_event", "source_outdoor") if name in kept
    )
    return Evidence(kept, remembered, _weights(view, facts, kept))


def not_in_the_list(view: CaseView, facts: DiagnosisFacts) -> tuple[str, ...]:
    """Return the findings of a case, and the answers, that the differential does not know."""
    missing = []
    for name, answer in view.evidence.items():
        finding = facts.findings.get(name)
        if finding is None:
            missing.append(name)
        else:
            others = sorted(answer.answers - set(finding.answers))
            missing += [f"{name}={other}" for other in others]
    return tuple(missing)


def _answered(view: CaseView, facts: DiagnosisFacts) -> Answers:
    """Return what was answered; "none" is the answer a healthy fish gives."""
    answers: Answers = {}
    for name, answer in view.evidence.items():
        finding = facts.findings.get(name)
        if finding is None:
            continue
        if answer.state is State.ANSWERED:
            answers[name] = answer.answers & set(finding.answers)
        elif answer.state is State.NONE:
            healthy = "none" if "none" in finding.answers else finding.baseline_answer
            answers[name] = frozenset((healthy,))
    return answers


def _derived(
    view: CaseView, facts: DiagnosisFacts, words: CaseWords, hosts: Mapping[str, Host]
) -> Answers:
    water = WATERS.get(view.opened.water)
    marine = water == "marine"
    main = view.main
    answers: Answers = {
        "new_fish": _new_fish(view, words),
        "recent_event": _event(view, words),
        "mortality": _mortality(view),
        **_host_groups(view, words, hosts, water),
        **kinds_of(view, facts, hosts),
        **_spots(view),
    }
    if water is not None:
        answers["water_type"] = frozenset((water,))
    if main is not None:
        answers |= water_answers(main, facts, marine=marine)
    return answers


def _host_groups(
    view: CaseView, words: CaseWords, hosts: Mapping[str, Host], water: str | None
) -> Answers:
    """Return the host groups of the affected fish, or of all fish when nobody said which."""
    affected = affected_groups(view)
    groups: dict[str, set[str]] = {}
    for name, group in view.stock.items():
        if group.living != "fish" or (affected and name not in affected):
            continue
        host = find_host(hosts, group.description.host, group.description.name)
        if host is None:
            continue
        other = words.host_others.get(water or "", "")
        finding, _, answer = words.host_groups.get(host.group, other).partition("=")
        if answer:
            groups.setdefault(finding, set()).add(answer)
    return {finding: frozenset(answers) for finding, answers in groups.items()}


def _new_fish(view: CaseView, words: CaseWords) -> frozenset[str]:
    """Return what the arrivals say; between the two ages both answers stay possible."""
    answers: set[str] = set()
    kept = {"yes": {QUARANTINED}, "no": {UNQUARANTINED}}
    for group in view.stock.values():
        if group.description.arrived is None:
            continue
        age = view.opened.moment.when - datetime.fromisoformat(group.description.arrived)
        if age <= timedelta(days=words.new_days):
            quarantined = group.description.quarantined or ""
            answers |= kept.get(quarantined, {QUARANTINED, UNQUARANTINED})
        elif age < timedelta(days=words.old_days):
            answers |= {UNQUARANTINED, NOT_ADDED}
    if UNQUARANTINED in answers and NOT_ADDED not in answers and len(answers) > 1:
        return frozenset((UNQUARANTINED,)) if _surely_new(view, words) else frozenset(answers)
    return frozenset(answers)


def _surely_new(view: CaseView, words: CaseWords) -> bool:
    """Whether one group surely came in lately without quarantine: it outranks the others."""
    return any(
        group.description.quarantined == "no"
        and group.description.arrived is not None
        and view.opened.moment.when - datetime.fromisoformat(group.description.arrived)
        <= timedelta(days=words.new_days)
        for group in view.stock.values()
    )


def _event(view: CaseView, words: CaseWords) -> frozenset[str]:
    """Return what changed lately, by the words of the events; "none" when that was the answer."""
    changes: set[str] = set()
    for event in view.events:
        if event.state == "none":
            changes.add("none")
        said = f"{event.topic or ''} {event.what}".lower()
        answer = next((a for a, some in words.events if any(w in said for w in some)), None)
        if event.state == "answered" and answer is not None:
            changes.add(answer)
    return frozenset(changes - {"none"} if len(changes) > 1 else changes)


def _mortality(view: CaseView) -> frozenset[str]:
    """Return the pattern of the deaths recorded by day."""
    if not view.deaths:
        return frozenset()
    by_day: dict[object, int] = {}
    for death in view.deaths:
        by_day[death.moment.day] = by_day.get(death.moment.day, 0) + death.number
    total = sum(by_day.values())
    if not total:
        return frozenset(("none",))
    stock = sum((g.alive or 0) + g.deaths for g in view.stock.values() if g.living == "fish")
    if max(by_day.values()) * 2 > max(stock, 1):
        return frozenset(("mass_24h",))
    days = [by_day[day] for day in sorted(by_day, key=str)]
    if len(days) > 2 and days[-1] > days[-2] > days[-3]:
        return frozenset(("rising_daily",))
    return frozenset(("few",))


def _spots(view: CaseView) -> Answers:
    """Return that spots are there and how many on the worst fish, from counts by eye."""
    seen = [
        count.number
        for count in view.counts
        if count.method in ("by_eye", "photo") and "spot" in count.what and count.number
    ]
    if not seen:
        return {}
    worst = max(seen)
    size = "1_to_5" if worst <= FEW else "6_to_30" if worst <= SOME else "over_30"
    return {"spots_visible": frozenset(("yes",)), "spot_count": frozenset((size,))}


def _weights(view: CaseView, facts: DiagnosisFacts, answers: Answers) -> dict[str, float]:
    """Return lower weights for what was seen on an old slide or in an old body."""
    weights: dict[str, float] = {}
    for mount in view.wet_mounts:
        dead, slide = _age(mount, "time_dead", "h"), _age(mount, "slide_age", "min")
        for looked in mount.looks:
            seen = answers.get(looked.finding)
            if seen is None or view.evidence[looked.finding].entry_id != mount.id:
                continue
            weight = sample_weight(facts, looked.finding, seen, dead_h=dead, slide_min=slide)
            if weight < 1:
                weights[looked.finding] = weight
    return weights


def _age(mount: WetMount, name: str, unit: str) -> float | None:
    amount = getattr(mount, name)
    return None if amount is None else float(amount.measured(Kind.TIME).number(unit))
