"""Named house checks of the source register."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tankside.library.house import House
from tankside.library.problem import Problem

_KEY = re.compile(r"[a-z0-9]+(_[a-z0-9]+)*")
_DOI = re.compile(r"10\.\d{4,9}/\S*[A-Za-z0-9)\-]")
_ADDRESS = re.compile(r"https?:|www\.|\.com\b|\.org/")
MIRRORS = (
    "scribd", "docslib", "studylib", "pdfslide", "researcher.life", "simplydiscus", "reefcentral",
    "yumpu", "slideshare", "doczz", "docplayer", "coek.info", "fdokumen", "studyres",
)  # fmt: skip


def _files(house: House) -> Iterator[tuple[str, str]]:
    """Yield (file, key) of the register."""
    yield from house.register


def key_form(house: House) -> Iterator[Problem]:
    """A source key is lower-case words: author_year or body_code."""
    for file, key in _files(house):
        if not _KEY.fullmatch(key):
            yield Problem(
                "source_key_form",
                file,
                key,
                "the source key is malformed.",
                "write author_year or body_code in lower case with _.",
            )


def doi_form(house: House) -> Iterator[Problem]:
    """A DOI has its registered form, bare, in its own column."""
    for file, key in _files(house):
        doi = house.sources[key].doi if key in house.sources else ""
        if doi and not _DOI.fullmatch(doi):
            yield Problem(
                "doi_form", file, key, f"the DOI {doi!r} is malformed.", "write it as 10.1234/abc."
            )


def work_cited(house: House) -> Iterator[Problem]:
    """The work itself is cited, not the mirror where it was read."""
    for file, key in _files(house):
        work = house.sources.get(key)
        if work is None:
            continue
        if not work.citation.strip():
            yield Problem(
                "work_cited", file, key, "the citation is empty.", "write author, year, title."
            )
        if _ADDRESS.search(work.citation) or any(m in work.where.lower() for m in MIRRORS):
            yield Problem(
                "work_cited",
                file,
                key,
                "it cites the place where the work was read, not the work.",
                "cite author, year and work; drop mirrors, shops and archives.",
            )


def one_key_per_work(house: House) -> Iterator[Problem]:
    """One work has one key."""
    dois: dict[str, str] = {}
    citations: dict[str, str] = {}
    for file, key in _files(house):
        work = house.sources.get(key)
        if work is None:
            continue
        for value, seen in ((work.doi.lower(), dois), (work.citation.lower(), citations)):
            if value and seen.setdefault(value, key) != key:
                yield Problem(
                    "one_key_per_work",
                    file,
                    key,
                    f"the work is already registered as {seen[value]}.",
                    f"use {seen[value]} everywhere and delete this row.",
                )


def register_sorted(house: House) -> Iterator[Problem]:
    """Rows stand in order of their keys, so that a change is one line."""
    before: dict[str, str] = {}
    for file, key in _files(house):
        if key < before.get(file, ""):
            yield Problem(
                "register_sorted",
                file,
                key,
                "the register is not sorted by key.",
                f"move the row before {before[file]}.",
            )
        before[file] = key


CHECKS = (key_form, doi_form, work_cited, one_key_per_work, register_sorted)
