"""Runs whose results are stored; refresh with ``python -m tests.lifecycle.stored_baseline``.

The files in ``baseline/`` say what the same seed gave before. They are no evidence that the
results are right (other tests give that), only that a change of the code did not change them.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
from tests.lifecycle.tanks import body, fish, play, start, tank_hours

from tankside import library, lifecycle
from tankside.bench.kernel_models import model
from tankside.course.bodies.tank_hours import Channel, TimedEvent

FOLDER = Path(__file__).parent / "baseline"
WHOLE = ("burden", "visible", "worst_visible", "infested", "alive", "bottom", "swimmers")
DIGESTED = (*WHOLE, "clear", "clear_day", "fish_burden", "fish_visible", "fish_alive", "work")
HOURS = 480
RUNNING = (
    "amyloodinium_ocellatum",
    "argulus_foliaceus",
    "cryptocaryon_irritans",
    "dactylogyrus_vastator",
    "epistylis",
    "gyrodactylus_salaris",
    "ichthyophthirius_multifiliis",
    "neobenedenia_girellae",
    "piscinoodinium_pillulare",
    "trichodina_nobilis",
)


def _frozen(name: str, histories: int) -> lifecycle.Histories:
    frozen = model(name)
    draws = lifecycle.draw(frozen.organism, histories, 1, fixed=True)
    return lifecycle.run(frozen.compiled(), frozen.start, draws, histories, 5)


def _salt(name: str) -> float:
    return 33.0 if library.load().organisms[name].water == "marine" else 0.0


def _untreated(name: str) -> lifecycle.Histories:
    water = tank_hours(body(hours=HOURS, salt=_salt(name)))
    return play(library.load().organisms[name], water, start(5.0))


def _treated(name: str) -> lifecycle.Histories:
    residue = {agent: np.linspace(12.0, 0.0, HOURS) for agent in ("formalin", "sodium_chloride")}
    water = body(hours=HOURS, warm=22.0, salt=1.0 + _salt(name), residue=residue, exchange=0.02)
    events = tuple(
        TimedEvent(hour, "main", channel, 0.3, 0.4, 0.6)
        for hour in range(12, HOURS, 24)
        for channel in (Channel.BOTTOM_REMOVED, Channel.WATER_REMOVED)
    )
    return play(
        library.load().organisms[name], tank_hours(water, events=events), start(8.0), threads=2
    )


def _moved(name: str) -> lifecycle.Histories:
    hosts = (fish(6, 3.0, "small"), fish(4, 40.0, "large"))
    where = {
        "small": np.where(np.arange(HOURS) < 100, 0, 1).astype(np.int16),
        "large": np.where(np.arange(HOURS) < 200, 0, -1).astype(np.int16),
    }
    salt = _salt(name)
    bodies = (
        body("main", HOURS, litres=60, salt=salt),
        body("clean", HOURS, warm=20.0, salt=salt),
    )
    begin = lifecycle.InitialState({"small": (5.0, 20.0, 60.0), "large": (0.0, 2.0, 9.0)})
    water = tank_hours(*bodies, where=where)
    return play(library.load().organisms[name], water, begin, hosts=hosts)


def cases() -> dict[str, Callable[[], lifecycle.Histories]]:
    """Return what runs each stored case, by name of its file."""
    by_name: dict[str, Callable[[], lifecycle.Histories]] = {
        "frozen_a": partial(_frozen, "A", 32),
        "frozen_b": partial(_frozen, "B", 128),
    }
    for name in RUNNING:
        by_name |= {
            f"{name}_untreated": partial(_untreated, name),
            f"{name}_treated": partial(_treated, name),
            f"{name}_moved": partial(_moved, name),
        }
    return by_name


def summary(result: lifecycle.Histories) -> dict[str, Any]:
    """Return totals by moment, to read a difference from, and digests, to find one by."""
    totals = {
        name: getattr(result, name).reshape(*getattr(result, name).shape[:2], -1).sum((0, 2))
        for name in WHOLE
    }
    digests = {
        name: sha256(np.ascontiguousarray(getattr(result, name)).tobytes()).hexdigest()
        for name in DIGESTED
    }
    return {"totals": {k: v.tolist() for k, v in totals.items()}, "digests": digests}


def stored(name: str) -> dict[str, Any]:
    """Return what is stored of one case."""
    baseline: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return baseline


def refresh() -> None:
    """Store the results of the present code."""
    FOLDER.mkdir(exist_ok=True)
    for name, run in cases().items():
        text = json.dumps(summary(run()), sort_keys=True)
        (FOLDER / f"{name}.json").write_text(text.replace('], "', '],\n"') + "\n", encoding="utf-8")


if __name__ == "__main__":
    refresh()
