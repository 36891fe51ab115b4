"""Drawings of life cycles, and a marker that goes round them as fast as the parasite does.

What a drawing rests on is kept beside it in ``data/cycles/cycles.toml``. A marker moves by the
animation elements of SVG alone: no script and no style of its own, so that the strict headers of
the pages hold; the style sheet hides it from who asked for less motion, and on paper.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from math import ceil
from xml.sax.saxutils import escape

FOLDER = files("tankside.present").joinpath("data", "cycles")
MARKER = '<circle class="mover" r="15" fill="currentColor" stroke="none">'
COUNTER = (
    '<text class="mover daycount" x="24" y="586" stroke="none" fill="currentColor" '
    'visibility="hidden">'
)
WRITTEN = (
    '<text class="lctime" x="{x}" y="{y}" font-size="24" font-weight="bold" '
    'font-family="Noto Sans,sans-serif" stroke="none" fill="currentColor" text-anchor="middle">'
)


@dataclass(frozen=True, slots=True)
class CyclePlate:
    """One drawing of a life cycle.

    Args:
        id: its short name, also that of its file and of what it is made of.
        title: what it shows.
        organisms: the parasites it is drawn for.
        parts: what stands behind each letter in it.
        letters: the letters that show each stage, by the key of the stage.
        at: where the time of a stage is written.
        bars: length of each scale bar, with the part it belongs to.
        separates: what parts it from the other life cycles.
        basis: what it rests on.
    """

    id: str
    title: str
    organisms: tuple[str, ...]
    parts: Mapping[str, str]
    letters: Mapping[str, str]
    at: Mapping[str, tuple[int, int]]
    bars: tuple[str, ...]
    separates: str
    basis: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leg:
    """One piece of the way round.

    Args:
        path: the line in the drawing it goes along, without the name of the drawing.
        days: how long it takes [d].
    """

    path: str
    days: float


@lru_cache(maxsize=1)
def cycle_plates() -> Mapping[str, CyclePlate]:
    """Return the drawing of each parasite that has one, by the id of the parasite."""
    listed = tomllib.loads(FOLDER.joinpath("cycles.toml").read_text(encoding="utf-8"))["cycle"]
    drawn = [
        CyclePlate(
            row["id"], row["title"], tuple(row["organisms"]), row["parts"], row["letters"],
            {stage: (x, y) for stage, (x, y) in row["at"].items()}, tuple(row["bars"]),
            row["separates"], tuple(row["basis"]),
        )
        for row in listed
    ]  # fmt: skip
    return {organism: plate for plate in drawn for organism in plate.organisms}


def cycle_svg(plate: CyclePlate) -> str:
    """Return the drawing as it lies on file."""
    return FOLDER.joinpath(f"{plate.id}.svg").read_text(encoding="utf-8")


def is_there(plate: CyclePlate, path: str) -> bool:
    """Whether the drawing has a line of this name to go along."""
    return f'id="{plate.id}-{path}"' in cycle_svg(plate)


def timed_svg(
    plate: CyclePlate, times: Mapping[str, str], legs: Sequence[Leg] = (), day_s: float = 1.0
) -> str:
    """Return the drawing with the time of each stage written in and a marker going round.

    Args:
        plate: the drawing.
        times: what is written at each stage, by its key.
        legs: the way round; without any, nothing moves (paper).
        day_s: how long a day takes [s].
    """
    written = "".join(
        WRITTEN.format(x=plate.at[stage][0], y=plate.at[stage][1]) + f"{escape(words)}</text>"
        for stage, words in times.items()
        if stage in plate.at
    )
    moving = _marker(plate, legs, day_s) if legs else ""
    return cycle_svg(plate).replace("</svg>", f"{written}{moving}</svg>")


def _marker(plate: CyclePlate, legs: Sequence[Leg], day_s: float) -> str:
    """Return a dot that takes one leg after the other, and the day it has come to."""
    last = len(legs) - 1
    steps = []
    for number, leg in enumerate(legs):
        name = f"{plate.id}-leg{number}"
        after = f"{plate.id}-leg{number - 1}.end" if number else f"0s;{plate.id}-leg{last}.end"
        steps.append(
            f'<animateMotion id="{name}" begin="{after}" dur="{leg.days * day_s:.3f}s" '
            f'fill="freeze"><mpath href="#{plate.id}-{leg.path}"/></animateMotion>'
        )
    return f"{MARKER}{''.join(steps)}</circle>{_days(plate, legs, day_s)}"


def _days(plate: CyclePlate, legs: Sequence[Leg], day_s: float) -> str:
    whole = sum(leg.days for leg in legs)
    return "".join(
        f'{COUNTER}day {day}<set attributeName="visibility" to="visible" '
        f'begin="{plate.id}-leg0.begin+{day * day_s:.3f}s" '
        f'dur="{min(1.0, whole - day) * day_s:.3f}s"/></text>'
        for day in range(ceil(whole))
    )
