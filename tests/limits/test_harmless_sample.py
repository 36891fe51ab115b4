"""Two hundred complete, harmless cases: fish that bear an agent, at its printed usual strength.

The other half of "a protection never falls": it must not stop what nothing speaks against. Drawn
with a seed from the files of hosts and agents; every fact that an amount asks for is told. Twenty
of them are typed as a case, entry by entry.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, invoke

from tankside.claims import Host
from tankside.course.amounts.by_hand import BY_HAND, ByHand
from tankside.course.amounts.limits import Around, hard_limit, reason_limit
from tankside.course.amounts.tolerance import host_classes, most_borne
from tankside.course.bodies.stock import Living, StockGroup, living_kind
from tankside.errors import BadInput, NotPossible
from tankside.intake.dose_request import AtHand, DoseRequest
from tankside.library import load
from tankside.services.dose import work_out

FACTS = load()
SEED = 20261130
DRAWN, LEAST, TYPED = 200, 190, 20
PRESENT = "2026-10-31T18:00+00:00"
BORNE = ("tolerant", "care")
MARINE = "marine"
FORMS = {
    "malachite_green": ("0.1 % w/v as oxalate", " as oxalate"),
    "formalin": ("37 % w/v as formaldehyde", ""),
    "sodium_chloride": ("pure", ""),
    "copper_sulphate": ("pure as CuSO4.5H2O", " as CuSO4.5H2O"),
    "chloramine_t": ("pure as chloramine-T trihydrate", " as chloramine-T trihydrate"),
    "methylene_blue": ("1 % w/v as methylene blue trihydrate", " as methylene blue trihydrate"),
    "levamisole": ("pure as levamisole hydrochloride", " as levamisole hydrochloride"),
    "chloroquine": ("pure as chloroquine diphosphate", " as chloroquine diphosphate"),
    "praziquantel": ("pure", ""),
    "tricaine": ("pure", ""),
    "metronidazole": ("pure", ""),
    "potassium_permanganate": ("pure", ""),
    "hydrogen_peroxide": ("3 % w/v", ""),
    "acriflavine": ("1 % w/v", ""),
    "fenbendazole": ("pure", ""),
}
"""How a container is labelled, and the form a strength is told in."""
READINGS = {
    "temperature": "20 C", "ph": "7.5", "kh": "10 dH", "oxygen": "8 mg/L", "hardness": "12 dH",
    "ammonia": "0 mg/L as N", "nitrite": "0 mg/L as N",
}  # fmt: skip


def kinds(agent: str, route: str, mg_l: float) -> list[Host]:
    """Return the fish that are recorded as bearing the strength, and are not eaten."""
    classes = host_classes(FACTS, FACTS.agents[agent])
    sea = FACTS.find(f"agent.{agent}.needs.marine") is not None
    return [
        host
        for host in sorted(FACTS.hosts.values(), key=lambda host: host.id)
        if living_kind(host) is Living.FISH
        and (host.water == MARINE) is sea
        and host.water in ("fresh", MARINE)
        and classes
        and all(host.tolerance(name) in BORNE for name in classes)
        and all(mg_l <= most for most, _ in most_borne(FACTS, FACTS.agents[agent], route,
                                                       fish_of(host), mg_l))
    ]  # fmt: skip


def fish_of(host: Host) -> StockGroup:
    return StockGroup("f", host.id, host.id, 4, 12.0, None, "main", "adult", False)


def strengths() -> list[tuple[str, str, float]]:
    """Return (agent, route, usual strength [mg/L]): the low end printed, inside every limit."""
    rows = []
    for agent in FORMS:
        sea = FACTS.find(f"agent.{agent}.needs.marine") is not None
        around = Around(20.0, 178.0, False, MARINE if sea else "fresh")
        for route in ("prolonged", "bath"):
            claim = FACTS.find(f"agent.{agent}.dose.{route}")
            if claim is None or (route == "bath" and minutes_of(agent) is None):
                continue
            limits = (hard_limit(FACTS, agent, route, around),
                      reason_limit(FACTS, agent, route, around))  # fmt: skip
            usual = claim.bounds()[0]
            if all(limit is None or usual <= limit.mg_l for limit in limits):
                rows.append((agent, route, usual))
    return [row for row in rows if kinds(*row)]


def minutes_of(agent: str) -> float | None:
    claim = FACTS.find(f"agent.{agent}.minutes_max.bath")
    return None if claim is None else min(60.0, claim.bounds()[1])


def drawn() -> list[dict[str, Any]]:
    """Return the cases, the agents in turn, fish and water by lot."""
    rng = random.Random(SEED)
    rows = strengths()
    assert len({agent for agent, _, _ in rows}) >= 8, rows
    return [case(rng, *rows[number % len(rows)]) for number in range(DRAWN)]


def case(rng: random.Random, agent: str, route: str, mg_l: float) -> dict[str, Any]:
    host = rng.choice(kinds(agent, route, mg_l))
    litres = rng.choice((90, 150, 240, 400, 1200))
    label, form = FORMS[agent]
    timed = {"minutes": f"{minutes_of(agent):g} min"} if route == "bath" else {}
    sea = {"salinity": "34 psu"} if host.water == MARINE else {}
    return {
        "agent": agent, "strength": f"{mg_l:g} mg/L{form}", "route": route, "litres": litres,
        "label": label, "host": host, "timed": timed, "water": host.water,
        "readings": READINGS | sea | {"temperature": f"{warmth(host):g} C"},
    }  # fmt: skip


def warmth(host: Host) -> float:
    """Return a temperature that the kind lives at, no warmer than 24 C where it may be."""
    low, high = (FACTS.find(f"host.{host.id}.temperature_{end}") for end in ("low", "high"))
    if low is None or high is None:
        return 22.0
    return max(low.number(), min(22.0, high.number()))


def at_the_door(asked: dict[str, Any]) -> str:
    """Ask for the amount as typed with options; return the code of a refusal, "" for an amount."""
    read = asked["readings"]
    readings = {
        "temperature_c": read["temperature"], "ph": read["ph"], "oxygen_mg_l": read["oxygen"],
        "alkalinity_mg_l_caco3": "178 mg/L as CaCO3",
    } | ({"salinity_g_l": read["salinity"]} if "salinity" in read else {})  # fmt: skip
    litres = f"{asked['litres']} L"
    request = DoseRequest(
        asked["agent"], asked["strength"], volume=litres, second_volume=litres,
        label=asked["label"], scale=tools(asked["label"]).get("scale"),
        syringe=tools(asked["label"]).get("syringe"),
        at_hand=AtHand(seen_to=tuple(f"{need.typed}=yes" for need in needs_of(asked["agent"]))),
        route=asked["route"], minutes=asked["timed"].get("minutes"), animals=(asked["host"].id,),
        stage="adult", gill_damage="no", readings=readings,
        choices={"invertebrates": "no", "plants": "no", "food_fish": "no", "carbon": "no",
                 "water": asked["water"], "tap": "none"},
    )  # fmt: skip
    try:
        work_out(request)
    except (BadInput, NotPossible) as refused:
        return refused.code
    return ""


def tools(label: str) -> dict[str, str]:
    solid = label.startswith("pure")
    return {"scale": "0.001 g"} if solid else {"syringe": "0.1 mL"}


def needs_of(agent: str) -> list[ByHand]:
    return [need for need in BY_HAND if FACTS.find(f"agent.{agent}.needs.{need.name}") is not None]


def typed_in(run: Callable[..., Ran], folder: Path, number: int, asked: dict[str, Any]) -> str:
    """Type the same as a case, entry by entry; return the code of a refusal."""
    file = str(folder / f"{number}.jsonl")
    opening = ("--name", "Harmless", "--keeper", "T. Fenn", "--water", asked["water"], "--zone",
               "Europe/London", "--opened", "2026-10-31T09:00")  # fmt: skip
    assert run("case", "new", file, *opening).code == 0
    sea = ("skimmer=no", "ozone=no") if asked["water"] == MARINE else ()
    seen = [f"{need.typed}=yes" for need in needs_of(asked["agent"])]
    box = f"{asked['litres'] / 0.2:g}"
    for entry in (
        ("system", f"inside-length={box} cm", "inside-width=10 cm", "water-height=20 cm",
         f"meter={asked['litres']} L", "carbon=no", "uv=no", "filter-ripe=yes", "plants=no",
         "invertebrates=no", "food-fish=no", "air-stone=yes", "tap=none", *sea),
        ("stock", f"name={asked['host'].id}", "count=4", "length=12 cm", "arrived=2025-09-14",
         "quarantined=yes", "gill-damage=no", "life-stage=adult"),
        ("event", "none"), ("in-water", "none"),
        ("water", *(f"{name}={value}" for name, value in asked["readings"].items())),
        ("label", f"agent={asked['agent']}", f"strength={asked['label']}",
         *(f"{name}={value}" for name, value in tools(asked["label"]).items()), *seen),
    ):  # fmt: skip
        added = run("case", "add", file, *entry)
        assert added.code == 0, (entry, added.err)
    timed = [f"{name}={value}" for name, value in asked["timed"].items()]
    ran = run("case", "add", file, "dose", f"agent={asked['agent']}",
              f"strength={asked['strength']}", f"route={asked['route']}", *timed,
              "--json")  # fmt: skip
    return "" if ran.code == 0 else str(ran.error["code"])


def named(asked: dict[str, Any]) -> tuple[str, str, str]:
    return asked["agent"], asked["route"], asked["host"].id


def test_at_least_190_of_200_harmless_cases_get_their_amount(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    stopped = {named(asked): code for asked in drawn() if (code := at_the_door(asked))}
    came = sum(named(asked) not in stopped for asked in drawn())
    print(f"came {came} of {DRAWN}; {stopped}")
    assert came >= LEAST, stopped


def test_of_twenty_typed_entry_by_entry_as_many_come(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    chosen = drawn()[:: DRAWN // TYPED]
    codes = [typed_in(invoke, tmp_path, number, asked) for number, asked in enumerate(chosen)]
    stopped = {named(asked): code for asked, code in zip(chosen, codes, strict=True) if code}
    print(f"typed {len(chosen)}, stopped {stopped}")
    assert len(chosen) == TYPED
    assert len(stopped) <= TYPED * (DRAWN - LEAST) / DRAWN, stopped
