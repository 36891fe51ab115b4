"""Invented tanks and small sets of claims for the tests of the course room."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

import pytest

from tankside.claims import Agent, Claim, Confidence, Host, Knowledge, Provenance
from tankside.course import (
    BodyKind,
    LabelEntry,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
    Volume,
)

FORMS = {"agent.copper_sulphate.form.crystals": {"form": "as CuSO4.5H2O"}}
Figure = float | str | tuple[float | None, float | None, float | None]


def claim(key: str, figure: Figure) -> Claim:
    low = high = None
    value: float | str | None
    if isinstance(figure, tuple):
        low, value, high = figure
    else:
        value = figure
    return Claim(
        key, value, "", Provenance.ESTIMATE, Confidence.LOW, low, high,
        conditions=FORMS.get(key, {}), source="test figure",
    )  # fmt: skip


# Figures of the knowledge notes (leaflet doses, half-lives as estimates); good enough for
# behaviour, the library's own figures are tested where they live.
FIGURES: Mapping[str, Figure] = {
    "practice.course.fresh_salinity": 0.0,
    "practice.course.shortest_half_life": 24.0,
    "practice.course.siphon_bottom_share": (0.3, 0.6, 0.8),
    "practice.course.carbon_loss": (0.05, 0.1, 0.3),
    "practice.course.feed_share_of_weight": (0.005, 0.01, 0.03),
    "practice.course.feed_protein_share": (0.3, 0.4, 0.5),
    "practice.course.fasting_excretion_share": (0.2, 0.3, 0.5),
    "practice.course.filter_at_risk_share": (0.0, 0.5, 1.0),
    "practice.course.test_detection": 0.05,
    "practice.course.oxygen_care": 5.0,
    "practice.course.oxygen_floor": 3.0,
    "practice.course.nitrite_care": 0.3,
    "practice.course.ph_jump_care": 0.3,
    "water.ammonia.guideline_fresh.trade_body": 0.02,
    "water.ammonia.gill_damage": 0.05,
    "agent.sodium_chloride.dose.prolonged": (1000.0, None, 3000.0),
    "agent.copper_sulphate.dose.prolonged": (0.15, None, 0.2),
    "agent.malachite_green.dose.prolonged": (0.05, 0.1, 0.1),
    "agent.malachite_green.hard_max.prolonged": 0.2,
    "agent.malachite_green.removal.carbon": "removes",
    # 63.546 / 249.685 from IUPAC abridged standard atomic weights (2021)
    "agent.copper_sulphate.form.crystals": 0.254505,
    "agent.sodium_chloride.people.hazard": "low",
    "agent.copper_sulphate.people.hazard": "low",
    "agent.malachite_green.people.hazard": "low",
    "agent.formalin.people.hazard": "low",
    "agent.formalin.dose.prolonged": (15.0, None, 25.0),
    "agent.formalin.dose.bath": (None, None, 250.0),
}

AGENTS = {
    "sodium_chloride": ("salt", "as NaCl"),
    "copper_sulphate": ("blue copper crystals", "as Cu"),
    "malachite_green": ("malachite green", "as active dye"),
    "formalin": ("formalin", "as product, by volume"),
}


def knowledge(
    figures: Mapping[str, Figure] = FIGURES, hosts: Mapping[str, Host] | None = None
) -> Knowledge:
    facts = {key: (claim(key, figure),) for key, figure in figures.items()}
    agents = {
        agent: Agent(
            agent,
            name,
            "substance",
            basis,
            (agent,),
            "",
            {
                key.removeprefix(f"agent.{agent}."): rivals
                for key, rivals in facts.items()
                if key.startswith(f"agent.{agent}.")
            },
        )
        for agent, (name, basis) in AGENTS.items()
    }
    return Knowledge(facts, agents=agents, hosts=hosts or {})


@pytest.fixture
def facts() -> Knowledge:
    return knowledge()


@pytest.fixture
def know() -> Callable[..., Knowledge]:
    """Build knowledge from the standard figures with some replaced or added."""
    return lambda **changes: knowledge(
        {**FIGURES, **{k.replace("__", "."): v for k, v in changes.items()}}
    )


def salt_label(step: str = "1") -> LabelEntry:
    return LabelEntry(
        "sodium_chloride",
        Decimal(1),
        StrengthBasis.PURE,
        "NaCl",
        Decimal(1),
        None,
        Tool(ToolUnit.GRAM, Decimal(step)),
    )


@pytest.fixture
def labels() -> dict[str, LabelEntry]:
    return {
        "sodium_chloride": salt_label(),
        "copper_sulphate": LabelEntry(
            "copper_sulphate",
            Decimal(1),
            StrengthBasis.PURE,
            "CuSO4.5H2O",
            # 63.546 / 249.685 from IUPAC abridged standard atomic weights (2021)
            Decimal("0.254505"),
            None,
            Tool(ToolUnit.MILLIGRAM, Decimal(1)),
        ),
        "malachite_green": LabelEntry(
            "malachite_green",
            Decimal("0.01"),
            StrengthBasis.MASS_PER_VOLUME,
            "dye",
            Decimal(1),
            None,
            Tool(ToolUnit.MILLILITRE, Decimal("0.05")),
        ),
    }


@pytest.fixture
def elm_road() -> System:
    """Scenario S1: 173 L by geometry, 175 L by timed hose, fresh, 25.5 C."""
    return System(
        "main",
        "the tank",
        BodyKind.MAIN,
        Volume(173, 173, 175, "inside measures; timed hose"),
        water="fresh",
        temperature_c=25.5,
        ph=7.4,
        total_ammonia_mg_l_n=0.3,
        nitrite_mg_l_n=0.0,
        oxygen_mg_l=7.2,
        carbon_in=False,
    )
