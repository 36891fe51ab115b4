"""Own scenario, Ash Court (invented): a case with every kind of entry, and what may stand in them.

``TRIED`` holds changes of a field that need other facts beside it, or values that no pool holds.
"""

from __future__ import annotations

from typing import Any

NOW = "2026-09-12T18:00+00:00"
DAY_0 = "2026-09-05"
OPENING = ["--name", "Ash Court", "--keeper", "Ina Moor", "--water", "fresh", "--opened", DAY_0,
           "--zone", "Europe/London", "--country", "GB", "--place", "hall",
           "--practitioner", "B. Hay", "--call", "white dots since Monday"]  # fmt: skip
CALM = ["carbon=no", "uv=no", "plants=no", "invertebrates=no", "filter-ripe=yes", "food-fish=no",
        "tap=chlorine", "overflow=no", "air-stone=yes", f"on={DAY_0}T09:00"]  # fmt: skip
READ = f"on={DAY_0}T10:00"
SEEN = f"on={DAY_0}T11:00"
BEFORE = [
    ["system", "main", "use=main", "inside-length=100 cm", "inside-width=50 cm",
     "water-height=40 cm", "meter=195 L", "surface-length=100 cm", "surface-width=50 cm",
     "turnover=600 L/h", "temperature-low=23 C", "temperature-high=25 C", "room=20 C",
     "lights-on=08:00", "lights-off=20:00", "substrate=yes", "co2=no", "conditioner=no", *CALM],
    ["system", "box", "use=hospital", "meter=40 L", "hose=4 L/min for 10 min", *CALM],
    ["stock", "koi", "count=5", "length=14 cm", "system=box", f"on={DAY_0}T09:00"],
    ["stock", "gold", "name=common goldfish", "count=8", "length=6 cm", "length-to=9 cm",
     "weight=4 g", "system=main", "life-stage=adult", "gill-damage=no", "arrived=2026-08-24",
     "quarantined=no", "note=bought at a show", f"on={DAY_0}T09:00"],
    ["event", "hose left running", "topic=hose", "system=main", "changed=20 L", READ],
    ["event", "evaporated", "topic=top", "system=main", "topped-up=6 L", READ],
    ["finding", "spots_visible=yes", "skin_film=local", "group=gold", "system=main", READ],
    ["water", "system=main", "temperature=24 C", "ph=7.6", "ammonia=0.1 mg/L as N",
     "nitrite=0.1 mg/L as N", "kh=9 dH", "oxygen=7.6 mg/L", "kit=drops", "dawn=no",
     "conductivity=450 uS/cm", "copper=0.01 mg/L as Cu", "copper-form=free", READ],
    ["finding", "flashing=frequent", "fish=old one", "group=gold", READ],
    ["wet-mount", "gill-clip", "fish=old one", "group=gold", "m_fluke_gill=few", READ],
    ["wet-mount", "skin-scrape", "group=gold", "alive=yes", "slide-age=5 min", "fields=10",
     "examined=2", "m_big_ciliate=2 crescent", READ],
    ["count", "group=gold", "fish=worst goldfish", "spots=14", SEEN],
    ["count", "group=gold", "spots=mean 6", SEEN],
    ["count", "group=gold", "skin flukes=3 of 4", SEEN],
    ["in-water", "agent=salt", "amount=20 g", "system=main", f"on={DAY_0}T05:00"],
    ["label", "agent=salt", "strength=pure", "scale=1 g", "expires=2027-05-01", READ],
    ["label", "agent=formalin", "strength=37 % w/w as formaldehyde", "syringe=0.5 mL",
     "density=1.08 g/mL", READ],
    ["label", "agent=hypochlorite", "strength=12 % w/v as available chlorine",
     "syringe=1 mL", READ],
    ["death", "1", "group=gold", "fish=the big one", "system=main", SEEN],
    ["confirmed", "condition=ich", "shown-by=skin scrape", SEEN],
    ["suspected", "condition=chilo", "shown-by=skin scrape", f"on={DAY_0}T12:00"],
]  # fmt: skip
PLAN = ["--on", DAY_0, "--only", "salt", "--strength", "salt=1 g/L", "--no-warming"]
AFTER = [
    ["wet-mount", "gill-clip", "fish=old one", "group=gold", "alive=yes", "objective=10x",
     "examined=2", "fields=12", "m_fluke_gill=none", "on=2026-09-08T09:30"],
    ["finding", "flashing=none", "fish=old one", "group=gold", "on=2026-09-08T09:00"],
    ["done", "step=A0-1", "system=main", "amount=190 g", "agent=salt", "reason=as said",
     f"on={DAY_0}T18:30"],
    ["dose", "agent=salt", "strength=1.5 g/L", "system=main", "reason=keeper wished it so",
     "on=2026-09-06T09:00"],
    ["done", "agent=salt", "answers=28", "system=main", "on=2026-09-06T09:30"],
    ["done", "step=A1-1", "changed=50 L", "on=2026-09-06T18:30"],
    ["done", "step=A2-1", "changed=50 L", "on=2026-09-07T18:30"],
    ["done", "step=A2-3", "on=2026-09-07T18:40"],
    ["count", "group=gold", "fish=worst goldfish", "spots=9", "on=2026-09-08T10:00"],
    ["death", "1", "group=gold", "on=2026-09-08T11:00"],
    ["done", "step=A3-1", "changed=45 L", "on=2026-09-08T18:00"],
    ["done", "step=A3-1", "changed=45 L", "again=yes", "on=2026-09-08T20:00"],
    ["decision", "go_on", "reason=fewer spots", "on=2026-09-09T10:00"],
    ["dose", "agent=salt", "strength=5 g/L", "route=bath", "minutes=10 min", "system=main",
     "on=2026-09-09T10:10"],
    ["label", "agent=praziquantel", "strength=pure", "scale=0.001 g", "predissolve=yes",
     "on=2026-09-09T10:15"],
    ["dose", "agent=praziquantel", "strength=75 mg/kg/d", "route=feed", "ration=1 % of body weight",
     "days=5 d", "fish-weight=24 g", "system=main", "on=2026-09-09T10:20"],
    ["dose", "agent=hypochlorite", "strength=200 mg/L", "route=equipment",
     "vessel=10 L", "minutes=1 h", "system=main", "on=2026-09-09T10:30"],
    ["water-moved", "20 L", "from=main", "to=box", "on=2026-09-09T10:40"],
    ["done", "step=A6-3", "changed=50 L", "on=2026-09-11T18:00"],
    ["water", "temperature=24.2 C", "ph=7.6", "oxygen=7.4 mg/L", "kh=9 dH",
     "ammonia=0.1 mg/L as N", "nitrite=0 mg/L as N", "on=2026-09-12T08:00"],
    ["label", "agent=formalin", "strength=37 % w/w as formaldehyde", "syringe=0.05 mL",
     "density=1.08 g/mL", "clear-solution=yes", "on=2026-09-12T08:30"],
    ["in-water", "agent=salt", "amount=10 g", "system=box", f"on={DAY_0}T05:00"],
    ["stock", "danio", "name=zebra danio", "count=2", "length=4 cm", "system=box",
     f"on={DAY_0}T09:00"],
    ["stock", "danio", "system=main", "on=2026-09-11T09:00"],
    ["photo", "file=a.jpg", "of=gold", "on=2026-09-09T11:00"],
    ["note", "keeper is away", "on=2026-09-09T12:00"],
]  # fmt: skip
ASKED = [
    ["dose", "--case", "CASE", "--agent", "salt", "--strength", "2 g/L", "--system", "main"],
    ["dose", "--case", "CASE", "--agent", "salt", "--strength", "2 g/L", "--system", "box"],
    ["dose", "--case", "CASE", "--agent", "formalin", "--strength", "8 mg/L as formaldehyde",
     "--system", "main"],
    ["dose", "--case", "CASE", "--agent", "praziquantel", "--strength", "2.5 mg/L",
     "--system", "main"],
    ["today", "CASE"],
    ["case", "list", "FOLDER"],
]  # fmt: skip
POOL = ["yes", "no", "box", "brackish", "marine", "keeper_does_not_know", True, 3, 5, "3",
        "2026-09-05T15:00+01:00", "2026-09-11T15:00+01:00", "2026-09-04T09:00+01:00", "2026-09-04",
        "other", "other words", "2 g/L", "DE", "08:30", ["box"],
        {"value": "7", "unit": "mg/L", "basis": "as N"},
        *({"value": "7", "unit": unit}
          for unit in ("cm", "g", "L", "C", "L/h", "min", "d", "g/mL"))]  # fmt: skip
NONE_SEEN = {"finding": "flashing", "state": "none"}
LITRES_30 = {"value": "30", "unit": "L/h"}
DAYS_AGO = "2026-09-10T09:00+01:00"


class Together(dict[str, Any]):
    """Fields of which the one cannot change without the others."""


HOURS_6 = {"value": "6", "unit": "h"}
NO_NUMBER: dict[str, Any] = dict.fromkeys(("number", "mean", "infected", "examined"))
NOTHING_IN: dict[str, Any] = dict.fromkeys(("agent", "amount", "amount_state"))
RUNS_OVER: dict[str, Any] = {"overflow": "yes"}
NOTHING_BESIDE: dict[str, Any] = {}
TRIED: dict[tuple[str, str], tuple[tuple[dict[str, Any], tuple[Any, ...]], ...]] = {
    ("opened", "not_known"): (({"country": None}, (["country"],)),),
    ("opened", "zone"): (({}, ("Asia/Tokyo",)),),
    ("system", "not_known"): (
        ({"temperature_low": None, "temperature_high": None}, (["temperature_low"],)),
    ),
    ("system", "lights_on"): (({}, ("05:00", "14:00")),),
    ("system", "shared_tools"): (({}, (["net"],)),),
    ("system", "inflow"): ((RUNS_OVER, (LITRES_30,)),),
    ("system", "inflow_off"): ((RUNS_OVER | {"inflow": LITRES_30}, (HOURS_6,)),),
    ("stock", "not_known"): (({"length": None, "length_to": None}, (["length"],)),),
    ("stock", "host"): (({}, ("koi", "neon_tetra")),),
    ("stock", "arrived"): (({}, ("2026-06-01T00:00+01:00", "2026-09-08T00:00+01:00")),),
    ("event", "what"): (({"topic": None, "water_changed": None}, ("heater off", "pump stopped")),),
    ("event", "state"): (({"topic": "dosed_medicine"}, ("none",)),),
    ("event", "topic"): (({}, ("power_pump_failure",)),),
    ("finding", "looked"): (({}, (NONE_SEEN,)),),
    ("finding", "system"): (({"group": None, "fish": None}, ("box",)),),
    ("finding", "group"): (({"fish": None}, ("koi",)),),
    ("finding", "fish"): (({}, ("another one",)),),
    ("finding", "occurred_at"): (({}, (DAYS_AGO,)),),
    ("water_test", "copper_form"): (({}, ("total",)),),
    ("water_test", "checked"): (({}, ("never", "2020-01-01")),),
    ("wet_mount", "looks"): (({}, ([{"finding": "m_big_ciliate", "state": "none"}],)),),
    ("wet_mount", "system"): (({"group": None, "fish": None}, ("box",)),),
    ("wet_mount", "group"): (({}, ("koi",)),),
    ("wet_mount", "fish"): (({}, ("another one",)),),
    ("wet_mount", "alive"): (({}, ("no",)),),
    ("wet_mount", "time_dead"): (({"alive": "no"}, (HOURS_6,)),),
    ("wet_mount", "slide_age"): (({}, ({"value": "2", "unit": "h"},)),),
    ("wet_mount", "examined"): (({}, (1,)),),
    ("wet_mount", "fields"): (({}, (3,)),),
    ("wet_mount", "objective"): (({}, ("2x",)),),
    ("count", "infected"): (({"what": "spots"}, (1,)),),
    ("count", "state"): (({}, (Together(NO_NUMBER | {"state": "not_looked"}),)),),
    ("count", "fields"): (({"method": "skin_scrape", "what": "trophonts"}, (3,)),),
    ("action_done", "action"): (({"agent": None, "step": None}, ("formalin",)),),
    ("action_done", "answers"): (({"agent": None, "action": "as asked"}, (3,)),),
    ("action_done", "index"): (({"answers": None, "agent": None, "action": "as asked"}, (28,)),),
    ("label_read", "density"): (({}, ({"value": "1.05", "unit": "g/mL"}, None)),),
    ("agent_in_water", "state"): (({}, (Together(NOTHING_IN | {"state": "none"}),)),),
    ("agent_in_water", "amount_state"): (
        ({}, (Together(amount=None, amount_state="keeper_does_not_know"),)),
    ),
    ("water_moved", "system"): (({}, (Together(source="box", system="main"),)),),
    ("dose_asked", "reason"): (({"strength": "4 g/L"}, (None,)),),
    ("death", "fish"): (({"group": None}, ("worst koi",)),),
    ("death", "system"): (({"group": None, "fish": None}, ("box",)),),
    ("diagnosis_confirmed", "occurred_at"): (({"state": "suspected"}, (DAYS_AGO,)),),
    ("decision", "occurred_at"): (({"what": "stop"}, (DAYS_AGO,)),),
    ("count", "group"): (({"fish": None}, ("koi",)),),
    ("count", "system"): (({"group": None, "fish": None}, ("box",)),),
}
"""Where a change is tried beside other facts, or with values that no pool holds."""
