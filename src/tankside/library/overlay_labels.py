"""Containers that a practice keeps: what each label says, once, as words of an entry."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

from tankside.library.problem import Problem
from tankside.library.schema_check import validator

FOLDER = "labels"
HEAD = "label"


def read_labels(folder: Path, problems: list[Problem]) -> dict[str, Mapping[str, str]]:
    """Read the labels of a practice by id, each as the words of an entry.

    Args:
        folder: of the practice.
        problems: faults found are added here.
    """
    labels: dict[str, Mapping[str, str]] = {}
    for path in sorted((folder / FOLDER).glob("*.toml")):
        file = f"{FOLDER}/{path.name}"
        try:
            content = tomllib.loads(path.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as why:
            problems.append(Problem("readable", file, "", f"not valid TOML: {why}.", "correct it."))
            continue
        faults = list(validator(HEAD).iter_errors(content))
        problems += [
            Problem(
                "schema",
                file,
                ".".join(map(str, fault.absolute_path)) or HEAD,
                f"{fault.message[:160]}.",
                f"compare with schemas/{HEAD}.schema.json.",
            )
            for fault in faults
        ]
        if not faults:
            labels[path.stem] = {str(name): str(text) for name, text in content[HEAD].items()}
    return labels
