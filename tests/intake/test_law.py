"""Dated rules of law on file, by country of the case; unknown does not mean allowed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside.claims import Claim
from tankside.intake.dose_request import DoseRequest
from tankside.intake.law import law_lines
from tankside.library import load
from tankside.present.block_text import document_text
from tankside.present.law import rule_lines
from tankside.report.dose_json import dose_json
from tankside.report.dose_text import dose_document
from tankside.services.dose import work_out

FACTS = load()
SALT = DoseRequest(
    agent="salt", strength="2 g/L", volume="100 L", second_volume="100 L", label="pure",
    scale="1 g", animals=("goldfish",),
)  # fmt: skip
RULES = [
    (agent.id, claims[0])
    for agent in FACTS.agents.values()
    for short, claims in agent.claims.items()
    if short.startswith("law.") and claims[0].known
]
COUNTRIES = {"UK": "GB", "US": "US", "EU": "FR", "Germany": "DE", "New Zealand": "NZ", "any": "JP"}


@pytest.mark.parametrize(("agent", "rule"), RULES, ids=lambda value: getattr(value, "key", value))
def test_every_rule_on_file_is_told_with_its_date_in_each_of_its_places(
    agent: str, rule: Claim
) -> None:
    for place in rule.conditions["place"].split(", "):
        lines = law_lines(FACTS, agent, COUNTRIES[place])
        (line,) = [text for text in lines if str(rule.value) in text]
        assert rule.conditions["date"] in line


def test_a_rule_is_not_told_where_it_does_not_hold() -> None:
    """The German standard authorisation of formalin is no rule of the United States."""
    german = [line for line in law_lines(FACTS, "formalin", "DE") if "Germany" in line]
    assert german
    assert not set(german) & set(law_lines(FACTS, "formalin", "US"))
    assert any("(EU" in line for line in law_lines(FACTS, "formalin", "DE"))


@pytest.mark.parametrize(
    ("agent", "form", "country"),
    [
        ("copper_ionic", "copper_sulphate", "GB"),
        ("copper_chelated", "copper_sulphate", "US"),
        ("formalin_malachite_green", "malachite_green", "US"),
        ("formalin_malachite_green", "formalin", "DE"),
    ],
)
def test_a_rule_on_one_form_of_an_active_is_told_of_its_other_forms(
    agent: str, form: str, country: str
) -> None:
    """Under another name the raw chemical stays what it is; each rule is told once."""
    rules = law_lines(FACTS, agent, country)
    assert {_rule(line) for line in law_lines(FACTS, form, country)} <= {_rule(r) for r in rules}
    assert len(set(rules)) == len(rules)


def _rule(line: str) -> str:
    """Return a line without the name of the substance that its rule is of."""
    return line[line.index("(") :]


@pytest.mark.parametrize("agent", sorted(FACTS.agents))
@pytest.mark.parametrize("country", [None, "JP", "xx"])
def test_a_law_that_nobody_knows_is_never_taken_as_allowed(agent: str, country: str | None) -> None:
    lines = law_lines(FACTS, agent, country)
    assert lines
    anywhere = any(c.conditions["place"] == "any" for a, c in RULES if a == agent)
    assert all("neither allowed nor forbidden" in line for line in lines) or (
        anywhere and country is not None
    )


def test_the_law_stands_beside_one_amount() -> None:
    silent, american = work_out(SALT), work_out(replace(SALT, country="US"))
    assert rule_lines(silent.agent, silent.law, silent.country)[0] in document_text(
        dose_document(silent)
    )
    assert "neither allowed nor forbidden" in document_text(dose_document(silent))
    assert dose_json(american)["law"] == list(rule_lines(american.agent, american.law, "US"))
    assert "Low regulatory priority" in document_text(dose_document(american))
