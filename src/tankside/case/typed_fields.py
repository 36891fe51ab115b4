"""The words of each kind of entry: its keys and how each is read."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.case import typed_value as tv
from tankside.case.medicine import SEEN_TO
from tankside.case.typed_value import Parser
from tankside.quantity import AMOUNT, Kind

LENGTH, CELSIUS = tv.amount(Kind.LENGTH), tv.amount(Kind.TEMPERATURE)
_WATERS = tv.choice("fresh", "brackish", "marine", "keeper_does_not_know")
_PLACE: Mapping[str, Parser] = {"system": tv.system, "note": tv.words}
_WHO: Mapping[str, Parser] = {"fish": tv.words, "group": tv.group, **_PLACE}

FIELDS: Mapping[str, Mapping[str, Parser]] = {
    "system": {
        "system": tv.key, "name": tv.words, "water": _WATERS, "filter": tv.words,
        "use": tv.choice("main", "hospital", "quarantine", "fishless", "bath"),
        "volume_by": tv.choice("geometry", "hose", "salt_rise", "meter"),
        "surface_length": LENGTH, "surface_width": LENGTH, "turnover": tv.amount(Kind.FLOW),
        **dict.fromkeys(
            ("filter_ripe", "carbon", "uv", "ozone", "skimmer", "air_stone", "plants",
             "invertebrates", "carbon_dioxide_added", "food_fish", "conditioner"), tv.yes_no),
        "heater_dial": CELSIUS, "temperature_low": CELSIUS, "temperature_high": CELSIUS,
        "room": CELSIUS, "lights_on": tv.words, "lights_off": tv.words,
        "shares_water_with": tv.names, "shared_tools": tv.names, "note": tv.words,
    },
    "stock": {
        "group": tv.key, "name": tv.words, "system": tv.system, "host": tv.key,
        "living": tv.choice("fish", "invertebrate", "plant"), "count": tv.count,
        "length": LENGTH, "length_to": LENGTH, "weight": tv.amount(Kind.MASS),
        "life_stage": tv.choice("larva", "fry", "juvenile", "adult"), "arrived": tv.day,
        "quarantined": tv.yes_no, "gill_damage": tv.yes_no, "note": tv.words,
    },
    "event": {
        "what": tv.words, "topic": tv.key, "system": tv.system,
        "water_changed": tv.amount(Kind.VOLUME),
    },
    "finding": _WHO,
    "water_test": {
        **_PLACE, "sample": tv.choice("tank", "tap", "bag"), "kit": tv.words,
        "conditioner": tv.yes_no, "dawn": tv.yes_no,
    },
    "wet_mount": {
        **_WHO, "alive": tv.yes_no, "time_dead": tv.amount(Kind.TIME),
        "sample": tv.choice(
            "skin_scrape", "fin_clip", "gill_clip", "spot", "droppings", "organ", "other"),
        "slide_age": tv.amount(Kind.TIME), "examined": tv.count, "fields": tv.count,
        "objective": tv.words,
    },
    "count": {
        **_WHO, "fields": tv.count,
        "method": tv.choice(
            "by_eye", "photo", "skin_scrape", "fin_clip", "gill_clip", "other"),
    },
    "death": {**_WHO, "number": tv.count},
    "agent_in_water": {**_PLACE, "agent": tv.words, "amount": tv.words},
    "label_read": {
        "agent": tv.words, "strength": tv.words, "scale": tv.amount(Kind.MASS),
        "syringe": tv.amount(Kind.VOLUME), "expires": tv.words, "photo": tv.words,
        **dict.fromkeys(SEEN_TO, tv.yes_no), "note": tv.words,
    },
    "dose_asked": {
        **_PLACE, "agent": tv.words, "strength": tv.words, "reason": tv.words,
        "route": tv.choice("prolonged", "bath", "dip"), "minutes": tv.amount(Kind.TIME),
        "water_changed": tv.amount(Kind.VOLUME),
    },
    "course_chosen": {
        "name": tv.words, "starts_at": tv.moment, "reason": tv.words, "replaces": tv.words,
        "stop_signs": tv.words,
    },
    "action_done": {
        "action": tv.words, "agent": tv.key, "amount": tv.amount(*AMOUNT), "index": tv.count,
        "water_changed": tv.amount(Kind.VOLUME), "system": tv.system, "reason": tv.words,
    },
    "photo": {"file": tv.words, "of": tv.words, "note": tv.words},
    "diagnosis_confirmed": {"condition": tv.words, "shown_by": tv.words, "note": tv.words},
    "decision": {
        "what": tv.choice(
            "start", "go_on", "stop", "extend", "change", "wait", "refer", "end", "other"),
        "reason": tv.words, "note": tv.words,
    },
    "note": {"text": tv.words},
    "closed": {
        "outcome": tv.choice("clear", "died", "moved", "lost_contact", "referred", "other"),
        "reason": tv.words,
    },
}  # fmt: skip
"""The keys of each kind of entry and how each is read."""

OTHER_NAMES: Mapping[str, str] = {
    "lowest": "temperature_low", "highest": "temperature_high", "co2": "carbon_dioxide",
    "shares_water": "shares_water_with", "kh": "alkalinity", "gh": "hardness", "do": "oxygen",
    "changed": "water_changed", "starts": "starts_at", "id": "system",
}  # fmt: skip

KIND_WORDS: Mapping[str, tuple[str, Mapping[str, object]]] = {
    **{kind: (kind, {}) for kind in FIELDS},
    "water": ("water_test", {}),
    "in_water": ("agent_in_water", {}),
    "label": ("label_read", {}),
    "dose": ("dose_asked", {}),
    "course": ("course_chosen", {}),
    "done": ("action_done", {"state": "done"}),
    "not_done": ("action_done", {"state": "not_done"}),
    "other_amount": ("action_done", {"state": "other_amount"}),
    "confirmed": ("diagnosis_confirmed", {"state": "confirmed"}),
    "suspected": ("diagnosis_confirmed", {"state": "suspected"}),
    "ruled_out": ("diagnosis_confirmed", {"state": "ruled_out"}),
    "deaths": ("death", {}),
    "close": ("closed", {}),
}
"""The words that name a kind of entry."""

BARE: Mapping[str, str] = {
    "system": "system", "stock": "group", "wet_mount": "sample", "death": "number",
    "decision": "what", "note": "text", "closed": "outcome",
}  # fmt: skip
"""What a word without a key means."""
