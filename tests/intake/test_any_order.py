"""Whatever was typed first: the same dated observations say the same of the case."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from pydantic import BaseModel

from tankside import library
from tankside.case import CaseView, Entry, entry_from, fold
from tankside.intake.cause_treated import causes_named
from tankside.intake.counts import fish_examined, group_counts, looks, sightings
from tankside.intake.parasite_looks import looks_in
from tankside.quantity.moment import Moment
from tankside.services.differential_case import evidence_of

BEGAN = datetime(2026, 5, 4, tzinfo=UTC)
ZERO = Moment("2026-05-04T00:00+00:00")
GROUPS: Any = (SimpleNamespace(id="platy", count=12), SimpleNamespace(id="tetra", count=10))
DESCRIBED: tuple[Mapping[str, object], ...] = (
    {"kind": "opened", "name": "Weir", "keeper": "Nora", "water": "fresh", "zone": "Etc/UTC"},
    {"kind": "system", "system": "main", "use": "main"},
    {"kind": "system", "system": "q", "use": "quarantine"},
    {"kind": "stock", "group": "platy", "name": "platy", "count": 12, "system": "main"},
    {"kind": "stock", "group": "tetra", "name": "tetra", "count": 10, "system": "q"},
)
SIGNS = {"flashing": ("occasional", "frequent"), "spots_visible": ("yes",), "breathing": ("fast",),
         "motion": ("whirling", "darting"), "share_affected": ("one", "several"),
         "spot_size": ("grain_0p3_1mm", "over_1mm"), "nobody_knows_it": ("odd",)}  # fmt: skip
SLIDES = {"m_disc_ring": ("few", "many"), "m_big_ciliate": ("crescent_nucleus", "unreadable"),
          "m_fluke_kind": ("large_flat", "eggs_only")}  # fmt: skip
STATES = ("answered", "answered", "none", "not_looked")
CONDITIONS = ("ICH", "COSTIA", "SKINFLUKE")
SAID = ("suspected", "suspected", "confirmed", "ruled_out")
COUNTED = ("spots", "trophonts", "gill_flukes", "gasping")


def entry(number: int, fields: Mapping[str, object]) -> Entry:
    stamp = {"id": number, "recorded_at": "2026-05-30T10:00:00Z", "by": "t"}
    return entry_from({"occurred_at": BEGAN.isoformat(), **fields, **stamp})


def drawn(r: random.Random) -> list[Mapping[str, object]]:
    """Draw observations; several fall on one moment, and no count is told twice."""
    observed: list[Mapping[str, object]] = []
    for place in range(r.randint(4, 9)):
        at = BEGAN + timedelta(hours=r.choice((0, 10, 10, 34, 58)))
        here: dict[str, object] = {"occurred_at": at.isoformat()}
        here |= r.choice(({}, {"group": "platy"}, {"group": "tetra"}, {"system": "q"}))
        here |= r.choice(({}, {"fish": "worst platy"}))
        kind = r.choice(("finding", "wet_mount", "count", "death"))
        if kind == "finding":
            observed.append({**here, "kind": kind, "looked": looked(r, SIGNS)})
        elif kind == "wet_mount":
            sample = r.choice(("skin_scrape", "gill_clip"))
            slide = {"sample": sample, "looks": [looked(r, SLIDES)]}
            aged = {"slide_age": {"value": "50", "unit": "min"}} if r.random() < 0.3 else {}
            observed.append({**here, "kind": kind, **slide, **aged})
        elif kind == "death":
            group = here.get("group")
            observed.append({"occurred_at": here["occurred_at"], "kind": kind, "number": 1}
                            | ({"group": group} if group else {}))  # fmt: skip
        else:
            stated = r.choice(({"number": r.randint(0, 60)}, {"mean": "4.5"},
                               {"infected": r.randint(0, 3), "examined": 3}))  # fmt: skip
            name = {"fish": f"fish {place}", "what": r.choice(COUNTED)}
            observed.append({**here, **name, "kind": kind, **stated})
    for hour in r.sample(range(60), r.randint(0, 3)):
        said = {"condition": r.choice(CONDITIONS), "state": r.choice(SAID), "shown_by": "a look"}
        moment = (BEGAN + timedelta(hours=hour)).isoformat()
        observed.append({**said, "kind": "diagnosis_confirmed", "occurred_at": moment})
    return observed


def looked(r: random.Random, of: Mapping[str, tuple[str, ...]]) -> dict[str, object]:
    finding, state = r.choice(tuple(of)), r.choice(STATES)
    answers = r.sample(of[finding], r.randint(1, len(of[finding])))
    return {"finding": finding, "state": state} | (
        {"answers": answers} if state == "answered" else {}
    )


def without_numbers(value: object) -> object:
    """Return data without the numbers and stamps of entries."""
    if isinstance(value, BaseModel):
        return value.model_dump(exclude={"id", "recorded_at", "by"})
    return value


def said(view: CaseView, system: str | None) -> Iterator[object]:
    for entries in (view.findings, view.wet_mounts, view.counts, view.deaths):
        yield [without_numbers(some) for some in entries]
    for name, of_one in view.evidence.items():
        yield name, [(x.looked, x.at, x.site, x.fish, x.group, x.system) for x in of_one]
    seen = evidence_of(view, system)
    yield dict(seen.answers), seen.unconfirmed, dict(seen.weights)
    facts = library.load()
    ich = facts.organisms["ichthyophthirius_multifiliis"]
    of_it = looks_in(view, facts, ich, ("main",))
    yield sightings(of_it, GROUPS, ZERO), group_counts(of_it, GROUPS), looks(of_it, ZERO)
    yield [fish_examined(of_it, day) for day in range(3)]
    yield [without_numbers(some) for some in view.diagnoses_standing()]
    yield causes_named(view, facts)
    main = view.main
    yield None if main is None else main.id


def orders(seeds: range) -> None:
    for seed in seeds:
        r = random.Random(seed)
        described = [entry(n, fields) for n, fields in enumerate(DESCRIBED, 1)]
        observed = drawn(r)
        views = []
        for _ in range(2):
            r.shuffle(observed)
            typed = [entry(n, o) for n, o in enumerate(observed, len(described) + 1)]
            views.append(fold((*described, *typed)))
        for system in (None, "q"):
            first, second = (list(said(view, system)) for view in views)
            assert first == second, seed


def test_any_order_of_typing_says_the_same_of_the_case() -> None:
    orders(range(300))


@pytest.mark.slow
def test_two_thousand_orders_of_typing_say_the_same_of_the_case() -> None:
    orders(range(300, 2300))
