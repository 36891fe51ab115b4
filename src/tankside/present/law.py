"""How the rules of law on a substance are told; what is not known is never said to be allowed."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.claims import Claim

UNKNOWN = "not known does not mean allowed"
NO_COUNTRY = f"The country was not entered, so its law is not known; {UNKNOWN}."


def rule_lines(rules: Sequence[Claim], country: str | None) -> tuple[str, ...]:
    """Return the dated rules of a country, or that none is known.

    Args:
        rules: what is on file for the country.
        country: two letters; None when nobody told it.
    """
    if country is None:
        return (NO_COUNTRY,)
    if not rules:
        where = country.upper()
        return (f"No rule of {where} is on file; {UNKNOWN}. Ask the authority.",)
    return tuple(
        f"Law ({rule.conditions['place']}, {rule.conditions['date']}): {rule.value}"
        for rule in rules
    )
