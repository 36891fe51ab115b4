"""The files the story leaves behind: cards, calendar, figures, answers as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from tankside.errors import CouldNotSave
from tankside.present.emergency import as_pdf, emergency_card
from tankside.present.figures import Figure, as_svg
from tankside.records.whole_file import write_whole
from tankside.report.day_card import day_card_json, write_pdf
from tankside.services.today import TodayAnswer, today


def folder_for(out: str) -> Path:
    """Return the folder the story writes to, made when it is not there.

    Raises:
        CouldNotSave: E-DB-04 when it cannot be made.
    """
    path = Path(out)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as refused:
        raise CouldNotSave(
            "E-DB-04",
            "This folder cannot be made.",
            given=f"{path}: {refused.strerror}",
            needed="a folder that may be written to",
            next_step="Choose another with --out; nothing was written.",
            field="out",
        ) from None
    return path


@dataclass(slots=True)
class Files:
    """Writes into one folder and remembers what it wrote."""

    folder: Path
    written: list[str] = field(default_factory=list)

    def data(self, name: str, data: bytes) -> None:
        """Write one file.

        Raises:
            CouldNotSave: the disk refused.
        """
        write_whole(self.folder / name, data)
        if name not in self.written:
            self.written.append(name)

    def answer(self, name: str, content: Mapping[str, object]) -> None:
        """Write an answer of a command as JSON."""
        text = json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1)
        self.data(name, text.encode("utf-8") + b"\n")

    def figure(self, figure: Figure) -> None:
        """Write a figure as SVG."""
        self.data(f"{figure.name}.svg", as_svg(figure).encode("utf-8"))

    def card(self, case: Path, day: date) -> TodayAnswer:
        """Write the card of a day as PDF, text and JSON; return the day."""
        asked_day = today(case, day.isoformat())
        name = f"day-card-{day.isoformat()}"
        write_pdf(asked_day, self.folder / f"{name}.pdf")
        self.written.append(f"{name}.pdf")
        card = day_card_json(asked_day)
        self.data(f"{name}.txt", str(card["text"]).encode("utf-8"))
        self.answer(f"{name}.json", card)
        return asked_day

    def emergency(self) -> None:
        """Write the emergency card."""
        self.data("emergency-card.pdf", as_pdf(emergency_card()))
