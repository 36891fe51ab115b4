"""Salt against the nitrite of a case: its last readings, and the salt logged since."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tankside.case import CaseView, Reading
from tankside.case.view import ReadingView
from tankside.errors import BadInput, NotPossible
from tankside.intake import clock
from tankside.intake.chloride import chloride_now
from tankside.intake.dose_request import DoseRequest
from tankside.intake.dose_setting import system_asked
from tankside.intake.joined_waters import joined_waters
from tankside.library import load
from tankside.quantity.moment import Moment
from tankside.records.case_store import read_case
from tankside.services.water import nitrite
from tankside.services.water_answer import Remark, WaterAnswer, WaterRemark

SALT = "sodium_chloride"


def nitrite_of_case(path: str | Path, system: str | None = None) -> WaterAnswer:
    """Work out common salt against the nitrite that was read last in a water of a case.

    Args:
        path: the case file.
        system: any part of the water; None for that of the sick fish.

    Raises:
        BadInput: E-WORD-02 there is no such system; the case cannot be read.
        NotPossible: E-DOSE-20 nitrite was not read or the water was not measured.
    """
    view, facts = read_case(path).view(), load()
    place = system_asked(view, DoseRequest(SALT, "", system=system))
    now = Moment(clock.now().isoformat(timespec="minutes"))
    there = chloride_now(view, facts, now, place)
    read = _nitrite(view, place)
    litres = sum(
        float(view.systems[part].volume.point_l or 0) for part in joined_waters(view).now(place)
    )
    answer = nitrite(read, f"{there.mg_l:.4g} mg/L", f"{litres:.4g} L")
    numbers = {"since_mg_l": there.since_mg_l}
    if there.read_mg_l is not None:
        numbers["read_mg_l"] = there.read_mg_l
    return replace(answer, notes=(WaterRemark(Remark.CHLORIDE_NOW, numbers), *answer.notes))


def _nitrite(view: CaseView, system: str) -> str:
    latest: list[ReadingView] = [
        reading
        for part in joined_waters(view).now(system)
        if part in view.systems
        if (reading := view.systems[part].readings.get(Reading.NITRITE)) is not None
    ]
    measured = max(latest, key=lambda reading: reading.at.utc).measured if latest else None
    if measured is None:
        raise NotPossible(
            "E-DOSE-20",
            f"Nitrite was not read in {view.systems[system].name}.",
            given="no reading of nitrite",
            needed="a reading with its basis, as N or as NO2",
            next_step='Test nitrite and add it: water nitrite="0.8 mg/L as N".',
            field="nitrite",
        )
    return f"{measured.value} {measured.unit.symbol} {measured.unit.basis}"


def typed_or_of_case(
    case: str | None,
    system: str | None,
    nitrite_read: str | None,
    chloride: str | None,
    volume: str | None,
) -> WaterAnswer:
    """Answer from a case, or from what was typed instead of one.

    Raises:
        BadInput: E-CLI-04 both, or neither in full, were given.
    """
    typed = {"nitrite": nitrite_read, "chloride": chloride, "volume": volume}
    if case is not None and not any(typed.values()):
        return nitrite_of_case(case, system)
    if case is not None or nitrite_read is None or chloride is None or volume is None:
        there = [name for name, text in typed.items() if text]
        raise BadInput(
            "E-CLI-04",
            "Nitrite, chloride and volume are typed, or come from a case.",
            given=", ".join([*there, *(["case"] if case else [])]) or "nothing",
            needed="all of nitrite, chloride, volume; or case alone",
            next_step="Type the three, or name the case file.",
            field="case",
        )
    return nitrite(nitrite_read, chloride, volume)
