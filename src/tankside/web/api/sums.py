"""Sums: one amount, and the water calculations, each with formula and source."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import JSONResponse

from tankside.intake.dose_request import AtHand, DoseRequest
from tankside.intake.dose_setting import READINGS
from tankside.report.amount_forms import amount_json
from tankside.report.water import water_json
from tankside.services import water, water_tank
from tankside.services.amounts import amount_asked
from tankside.services.dose_case import case_beside
from tankside.services.water_answer import WaterAnswer
from tankside.services.water_mix import MixRequest, mix
from tankside.services.water_nitrite import typed_or_of_case
from tankside.services.water_volume import VolumeRequest, volume
from tankside.web.api.said import answered, say
from tankside.web.api.typed import LONGEST, DoseBody, ReadingName, Several, Text, quantity
from tankside.web.pages.find import find_case

router = APIRouter(tags=["sums"])
PLACED: tuple[ReadingName, ...] = ("temperature", "alkalinity", "ph", "oxygen", "salinity")
"""Names of the readings as they are sent, in the order in which they are kept."""
BESIDE = {"case", "expires", "label_read", "seen_to", "readings"}
Temperature = Annotated[str, quantity("25 C")]
Ph = Annotated[str, Query(max_length=LONGEST, examples=["7.8"])]
Net = Annotated[str, quantity("162 L")]
Share = Annotated[str, Query(max_length=LONGEST, examples=["0.5"])]
Salinity = Annotated[str | None, quantity("2 g/L")]
Alkalinity = Annotated[str, quantity("2 dH")]


@router.post("/dose", responses=answered("dose", "feed", "equipment"))
def one_amount(request: Request, body: DoseBody) -> JSONResponse:
    """Work out one amount with its sum; nothing is saved.

    It is for the water and the label that were sent: check both. The product's label, local law and
    a licensed veterinarian come first.
    """
    typed = body.model_dump(exclude=BESIDE)
    asked = DoseRequest(
        **typed,
        at_hand=AtHand(body.expires, body.label_read, tuple(body.seen_to)),
        readings={
            kept: body.readings.get(sent)
            for kept, sent in zip(READINGS, PLACED, strict=True)
        },
    )  # fmt: skip
    view = None if body.case is None else case_beside(find_case(request, body.case), asked)
    return say(amount_json(amount_asked(asked, view)))


@router.get("/water/ammonia", responses=answered("water"))
def ammonia(
    temperature: Temperature,
    ph: Ph,
    total: Annotated[str, quantity("1.2 mg/L as N")],
    salinity: Salinity = None,
    salt: Annotated[str | None, Query(max_length=LONGEST, examples=["common", "sea"])] = None,
    scale: Annotated[str | None, Query(max_length=LONGEST, examples=["free", "nbs"])] = None,
) -> JSONResponse:
    """How much of a total-ammonia reading is the toxic form."""
    return _sum(water.ammonia(temperature, ph, total, salinity, salt, scale))


@router.get("/water/oxygen", responses=answered("water"))
def oxygen(
    temperature: Temperature,
    salinity: Salinity = None,
    altitude: Annotated[str | None, quantity("600 m")] = None,
    reading: Annotated[str | None, quantity("6.2 mg/L")] = None,
    warmed_to: Annotated[str | None, quantity("32 C")] = None,
) -> JSONResponse:
    """Oxygen at saturation, what a reading is of it, and what warming leaves."""
    return _sum(water.oxygen(temperature, salinity, altitude, reading, warmed_to))


@router.get("/water/nitrite", responses=answered("water"))
def nitrite(
    request: Request,
    nitrite: Annotated[str | None, quantity("2.6 mg/L as NO2")] = None,
    chloride: Annotated[str | None, quantity("25 mg/L")] = None,
    volume: Annotated[str | None, quantity("162 L")] = None,
    case: Text = None,
    system: Text = None,
) -> JSONResponse:
    """Common salt against nitrite at every ratio on record, and the trap of the unit."""
    place = None if case is None else str(find_case(request, case))
    return _sum(typed_or_of_case(place, system, nitrite, chloride, volume))


@router.get("/water/carbon-dioxide", responses=answered("water"))
def carbon_dioxide(temperature: Temperature, ph: Ph, alkalinity: Alkalinity) -> JSONResponse:
    """Free carbon dioxide from pH and alkalinity."""
    return _sum(water.carbon_dioxide(temperature, ph, alkalinity))


@router.get("/water/mix", responses=answered("water"))
def mixed(  # noqa: PLR0913 (one for each reading)
    temperature: Temperature,
    tank_ph: Ph,
    tank_alkalinity: Alkalinity,
    new_ph: Ph,
    new_alkalinity: Alkalinity,
    share: Share,
    total_ammonia: Annotated[str | None, quantity("1.0 mg/L as N")] = None,
    oxygen: Annotated[str | None, quantity("6.2 mg/L")] = None,
    tank_calcium: Annotated[str | None, quantity("120 mg/L as CaCO3")] = None,
    new_calcium: Annotated[str | None, quantity("120 mg/L as CaCO3")] = None,
) -> JSONResponse:
    """What a part change does to pH and toxic ammonia: at once, and after gas exchange."""
    asked = MixRequest(
        temperature, tank_ph, tank_alkalinity, new_ph, new_alkalinity, share,
        total_ammonia, oxygen, tank_calcium, new_calcium,
    )  # fmt: skip
    return _sum(mix(asked))


@router.get("/water/volume", responses=answered("water"))
def net_volume(  # noqa: PLR0913 (one for each measurement)
    length: Annotated[str, quantity("90 cm")],
    width: Annotated[str, quantity("45 cm")],
    depth: Annotated[str, quantity("40 cm")],
    takes: Several = [],  # noqa: B006 (the framework copies it)
    adds: Several = [],  # noqa: B006
    hose: Annotated[str | None, quantity("14 L/min")] = None,
    hose_time: Annotated[str | None, quantity("12.5 min")] = None,
    salt: Annotated[str | None, quantity("500 g")] = None,
    salt_rise: Annotated[str | None, quantity("0.90 g/L")] = None,
    second: Annotated[str | None, quantity("175 L")] = None,
    label: Annotated[str | None, quantity("180 L")] = None,
) -> JSONResponse:
    """Net water of a box-shaped tank, by two methods when there are two."""
    asked = VolumeRequest(
        length, width, depth, tuple(takes), tuple(adds),
        hose, hose_time, salt, salt_rise, second, label,
    )  # fmt: skip
    return _sum(volume(asked))


@router.get("/water/weight", responses=answered("water"))
def weight(
    length: Annotated[str, quantity("9 cm")],
    shape: Annotated[str | None, Query(max_length=LONGEST, examples=["fusiform"])] = None,
    count: Annotated[str | None, Query(max_length=LONGEST, examples=["6"])] = None,
) -> JSONResponse:
    """Weight of fish from length and body shape, with its edges."""
    return _sum(water_tank.weight(length, shape, count))


@router.get("/water/turnover", responses=answered("water"))
def turnover(
    flow: Annotated[str, quantity("400 L/h")], volume: Net, time: Annotated[str, quantity("2 h")]
) -> JSONResponse:
    """Share of the water that has passed a filter or lamp at least once."""
    return _sum(water_tank.turnover(flow, volume, time))


@router.get("/water/dilution", responses=answered("water"))
def dilution(
    share: Share, changes: Annotated[str, Query(max_length=LONGEST, examples=["3"])]
) -> JSONResponse:
    """What part changes leave of a substance."""
    return _sum(water_tank.dilution(share, changes))


@router.get("/water/food", responses=answered("water"))
def food(
    amount: Annotated[str, quantity("2 g")],
    protein: Annotated[str, quantity("45 % w/w")],
    volume: Net,
) -> JSONResponse:
    """How much a day's food raises total ammonia when no filter works."""
    return _sum(water_tank.food(amount, protein, volume))


@router.get("/water/heater", responses=answered("water"))
def heater(
    volume: Net,
    rise: Annotated[str, Query(max_length=LONGEST, examples=["4"])],
    time: Annotated[str, quantity("24 h")],
) -> JSONResponse:
    """Heater power for a ramp, losses left out."""
    return _sum(water_tank.heater(volume, rise, time))


def _sum(answer: WaterAnswer) -> JSONResponse:
    return say(water_json(answer))
