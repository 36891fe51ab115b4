"""Swimmers that come after hour 0: brought in from outside, or carried over with moved fish."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside.course.bodies.tank_hours import Channel
from tankside.errors import BadInput
from tankside.lifecycle.inputs.forcing import Setting
from tankside.lifecycle.inputs.initial_state import arrival_key, within
from tankside.lifecycle.inputs.parameters import Values
from tankside.lifecycle.inputs.types import Floats, InitialState, Range
from tankside.lifecycle.kernel.positions import PulseColumn

OUTSIDE = -1
Arrays = dict[str, NDArray[Any]]


@dataclass(frozen=True, slots=True)
class Pulse:
    """Swimmers that come into a body at the start of an hour.

    ``drawn`` names the drawn mean number that comes from outside; from another body ``share``
    of the water there is carried over.
    """

    hour: int
    source: int
    to: int
    drawn: str = ""
    share: Range = (0.0, 0.0, 0.0)


def pulses(setup: Setting, start: InitialState) -> tuple[Pulse, ...]:
    """Return what comes later: moves that carry water first, then what is brought in.

    Raises:
        BadInput: something is brought at an hour or into a body that is not there (E-FC-01).
    """
    if setup.parts.seeking is None:
        return ()
    moves = [
        Pulse(
            event.hour,
            setup.bodies.index(event.body),
            setup.bodies.index(event.to_body) if event.to_body in setup.bodies else OUTSIDE,
            share=(event.share_low, event.share, event.share_high),
        )
        for event in setup.tank_hours.events
        if event.channel is Channel.GROUP_MOVED
        and event.share_high > 0
        and event.body in setup.bodies
        and event.hour < setup.last_hour
    ]
    brought = []
    for number, arrival in enumerate(start.later):
        if arrival.body not in setup.bodies or not 0 <= arrival.hour < setup.last_hour:
            raise BadInput(
                "E-FC-01",
                "Swimmers are brought in at an hour or into a body that is not in the forecast.",
                given=f"{arrival.body} at {arrival.hour} h",
                needed=f"{', '.join(setup.bodies)}; 0 to {setup.last_hour - 1} h",
                next_step="Move the arrival into the hours and the waters of the course.",
            )
        to = setup.bodies.index(arrival.body)
        brought.append(Pulse(arrival.hour, OUTSIDE, to, drawn=arrival_key(number)))
    return (*moves, *brought)


def pulse_arrays(arriving: tuple[Pulse, ...], values: Values, drawn: dict[str, Floats]) -> Arrays:
    """Return the kernel's arrays of what comes later.

    Args:
        arriving: from :func:`pulses`.
        values: the histories; where in its range a carried share lies is drawn for each.
        drawn: mean numbers from outside by name, (R,) each.
    """
    at = np.asarray([(p.hour, p.source, p.to) for p in arriving], dtype=np.int64)
    where = values.of("action.share_in_range", 1 / 2)
    sizes = [
        drawn[pulse.drawn] if pulse.drawn else within(pulse.share, where, logarithmic=False)
        for pulse in arriving
    ]
    return {
        "pulse_at": at.reshape(-1, len(PulseColumn)),
        "given_pulse": np.column_stack(sizes) if sizes else np.zeros((values.histories, 0)),
    }


def last_hour(arriving: tuple[Pulse, ...]) -> int:
    """Return the hour of the last that comes, -1 when nothing does."""
    return max((pulse.hour for pulse in arriving), default=-1)
