"""What a practice added, beside what was released: stricter limits hold, nothing is lifted.

The released files are neither changed nor covered. A folder is made like the released one, with
``agents``, ``hosts``, ``care``, ``sources`` and ``labels``; its claims carry a mark in place of a
source, so that each answer that cites one says whose it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from tankside.claims import THIS_PRACTICE, Claim, Host, Knowledge, Provenance, Source
from tankside.claims.care import CareProtocol
from tankside.library.care_files import protocols_by_id
from tankside.library.overlay_labels import read_labels
from tankside.library.overlay_rules import WORST_FIRST, tightens
from tankside.library.problem import Problem
from tankside.library.source_files import read_sources
from tankside.library.subject_files import SubjectFile, read_subjects
from tankside.library.views import value_in_words

KINDS = ("agents", "hosts", "care")
MOST = ("most.", "most_bath.", "dose_share.")
ByShort = Mapping[str, tuple[Claim, ...]]


@dataclass(frozen=True, slots=True)
class OverlayFiles:
    """What stands in the folder of a practice, as read.

    Args:
        subjects: agents, hosts and protocols, each claim with its mark.
        sources: works of its own register.
        labels: containers by id, as words of an entry.
    """

    subjects: tuple[SubjectFile, ...]
    sources: Mapping[str, Source]
    labels: Mapping[str, Mapping[str, str]]


def read_overlay(folder: Path, problems: list[Problem]) -> OverlayFiles:
    """Read the folder of a practice; what is wrong with it is added to the problems."""
    subjects = tuple(
        replace(subject, claims=tuple(_marked(claim, subject.file) for claim in subject.claims))
        for subject in read_subjects(folder, problems)
        if subject.kind in KINDS
    )
    return OverlayFiles(subjects, read_sources(folder, problems), read_labels(folder, problems))


def _marked(claim: Claim, file: str) -> Claim:
    works = (claim.source, *claim.further) if claim.source else claim.further
    return replace(claim, source=THIS_PRACTICE, further=works, overlay=file)


def merged(released: Knowledge, files: OverlayFiles, state: str) -> Knowledge:
    """Return the released knowledge with files of a practice that hold no fault."""
    agents, hosts, care = dict(released.agents), dict(released.hosts), dict(released.care)
    facts, shown = dict(released.facts), dict[str, tuple[Claim, ...]]()
    for subject in files.subjects:
        beside = _by_short(subject)
        shown |= {_full(subject, short): claims for short, claims in beside.items()}
        if subject.kind == "agents":
            agent = agents[subject.id]
            kept = _joined(beside, agent.claims, {})
            agents[subject.id] = replace(agent, claims=kept)
        elif subject.kind == "hosts":
            hosts[subject.id] = _host(subject, beside, released, hosts.get(subject.id))
            kept = hosts[subject.id].claims
        else:
            care[subject.id] = _protocol(care[subject.id], subject)
            kept = beside
        facts |= {_full(subject, short): kept[short] for short in kept}
    mark = Source(THIS_PRACTICE, "This practice's own knowledge", status=Provenance.COMMON_PRACTICE)
    return replace(
        released,
        facts=MappingProxyType(facts),
        agents=MappingProxyType(agents),
        hosts=MappingProxyType(hosts),
        care=MappingProxyType(care),
        sources=MappingProxyType({**released.sources, **files.sources, THIS_PRACTICE: mark}),
        overlay=MappingProxyType(shown),
        overlay_print=state,
        labels=MappingProxyType(files.labels),
    )


def _joined(added: ByShort, standing: ByShort, relatives: Mapping[str, Sequence[Claim]]) -> ByShort:
    """Put the claims that tighten before the released ones; of the others the released tell."""
    joined = dict(standing)
    for short, claims in added.items():
        claim, before = claims[0], standing.get(short, ())
        if tightens(short, claim, standing, relatives.get(short, ())):
            words = _words_of(before[0], "beside the released") if before else ""
            joined[short] = (replace(claim, beside=words), *before)
        elif before:
            words = _words_of(claim, f"beside {THIS_PRACTICE}")
            joined[short] = (replace(before[0], beside=words), *before[1:])
    return MappingProxyType(joined)


def _words_of(claim: Claim, whose: str) -> str:
    cited = f" ({claim.source})" if claim.source and not claim.overlay else ""
    return f"{whose} {value_in_words(claim)}{cited}"


def _host(subject: SubjectFile, added: ByShort, released: Knowledge, standing: Host | None) -> Host:
    head = subject.head
    kin = [h for h in released.hosts.values() if h.group == head["group"] and h.id != subject.id]
    if standing is not None:
        least = {short: list(_of_kin(kin, short)) for short in added if short.startswith(MOST)}
        return replace(standing, claims=_joined(added, standing.claims, least))
    return Host(
        id=subject.id,
        name=str(head["name"]),
        latin=str(head["latin"]),
        group=str(head["group"]),
        water=str(head["water"]),
        claims=MappingProxyType(_of_a_new_host(added, kin)),
        also=tuple(map(str, head.get("also", ()))),
    )


def _of_a_new_host(added: ByShort, kin: Sequence[Host]) -> dict[str, tuple[Claim, ...]]:
    """Return what holds for a kind that was not released: nothing looser than for its relatives."""
    claims = dict(added)
    for short in {short for host in kin for short in host.claims} | set(added):
        read_across = list(_of_kin(kin, short))
        if short.startswith(MOST) and read_across:
            least = min(read_across, key=lambda claim: claim.bounds()[1])
            said = claims.get(short)
            if said is None or not tightens(short, said[0], {short: (least,)}, ()):
                claims[short] = (least, *(said or ()))
        elif short.startswith("tolerance.") and short in claims:
            worst = min(read_across, key=_badness, default=None)
            said = claims[short]
            if worst is not None and said[0].known and _badness(worst) < _badness(said[0]):
                claims[short] = (worst, *said)
    return claims


def _badness(claim: Claim) -> int:
    said = str(claim.value)
    return WORST_FIRST.index(said) if said in WORST_FIRST else len(WORST_FIRST)


def _of_kin(kin: Iterable[Host], short: str) -> Iterator[Claim]:
    return (claim for host in kin if (claim := host.find(short)) is not None)


def _protocol(standing: CareProtocol, subject: SubjectFile) -> CareProtocol:
    added = protocols_by_id((subject,), [])[subject.id]
    return replace(standing, statements=(*standing.statements, *added.statements))


def _by_short(subject: SubjectFile) -> dict[str, tuple[Claim, ...]]:
    claims: dict[str, tuple[Claim, ...]] = {}
    for claim in subject.claims:
        short = claim.key.split(".", 2)[2]
        claims[short] = (*claims.get(short, ()), claim)
    return claims


def _full(subject: SubjectFile, short: str) -> str:
    kind = {"agents": "agent", "hosts": "host", "care": "care"}[subject.kind]
    return f"{kind}.{subject.id}.{short}"
