"""The whole knowledge base, read from its files and checked, as one immutable object."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from tankside.claims import Agent, AgentName, Claim, Host, Knowledge
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.library import released
from tankside.library.care_files import protocols_by_id
from tankside.library.diagnosis_files import load_diagnosis, read_diagnosis
from tankside.library.kept_base import kept
from tankside.library.organism_files import organism_from
from tankside.library.overlay_place import overlay_folder
from tankside.library.problem import Problem, refuse
from tankside.library.source_files import read_sources
from tankside.library.spread_files import joint_rows
from tankside.library.subject_files import SubjectFile, read_subjects

ByKey = dict[str, tuple[Claim, ...]]
_APART: Mapping[str, Any] = {"conditions": {}, "findings": {}}  # kept with the differential's part


def load(root: Path | None = None) -> Knowledge:
    """Return the knowledge base, read once, with what this practice added beside it.

    Args:
        root: data folder, read alone; None for the shipped one.

    Raises:
        BadInput: E-KNOW-01 a file cannot be used (``tankside knowledge lint`` lists all faults),
            E-KNOW-03 the folder of the practice is named and is not there.
    """
    if root is not None:
        return _other(root)
    folder = overlay_folder()
    if folder is None:
        return shipped()
    # What checks a folder is imported only where there is one.
    from tankside.library.overlay_load import with_overlay

    return with_overlay(shipped(), folder)


@lru_cache(maxsize=4)
def _other(root: Path) -> Knowledge:
    return _sound(root)


@lru_cache(maxsize=1)
def shipped() -> Knowledge:
    """Return the knowledge base as shipped, without what a practice added.

    Raises:
        BadInput: E-KNOW-01.
    """
    diagnosis = load_diagnosis()
    prints = released.shipped()
    base = kept(Knowledge, prints, lambda: replace(_sound(released.data_root()), **_APART))
    listed = released.released_list().read_text(encoding="utf-8")
    return replace(
        base,
        conditions=diagnosis.conditions,
        findings=diagnosis.findings,
        altered=released.differing(prints, listed),
    )


def _sound(folder: Path) -> Knowledge:
    """Read the base; refuse it when a file has a fault."""
    problems: list[Problem] = []
    diagnosis = load_diagnosis(folder) if (folder / "conditions").exists() else None
    knowledge = read_knowledge(folder, problems, diagnosis)
    refuse(problems)
    return knowledge


def read_knowledge(
    root: Path,
    problems: list[Problem],
    diagnosis: DiagnosisFacts | None = None,
    subjects: tuple[SubjectFile, ...] | None = None,
) -> Knowledge:
    """Read the base and gather what is wrong with it instead of stopping.

    Args:
        root: data folder.
        problems: faults found are added here.
        diagnosis: the differential's part, when it has been read already.
        subjects: the subject files, when they have been read already.
    """
    sources = read_sources(root, problems)
    if subjects is None:
        subjects = tuple(read_subjects(root, problems))
    if diagnosis is None and (root / "conditions").exists():
        diagnosis = read_diagnosis(root, problems)
    facts, rejected = side_by_side(claim for subject in subjects for claim in subject.claims)
    problems.extend(_dangling(subjects, sources))
    if diagnosis is not None:
        problems.extend(_dangling_cells(diagnosis, sources))
    return Knowledge(
        facts=MappingProxyType(facts),
        sources=MappingProxyType(sources),
        rejected=MappingProxyType(rejected),
        agents=MappingProxyType(
            {s.id: _agent(s, problems) for s in subjects if s.kind == "agents"}
        ),
        hosts=MappingProxyType({s.id: _host(s, problems) for s in subjects if s.kind == "hosts"}),
        organisms=MappingProxyType(
            {
                s.id: organism_from(s, problems, joint_rows(root, s.id, problems))
                for s in subjects
                if s.kind == "organisms"
            }
        ),
        conditions=diagnosis.conditions if diagnosis else MappingProxyType({}),
        findings=diagnosis.findings if diagnosis else MappingProxyType({}),
        care=protocols_by_id(subjects, problems),
    )


def side_by_side(claims: Iterable[Claim]) -> tuple[ByKey, ByKey]:
    """Gather claims by key, the default first; rejected ones apart."""
    facts: dict[str, list[Claim]] = {}
    rejected: dict[str, list[Claim]] = {}
    for claim in claims:
        (rejected if claim.rejected_because else facts).setdefault(claim.key, []).append(claim)
    ordered = {
        key: tuple(sorted(rivals, key=lambda claim: not claim.default))
        if len(rivals) > 1
        else (rivals[0],)
        for key, rivals in facts.items()
    }
    return ordered, {key: tuple(rivals) for key, rivals in rejected.items()}


def _dangling(subjects: Iterable[SubjectFile], sources: Mapping[str, object]) -> Iterable[Problem]:
    for subject in subjects:
        for claim in subject.claims:
            for key in (claim.source, *claim.further):
                if key and key not in sources:
                    yield Problem(
                        "source",
                        subject.file,
                        claim.key,
                        f"the source {key!r} is not in the register.",
                        "add the work to data/sources or correct the key.",
                    )


def _dangling_cells(facts: DiagnosisFacts, sources: Mapping[str, object]) -> Iterable[Problem]:
    """Yield the conditions, findings and likelihood cells that cite an unregistered work."""
    cited = [("findings", f.id, "", f.sources) for f in facts.findings.values()]
    for condition in facts.conditions.values():
        cited.append(("conditions", condition.id, "", condition.sources))
        cited += [
            ("conditions", condition.id, name, c.sources) for name, c in condition.cells.items()
        ]
    for kind, subject, cell, keys in cited:
        for key in keys:
            if key not in sources:
                yield Problem(
                    "source",
                    f"{kind}/{subject.lower()}.toml",
                    cell or subject,
                    f"the source {key!r} is not in the register.",
                    "add the work to data/sources or correct the key.",
                )


def _by_short_key(subject: SubjectFile, prefix: str) -> Mapping[str, tuple[Claim, ...]]:
    facts, _ = side_by_side(subject.claims)
    return MappingProxyType({key.removeprefix(prefix): rivals for key, rivals in facts.items()})


def _head(
    subject: SubjectFile,
    needed: tuple[str, ...],
    problems: list[Problem],
    may: tuple[str, ...] = (),
) -> dict[str, str]:
    """Return the texts of a head, all of them present, noting what is missing or too much."""
    for name in sorted(({*needed} ^ {*subject.head}) - {*may}):
        missing = name in needed
        problems.append(
            Problem(
                "head",
                subject.file,
                name,
                f"the head {'lacks' if missing else 'has an unknown field'} {name!r}.",
                f"write exactly {', '.join(needed)}.",
            )
        )
    return {name: str(subject.head.get(name, "")) for name in needed}


AGENT_HEAD = ("id", "name", "kind", "basis", "actives", "host_class")
AGENT_NAME = ("name", "kind", "form", "language", "provenance", "source")
HOST_HEAD = ("id", "name", "latin", "group", "water")


def _agent(subject: SubjectFile, problems: list[Problem]) -> Agent:
    head = _head(subject, AGENT_HEAD, problems, may=("also",))
    return Agent(
        id=head["id"],
        name=head["name"],
        kind=head["kind"],
        basis=head["basis"],
        actives=tuple(str(active) for active in subject.head.get("actives", ())),
        host_class=head["host_class"],
        claims=_by_short_key(subject, f"agent.{subject.id}."),
        also=tuple(_agent_name(record) for record in subject.head.get("also", ())),
    )


def _agent_name(record: Mapping[str, str]) -> AgentName:
    """Read one other name; what is too much in it or missing is told by the schema."""
    return AgentName(*(str(record.get(name, "")) for name in AGENT_NAME))


def _host(subject: SubjectFile, problems: list[Problem]) -> Host:
    head = _head(subject, HOST_HEAD, problems, may=("also",))
    return Host(
        id=head["id"],
        name=head["name"],
        latin=head["latin"],
        group=head["group"],
        water=head["water"],
        claims=_by_short_key(subject, f"host.{subject.id}."),
        also=tuple(str(name) for name in subject.head.get("also", ())),
    )
