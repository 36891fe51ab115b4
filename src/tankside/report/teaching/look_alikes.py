"""The gallery of look-alikes: own line drawings, their bars, and the sign that separates."""

from __future__ import annotations

from tankside import library
from tankside.present.plates import Plate, plates
from tankside.present.sheet import Picture, Sheet, SheetPart
from tankside.report.teaching.life_cycle import drawn_from

GROUPS = (
    ("sign", "On the fish, by eye and lens"),
    ("microscope", "Under the microscope, alive and fresh"),
)


def gallery_sheet() -> Sheet:
    """Return every drawing with the sign that separates it from its look-alikes."""
    return Sheet(
        key="look-alikes",
        question="Look-alikes: what is it, and what is it not?",
        title="A white grain is not yet white spot: size, relief and place separate.",
        lead="Every drawing has bars: measure before you name. No drawing replaces a fresh slide.",
        parts=tuple(
            SheetPart(title, pictures=tuple(map(_picture, of_group(group))))
            for group, title in GROUPS
        ),
    )  # fmt: skip


def of_group(group: str) -> tuple[Plate, ...]:
    """Return the drawings of one group, "sign" or "microscope"."""
    return tuple(plate for plate in plates().values() if plate.group == group)


def _picture(plate: Plate) -> Picture:
    conditions = library.load().conditions
    causes = [conditions[cause].name for cause in plate.of if cause in conditions]
    parts = [f"{letter}: {words}" for letter, words in plate.parts.items()]
    seen = [f"Seen in: {'; '.join(causes)}."] if causes else []
    return Picture(
        title=plate.title,
        alternative=f"{plate.title}. {'; '.join(parts)}.",
        lines=(
            *parts,
            *seen,
            f"Bars: {'; '.join(plate.bars)}.",
            f"Drawing: {drawn_from(plate.basis)}.",
        ),
        plate=plate.id,
        sign=plate.separates,
    )
