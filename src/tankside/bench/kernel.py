"""``tankside bench kernel``: the life-cycle loop on two frozen models against bare loops."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.door import answer


def command(
    histories: Annotated[int, typer.Option(help="histories a model")] = 1000,
    used: Annotated[
        bool, typer.Option("--as-used", help="also drawn claims over 60 days at 11 and 25 C")
    ] = False,
    quick: Annotated[bool, typer.Option("--quick", help="leave out cold start and growth")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Time the loop on models A (untreated) and B (treated), 20 fish, 30 days, one core.

    An event is a parasite settling on a fish or arriving on the bottom. The general stochastic
    simulators of the comparison are not installed with the program; see docs/bench.md.
    """
    from tankside.bench import kernel_speed

    found = kernel_speed.measure(histories)
    figures = _figures(found)
    if used:
        figures += [
            _figure(f"drawn_over_fixed {name}", ratio, "", "the same forecast, fixed claims", ratio)
            for name, ratio in kernel_speed.as_used(512).items()
        ]
    if not quick:
        figures += _slow_figures(histories)
    lines = [_line(figure) for figure in figures]
    answer({"figures": figures}, "\n".join(lines), as_json=as_json)


Figure = dict[str, object]


def _figure(
    name: str, value: float | None, unit: str, reference: str, ratio: float | None
) -> Figure:
    return {"name": name, "value": value, "unit": unit, "reference": reference, "ratio": ratio}


def _figures(found: dict[str, float]) -> list[Figure]:
    draw, event = found["draw_ns"], found["bare_event_ns"]
    rows = [
        _figure("histories_per_second", 1e6 / found["A_us_per_history"], "1/s", "model A", None),
        _figure("histories_per_second B", 1e6 / found["B_us_per_history"], "1/s", "model B", None),
        _figure("bare_draw_ns", draw, "ns", "xoshiro256++ in registers", None),
        _figure("bare_event_ns", event, "ns", "one whole event, nothing else", None),
    ]
    for name, label in (("A", ""), ("B", " B")):
        per_event = found[f"{name}_ns_per_event"]
        rows += [
            _figure(f"ns_per_event{label}", per_event, "ns", "bare whole event", per_event / event),
            _figure(
                f"event_over_bare_draw{label}", per_event / draw, "", "bare draw", per_event / draw
            ),
        ]
    absent = "not installed; see docs/bench.md"
    return [
        *rows,
        _figure("ratio_exact_peer", None, "", absent, None),
        _figure("ratio_approximate_peer", None, "", absent, None),
    ]


def _slow_figures(histories: int) -> list[Figure]:
    from tankside.bench import kernel_speed

    start = kernel_speed.cold_start()
    rows = [
        _figure("cold_start_s", start["cold_s"], "s", "nothing compiled yet", None),
        _figure("warm_start_s", start["warm_s"], "s", "compiled code at hand", None),
        _figure("two_threads_over_one", ratio := kernel_speed.threads(histories), "", "", ratio),
    ]
    for name, ratio in kernel_speed.growth(max(histories // 4, 50)).items():
        rows.append(_figure(f"time_per_event {name}", ratio, "", "model A", ratio))
    return rows


def _line(figure: Figure) -> str:
    value, ratio = figure["value"], figure["ratio"]
    shown = "not measured" if value is None else f"{value:.4g} {figure['unit']}".rstrip()
    beside = f"  ({ratio:.3g} x {figure['reference']})" if ratio and figure["reference"] else ""
    return f"{figure['name']:32} {shown}{beside}"
