"""What the forms of the pages are called, and what each asks at once."""

from __future__ import annotations

from collections.abc import Mapping

TITLES: Mapping[str, str] = {
    "opened": "A new case",
    "system": "The tank",
    "stock": "Who lives in it",
    "event": "What changed or happened",
    "finding": "What was seen",
    "water": "A water test",
    "wet_mount": "A wet mount",
    "count": "A count",
    "photo": "A photo",
    "water_moved": "Water carried from tank to tank",
    "in_water": "What is in the water already",
    "label": "A label",
    "dose": "An amount to be worked out",
    "course": "A course",
    "done": "A step was done",
    "not_done": "A step was not done",
    "other_amount": "Another amount was given",
    "death": "Deaths",
    "confirmed": "A cause was shown",
    "suspected": "A cause is suspected",
    "ruled_out": "A cause was ruled out",
    "decision": "A decision",
    "note": "A note",
    "closed": "The case ends",
}
"""Title of the form of each word that names an entry."""

ASKED_FIRST: Mapping[str, tuple[str, ...]] = {
    "opened": ("name", "keeper", "water", "call", "zone", "country"),
    "system": (
        "inside_length", "inside_width", "water_height", "takes_away", "adds", "hose", "label",
        "filter", "carbon", "uv", "tap", "plants", "invertebrates",
    ),
    "stock": ("name", "count", "length", "arrived", "quarantined"),
    "event": ("alone", "what", "changed"),
    "finding": ("fish", "group"),
    "water_test": ("temperature", "ph", "ammonia", "nitrite", "oxygen", "alkalinity", "salinity"),
    "wet_mount": ("sample", "fish", "alive", "examined"),
    "count": ("fish", "group", "method"),
    "agent_in_water": ("alone", "agent", "amount"),
    "label_read": ("agent", "strength", "scale", "syringe", "expires"),
    "dose_asked": ("agent", "strength", "route", "minutes"),
    "action_done": ("action", "step", "agent", "amount", "changed", "reason"),
    "death": ("number", "group"),
    "diagnosis_confirmed": ("condition", "shown_by"),
    "decision": ("what", "reason"),
    "closed": ("outcome", "reason"),
}  # fmt: skip
"""Fields of a kind of entry that are asked at once, in the order of asking."""

INSTEAD: Mapping[str, str] = {
    "?": "not known",
    "not-looked": "not measured",
    "none": "none",
}
"""What may stand in place of a value, in words."""

LABELS: Mapping[str, str] = {"ph": "pH", "uv": "UV lamp", "co2": "carbon dioxide added"}
"""Labels that are not the name of the field in plain letters."""
