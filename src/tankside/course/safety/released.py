"""Whether the knowledge that amounts and limits rest on is the one that was released."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.bodies.caution import Caution, Level
from tankside.course.safety.scene import CourseScene

RULES = ("practice/", "water/", "hosts/")
"""Folders whose files bear on every agent."""


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-BASE for every agent whose own file, or the rules for all, were changed by hand."""
    rules = [name for name in scene.facts.altered if name.startswith(RULES)]
    for agent in dict.fromkeys(agent for _, agent in scene.treated()):
        of_agent = [name for name in scene.facts.altered if name == f"agents/{agent}.toml"]
        if of_agent or rules:
            yield Caution(
                Level.CARE,
                "S-BASE",
                f"What is known of {scene.agent_name(agent)} is not as it was released.",
                f"Changed on this machine: {', '.join(sorted(of_agent + rules))}.",
                "",
                "Compare these files with the released ones before you weigh anything.",
                agent=agent,
            )
