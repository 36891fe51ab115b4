"""An agent whose strength depends on its formulation, of which print gives no figure: a refusal."""

from __future__ import annotations

from tankside.claims import Agent
from tankside.errors import NotPossible


def refuse_without_formulation(agent: Agent) -> None:
    """Refuse to weigh an agent that no print gives a strength for unless its formulation is named.

    Raises:
        NotPossible: E-DOSE-20, saying what is missing.
    """
    claim = agent.find("needs.formulation_named")
    if claim is None or agent.routes:
        return
    source = f" ({claim.source})" if claim.source else ""
    raise NotPossible(
        "E-DOSE-20",
        f"{agent.name} cannot be weighed out: its strength depends on the formulation.",
        given=agent.name,
        needed="which chelator it is, the range printed for that, and a test that reads all of its "
        f"copper; no figure on file holds for every one{source}",
        next_step="Follow its own label and test, or use a form with a printed range: citrated "
        "copper, or copper sulphate.",
        field="agent",
    )
