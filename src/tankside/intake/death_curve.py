"""Deaths as the differential asks of them: the curve and the share, in the water that lost most."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from tankside.case import CaseView
from tankside.case.done import Death

Answers = dict[str, frozenset[str]]

CURVES = ("none", "few", "rising_daily", "mass_24h")
SHARES = ("none", "under_tenth", "tenth_to_half", "over_half")
WORSE = {"mortality": CURVES, "losses_share": SHARES}
"""Answers of the findings that tell of deaths, the least first."""


def death_answers(view: CaseView) -> Answers:
    """Return what the recorded deaths answer, each water judged against its own stock.

    A death that named no group is one of the fish it was spread to; one of a group whose number
    nobody knows counts in the curve and in no share.

    Args:
        view: the case.
    """
    if not view.deaths:
        return {}
    waters = deaths_by_water(view)
    curves = [_curve(dead, stock_of_water(view, water)) for water, dead in waters.items()]
    shares = [_share(dead, stock_of_water(view, water)) for water, dead in waters.items() if water]
    answers = {"mortality": frozenset((max(curves, key=CURVES.index),))}
    if any(shares):
        worst = max((share for share in shares if share), key=SHARES.index)
        answers["losses_share"] = frozenset((worst,))
    return answers


def the_worse(
    derived: Mapping[str, frozenset[str]], answered: Mapping[str, frozenset[str]]
) -> Answers:
    """Return the answers of which the deaths recorded say more than somebody answered.

    Args:
        derived: what the record says.
        answered: what somebody answered.
    """
    return {
        finding: derived[finding]
        for finding, order in WORSE.items()
        if finding in derived
        and finding in answered
        and _rank(derived[finding], order) > _rank(answered[finding], order)
    }


def _rank(answers: frozenset[str], order: tuple[str, ...]) -> int:
    return max((order.index(answer) for answer in answers if answer in order), default=-1)


def deaths_by_water(view: CaseView) -> dict[str, dict[date, int]]:
    """Return the deaths of each water by day; "" for those of which nobody knows where.

    Args:
        view: the case.
    """
    waters: dict[str, dict[date, int]] = {}
    for death in view.deaths_by_group:
        days = waters.setdefault(_water(view, death), {})
        days[death.moment.day] = days.get(death.moment.day, 0) + death.number
    return waters


def _water(view: CaseView, death: Death) -> str:
    group = view.stock.get(death.group or "")
    return (death.system or "") if group is None else group.system_at(death.moment)


def stock_of_water(view: CaseView, water: str) -> int | None:
    """Return how many fish a water held, dead and alive; None where that is not known.

    Args:
        view: the case.
        water: id of the water; "" for all of them.
    """
    fish = [
        group
        for group in view.stock.values()
        if group.living == "fish" and (not water or group.system == water)
    ]
    if not fish or any(group.alive is None for group in fish):
        return None
    return sum((group.alive or 0) + group.deaths for group in fish)


def _curve(dead: Mapping[date, int], stock: int | None) -> str:
    if not sum(dead.values()):
        return "none"
    if stock and max(dead.values()) * 2 > stock:
        return "mass_24h"
    days = [dead[day] for day in sorted(dead)]
    if len(days) > 2 and days[-1] > days[-2] > days[-3]:
        return "rising_daily"
    return "few"


def _share(dead: Mapping[date, int], stock: int | None) -> str | None:
    """Return the share lost of one water; None where nobody knows how many there were."""
    lost = sum(dead.values())
    if not lost:
        return "none"
    if not stock:
        return None
    if lost * 10 < stock:
        return "under_tenth"
    return "over_half" if lost * 2 > stock else "tenth_to_half"
