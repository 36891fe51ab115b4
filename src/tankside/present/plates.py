"""Line drawings of signs and of what a wet mount shows, by the answer that each one draws.

The drawings take the ink of the page. What a drawing rests on is kept beside it in
``data/plates/plates.toml``; "general" there means that nobody has held it to a source yet.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

FOLDER = files("tankside.present").joinpath("data", "plates")


@dataclass(frozen=True, slots=True)
class Plate:
    """One drawing.

    Args:
        id: its short name, also that of its file.
        title: what it shows.
        shows: the answers that it draws, as ``finding=answer``.
        bars: length of each scale bar, with the part it belongs to.
        separates: what parts it from its look-alikes.
        basis: what it rests on.
        parts: what stands behind each letter in it.
        group: "sign" on the fish or "microscope".
        of: the causes it is seen in.
    """

    id: str
    title: str
    shows: tuple[str, ...]
    bars: tuple[str, ...]
    separates: str
    basis: tuple[str, ...]
    parts: Mapping[str, str]
    group: str
    of: tuple[str, ...]


@lru_cache(maxsize=1)
def plates() -> Mapping[str, Plate]:
    """Return all drawings by their short names."""
    listed = tomllib.loads(FOLDER.joinpath("plates.toml").read_text(encoding="utf-8"))["plate"]
    return {
        row["id"]: Plate(
            row["id"], row["title"], _answers(row["shows"]), tuple(row["bars"]),
            row["separates"], tuple(row["basis"]), row["parts"], row["group"], tuple(row["of"]),
        )
        for row in listed
    }  # fmt: skip


@lru_cache(maxsize=1)
def plates_by_answer() -> Mapping[str, Plate]:
    """Return the drawing of each answer that has one, by ``finding=answer``; the first listed."""
    drawn: dict[str, Plate] = {}
    for plate in plates().values():
        for answer in plate.shows:
            drawn.setdefault(answer, plate)
    return drawn


def plate_svg(name: str) -> bytes | None:
    """Return the file of a drawing; None when there is none of that name.

    Args:
        name: its short name.
    """
    return FOLDER.joinpath(f"{name}.svg").read_bytes() if name in plates() else None


def _answers(shown: list[str]) -> tuple[str, ...]:
    """Return each answer by itself, of several to one finding too."""
    pairs = (answer.partition("=") for answer in shown)
    return tuple(f"{finding}={answer}" for finding, _, some in pairs for answer in some.split(","))
