"""Nets, siphons and buckets that go from one water to another carry the parasite with them."""

from __future__ import annotations

from tankside.case import CaseView, SystemView
from tankside.case.typed_value import NONE, NOT_KNOWN


def tools_shared(place: SystemView) -> tuple[str, ...]:
    """Return the tools of a water that are used in other waters too, as they were named."""
    listed = place.description.shared_tools
    return tuple(tool for tool in listed if tool not in (NONE, *NOT_KNOWN))


def spread_warnings(view: CaseView) -> dict[str, str]:
    """Return one warning for each water whose tools go to other waters, by its open key.

    Args:
        view: the case.
    """
    return {
        f"system.{place.id}.shared_tools": (
            f"Used in {place.name} and in other waters too: {', '.join(tools)}. One set for each "
            "water, or disinfect and dry them in between; see to the sick water last."
        )
        for place in view.systems.values()
        if (tools := tools_shared(place))
    }
