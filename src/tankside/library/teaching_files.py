"""The invented cases to practise on, read from their files when somebody asks for them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from tankside.claims.teaching import PracticeCase, PracticeChoice, PracticeStep
from tankside.library.house import Check, House
from tankside.library.problem import Problem
from tankside.library.released import data_root

FOLDER = "teaching"


@lru_cache(maxsize=2)
def load_teaching(root: Path | None = None) -> Mapping[str, PracticeCase]:
    """Return every practice case by its id, in order of level and name.

    Args:
        root: data folder; None for the shipped one.
    """
    cases = [_case(path) for path in sorted(((root or data_root()) / FOLDER).glob("*.toml"))]
    return {case.id: case for case in sorted(cases, key=lambda case: (case.level, case.id))}


def _case(path: Path) -> PracticeCase:
    content = tomllib.loads(path.read_text(encoding="utf-8"))
    head = content["case"]
    return PracticeCase(
        head["id"], head["level"], head["title"], head["call"], tuple(head["truth"]),
        tuple(head["published"]), tuple(_step(row) for row in content["step"]),
    )  # fmt: skip


def _step(row: Mapping[str, Any]) -> PracticeStep:
    choices = tuple(_choice(choice) for choice in row["choice"])
    return PracticeStep(row["shows"], row["seen"], row["ask"], choices)


def _choice(row: Mapping[str, Any]) -> PracticeChoice:
    return PracticeChoice(
        row.get("words", ""), row["harm"], row.get("minutes"), tuple(row["because"]),
        row.get("cause", ""), row.get("sitting", ""),
    )  # fmt: skip


def unknown_reasons(house: House) -> Iterator[Problem]:
    """Yield each reason of a practice case that no claim of that key stands behind."""
    keys = {claim.key for _, claim in house.claims()}
    for path in sorted((house.root / FOLDER).glob("*.toml")):
        for step in _case(path).steps:
            for key in sorted({key for choice in step.choices for key in choice.because} - keys):
                yield Problem(
                    "reason",
                    f"{FOLDER}/{path.name}",
                    key,
                    "a reason names a claim that is not there.",
                    "name the key of a claim.",
                )


CHECKS: tuple[Check, ...] = (unknown_reasons,)
