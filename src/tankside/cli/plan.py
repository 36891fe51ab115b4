"""``tankside plan``: compare courses for a case, and choose one."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.account import Role, role_of, who_types
from tankside.cli.care import PLAN, show_care, tell_choice
from tankside.cli.case_reference import CASE_HELP
from tankside.cli.show import show
from tankside.errors import BadInput
from tankside.terminal.progress import teller

WITH_CHOICE = ("choose", "by", "role", "reason", "json")


def command(  # noqa: PLR0913 (one option for each answer)
    context: typer.Context,
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    choose: Annotated[
        str | None,
        typer.Option(help="write a compared course into the case, by the name that plan printed"),
    ] = None,
    on: Annotated[
        str | None, typer.Option(help="day the course may begin (default: latest of the case)")
    ] = None,
    strength: Annotated[
        list[str] | None,
        typer.Option(help='strength to try, for example "sodium_chloride=2 g/L" (may repeat)'),
    ] = None,
    label: Annotated[
        list[str] | None,
        typer.Option(help='what a label says, for example "sodium_chloride=pure" (may repeat)'),
    ] = None,
    scale: Annotated[str | None, typer.Option(help='smallest step of the scale: "1 g"')] = None,
    syringe: Annotated[str | None, typer.Option(help='step of the syringe: "0.5 mL"')] = None,
    change: Annotated[str | None, typer.Option(help='litres of a part change: "40 L"')] = None,
    only: Annotated[
        list[str] | None, typer.Option(help="compare only this substance (may repeat)")
    ] = None,
    warming: Annotated[bool, typer.Option(help="try warming too")] = True,
    warm_to: Annotated[
        str | None, typer.Option(help='temperature to warm to, "18 C" (default: some degrees more)')
    ] = None,
    step: Annotated[
        list[str] | None,
        typer.Option(
            help="a step of a course of your own, compared beside the others, for example "
            "'siphon \"litres=40 L\" every=2 times=6' (may repeat)"
        ),
    ] = None,
    days: Annotated[str, typer.Option(help="length of that course in days")] = "",
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    reason: Annotated[
        str, typer.Option(help="why this course; with 10 characters it passes a soft limit")
    ] = "",
    by: Annotated[str | None, typer.Option(help="who writes this")] = None,
    role: Role = None,
    pdf: Annotated[str | None, typer.Option(help="write it as a PDF to this file")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Compare courses: clear in n of 20 runs, fish lost, days, work, cautions, what is blocked.

    Strengths you enter are arithmetic, not a recommendation. Labels, local law and a licensed
    veterinarian come first.
    """
    from tankside.intake.plan_setup import PlanRequest
    from tankside.report.plan_json import plan_json
    from tankside.report.plan_text import plan_document
    from tankside.services.by_cause import choose_by_cause, plan_by_cause
    from tankside.services.care_case import CareAnswer
    from tankside.services.comparison import is_compared

    request = PlanRequest(
        on=on,
        organism=organism,
        seed=seed,
        strengths=tuple(strength or ()),
        labels=tuple(label or ()),
        scale=scale,
        syringe=syringe,
        change=change,
        warm=warming,
        warm_to=warm_to,
        only=tuple(only or ()),
        reason=reason,
        steps=tuple(step or ()),
        days=days,
    )
    if choose is not None:
        if is_compared(case, choose):
            _refuse_what_compares(context)
        who, said_role = who_types(by), role_of(role)
        added = choose_by_cause(case, choose, request, by=who, reason=reason, role=said_role)
        tell_choice(choose, added, as_json=json)
        return
    compared = plan_by_cause(case, request, progress=teller(quiet=json))
    if isinstance(compared, CareAnswer):
        show_care(compared, PLAN, as_json=json, pdf=pdf, case=case)
        return
    show(plan_document(compared), plan_json(compared), as_json=json, pdf=pdf, case=case)


def _refuse_what_compares(context: typer.Context) -> None:
    """Refuse what was typed beside the name of a course and belongs to comparing."""
    source = {name: context.get_parameter_source(name) for name in context.params}
    typed = [n for n, where in source.items() if where and where.name == "COMMANDLINE"]
    more = sorted(set(typed) - {"case", *WITH_CHOICE})
    if more:
        raise BadInput(
            "E-CLI-01",
            "Choosing does not search again, so that nothing else can be asked with it.",
            given=", ".join(f"--{name.replace('_', '-')}" for name in more),
            needed="--choose NAME, with --reason and --by",
            next_step="Compare with these options first, then choose by the name it prints.",
        )
