"""``tankside water``: one calculation, shown with its formula, inputs, source and warnings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.water_answer import WaterAnswer

app = typer.Typer(add_completion=False, rich_markup_mode=None, no_args_is_help=True)

Temperature = Annotated[str, typer.Option(help='measured, for example "19.0 C"')]
Ph = Annotated[str, typer.Option("--ph", help="for example 7.8")]
Net = Annotated[str, typer.Option("--volume", help='net water, for example "162 L"')]
Share = Annotated[str, typer.Option(help="share that is new water, for example 0.5")]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]
Calcium = Annotated[str | None, typer.Option(help='calcium hardness, "120 mg/L as CaCO3" or "dH"')]


@app.callback()
def water() -> None:
    """One water calculation, with the sum, the source and where it holds.

    Numbers are typed with their unit. Outside the range of a method the answer says so.
    """


@app.command()
def ammonia(
    temperature: Temperature,
    ph: Ph,
    total: Annotated[str, typer.Option(help='total ammonia, "1.2 mg/L as N" (or as NH3, NH4)')],
    salinity: Annotated[
        str | None, typer.Option(help='"34.5 psu" or "2 g/L"; fresh if none')
    ] = None,
    salt: Annotated[str | None, typer.Option(help="common or sea")] = None,
    scale: Annotated[str | None, typer.Option(help="pH scale in sea salt: free|total|nbs")] = None,
    as_json: Json = False,
) -> None:
    """How much of a total-ammonia reading is the toxic form."""
    from tankside.services import water as service

    _tell(service.ammonia(temperature, ph, total, salinity, salt, scale), as_json=as_json)


@app.command()
def oxygen(
    temperature: Temperature,
    salinity: Annotated[str | None, typer.Option(help='"34.5 psu" or "2 g/L"')] = None,
    altitude: Annotated[str | None, typer.Option(help='for example "600 m"')] = None,
    reading: Annotated[str | None, typer.Option(help='oxygen read, "6.2 mg/L"')] = None,
    warmed_to: Annotated[str | None, typer.Option(help='for example "32 C"')] = None,
    as_json: Json = False,
) -> None:
    """Oxygen at saturation, what a reading is of it, and what warming leaves."""
    from tankside.services import water as service

    _tell(service.oxygen(temperature, salinity, altitude, reading, warmed_to), as_json=as_json)


@app.command()
def nitrite(
    nitrite: Annotated[
        str | None, typer.Option(help='"2.6 mg/L as NO2" or "0.8 mg/L as N"')
    ] = None,
    chloride: Annotated[str | None, typer.Option(help='for example "25 mg/L"')] = None,
    volume: Annotated[str | None, typer.Option(help='net water, for example "162 L"')] = None,
    case: Annotated[str | None, typer.Option(help="the case that holds all three")] = None,
    system: Annotated[str | None, typer.Option(help="which water of the case")] = None,
    as_json: Json = False,
) -> None:
    """Common salt against nitrite at every ratio on record, and the trap of the unit."""
    from tankside.services.water_nitrite import typed_or_of_case

    _tell(typed_or_of_case(case, system, nitrite, chloride, volume), as_json=as_json)


@app.command("carbon-dioxide")
def carbon_dioxide(
    temperature: Temperature,
    ph: Ph,
    alkalinity: Annotated[str, typer.Option(help='"36 mg/L as CaCO3" or "2 dH"')],
    as_json: Json = False,
) -> None:
    """Free carbon dioxide from pH and alkalinity."""
    from tankside.services import water as service

    _tell(service.carbon_dioxide(temperature, ph, alkalinity), as_json=as_json)


@app.command()
def mix(  # noqa: PLR0913 (one option per reading)
    temperature: Temperature,
    tank_ph: Annotated[str, typer.Option(help="pH of the tank")],
    tank_alkalinity: Annotated[str, typer.Option(help='"36 mg/L as CaCO3" or "2 dH"')],
    new_ph: Annotated[str, typer.Option(help="pH of the new water")],
    new_alkalinity: Annotated[str, typer.Option(help='"161 mg/L as CaCO3" or "9 dH"')],
    share: Share,
    total_ammonia: Annotated[str | None, typer.Option(help='"1.0 mg/L as N", of the tank')] = None,
    oxygen: Annotated[
        str | None, typer.Option(help='steady reading of the tank, "6.2 mg/L"')
    ] = None,
    tank_calcium: Calcium = None,
    new_calcium: Calcium = None,
    as_json: Json = False,
) -> None:
    """What a part change does to pH and toxic ammonia: at once, and after gas exchange."""
    from tankside.services.water_mix import MixRequest
    from tankside.services.water_mix import mix as work_out

    request = MixRequest(
        temperature, tank_ph, tank_alkalinity, new_ph, new_alkalinity, share,
        total_ammonia, oxygen, tank_calcium, new_calcium,
    )  # fmt: skip
    _tell(work_out(request), as_json=as_json)


@app.command()
def volume(  # noqa: PLR0913 (one option per measurement)
    length: Annotated[str, typer.Option(help='inside, for example "90 cm"')],
    width: Annotated[str, typer.Option(help='inside, for example "45 cm"')],
    depth: Annotated[str, typer.Option(help='of the water, for example "40 cm"')],
    takes: Annotated[list[str] | None, typer.Option(help='takes room, "11 L" (repeat)')] = None,
    adds: Annotated[list[str] | None, typer.Option(help='adds water, "6 L" (repeat)')] = None,
    hose: Annotated[str | None, typer.Option(help='second method: flow, "14 L/min"')] = None,
    hose_time: Annotated[str | None, typer.Option(help='time to fill, "12.5 min"')] = None,
    salt: Annotated[str | None, typer.Option(help='second method: weighed salt, "500 g"')] = None,
    salt_rise: Annotated[str | None, typer.Option(help='rise it made, "0.90 g/L"')] = None,
    second: Annotated[str | None, typer.Option(help='second method: a figure, "175 L"')] = None,
    label: Annotated[str | None, typer.Option(help="what the label says; compared only")] = None,
    as_json: Json = False,
) -> None:
    """Net water of a box-shaped tank, by two methods when there are two."""
    from tankside.services.water_volume import VolumeRequest
    from tankside.services.water_volume import volume as work_out

    request = VolumeRequest(
        length, width, depth, tuple(takes or ()), tuple(adds or ()),
        hose, hose_time, salt, salt_rise, second, label,
    )  # fmt: skip
    _tell(work_out(request), as_json=as_json)


@app.command()
def weight(
    length: Annotated[str, typer.Option(help='total length, for example "9 cm"')],
    shape: Annotated[
        str | None, typer.Option(help="eel_like|elongated|fusiform|short_deep|any")
    ] = None,
    count: Annotated[str | None, typer.Option(help="how many fish")] = None,
    as_json: Json = False,
) -> None:
    """Weight of fish from length and body shape, with its edges."""
    from tankside.services.water_tank import weight as work_out

    _tell(work_out(length, shape, count), as_json=as_json)


@app.command()
def turnover(
    flow: Annotated[str, typer.Option(help='for example "400 L/h"')],
    volume: Net,
    time: Annotated[str, typer.Option(help='for example "2 h"')],
    as_json: Json = False,
) -> None:
    """Share of the water that has passed a filter or lamp at least once."""
    from tankside.services.water_tank import turnover as work_out

    _tell(work_out(flow, volume, time), as_json=as_json)


@app.command()
def dilution(
    share: Share,
    changes: Annotated[str, typer.Option(help="number of changes")],
    as_json: Json = False,
) -> None:
    """What part changes leave of a substance."""
    from tankside.services.water_tank import dilution as work_out

    _tell(work_out(share, changes), as_json=as_json)


@app.command()
def food(
    amount: Annotated[str, typer.Option(help='food in a day, "2 g"')],
    protein: Annotated[str, typer.Option(help='from the label, "45 % w/w"')],
    volume: Net,
    as_json: Json = False,
) -> None:
    """How much a day's food raises total ammonia when no filter works."""
    from tankside.services.water_tank import food as work_out

    _tell(work_out(amount, protein, volume), as_json=as_json)


@app.command()
def heater(
    volume: Net,
    rise: Annotated[str, typer.Option(help="rise in C, a number")],
    time: Annotated[str, typer.Option(help='in which time, "24 h"')],
    as_json: Json = False,
) -> None:
    """Heater power for a ramp, losses left out."""
    from tankside.services.water_tank import heater as work_out

    _tell(work_out(volume, rise, time), as_json=as_json)


def _tell(calculated: WaterAnswer, *, as_json: bool) -> None:
    from tankside.present.block_text import document_text
    from tankside.report.water import water_document, water_json

    answer(water_json(calculated), document_text(water_document(calculated)), as_json=as_json)
