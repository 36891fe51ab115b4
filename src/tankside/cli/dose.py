"""``tankside dose``: one amount, shown with its sum, limits, cautions and people lines."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.door import answer

Text = Annotated[str | None, typer.Option()]


def command(  # noqa: PLR0913 (one option per thing that a dose depends on)
    agent: Annotated[str, typer.Option(help="active substance, as the label names it")],
    strength: Annotated[str, typer.Option(help='for example "2 g/L" or "0.18 mg/L as Cu"')],
    volume: Annotated[str, typer.Option(help='net water, for example "173 L"')],
    label: Annotated[
        str, typer.Option(help='what the label says: "pure", "25 % w/w as Cu", "1 % w/v", ...')
    ],
    second_volume: Annotated[str | None, typer.Option(help="the volume by a second method")] = None,
    scale: Annotated[str | None, typer.Option(help='smallest step, for example "1 g"')] = None,
    syringe: Annotated[str | None, typer.Option(help='smallest step, "0.5 mL"')] = None,
    changed: Annotated[
        str | None, typer.Option(help="water changed: the amount to put back for it")
    ] = None,
    there: Annotated[
        str | None, typer.Option(help='already in the water: "500 g" or "0.9 g/L"')
    ] = None,
    route: Annotated[str, typer.Option(help="prolonged, bath or dip")] = "prolonged",
    minutes: Annotated[str | None, typer.Option(help='length of a bath, "30 min"')] = None,
    reason: Annotated[
        str, typer.Option(help="why a soft limit may be passed, at least 10 characters")
    ] = "",
    animal: Annotated[list[str] | None, typer.Option(help="a kind in the water (repeat)")] = None,
    fishless: Annotated[bool, typer.Option("--fishless", help="no animals in it")] = False,
    temperature: Text = None,
    alkalinity: Text = None,
    ph: Text = None,
    oxygen: Text = None,
    salinity: Text = None,
    water: Annotated[str | None, typer.Option(help="fresh, brackish or marine")] = None,
    carbon: Annotated[str | None, typer.Option(help="carbon in the filter: yes or no")] = None,
    filter_state: Annotated[str | None, typer.Option("--filter", help="ripe or unripe")] = None,
    invertebrates: Annotated[str | None, typer.Option(help="yes or no")] = None,
    plants: Annotated[str | None, typer.Option(help="yes or no")] = None,
    food_fish: Annotated[str | None, typer.Option(help="may they be eaten: yes or no")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """One amount to weigh or measure, with the sum that gives it.

    Leave out what nobody knows. What an agent needs to be known blocks the amount until it is.
    """
    from tankside.services.dose import DoseAsk, work_out
    from tankside.services.dose_text import as_object, as_text

    found = work_out(
        DoseAsk(
            agent=agent,
            strength=strength,
            volume=volume,
            label=label,
            second_volume=second_volume,
            scale=scale,
            syringe=syringe,
            changed=changed,
            there=there,
            route=route,
            minutes=minutes,
            reason=reason,
            animals=tuple(animal or ()),
            fishless=fishless,
            readings={
                "temperature_c": temperature,
                "alkalinity_mg_l_caco3": alkalinity,
                "ph": ph,
                "oxygen_mg_l": oxygen,
                "salinity_g_l": salinity,
            },
            choices={
                "water": water,
                "carbon": carbon,
                "filter": filter_state,
                "invertebrates": invertebrates,
                "plants": plants,
                "food_fish": food_fish,
            },
        )
    )
    answer(as_object(found), as_text(found), as_json=as_json)
