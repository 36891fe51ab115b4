"""``tankside bench kernel``: the life-cycle loop on two frozen models against bare loops."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer

ABSENT = "left out, or not installed; see docs/bench.md"
BARE = "bare whole event"
CLAIM_DRAWS = 512
Figure = dict[str, object]


def command(
    histories: Annotated[int, typer.Option(help="histories a model")] = 1000,
    used: Annotated[
        bool, typer.Option("--as-used", help="also drawn claims over 60 days at 11 and 25 C")
    ] = False,
    quick: Annotated[
        bool, typer.Option("--quick", help="the loop and its bare loops only")
    ] = False,
    peer_seconds: Annotated[
        float,
        typer.Option(help="seconds a round and model for other simulators; 0 leaves them out"),
    ] = 30.0,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Time the loop on models A (untreated) and B (treated), 20 fish, 30 days, one core.

    An event is a parasite settling on a fish or arriving on the bottom. The general stochastic
    simulators of the comparison are not installed with the program; see docs/bench.md.
    """
    from tankside.bench import kernel_speed

    figures = _figures(kernel_speed.measure(histories))
    if used:
        figures += _used_figures()
    if not quick:
        figures += _slow_figures(histories)
    figures += _peer_figures(histories, 0.0 if quick else peer_seconds)
    lines = [_line(figure) for figure in figures]
    answer({"figures": figures}, "\n".join(lines), as_json=as_json)


def _figure(
    name: str, value: float | None, unit: str = "", reference: str = "", ratio: float | None = None
) -> Figure:
    return {"name": name, "value": value, "unit": unit, "reference": reference, "ratio": ratio}


def _ratio(name: str, ratio: float, reference: str) -> Figure:
    return _figure(name, ratio, "", reference, ratio)


def _figures(times: dict[str, float]) -> list[Figure]:
    draw, alias, event = times["draw_ns"], times["alias_ns"], times["bare_event_ns"]
    rows = [
        _figure("histories_per_second", 1e6 / times["A_us_per_history"], "1/s", "model A"),
        _figure("histories_per_second B", 1e6 / times["B_us_per_history"], "1/s", "model B"),
        _figure("bare_draw_ns", draw, "ns", "xoshiro256++ in registers"),
        _figure("bare_alias_draw_ns", alias, "ns", "Walker's alias method over 720 cells"),
        _figure("bare_event_ns", event, "ns", "one whole event, nothing else"),
    ]
    for name, label in (("A", ""), ("B", " B")):
        each = times[f"{name}_ns_per_event"]
        rows += [
            _figure(f"ns_per_event{label}", each, "ns", BARE, each / event),
            _ratio(f"event_over_bare_draw{label}", each / draw, "bare draw"),
            _ratio(f"event_over_bare_alias_draw{label}", each / alias, "bare alias draw"),
            _ratio(f"event_over_bare_event{label}", each / event, BARE),
        ]
    return rows


def _used_figures() -> list[Figure]:
    from tankside.bench.kernel_as_used import CELSIUS, drawn_over_fixed

    by_warmth = {f"{warm:g} C": drawn_over_fixed(CLAIM_DRAWS, warm) for warm in CELSIUS}
    rows = [_ratio(f"drawn_over_fixed {n}", f.time, "fixed claims") for n, f in by_warmth.items()]
    return rows + [
        _ratio(f"drawn_over_fixed_per_event {n}", f.per_event, "fixed claims")
        for n, f in by_warmth.items()
    ]


def _slow_figures(histories: int) -> list[Figure]:
    from tankside.bench import kernel_speed
    from tankside.bench.kernel_start import starts

    start = starts()
    threads = kernel_speed.threads(histories)
    tables = kernel_speed.tables(histories)
    rows = [
        _figure("cold_start_s", start["cold"].wall_s, "s", "nothing compiled yet, on the clock"),
        _figure("cold_start_cpu_s", start["cold"].cpu_s, "s", "the same in processor time"),
        _figure("warm_start_s", start["warm"].wall_s, "s", "compiled code at hand, on the clock"),
        _figure("warm_start_cpu_s", start["warm"].cpu_s, "s", "the same in processor time"),
        _figure("peak_memory_cold_mb", start["cold"].peak_mb, "MB", "while compiling"),
        _figure("peak_memory_warm_mb", start["warm"].peak_mb, "MB", "compiled code at hand"),
        _figure("peak_memory_large_mb", start["large"].peak_mb, "MB", "4,000 A; 5,000 fish 60 d"),
        _ratio("two_threads_over_one", threads, "one thread, on the clock"),
        _ratio("tables_over_100_histories", tables, "100 histories of 60 days of model A"),
    ]
    for name, ratio in kernel_speed.growth(max(histories // 4, 50)).items():
        rows.append(_ratio(f"time_per_event {name}", ratio, "model A"))
    return rows


def _peer_figures(histories: int, seconds: float) -> list[Figure]:
    """Return the fastest simulator of each kind on each model, then every one."""
    compared = []
    if seconds > 0:
        from tankside.bench.kernel_ratio import ratios

        compared = ratios(histories, seconds)
    rows = []
    for name, label in (("A", ""), ("B", " B")):
        for kind in ("exact", "approximate"):
            of_kind = [r for r in compared if r.model == name and r.peer.kind == kind]
            least = min(of_kind, key=lambda r: r.times, default=None)
            if least is not None:
                rows.append(_ratio(f"ratio_{kind}_peer{label}", least.times, least.peer.name))
            elif not label:
                rows.append(_figure(f"ratio_{kind}_peer", None, "", ABSENT))
    return rows + [
        _figure(
            f"peer_s_per_history {row.model} {row.peer.name}",
            row.peer.seconds_per_history,
            "s",
            f"ours; {row.peer.kind}, {row.peer.note}, {row.peer.histories} histories",
            row.times,
        )
        for row in compared
    ]


def _line(figure: Figure) -> str:
    value, ratio = figure["value"], figure["ratio"]
    shown = "not measured" if value is None else f"{value:.4g} {figure['unit']}".rstrip()
    beside = ""
    if figure["reference"]:
        beside = f"  ({figure['reference']})"
        if ratio and ratio != value:
            beside = f"  ({ratio:.3g} x {figure['reference']})"
    return f"{figure['name']:40} {shown}{beside}"
