"""The page on which a course is put together: its steps so far, and the form of the next one."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tankside.intake.built_course import KINDS
from tankside.services.built import BuiltSoFar

LONGEST = 80
NAMES: Mapping[str, tuple[str, str]] = {
    "air": ("Air stone in", "runs from then on"),
    "carbon_out": ("Take the carbon out", "before anything is dosed"),
    "uv_off": ("Turn UV off", "before anything is dosed"),
    "warm": ("Warm or cool", "at the usual speed, some degrees a day, never at once"),
    "salt": ("Salt", "raised in daily steps; changed water gets its share back"),
    "dose": ("Give a medicine", "brought to the strength; changed water gets its share back"),
    "change": ("Change water", "taken out and put back, as warm as the tank"),
    "siphon": ("Siphon the bottom", "with so many litres, which are put back"),
    "move": ("Move all fish", "into another water of the case; this one stays without fish"),
    "take_out": ("Take a medicine out at the end", "changes that put nothing of it back"),
}
"""Title and one line of help of each kind of step."""
FIELDS: Mapping[str, tuple[str, str]] = {
    "to": ("To", ""),
    "agent": ("Substance", "the active substance, as the label names it"),
    "strength": ("Strength in the water", "with its unit and basis, for example 0.1 mg/L"),
    "litres": ("Litres", "for example 40 L"),
    "day": ("First on day", "1 is the day it begins; left open, that day"),
    "every": ("Days between", "left open, once"),
    "times": ("How often", "left open, to the end of the course"),
    "in": ("Which water", ""),
}
"""Label and hint of each box."""
HINTS = {
    ("warm", "to"): "of the water, for example 26 C",
    ("salt", "to"): "in the water, for example 2 g/L",
    ("move", "to"): "where they go",
}


@dataclass(frozen=True, slots=True)
class StepBox:
    """One box of a step; ``choices`` are what may be chosen, () where it is typed."""

    name: str
    label: str
    hint: str
    is_needed: bool
    choices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class StepForm:
    """The form of one kind of step."""

    word: str
    title: str
    help: str
    boxes: tuple[StepBox, ...]


@dataclass(frozen=True, slots=True)
class BuiltPage:
    """A course being put together.

    Args:
        lead: how far it has come.
        steps: the line and the words of each step.
        days: its length as typed, "" where it was left open.
        stops: what forbids it, each with what to do instead.
        cares: what speaks for care.
        kinds: word and title of each kind of step.
        form: the form of the kind that is being added; None where none is.
    """

    lead: str
    steps: tuple[tuple[str, str], ...]
    days: str
    stops: tuple[str, ...]
    cares: tuple[str, ...]
    kinds: tuple[tuple[str, str], ...]
    form: StepForm | None


def built_page(built: BuiltSoFar, lines: Sequence[str], days: str, word: str) -> BuiltPage:
    """Return the page of a course as far as it is put together.

    Args:
        built: the course.
        lines: its steps as typed.
        days: its length as typed.
        word: the kind of step that is being added; "" for none.
    """
    number = len(lines)
    steps = f"{number} step" if number == 1 else f"{number} steps"
    lead = f"{steps}, {built.days} days." if lines else "No step yet."
    if built.stops:
        lead = f"{steps}: it cannot be done so."
    return BuiltPage(
        lead=lead,
        steps=tuple(zip(lines, built.words, strict=True)),
        days=days,
        stops=tuple(f"{c.words} {c.why} {c.what_instead}".strip() for c in built.stops),
        cares=tuple(f"{c.words} {c.what_instead}".strip() for c in built.cares),
        kinds=tuple((kind, NAMES[kind][0]) for kind in KINDS if kind != "move" or built.spare),
        form=step_form(word, built) if word in KINDS else None,
    )


def step_form(word: str, built: BuiltSoFar) -> StepForm:
    """Return the form of a kind of step.

    Args:
        word: the kind.
        built: the course, for the waters of its case.
    """
    kind = KINDS[word]
    names = (*kind.fields, "day", *(("every", "times") if kind.repeats else ()))
    if len(built.waters) > 1 and word != "move":
        names = (*names, "in")
    title, help_line = NAMES[word]
    return StepForm(word, title, help_line, tuple(_box(word, name, built) for name in names))


def step_line(word: str, values: Mapping[str, str]) -> str:
    """Return a step as one typed line; what was left open is not in it."""
    pairs = (f"{name}={value[:LONGEST]}" for name, value in values.items() if value.strip())
    return shlex.join((word, *pairs))


def _box(word: str, name: str, built: BuiltSoFar) -> StepBox:
    label, hint = FIELDS[name]
    waters = dict(built.waters)
    choices: tuple[tuple[str, str], ...] = ()
    if name == "in":
        choices = (("", "that of the sick fish"), *built.waters)
    elif (word, name) == ("move", "to"):
        choices = tuple((spare, waters[spare]) for spare in built.spare)
    needed = name in KINDS[word].fields
    return StepBox(name, label, HINTS.get((word, name), hint), needed, choices)
