"""``tankside dose``: one amount, shown with its sum, limits, cautions and people lines."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.show import show

Text = Annotated[str | None, typer.Option()]


def command(  # noqa: PLR0913 (one option per thing that a dose depends on)
    agent: Annotated[str, typer.Option(help="active substance, as the label names it")],
    strength: Annotated[str, typer.Option(help='for example "2 g/L" or "0.18 mg/L as Cu"')],
    case: Annotated[
        str | None,
        typer.Option(
            help="case with the water, the animals and the container: a file, or of the journal"
        ),
    ] = None,
    system: Annotated[
        str | None, typer.Option(help="which water of the case (default: that of the sick fish)")
    ] = None,
    volume: Annotated[str | None, typer.Option(help='net water, for example "173 L"')] = None,
    second_volume: Annotated[str | None, typer.Option(help="the volume by a second method")] = None,
    label: Annotated[
        str | None, typer.Option(help='what it says: "pure", "25 % w/w as Cu", "1 % w/v", ...')
    ] = None,
    density: Annotated[
        str | None, typer.Option(help='printed density, "1.08 g/mL": mL against % w/w')
    ] = None,
    scale: Annotated[str | None, typer.Option(help='smallest step, for example "1 g"')] = None,
    syringe: Annotated[str | None, typer.Option(help='smallest step, "0.5 mL"')] = None,
    expires: Annotated[str | None, typer.Option(help="date on the label, 2027-05-31")] = None,
    label_read: Annotated[str | None, typer.Option(help="when it was read (default: now)")] = None,
    seen_to: Annotated[
        list[str] | None,
        typer.Option(help='answer to what it needs by hand: "clear-solution=yes" (repeat)'),
    ] = None,
    in_water: Annotated[
        list[str] | None,
        typer.Option(help='already in the water: "formalin=5 g", "salt=0.9 g/L" (repeat)'),
    ] = None,
    changed: Annotated[
        str | None, typer.Option(help="water changed: the amount to put back for it")
    ] = None,
    route: Annotated[
        str, typer.Option(help="prolonged, bath, dip, feed or equipment")
    ] = "prolonged",
    minutes: Annotated[str | None, typer.Option(help='length of a bath, "30 min"')] = None,
    ration: Annotated[
        str | None, typer.Option(help='food of a day: "1 % of body weight" or "2 g/d"')
    ] = None,
    days: Annotated[str | None, typer.Option(help='on how many days it is fed, "5 d"')] = None,
    fish_weight: Annotated[
        str | None, typer.Option(help='all fish that are fed, weighed: "200 g"')
    ] = None,
    vessel: Annotated[
        str | None, typer.Option(help='bucket or empty tank for equipment, "10 L"')
    ] = None,
    reason: Annotated[
        str, typer.Option(help="why a soft limit may be passed, at least 10 characters")
    ] = "",
    animal: Annotated[list[str] | None, typer.Option(help="a kind in the water (repeat)")] = None,
    stage: Annotated[str | None, typer.Option(help="larva, fry, juvenile or adult")] = None,
    gill_damage: Annotated[str | None, typer.Option(help="seen on any: yes or no")] = None,
    fishless: Annotated[bool, typer.Option("--fishless", help="no animals in it")] = False,
    temperature: Text = None,
    alkalinity: Text = None,
    ph: Text = None,
    oxygen: Text = None,
    salinity: Text = None,
    water: Annotated[str | None, typer.Option(help="fresh, brackish or marine")] = None,
    tap: Annotated[
        str | None, typer.Option(help="new water was treated with: none, chlorine or chloramine")
    ] = None,
    carbon: Annotated[str | None, typer.Option(help="carbon in the filter: yes or no")] = None,
    filter_state: Annotated[str | None, typer.Option("--filter", help="ripe or unripe")] = None,
    invertebrates: Annotated[str | None, typer.Option(help="yes or no")] = None,
    plants: Annotated[str | None, typer.Option(help="yes or no")] = None,
    food_fish: Annotated[str | None, typer.Option(help="may they be eaten: yes or no")] = None,
    country: Annotated[str | None, typer.Option(help="for the law: name or two letters")] = None,
    pdf: Annotated[str | None, typer.Option(help="write it as a PDF to this file")] = None,
    why: Annotated[
        bool, typer.Option("--why", help="reasons, limits, handling, law and sources as well")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """One amount to weigh or measure, with the sum that gives it.

    Leave out what nobody knows. What must be known for the agent blocks the amount until given.
    With --case everything but the amount itself comes from the case.
    """
    from tankside.intake.dose_request import AtHand, DoseRequest
    from tankside.intake.dose_setting import READINGS
    from tankside.report.amount_forms import amount_document, amount_json
    from tankside.services.amounts import amount_asked
    from tankside.services.dose_case import case_beside

    request = DoseRequest(
        agent=agent,
        strength=strength,
        volume=volume,
        label=label,
        second_volume=second_volume,
        density=density,
        scale=scale,
        syringe=syringe,
        at_hand=AtHand(expires, label_read, tuple(seen_to or ())),
        changed=changed,
        in_water=tuple(in_water or ()),
        route=route,
        minutes=minutes,
        ration=ration, days=days, fish_weight=fish_weight, vessel=vessel,
        reason=reason,
        animals=tuple(animal or ()),
        stage=stage,
        gill_damage=gill_damage,
        fishless=fishless,
        country=country,
        system=system,
        readings=dict(
            zip(READINGS, (temperature, alkalinity, ph, oxygen, salinity), strict=True)
        ),
        choices={
            "water": water, "carbon": carbon, "filter": filter_state, "plants": plants,
            "invertebrates": invertebrates, "food_fish": food_fish, "tap": tap,
        },
    )  # fmt: skip
    view = None if case is None else case_beside(case, request)
    amount = amount_asked(request, view)
    document = amount_document(amount, why=why)
    show(document, amount_json(amount), as_json=as_json, pdf=pdf, case=case)
