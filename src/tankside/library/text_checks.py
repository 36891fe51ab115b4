"""Named house checks of free text: facts alone, no product's number or code, nobody speaking."""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path

from tankside.library.house import House
from tankside.library.problem import Problem

Text = tuple[str, str, str, str]  # file, key, field, text
# What names things and is no text; citations are the printed titles of works, codes and all.
_NO_TEXT = {"id", "key", "source", "sources", "doi", "where", "place", "status"}
_PRINTED = {"citation"}
_BODIES = r"(?:AN|Vm|MA|PL|A?NADA|NDA|J?INAD|DIN|APVMA|ACVM|Reg\.? ?[Nn]o|Zul\.?-?Nr)"
_ACTS = r"(?:authori[sz]|regist|licen[cs]|approv|permi)"
_NUMBER = re.compile(
    rf"\b{_BODIES}\b[\s.:#]*\d[\d/.-]*|\bEU/\d/\d\d/[\d/-]+|\b\d{{4}}\.\d\d\.\d\d\b"
    rf"|\b{_ACTS}\w*[\s-]+(?:number|no\.|nr)",
)
_CODE = re.compile(r"\b(?:[A-Z]{1,4}-\d{2,}|[A-MO-Z]\d\d)\b")
_PERSON = re.compile(
    r"(?<!table )(?<!phase )(?<!type )\bI\b(?!\.)"
    r"|\b(?:[Mm]y|[Mm]e|[Mm]ine|[Ww]e|[Oo]urs?|us|[Mm]yself|[Oo]urselves|[Rr]ecollect\w*)\b",
)


def no_authorisation_number(house: House) -> Iterator[Problem]:
    """No text holds the number under which a product is authorised."""
    for file, key, field, text in _texts(house.root):
        match = _NUMBER.search(text)
        if match:
            yield Problem(
                "no_authorisation_number",
                file,
                key,
                f"{field} holds {match.group()!r}, which reads like the number of a product.",
                "say what is authorised, where and when, without the number.",
            )


def no_product_code(house: House) -> Iterator[Problem]:
    """No text holds the code name of a product or of a list kept elsewhere."""
    for file, key, field, text in _texts(house.root):
        match = _CODE.search(text)
        if match and field not in _PRINTED:
            yield Problem(
                "no_product_code",
                file,
                key,
                f"{field} holds {match.group()!r}, which reads like a code name.",
                "name the substance, the file or the work itself.",
            )


def nobody_speaks(house: House) -> Iterator[Problem]:
    """No text speaks in the first person."""
    for file, key, field, text in _texts(house.root):
        match = _PERSON.search(text)
        if match and field not in _PRINTED:
            yield Problem(
                "nobody_speaks",
                file,
                key,
                f"{field} says {match.group()!r}.",
                "state the fact and its basis: an estimate, recalled, a fit made for this file.",
            )


def _texts(root: Path) -> Iterator[Text]:
    for path in sorted(root.rglob("*.*")):
        file = path.relative_to(root).as_posix()
        try:
            if path.suffix == ".toml":
                yield from _of_table(file, "", tomllib.loads(path.read_text(encoding="utf-8")))
            elif path.suffix == ".csv":
                with path.open(encoding="utf-8", newline="") as lines:
                    for row in csv.DictReader(lines):
                        yield from _of_table(file, "", row)
        except (tomllib.TOMLDecodeError, UnicodeDecodeError):
            continue  # the check "readable" tells it


def _of_table(file: str, key: str, table: Mapping[str, object]) -> Iterator[Text]:
    key = str(table.get("key") or table.get("id") or key)
    for field, value in table.items():
        if field in _NO_TEXT:
            continue
        for part in value if isinstance(value, list) else [value]:
            if isinstance(part, str):
                yield file, key, field, part
            elif isinstance(part, Mapping):
                yield from _of_table(file, key, part)


CHECKS = (no_authorisation_number, no_product_code, nobody_speaks)
