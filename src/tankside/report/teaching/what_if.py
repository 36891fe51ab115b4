"""The invented tank as a page: its fan, its stages, its twenty marks, and what speaks for care."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from tankside.errors.code import Level
from tankside.present.figures.fan import Band
from tankside.present.figures.tried import small_fan, stage_bars
from tankside.quantity.number import parse_number
from tankside.report.teaching.life_cycle import span
from tankside.services.what_if import FINE_RUNS, FISH, LIMITS, ROUGH_RUNS, TriedOut, TryOut, try_out

SLIDERS = (
    ("temperature_c", "Water", "C", "as measured"),
    ("salt_g_l", "Salt", "g/L", "reached in three days, then held; 0 for none"),
    ("every_d", "Siphon every", "days", "the whole bottom, with a fifth of the water"),
    ("missed_d", "Days missed", "days", "from day 6 on nothing is done"),
)
STEPS = {"temperature_c": "0.5", "salt_g_l": "0.5", "every_d": "1", "missed_d": "1"}
ROUGH, FINE = "rough", "fine"
RUNS = {ROUGH: ROUGH_RUNS, FINE: FINE_RUNS}
NO_CASE = (
    "An invented tank: 120 L, twelve platies, white spot, eight spots on the worst fish. It is no "
    "case and becomes none; what it shows is the model, not validated on real tanks."
)


@dataclass(frozen=True, slots=True)
class Slider:
    """One thing that can be set."""

    key: str
    label: str
    unit: str
    hint: str
    least: str
    most: str
    step: str
    value: str


@dataclass(frozen=True, slots=True)
class TriedShown:
    """What came of it, as it is shown.

    Args:
        lead: in one sentence.
        fineness: how many runs it rests on, in words.
        fan: the drawing of the counts.
        fan_words: the same in words.
        bars: the drawing of the stages; "" where nothing develops.
        bars_words: the same in words.
        marks: name, number of twenty marks, and words.
        cautions: level and words.
        steps: what would be weighed out; none where the course is blocked.
    """

    lead: str
    fineness: str
    fan: str
    fan_words: str
    bars: str
    bars_words: str
    marks: tuple[tuple[str, int, str], ...]
    cautions: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]


def sliders(asked: TryOut) -> tuple[Slider, ...]:
    """Return the sliders, standing where they were set."""
    return tuple(
        Slider(
            key, label, unit, hint, f"{LIMITS[key][0]:g}", f"{LIMITS[key][1]:g}", STEPS[key],
            f"{getattr(asked, key):g}",
        )
        for key, label, unit, hint in SLIDERS
    )  # fmt: skip


def asked_of(typed: Mapping[str, str]) -> TryOut:
    """Return what is set, from what a form sends; what is left out stands at its usual place.

    Raises:
        BadInput: E-NUM-.. what is sent is no number.
    """
    keys = [key for key, *_ in SLIDERS if key in typed]
    return TryOut(**{key: float(parse_number(typed[key], field=key)) for key in keys})


def tried(asked: TryOut, fineness: str) -> TriedShown:
    """Play the tank and return what is shown.

    Args:
        asked: what is set.
        fineness: "rough" or "fine".

    Raises:
        BadInput: E-LEARN-02 something is set beyond what the tank is made for.
    """
    return tried_shown(try_out(asked, RUNS.get(fineness, ROUGH_RUNS)))


def tried_shown(answer: TriedOut) -> TriedShown:
    """Return what is shown of an answer."""
    end = answer.days[-1]
    bands = [
        Band(d.day, d.counted.low, d.counted.high, (d.counted.lower, d.counted.upper))
        for d in answer.days
        if d.counted is not None
    ]
    fan_words = _fan_words(bands)
    rows = _rows(answer)
    bars_words = "; ".join(f"{name}: {said}" for name, _, _, said in rows)
    marks = tuple(
        (name, runs.number, f"{runs.words}; not so in the others")
        for name, runs in (("clear, with fish alive", end.clear), ("still there", end.left),
                           ("no fish left", end.no_fish))
    )  # fmt: skip
    blocked = any(caution.level is Level.BLOCKED for caution in answer.cautions)
    return TriedShown(
        lead=f"After {end.day:g} days: clear with fish alive in {end.clear.words} runs.",
        fineness=f"{'rough' if answer.runs < FINE_RUNS else 'fine'}, from {answer.runs} runs",
        fan=small_fan(bands, int(end.day), answer.siphoned_d, fan_words),
        fan_words=fan_words,
        bars=stage_bars(rows, bars_words) if rows else "",
        bars_words=bars_words or "At this temperature it does not develop.",
        marks=marks,
        cautions=(
            *((c.level.value.upper(), f"{c.words} {c.what_instead}") for c in answer.cautions),
            ("CARE", "In a real tank an amount hangs on its volume and its animals: plan it in a "
             "case, and follow the label and a veterinarian."),
        ),
        steps=() if blocked else tuple(step.text for step in answer.steps),
    )  # fmt: skip


def _rows(answer: TriedOut) -> tuple[tuple[str, float, float, str], ...]:
    rows = [(name, t[0], t[2], span(t)) for name, t in answer.durations.rows() if isfinite(t[2])]
    return tuple(rows)


def _fan_words(bands: list[Band]) -> str:
    if not bands:
        return "No fish is left to count."
    most, last = max(bands, key=lambda band: band.high), bands[-1]
    return (
        f"At most {most.low:.0f} to {most.high:.0f} spots on day {most.day:g}, "
        f"{last.low:.0f} to {last.high:.0f} on day {last.day:g}; {FISH} fish at first."
    )
