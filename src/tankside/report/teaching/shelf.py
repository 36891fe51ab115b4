"""Every teaching sheet by its address."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tankside.errors import BadInput
from tankside.intake.clock import now
from tankside.present.cycle_plates import cycle_plates
from tankside.present.sheet import Sheet, sheet_pdf
from tankside.present.typesetting import PAPERS
from tankside.quantity.number import parse_number
from tankside.records.whole_file import write_whole
from tankside.report.teaching.example import example_sheet
from tankside.report.teaching.keepers import commonest_names, keepers_sheet, mistakes_sheet
from tankside.report.teaching.life_cycle import capital, life_cycle_sheet
from tankside.report.teaching.look_alikes import gallery_sheet
from tankside.services.life_cycle import life_cycle, running_organisms
from tankside.services.teaching import keepers_care

USUAL_C = "25"
FIRST_ORGANISM = "ichthyophthirius_multifiliis"
SINGLE = {"look-alikes": gallery_sheet, "mistakes": mistakes_sheet, "example": example_sheet}


def cycle_names() -> tuple[tuple[str, str], ...]:
    """Return id and name of each parasite whose life cycle is drawn and runs."""
    running = running_organisms()
    return tuple((o, capital(running[o].name)) for o in cycle_plates() if o in running)


def contents() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Return the sheets as address and name, by what they are about."""
    return {
        "Life cycles": tuple((f"life-cycle/{key}", name) for key, name in cycle_names()),
        "Recognise and avoid": (
            ("look-alikes", "Look-alikes and the sign that separates"),
            ("mistakes", "Five mistakes that do harm"),
            ("example", "One case, step by step"),
        ),
        "For keepers": tuple((f"keepers/{key}", name) for key, name in commonest_names()),
    }


def sheet_at(address: str, temperature: str = USUAL_C) -> Sheet:
    """Return a sheet.

    Args:
        address: as :func:`contents` gives it.
        temperature: as measured, typed in degrees Celsius; only life cycles follow it.

    Raises:
        BadInput: E-LEARN-01 there is no such sheet, E-LEARN-02 no such temperature.
    """
    head, _, name = address.partition("/")
    if head == "life-cycle" and name:
        typed = parse_number(temperature, field="temperature", negative=True)
        return life_cycle_sheet(life_cycle(name, float(typed)))
    if head == "keepers" and name:
        return keepers_sheet(keepers_care(name))
    if address in SINGLE:
        return SINGLE[address]()
    raise BadInput(
        "E-LEARN-01",
        "There is no teaching page of that name.",
        given=address,
        needed=", ".join(key for pages in contents().values() for key, _ in pages),
        next_step="Go to the list of teaching pages.",
        field="address",
    )


def write_sheet(sheet: Sheet, target: str | Path, paper: str = "a4") -> None:
    """Write a sheet as a PDF, with its drawings.

    Args:
        sheet: the sheet.
        target: the file; one that is there is replaced.
        paper: size of the paper, as in ``PAPERS``.

    Raises:
        BadInput: E-WORD-02 there is no such paper.
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused.
    """
    if paper not in PAPERS:
        raise BadInput(
            "E-WORD-02",
            "There is no such paper.",
            given=paper,
            needed=f"one of: {', '.join(PAPERS)}",
            next_step="Choose one of them.",
            field="paper",
        )
    write_whole(Path(target), sheet_pdf(sheet, now().date(), paper))
