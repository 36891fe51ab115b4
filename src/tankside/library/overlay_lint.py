"""The house checks over the folder of a practice: the schemas, and that nothing is covered.

Each file is looked at as it would stand beside the released one, so that a single claim may be
added without writing the rest anew. A fault says the line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from tankside.claims import THIS_PRACTICE, Claim, Knowledge, Provenance, Source
from tankside.claims.care import GENERAL
from tankside.library import agent_checks, care_checks, claim_checks, subject_checks, text_checks
from tankside.library.house import Check, House
from tankside.library.overlay import KINDS, OverlayFiles, read_overlay
from tankside.library.overlay_labels import FOLDER as LABELS
from tankside.library.problem import Problem
from tankside.library.released import data_root
from tankside.library.schema_check import schema_problems
from tankside.library.subject_files import SubjectFile, read_subjects

MAY_HOLD = {**dict.fromkeys(KINDS, ".toml"), LABELS: ".toml", "sources": ".csv"}
CHECKS: tuple[Check, ...] = (
    *claim_checks.CHECKS,
    *subject_checks.CHECKS,
    *(check for check in agent_checks.CHECKS if check is not agent_checks.dose_has_limit),
    *care_checks.CHECKS,
)
PLACES, ANYWHERE = "practice.law.place_", "any"
MAY_BE_LEFT_OUT = ("also", "without", "courses")
"""Parts of a head that are those of the released file."""
_AT_LINE = re.compile(r"at line (\d+)")


def overlay_problems(released: Knowledge, folder: Path) -> tuple[Problem, ...]:
    """Return every fault of the folder of a practice, with file and line.

    Args:
        released: what it is put beside.
        folder: of the practice.
    """
    problems = [*_strangers(folder)]
    files = read_overlay(folder, problems)
    problems += schema_problems(folder)
    if not problems:
        problems += _beside(released, files)
    if not problems:
        problems += _by_the_house(released, files, folder)
    placed = {replace(problem, line=_line_of(folder, problem)) for problem in problems}
    return tuple(sorted(placed, key=lambda p: (p.file, p.line, p.key, p.check)))


def _strangers(folder: Path) -> Iterator[Problem]:
    """Yield what lies in the folder and would not be read."""
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        file = path.relative_to(folder).as_posix()
        kind, _, name = file.partition("/")
        if name.startswith(".") or kind.startswith("."):
            continue
        if "/" in name or MAY_HOLD.get(kind) != path.suffix:
            yield Problem(
                "not_read",
                file,
                "",
                "nothing reads this file.",
                "keep only agents, hosts, care and labels (.toml) and sources (.csv) here.",
            )


def _beside(released: Knowledge, files: OverlayFiles) -> Iterator[Problem]:
    """Yield where a file would cover or redirect what was released."""
    heads: Mapping[str, Mapping[str, object]] = {
        "agents": released.agents, "hosts": released.hosts, "care": released.care,
    }  # fmt: skip
    for key in sorted(files.sources.keys() & released.sources.keys()):
        yield Problem("covers", "sources", key, "this work is released.", "give it another key.")
    for subject in files.subjects:
        standing = heads[subject.kind].get(subject.id)
        if standing is not None:
            yield from _same_head(subject, standing)
        elif subject.kind == "hosts":
            yield from _new_host(released, subject)
        else:
            yield Problem(
                "not_released",
                subject.file,
                "id",
                f"no released file has the id {subject.id!r}.",
                "speak of a subject that is on file; new kinds are added under hosts alone.",
            )
        yield from _no_rule_covered(released, subject)
        yield from _dose_above_limit(released, subject)
        yield from _law_of_nowhere(released, subject)
        yield from _twice(subject)
    for label, words in files.labels.items():
        if words["agent"] not in released.agents:
            yield Problem(
                "not_released",
                f"{LABELS}/{label}.toml",
                "agent",
                f"no agent has the id {words['agent']!r}.",
                "write the id of an agent that is on file.",
            )


def _same_head(subject: SubjectFile, standing: object) -> Iterator[Problem]:
    for name, said in subject.head.items():
        there = getattr(standing, name, None)
        if name in MAY_BE_LEFT_OUT:
            message = f"{name} is as released."
            repair = "leave it out."
        elif _plain(said) != _plain(there):
            message = f"{name} is {said!r} here and {_plain(there)!r} as released."
            repair = "write the head as it is released."
        else:
            continue
        yield Problem("covers", subject.file, name, message, repair)


def _plain(value: object) -> object:
    return list(value) if isinstance(value, tuple | list) else str(value)


def _new_host(released: Knowledge, subject: SubjectFile) -> Iterator[Problem]:
    head = subject.head
    taken = {
        name.casefold(): host.id
        for host in released.hosts.values()
        for name in (host.id.replace("_", " "), host.name, host.latin, *host.also)
        if name
    }
    for name in (subject.id.replace("_", " "), head["name"], head["latin"], *head.get("also", ())):
        if name and str(name).casefold() in taken:
            yield Problem(
                "covers",
                subject.file,
                "also" if name in head.get("also", ()) else "name",
                f"{name!r} is a name of {taken[str(name).casefold()]}, which is released.",
                "add your claims to that kind, under its id.",
            )
    if head["group"] not in {host.group for host in released.hosts.values()}:
        yield Problem(
            "group",
            subject.file,
            "group",
            f"no released kind is of the group {head['group']!r}.",
            "write a group of knowledge kinds: what its relatives do not bear holds for it.",
        )


def _no_rule_covered(released: Knowledge, subject: SubjectFile) -> Iterator[Problem]:
    """Yield rules of law and statements of care that stand under a key that was released."""
    said = {
        (protocol.id, f"{s.section}.{s.name}")
        for protocol in released.care.values()
        for s in protocol.statements
    }
    for claim in subject.claims:
        kind, _, short = claim.key.split(".", 2)
        is_law = kind == "agent" and short.startswith("law.") and claim.key in released.facts
        is_care = kind == "care" and {(subject.id, short), (GENERAL, short)} & said
        if is_law or is_care:
            yield Problem(
                "covers",
                subject.file,
                short,
                "a released statement has this key.",
                "give it a key of its own: both are shown.",
            )


def _dose_above_limit(released: Knowledge, subject: SubjectFile) -> Iterator[Problem]:
    """Yield the doses of a practice that are above a limit, its own or a released one.

    A released dose above a limit of the practice is what such a limit is for.
    """
    added = {claim.key: claim for claim in subject.claims}
    for claim in subject.claims:
        kind, of, short = claim.key.split(".", 2)
        if kind != "agent" or not short.startswith("dose.") or not _is_number(claim):
            continue
        key = f"agent.{of}.hard_max.{short.removeprefix('dose.')}"
        limits = [
            each.bounds()[1]
            for each in (added.get(key), released.find(key), released.find(claim.key))
            if each is not None and _is_number(each) and each.unit == claim.unit
        ]
        if not limits or not claim.bounds()[1] <= min(limits):
            most = (
                f"the limit {min(limits):g} {claim.unit}" if limits else "a limit: none is on file"
            )
            yield Problem(
                "dose_has_limit",
                subject.file,
                short,
                f"the dose {claim.bounds()[1]:g} {claim.unit} is not inside {most}.",
                "correct the dose; a practice cannot go beyond what was released.",
            )


def _law_of_nowhere(released: Knowledge, subject: SubjectFile) -> Iterator[Problem]:
    """Yield rules of law for a place that no country on file belongs to: nobody would see them."""
    listed = (
        str(claims[0].value) for key, claims in released.facts.items() if key.startswith(PLACES)
    )
    places = {ANYWHERE, *(name.strip() for names in listed for name in names.split(","))}
    for claim in subject.claims:
        short = claim.key.split(".", 2)[2]
        said = {name.strip() for name in claim.conditions.get("place", "").split(",")}
        is_law = subject.kind == "agents" and short.startswith("law.")
        if is_law and not said <= {*places, ""}:
            yield Problem(
                "law_place",
                subject.file,
                short,
                f"no country on file belongs to {', '.join(sorted(said - places))!r}.",
                f"write one of {', '.join(sorted(places))}.",
            )


def _is_number(claim: Claim) -> bool:
    return claim.known and not isinstance(claim.value, str)


def _twice(subject: SubjectFile) -> Iterator[Problem]:
    seen: set[str] = set()
    for claim in subject.claims:
        if claim.key in seen:
            short = claim.key.split(".", 2)[2]
            yield Problem("twice", subject.file, short, "this key stands twice.", "keep one.")
        seen.add(claim.key)


def _by_the_house(released: Knowledge, files: OverlayFiles, folder: Path) -> Iterator[Problem]:
    """Yield what the house checks find in the files as they would stand beside the released."""
    ours = {(subject.kind, subject.id): subject for subject in files.subjects}
    there = {(subject.kind, subject.id): subject for subject in _standing(data_root())}
    together = [_together(subject, ours.get(place)) for place, subject in there.items()]
    together += [subject for place, subject in ours.items() if place not in there]
    mark = Source(THIS_PRACTICE, "This practice's own knowledge", status=Provenance.FOUND)
    sources = {**released.sources, **files.sources, THIS_PRACTICE: mark}
    house = House(data_root(), tuple(together), sources, ())
    names = {subject.file for subject in files.subjects}
    for check in CHECKS:
        yield from (problem for problem in check(house) if problem.file in names)
    texts = House(folder, (), {}, ())
    for check in text_checks.CHECKS:
        yield from check(texts)
    for subject in files.subjects:
        for claim in subject.claims:
            for work in claim.further:
                if work not in sources:
                    short = claim.key.split(".", 2)[2]
                    message = f"the source {work!r} is not in a register."
                    yield Problem("source", subject.file, short, message, "add it to sources/.")
            if claim.provenance is Provenance.FOUND and not claim.further:
                short = claim.key.split(".", 2)[2]
                yield Problem(
                    "found_has_source",
                    subject.file,
                    short,
                    "it is marked found and names no source.",
                    "name the source, or mark it common_practice, memory or estimate.",
                )


@lru_cache(maxsize=1)
def _standing(root: Path) -> tuple[SubjectFile, ...]:
    """Return the released files; they stay as they are while the program runs."""
    return tuple(read_subjects(root, []))


def _together(standing: SubjectFile, added: SubjectFile | None) -> SubjectFile:
    if added is None:
        return standing
    keys = {claim.key for claim in added.claims}
    rest = [claim for claim in standing.claims if claim.key not in keys]
    claims = tuple(sorted((*rest, *added.claims), key=lambda claim: claim.key))
    if standing.kind == "care":
        claims = (*rest, *added.claims)
    return replace(standing, file=added.file, claims=claims)


def _line_of(folder: Path, problem: Problem) -> int:
    """Return the line that a fault is about; 1 where it is about the whole file."""
    stated = _AT_LINE.search(problem.message)
    if stated:
        return int(stated[1])
    file = folder / problem.file
    if not file.is_file() or not problem.key:
        return 1
    lines = file.read_text(encoding="utf-8", errors="replace").splitlines()
    last = problem.key.rpartition(".")[2]
    return next(
        (
            number
            for pattern in _patterns(problem.key, last)
            for number, line in enumerate(lines, 1)
            if re.match(pattern, line)
        ),
        1,
    )


def _patterns(key: str, last: str) -> Iterable[str]:
    yield rf'\s*key\s*=\s*"{re.escape(key)}"'
    yield rf"\s*{re.escape(last)}\s*="
    yield rf"{re.escape(key)},"
    yield rf"\[+{re.escape(key)}\]+"
