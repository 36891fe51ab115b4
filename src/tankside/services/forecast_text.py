"""A forecast in words and as one JSON object."""

from __future__ import annotations

from dataclasses import asdict

from tankside.claims import Knowledge
from tankside.lifecycle import Told, opposite
from tankside.lifecycle.ending import useful
from tankside.services.forecast import Ahead, Forecast
from tankside.services.plan import NOT_VALIDATED

WEEK = 7


def forecast_json(found: Forecast) -> dict[str, object]:
    """Return the answer of ``forecast --json``."""
    return {
        "organism": found.organism.id,
        "temperature_c": found.windows.temperature_c,
        "windows_days": [
            {"what": name, "low": low, "middle": middle, "high": high}
            for name, (low, middle, high) in found.windows.rows()
        ],
        "courses": [_course_json(ahead) for ahead in found.ahead],
        "seed": found.seed,
        "seconds": round(found.seconds, 3),
        "not_validated": NOT_VALIDATED,
    }


def _course_json(ahead: Ahead) -> dict[str, object]:
    return {
        "name": ahead.name,
        "clear_of_20": ahead.clear.number,
        "clear_words": ahead.clear.words,
        "p_clear": round(ahead.clear.share, 4),
        "p_se": round(ahead.clear.standard_error, 4),
        "lost_low": ahead.lost_low,
        "lost_high": ahead.lost_high,
        "stock": ahead.stock,
        "acts": [_told_json(told) for told in ahead.acts],
        "days": [
            {
                "day": day.day,
                "worst_visible": asdict(day.worst_visible),
                "burden": asdict(day.burden),
                "bottom": asdict(day.bottom),
                "swimmers": asdict(day.swimmers),
                "alive": asdict(day.alive),
                "clear_of_20": day.clear.number,
                "clear_words": day.clear.words,
            }
            for day in ahead.days
        ],
    }


def _told_json(told: Told) -> dict[str, object]:
    return {
        "kind": told.kind,
        "what": told.driver,
        "reaches": list(told.reaches),
        "no_figure": [{"stage": stage, "why": why} for stage, why in told.unknown],
    }


def forecast_text(found: Forecast) -> str:
    """Return the forecast for a person."""
    view = found.case.view
    lines = [
        f"Forecast: {view.name}, {found.organism.name}, {found.windows.temperature_c:g} C",
        "",
        "How long each part lasts (days, fast to slow):",
    ]
    lines += [f"  {name}: {low:.1f} to {high:.1f}" for name, (low, _, high) in found.windows.rows()]
    for ahead in found.ahead:
        lines += ["", *_course_text(ahead), *acts_text(ahead.acts, found.case.facts)]
    lines += [
        "",
        "Spots are what can be seen on the worst fish, not what is there: gills are not counted.",
        f"{NOT_VALIDATED} Bands hold 18 of 20 runs. Seed {found.seed}.",
    ]
    return "\n".join(lines)


def _course_text(ahead: Ahead) -> list[str]:
    lost = f"{ahead.lost_low} to {ahead.lost_high} of {ahead.stock}"
    if not useful(ahead.lost_low, ahead.lost_high, ahead.stock):
        lost = f"too uncertain to show ({lost})"
    lines = [
        f"{ahead.name}: clear at the end in {ahead.clear.words} runs, not clear in "
        f"{opposite(ahead.clear).words}; fish lost {lost}",
        f"  {'day':>4}  {'spots, worst fish':>20}  {'on the bottom':>18}  {'alive':>10}  clear",
    ]
    for day in ahead.days:
        if day.day % 2 and day.day != ahead.days[-1].day and day.day > WEEK:
            continue
        spots = f"{day.worst_visible.low:.0f} to {day.worst_visible.high:.0f}"
        bottom = f"{day.bottom.low:.0f} to {day.bottom.high:.0f}"
        alive = f"{day.alive.low:.0f} to {day.alive.high:.0f}"
        if not useful(day.alive.low, day.alive.high, ahead.stock):
            alive = "uncertain"
        lines.append(f"  {day.day:>4}  {spots:>20}  {bottom:>18}  {alive:>10}  {day.clear.words}")
    return lines


STATES = {
    "heat": "heat",
    "low_salinity": "low salinity",
    "sodium_chloride": "salt in the water",
    "halt": "salt or oxygen holds up",
    "light": "ends by the hours of light",
    "siphon": "siphoning takes out",
    "water_change": "water changes and flow take out",
    "transfer": "moving the fish leaves behind",
}


def acts_text(acts: tuple[Told, ...], facts: Knowledge) -> list[str]:
    """Return what acts on which stage in this forecast, and what it does not know.

    Args:
        acts: as told by the life cycle.
        facts: names of agents.
    """
    if not acts:
        return ["  acts: nothing here acts on the parasite in this forecast"]
    lines = []
    for told in acts:
        name = STATES.get(told.driver) or _agent_name(told.driver, facts)
        name += " in the feed" if told.kind == "feed" else ""
        reached = "; ".join(told.reaches) or "no stage: no figure is recorded, it does nothing here"
        lines.append(f"  acts: {name}: {reached}")
        if told.reaches and told.unknown:
            stages = "; ".join(f"{s} ({why})" if why else s for s, why in told.unknown)
            lines.append(f"        not known, so left out: {stages}")
    return lines


def _agent_name(agent: str, facts: Knowledge) -> str:
    return facts.agents[agent].name if agent in facts.agents else agent
