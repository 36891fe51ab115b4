"""What happens in the invented case: who, what tank, what is seen on which day.

Everything here is invented, people and place included. It is only what a keeper and a
practitioner see and do; every ranking, amount, date and chance is worked out by the program.
"""

from __future__ import annotations

from dataclasses import dataclass

Words = tuple[str, ...]

FILE = "kiln-lane.jsonl"
ZONE = "Europe/Dublin"
BY = "demo"
OPENED = "2026-03-18T17:20"
FIRST_DAY = "2026-03-18"
CALL = "White grains on the new platies since the weekend, and they rub on the stones."


@dataclass(frozen=True, slots=True)
class ScriptedEntry:
    """One entry as it would be typed after ``tankside case add FILE``."""

    kind: str
    words: Words


CALL_ENTRIES = (
    ScriptedEntry("event", ("what=six platies came, straight into the tank", "topic=arrival",
                   "on=2026-03-10")),
    ScriptedEntry("in-water", ("none",)),
)  # fmt: skip
TANK_ENTRIES = (
    ScriptedEntry("system", (
        "main", "name=the tank", "inside-length=98 cm", "inside-width=38 cm",
        "water-height=42 cm", "takes-away=9 L sand", "takes-away=4 L roots",
        "adds=5 L external filter", "hose=11 L/min for 13.5 min", "label=180 L", "carbon=yes",
        "uv=no", "filter-ripe=yes", "air-stone=no", "plants=no", "invertebrates=no",
        "heater-dial=26 C", "lowest=23.9 C", "highest=24.6 C", "food-fish=no",
        "shared-tools=net of the shrimp tank", "tap=chlorine")),
    ScriptedEntry("stock", (
        "platy", "name=platy", "host=xiphophorus_maculatus", "count=6", "length=5 cm",
                   "arrived=2026-03-10", "quarantined=no", "life-stage=adult",
                   "gill-damage=no")),
    ScriptedEntry("stock", (
        "danio", "name=zebra danio", "host=danio_rerio", "count=8", "length=3.5 cm",
                   "life-stage=adult", "gill-damage=no")),
    ScriptedEntry("stock", ("bristlenose", "name=bristlenose", "host=ancistrus_spp", "count=1",
                   "length=9 cm", "life-stage=adult", "gill-damage=no")),
)  # fmt: skip
WATER_ENTRIES = (
    ScriptedEntry("water", ("temperature=24.2 C", "ph=7.6", "ammonia=0.2 mg/L as N",
                   "nitrite=0 mg/L as N", "kh=8 dH", "oxygen=7.6 mg/L")),
)  # fmt: skip
EXAM_ENTRIES = (
    ScriptedEntry("finding", ("flashing=frequent", "clamped_fins=yes", "spots_visible=yes",
                     "spot_colour=white", "onset_speed=days", "share_affected=several")),
)  # fmt: skip
"""What is seen from outside in the first minute."""
CLOSER_ENTRIES = (
    ScriptedEntry("finding", ("breathing=normal", "spot_size=grain_0p3_1mm", "mortality=none",
                     "spot_form=smooth_dome_in_skin", "spot_distribution=body_and_fins",
                     "spot_grouping=scattered", "spot_count=6_to_30", "fish=worst platy")),
)  # fmt: skip
"""The same fish with lens and side light."""
SCRAPE_ENTRIES = (
    ScriptedEntry("wet-mount", ("skin-scrape", "m_big_ciliate=crescent_nucleus", "m_disc_ring=none",
                       "m_flat_heart=none", "fish=worst platy", "alive=yes",
                       "slide-age=4 min")),
)  # fmt: skip


FIRST_WORST = 14
FIRST_COUNTS = (
    ScriptedEntry("count", (f"spots={FIRST_WORST}", "fish=worst platy", "group=platy")),
    ScriptedEntry("count", ("spots=mean 1.5", "group=danio")),
)
LATER_EVERY = 3
"""Days between visits once the earliest day has come."""
LAST_CHECK = 40
"""The story ends here at the latest, whatever the counts say."""
TANK_SEED = 18
"""Of what an eye counts in the tank of the story."""
