"""One generation of a parasite in closed form, and how likely it makes what was printed.

    R = young x survival_below x settling x F(V)
    F = k / (k + leave + flow),  k = searching (w / 5 g)^(2/3) / V
    leave = ln 2 / infective_half + ln 2 / life;  burden B; lethal load L (w / 5 g)^(2/3)
    dose of harm D = B / L x the harm done by a part x of the stay, what healed taken off:
    h(x) = integral of g'(s) exp(-r S (x - s)) ds to x,  g(s) = (1 - k) s + k s^2,  S the stay
    dead = 1 / (1 + D ^ -b),  1 / b^2 = 1 / death_slope^2 + 3 (spread between fish / pi)^2

Quantities are normal scores: a score z of 0 is the middle of its range, and the chance of a value
under the range is that of z under the normal law. Deaths are binomial, thresholds normal in logs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

from tankside.claims import setting
from tankside.claims.organism import Organism
from tankside.library.spread_files import (
    OpenQuantity,
    PrintedExperiment,
    PrintedRow,
    SpreadPlan,
)

Floats = NDArray[np.float64]
Values = Mapping[str, Floats]
Prints = Sequence[tuple[PrintedRow, Floats]]
"""Rows with what they printed: deaths, 1 or -1 for above or below, or the log of a measurement."""

REFERENCE_G = setting(5.0, "weight of the fish that the searched litres and the load refer to")
USUAL_C = setting(21.0, "temperature of a stay where none is printed")
TWO_THIRDS = setting(2 / 3, "skin area goes with weight to the power 2/3")
LEAST_SHARE = setting(0.002, "a share of deaths is never taken as certain")
STAY = ("trophont.residence", "trophont.strain_factor", "trophont.residence_t0")
SCATTER = "scatter"
ADDED = "on_the_fish"
"""The reading under which the number of a challenge is already the burden."""
CARRIES_OVER = setting(-2.5, "log density where a result says nothing of other tanks")


@dataclass(frozen=True, slots=True)
class StayLaw:
    """What the generation model takes from the organism as it stands.

    Args:
        degree_days: stay on the fish above ``from_c`` [d C]; 0 where it is a plain time.
        from_c: lower end of the line [C].
        stay_d: stay where no temperature is printed [d].
        life_h: median life of a swimmer [h].
        unlike: spread of what fish catch, in natural logs.
    """

    degree_days: float
    from_c: float
    stay_d: float
    life_h: float
    unlike: float


def stay_law(organism: Organism) -> StayLaw:
    """Return the stay on the fish and the swimmer's life as the organism's file has them."""
    stated = {key: organism.claims[key].number() for key in STAY if organism.known(key)}
    stay = stated[STAY[0]] * stated.get(STAY[1], 1.0)
    from_c = stated.get(STAY[2], 0.0)
    return StayLaw(
        degree_days=stay if from_c else 0.0,
        from_c=from_c,
        stay_d=stay / (USUAL_C - from_c) if from_c else stay,
        life_h=organism.claims["swimmer.life"].number(),
        unlike=organism.claims["host.susceptibility_cv"].number(),
    )


class GenerationModel:
    """The generation model of one plan: names of its scores, and the likelihood of its rows."""

    def __init__(self, plan: SpreadPlan, law: StayLaw) -> None:
        """Lay out the scores: the plan's quantities, then what each experiment leaves open."""
        self.plan = plan
        self.law = law
        self.experiments = {e.source: e for e in plan.experiments}
        self.quantities = (*plan.quantities, *self._left_open())
        self.names = tuple(q.name for q in self.quantities)

    def _left_open(self) -> list[OpenQuantity]:
        left = []
        for paper in self.plan.experiments:
            left += [
                OpenQuantity(f"{paper.source}.{name}", low=low, high=high)
                for name, (low, high) in paper.open.items()
            ]
            if paper.scatter:
                name = f"{paper.source}.{SCATTER}"
                left.append(OpenQuantity(name, middle=1.0, log_sd=paper.scatter))
        return left

    def values(self, scores: Floats) -> dict[str, Floats]:
        """Return every quantity from its normal scores, shape (n, names)."""
        valued = {}
        for place, quantity in enumerate(self.quantities):
            score = scores[:, place]
            if quantity.middle:
                valued[quantity.name] = quantity.middle * np.exp(quantity.log_sd * score)
            else:
                ratio = quantity.high / quantity.low
                valued[quantity.name] = quantity.low * ratio ** ndtr(score)
        return valued

    def log_prior(self, scores: Floats) -> Floats:
        """Return the log density of the scores but for a constant."""
        prior: Floats = -(scores**2).sum(axis=1) / 2
        return prior

    def log_likelihood(self, scores: Floats, reading: str, prints: Prints) -> Floats:
        """Return the log likelihood of printed rows, shape (n,).

        Args:
            scores: normal scores, shape (n, names).
            reading: of the numbers per fish.
            prints: each row with what it printed, a number or one per row of scores.
        """
        values = self.values(scores)
        total = np.zeros(len(scores))
        for row, printed in prints:
            total += log_chance(row, printed, self.quantity(row, values, reading), values, self.law)
        return total

    def quantity(self, row: PrintedRow, values: Values, reading: str) -> Floats:
        """Return what a row observed, in natural logs."""
        return RowOfModel(self.experiments[row.source], row, values, self.law).observed(reading)

    def reproduction(self, values: Values, litres_per_fish: float) -> Floats:
        """Return mature parasites per parasite and cycle for 5 g fish in still water."""
        leave = _leave(values, self.law)
        contact = values["searching"] / litres_per_fish
        young = values["young"] * values["survival_below"] * values["settling"]
        reproduced: Floats = young * contact / (contact + leave)
        return reproduced


def _leave(values: Values, law: StayLaw) -> Floats:
    """Return the hazard of a swimmer to be lost without a fish [1/h]."""
    fading: Floats = np.log(2) * (1 / values["infective_half"] + 1 / law.life_h)
    return fading


@dataclass(frozen=True, slots=True)
class RowOfModel:
    """One row with the values of its experiment."""

    paper: PrintedExperiment
    row: PrintedRow
    values: Values
    law: StayLaw

    def setting_of(self, name: str, otherwise: float = 0.0) -> Floats:
        """Return a setting of the row as printed, else as left open, else the other value."""
        if name in self.row.settings:
            return np.asarray(self.row.settings[name])
        return self.values.get(f"{self.paper.source}.{name}", np.asarray(otherwise))

    @property
    def area(self) -> Floats:
        """Skin against that of a 5 g fish."""
        area: Floats = (self.setting_of("weight_g", REFERENCE_G) / REFERENCE_G) ** TWO_THIRDS
        return area

    def finding(self, litres: Floats, flow: Floats) -> Floats:
        """Return the share of swimmers that find a fish."""
        contact = self.values["searching"] * self.area / litres
        leaving = contact + _leave(self.values, self.law)
        hours = self.row.settings.get("hours", np.inf)
        with np.errstate(over="ignore"):
            part = 1 - np.exp(-leaving * hours)
        found_share: Floats = contact / (leaving + flow) * part
        return found_share

    def reproduction(self) -> Floats:
        """Return mature parasites per parasite and cycle."""
        young = self.values["young"] * self.values["survival_below"] * self.values["settling"]
        litres = self.setting_of("litres_after", 0.0)
        litres = litres if np.any(litres > 0) else self.setting_of("litres_per_fish")
        contact = self.values["searching"] * self.area / litres
        lost = _leave(self.values, self.law) + self.setting_of("flow_per_h")
        reproduced: Floats = young * contact / (contact + lost)
        return reproduced

    def burden(self, reading: str) -> Floats:
        """Return the parasites on a fish after the first contact."""
        dose, begin = self.setting_of("dose"), self.row.begin
        if begin == "burden" or (begin == "challenge" and reading == ADDED):
            return dose
        if begin in ("mature", "challenge"):
            return dose * self.reproduction()
        litres = self.setting_of("litres_per_fish")
        dose = dose * litres if begin == "swimmers_per_l" else dose
        settled: Floats = dose * self.values["settling"] * self.finding(litres, np.zeros(1))
        return settled

    def harm_done(self) -> Floats:
        """Return the harm by the time of the result as a share of that of a whole stay."""
        stay, part = self.law.stay_d, self.setting_of("share_of_stay", 1.0)
        if "temperature_c" in self.row.settings:
            stay = self.law.degree_days / (self.row.settings["temperature_c"] - self.law.from_c)
        if "days" in self.row.settings:
            part = np.asarray(min(self.row.settings["days"] / stay, 1.0))
        growth, healed = self.values["growth_of_harm"], self.values["healing"] * stay
        gone = (1 - np.exp(-healed * part)) / healed
        harm: Floats = (1 - growth) * gone + 2 * growth * (part - gone) / healed
        return harm

    def load(self, burden: Floats) -> Floats:
        """Return the dose of harm of a burden, 1 kills half."""
        lethal = self.values["lethal_load"] * self.area
        host = self.values[self.paper.host] if self.paper.host else 1.0
        scatter = self.values.get(f"{self.paper.source}.{SCATTER}", 1.0)
        harm: Floats = burden / lethal * host * scatter * self.harm_done()
        return harm

    def observed(self, reading: str) -> Floats:
        """Return what the row observed, in natural logs."""
        kind = self.row.quantity
        if kind == "young":
            return np.log(self.values["young"] * self.values["survival_below"])
        if kind == "reproduction":
            return np.log(self.reproduction())
        if kind in ("finding", "settled"):
            seen = self.finding(self.setting_of("litres_per_fish"), np.zeros(1))
            return np.log(seen * (self.values["settling"] if kind == "settled" else 1.0))
        burden = self.burden(reading)
        if kind == "burden":
            scatter = self.values.get(f"{self.paper.source}.{SCATTER}", 1.0)
            return np.log(burden * scatter)
        return self._harm(kind, burden)

    def _harm(self, kind: str, burden: Floats) -> Floats:
        harm = np.log(self.load(burden))
        if kind == "odds":
            return harm * slope_between(self.values, self.law)
        again = np.log(self.reproduction()) if kind != "load" else np.zeros(1)
        at_least_once = np.maximum(again, 0) if kind in ("worst_load", "end_load") else again
        return np.asarray(harm + at_least_once)


def slope_between(values: Values, law: StayLaw) -> Floats:
    """Return the slope of deaths over the mean load, fish being unlike in what they catch."""
    slope: Floats = 1 / np.sqrt(values["death_slope"] ** -2.0 + 3 * (law.unlike / np.pi) ** 2)
    return slope


def share_dead(log_load: Floats, values: Values, law: StayLaw) -> Floats:
    """Return the share of fish dead of a dose of harm."""
    slope = slope_between(values, law)
    share: Floats = np.clip(1 / (1 + np.exp(-slope * log_load)), LEAST_SHARE, 1 - LEAST_SHARE)
    return share


def as_printed(row: PrintedRow) -> Floats:
    """Return what a row printed as numbers: deaths, a side of the threshold, logs measured."""
    if row.of:
        return np.asarray(float(row.dead))
    if row.about:
        measured: Floats = np.log(np.asarray(row.about))
        return measured
    return np.asarray(1.0 if row.above else -1.0)


def log_chance(
    row: PrintedRow, printed: Floats, seen: Floats, values: Values, law: StayLaw
) -> Floats:
    """Return the log chance of a printed result, from what the model says of it in logs.

    Args:
        row: the kind of result.
        printed: see ``as_printed``; rivals of a measurement one after the other.
        seen: what the model says, in logs.
        values: of the open quantities.
        law: with how unlike fish are.
    """
    if row.of:
        dead = share_dead(seen, values, law)
        deaths: Floats = printed * np.log(dead) + (row.of - printed) * np.log(1 - dead)
        return deaths
    if not row.about:
        limit = np.log(row.above or row.below)
        return np.asarray(log_ndtr(printed * (seen - limit) / row.log_sd[0]))
    if len(row.about) == 1:
        return _measured(seen, printed, row.log_sd[0], row.does_not_carry_over)
    each = [
        np.log(weight) + _measured(seen, value, sd, 0.0)
        for value, sd, weight in zip(printed, row.log_sd, row.weights, strict=True)
    ]
    return np.asarray(np.logaddexp.reduce(np.asarray(each), axis=0))


def _measured(seen: Floats, printed: Floats, sd: float, other: float) -> Floats:
    """Return the log density of a measurement, but for a constant."""
    measured: Floats = -np.log(sd) - ((seen - printed) / sd) ** 2 / 2
    if other:
        return np.asarray(np.logaddexp(np.log(1 - other) + measured, np.log(other) + CARRIES_OVER))
    return measured
