"""Named house checks of what substances are called: no name twice, no form that is none."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from tankside.claims.substance_names import OTHER, spellings
from tankside.library.house import House
from tankside.library.problem import Problem
from tankside.library.subject_checks import claims_by_short_key
from tankside.library.subject_files import SubjectFile

AMBIGUOUS_FILE = "ambiguous_names"
_CAS = re.compile(r"([1-9][0-9]{1,6})-([0-9]{2})-([0-9])")


def _records(subject: SubjectFile) -> list[Mapping[str, Any]]:
    """Return the other names of an agent; what is no table is told by the schema."""
    records = subject.head.get("also", ())
    return [record for record in records if isinstance(record, Mapping)]


def _called(subject: SubjectFile) -> Iterator[str]:
    """Yield every name of an agent as it is written."""
    full = str(subject.head.get("name", ""))
    yield from dict.fromkeys((subject.id, full, full.split(" (")[0]))
    yield from (str(record.get("name", "")) for record in _records(subject))


def names_are_there(house: House) -> Iterator[Problem]:
    """An agent that brings an active into the water has other names than its own."""
    for subject in house.of_kind("agents"):
        if subject.head.get("actives") and not _records(subject):
            yield Problem(
                "names_are_there",
                subject.file,
                "also",
                "no other name of it is listed.",
                'add also = [{ name = "...", kind = ..., provenance = ... }].',
            )


def names_apart(house: House) -> Iterator[Problem]:
    """No name means two agents, however it is spelt, and none stands twice in a file."""
    owner: dict[str, str] = {}
    for subject in house.of_kind("agents"):
        listed: dict[str, str] = {}
        for name in _called(subject):
            for spelling in spellings(name):
                other = owner.setdefault(spelling, subject.file)
                if other != subject.file:
                    yield _shared(subject.file, name, f"is a name in {other} too")
        for record in _records(subject):
            name = str(record.get("name", ""))
            first = listed.setdefault(next(iter(spellings(name)), ""), name)
            if first is not name:
                yield _shared(subject.file, name, "stands twice")


def _shared(file: str, name: str, how: str) -> Problem:
    return Problem(
        "names_apart",
        file,
        name,
        f"{name!r} {how}.",
        "keep it in one file; a name of several goes into practice/ambiguous_names.toml.",
    )


def name_forms(house: House) -> Iterator[Problem]:
    """A name that tells a form tells one of the forms that the file converts, or its basis."""
    for subject in house.of_kind("agents"):
        forms = {
            claim.conditions.get("form", "")
            for short, claim in claims_by_short_key(subject).items()
            if short.startswith("form.")
        }
        for record in _records(subject):
            form = record.get("form")
            if form is not None and form not in forms:
                yield Problem(
                    "name_forms",
                    subject.file,
                    str(record.get("name")),
                    f"the form {form!r} is none of the file's.",
                    f"write one of {', '.join(sorted(forms))}, or leave it out.",
                )


def name_sources(house: House) -> Iterator[Problem]:
    """A name that was read somewhere says where, and the work is in the register."""
    for subject in house.of_kind("agents"):
        for record in _records(subject):
            source = record.get("source")
            read = record.get("provenance") == "found"
            if read != (source is not None) or (source is not None and source not in house.sources):
                yield Problem(
                    "name_sources",
                    subject.file,
                    str(record.get("name")),
                    f"provenance {record.get('provenance')!r} and source {source!r} do not fit.",
                    "found names a work of the register; memory and common_practice name none.",
                )


def cas_digit(house: House) -> Iterator[Problem]:
    """The last digit of a CAS number is the check digit of the others."""
    for subject in house.of_kind("agents"):
        for record in _records(subject):
            if record.get("kind") == "cas" and not _sound_cas(str(record.get("name"))):
                yield Problem(
                    "cas_digit",
                    subject.file,
                    str(record.get("name")),
                    "its check digit is wrong.",
                    "compare with the safety sheet.",
                )


def _sound_cas(number: str) -> bool:
    """Weigh the digits 1, 2, 3, ... from the right; the last digit of the sum is the check."""
    parts = _CAS.fullmatch(number)
    if parts is None:
        return False
    digits = [int(sign) for sign in reversed(parts[1] + parts[2])]
    return sum(place * digit for place, digit in enumerate(digits, 1)) % 10 == int(parts[3])


def ambiguous_names(house: House) -> Iterator[Problem]:
    """A name of several stands under its spelling, means agents on file, and is no agent's own."""
    agents = {subject.id for subject in house.of_kind("agents")}
    taken = {s for a in house.of_kind("agents") for name in _called(a) for s in spellings(name)}
    for subject in house.of_kind("practice"):
        if subject.id != AMBIGUOUS_FILE:
            continue
        for short, claim in claims_by_short_key(subject).items():
            name = claim.conditions.get("name", "")
            means = [part.strip() for part in str(claim.value).split(",")]
            wrong = [part for part in means if part not in agents and part != OTHER]
            for fault in (
                f"the key is not how {name!r} is compared" if short not in spellings(name) else "",
                f"there is no agent {wrong}" if wrong else "",
                "it means one agent" if len(means) == 1 and means != [OTHER] else "",
                "it is the name of an agent" if set(spellings(name)) & taken else "",
            ):
                if fault:
                    yield Problem(
                        "ambiguous_names",
                        subject.file,
                        short,
                        f"{fault}.",
                        'write value = "agent, agent, other", conditions = { name = "..." }.',
                    )


CHECKS = (
    names_are_there,
    names_apart,
    name_forms,
    name_sources,
    cas_digit,
    ambiguous_names,
)
