"""From a case to the evidence of the differential; what a case says is not asked again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from tankside.case import CaseView
from tankside.case.seen import WetMount
from tankside.case.view import AnswerView
from tankside.claims import Host, Knowledge
from tankside.claims.case_words import CaseWords
from tankside.claims.counted_words import countable
from tankside.claims.diagnosis import DiagnosisFacts, FindingFacts
from tankside.diagnose import Evidence
from tankside.intake.counted import counts_as_looks
from tankside.intake.death_curve import death_answers, the_worse
from tankside.intake.event_words import event_answer
from tankside.intake.fish_kinds import affected_groups, kinds_of
from tankside.intake.one_water import in_one_water
from tankside.intake.slide_worth import as_good_as_none, effort, freshness, is_negative
from tankside.intake.species import find_host
from tankside.intake.standing_answers import combined, gravest, read, standing
from tankside.intake.water_evidence import Answers, water_answers

QUARANTINED, UNQUARANTINED, NOT_ADDED = "quarantined", "unquarantined_30d", "none_60d"
FEW, SOME = 5, 30
"""Edges of the answers of ``spot_count``."""
SPOTS, SPOT_COUNT = "spots_visible", "spot_count"
WATERS = {"fresh": "freshwater", "brackish": "brackish", "marine": "marine"}


def evidence(
    view: CaseView,
    facts: DiagnosisFacts,
    words: CaseWords,
    knowledge: Knowledge,
    system: str | None = None,
) -> Evidence:
    """Return all that a case says of one body of water to the differential.

    What was seen on each fish and site stands; what somebody answered outranks what is derived
    from water, stock, events, readings and deaths. A question that was not asked, or whose answer
    nobody knows, is left out.

    Args:
        view: the case.
        facts: findings and their answers.
        words: how words of a case answer context findings.
        knowledge: kinds of animals, and what can be counted.
        system: a system of the case; None for the one with the sick fish.

    Raises:
        BadInput: E-WORD-02 the case has no such system.
    """
    here = in_one_water(view, system)
    view, hosts = here.view, knowledge.hosts
    looks = looks_standing(view, facts, knowledge)
    answered = {name: combined(of_one, facts.findings[name]) for name, of_one in looks.items()}
    derived = _derived(view, here.systems, facts, words, hosts)
    derived |= _spots(view, facts, knowledge)
    answers: Answers = {**derived, **answered, **the_worse(derived, answered)}
    kept = {name: some for name, some in answers.items() if name in facts.findings and some}
    remembered = frozenset(
        name for name in ("new_fish", "recent_event", "source_outdoor") if name in kept
    )
    return Evidence(kept, remembered, _weights(view, facts, looks, kept))


def looks_standing(
    view: CaseView, facts: DiagnosisFacts, knowledge: Knowledge
) -> dict[str, tuple[AnswerView, ...]]:
    """Return the looks that stand of each finding, counts that answer one among them.

    Args:
        view: the case.
        facts: findings and their answers.
        knowledge: what can be counted.
    """
    made = counts_as_looks(view, facts, knowledge)
    names = [name for name in facts.findings if name in view.evidence or name in made]
    both = {
        name: sorted(
            (*view.evidence.get(name, ()), *made.get(name, ())), key=lambda look: look.at.utc
        )
        for name in names
    }
    slides = {mount.id: mount for mount in view.wet_mounts}
    stand: dict[str, tuple[AnswerView, ...]] = {}
    for name, looks in both.items():
        asked = facts.findings[name]
        stand[name] = standing(tuple(_worth_a_look(looks, facts, asked, slides)), asked)
    return {name: looks for name, looks in stand.items() if looks}


def not_in_the_list(view: CaseView, facts: DiagnosisFacts) -> tuple[str, ...]:
    """Return the findings of a case, and the answers, that the differential does not know."""
    missing: dict[str, None] = {}
    for name, looks in view.evidence.items():
        finding = facts.findings.get(name)
        if finding is None:
            missing[name] = None
            continue
        for look in looks:
            others = sorted(look.answers - set(finding.answers))
            missing |= dict.fromkeys(f"{name}={other}" for other in others)
    return tuple(missing)


def _derived(
    view: CaseView,
    systems: tuple[str, ...],
    facts: DiagnosisFacts,
    words: CaseWords,
    hosts: Mapping[str, Host],
) -> Answers:
    water = WATERS.get(view.opened.water)
    marine = water == "marine"
    main = view.systems[systems[0]] if systems else None
    answers: Answers = {
        "new_fish": _new_fish(view, words),
        "recent_event": _event(view, words, facts),
        **death_answers(view),
        **_host_groups(view, words, hosts, water),
        **kinds_of(view, facts, hosts),
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


def _event(view: CaseView, words: CaseWords, facts: DiagnosisFacts) -> frozenset[str]:
    """Return what changed lately, by topic and amounts of the events; "none" when that was said.

    A change of which only free words tell is no answer, and contradicts "none".
    """
    changes: set[str] = set()
    unread = False
    for event in view.events:
        if event.state == "none":
            changes.add("none")
        elif event.state == "answered":
            answer = event_answer(event, words, facts)
            unread = unread or answer is None
            changes |= {answer} if answer else set()
    named = changes - {"none"}
    return frozenset(named if named or unread else changes)


def _spots(view: CaseView, facts: DiagnosisFacts, knowledge: Knowledge) -> Answers:
    """Return how many spots are on the worst fish, from numbers counted by eye.

    A mean says that the worst fish carries at least as many.
    """
    sizes = facts.findings[SPOT_COUNT].answers
    possible: list[frozenset[str]] = []
    for count in view.counts:
        meant = countable(knowledge, count.what)
        by_eye = meant is not None and meant.finding == SPOTS and count.method in meant.sites
        number = count.number if count.mean is None else float(count.mean)
        if by_eye and number:
            size = sum(number > edge for edge in (FEW, SOME))
            last = size + 1 if count.mean is None else len(sizes)
            possible.append(frozenset(sizes[size:last]))
    worst = gravest(possible, facts.findings[SPOT_COUNT])
    return {SPOT_COUNT: worst} if possible else {}


def _worth_a_look(
    looks: Sequence[AnswerView],
    facts: DiagnosisFacts,
    asked: FindingFacts,
    slides: Mapping[int, WetMount],
) -> Iterator[AnswerView]:
    """Yield the looks that say something: not an empty slide that could not have shown it.

    An empty slide that is old, or of which little was looked at, stands where nothing was seen;
    it never replaces what was seen on the same fish and site.
    """
    seen = {look.place for look in looks if not is_negative(look.looked, asked)
            and read(look, asked) is not None}  # fmt: skip
    for look in looks:
        mount = slides.get(look.entry_id)
        if mount is not None and is_negative(look.looked, asked):
            weak = effort(facts, mount, look.looked) * freshness(
                facts, asked, mount, {asked.baseline_answer}
            )
            if as_good_as_none(facts, asked, mount) or (weak < 1 and look.place in seen):
                continue
        yield look


def _weights(
    view: CaseView,
    facts: DiagnosisFacts,
    looks: Mapping[str, tuple[AnswerView, ...]],
    answers: Answers,
) -> dict[str, float]:
    """Return lower weights for what was seen on old slides, in old bodies, or in few fields only.

    Empty slides add up to a usual look; however many, they weigh no more than the freshest.
    """
    slides = {mount.id: mount for mount in view.wet_mounts}
    weights: dict[str, float] = {}
    for name, of_one in looks.items():
        asked, seen = facts.findings[name], answers[name]
        bearing = [look for look in of_one if (read(look, asked) or frozenset()) & seen]
        worth = [_worth(facts, asked, seen, look, slides.get(look.entry_id)) for look in bearing]
        fresh = max((fresh for fresh, _ in worth), default=1.0)
        weight = min(fresh, sum(fresh * share for fresh, share in worth)) if worth else 1.0
        if weight < 1:
            weights[name] = weight
    return weights


def _worth(
    facts: DiagnosisFacts,
    asked: FindingFacts,
    seen: frozenset[str],
    look: AnswerView,
    mount: WetMount | None,
) -> tuple[float, float]:
    """Return how fresh what a look saw was, and the share of a usual look where it saw nothing."""
    if mount is None:
        return 1.0, 1.0
    share = effort(facts, mount, look.looked) if is_negative(look.looked, asked) else 1.0
    return freshness(facts, asked, mount, seen), share
