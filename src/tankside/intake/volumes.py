"""How much water one system holds, as two ways of measuring it leave it."""

from __future__ import annotations

from tankside.case import SystemView
from tankside.claims import Knowledge
from tankside.course import Volume, VolumeRules, volume_from_methods


def volume_rules(facts: Knowledge) -> VolumeRules:
    """Return from which difference on two measurements of a volume ask to measure, or stop."""
    return VolumeRules(
        facts.number("practice.course.volume_ask_difference"),
        facts.number("practice.course.volume_stop_difference"),
    )


def volume(place: SystemView, facts: Knowledge) -> Volume:
    """Return the volume of one water as two methods leave it.

    Raises:
        BadInput: E-DOSE-21 two methods differ too much.
    """
    second = place.volume.second_l
    measured = [result.method for result in place.volume.results if result.measured]
    return volume_from_methods(
        float(place.volume.point_l or 0),
        None if second is None else float(second),
        volume_rules(facts),
        " and ".join(measured[:2]).replace("_", " "),
    )
