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
_PRINTED_MAY = {"no_product_code", "nobody_speaks"}
_REFUSED: Mapping[str, tuple[re.Pattern[str], str, str]] = {
    "no_authorisation_number": (
        _NUMBER,
        "holds {}, which reads like the number of a product",
        "say what is authorised, where and when, without the number.",
    ),
    "no_product_code": (
        _CODE,
        "holds {}, which reads like a code name",
        "name the substance, the file or the work itself.",
    ),
    "nobody_speaks": (
        _PERSON,
        "says {}",
        "state the fact and its basis: an estimate, recalled, a fit made for this file.",
    ),
}
"""By the name of the check: what no text holds, how that is said, and what to write instead."""


def texts_are_facts(house: House) -> Iterator[Problem]:
    """No text holds the number or code name of a product, and none speaks in the first person.

    Every file is read once for the three of them.
    """
    for file, key, field, text in _texts(house.root):
        for check, (pattern, says, instead) in _REFUSED.items():
            match = pattern.search(text)
            if match and not (field in _PRINTED and check in _PRINTED_MAY):
                message = f"{field} {says.format(repr(match.group()))}."
                yield Problem(check, file, key, message, instead)


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


CHECKS = (texts_are_facts,)
