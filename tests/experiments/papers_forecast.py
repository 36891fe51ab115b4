"""What the program forecasts of the frozen test papers, and which outcomes it does not know.

``python -m tests.experiments.papers_forecast`` prints one line per outcome and the score; with
``--keep`` the words of three seeds are written to ``papers_kept.json``. An outcome is unknown when
the organism is refused, or no figure on file says anything of it; unknown is never passed.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.stats import beta
from tests.experiments.papers_read import Claim, Paper, asked_claims, papers, rule_of
from tests.experiments.run_setup import WIDEST_FACTOR, WIDEST_POINTS, outcome
from tests.experiments.setups_read import HERE, checks
from tests.lifecycle.tanks import body, fish, start, tank_hours

from tankside import library, lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TimedEvent

KEPT_PAPERS = HERE / "papers_kept.json"
SEEDS = (20, 21, 22)
HISTORIES = 512
LEVELS = (0.5, 0.8, 0.95)
REFUSED = "the organism is refused: no life cycle with figures stands for it"
NO_FIGURE = "no figure on file says anything of it"
EVENT_AT = 0.5

Values = np.ndarray[Any, np.dtype[np.float64]]
Drawn = Callable[[Organism, int], Values]


def column(organism: Organism, seed: int) -> Callable[[str], Values]:
    """Return a function that gives the values of a claim over the histories."""
    draws = lifecycle.draw(organism, HISTORIES, seed)

    def values(key: str) -> Values:
        if key in draws.keys:
            return draws.column(key)
        return np.full(HISTORIES, organism.claims[key].number())

    return values


def stage_days(stage: str, warm: float, spread: str) -> Drawn:
    """Return the stay in a stage by the line of degrees, of one individual in each history."""

    def days(organism: Organism, seed: int) -> Values:
        value = column(organism, seed)
        middle = value(f"{stage}.residence") / (warm - value(f"{stage}.residence_t0"))
        width = value(f"{stage}.residence_{spread}")
        chance = np.random.default_rng(seed).normal(size=HISTORIES)
        return np.asarray(middle * np.exp(width * chance))

    return days


def cycle_days(warm: float) -> Drawn:
    """Return eggs to eggs at a temperature: egg and juvenile, as the file has them."""
    egg, juvenile = stage_days("egg", warm, "sigma"), stage_days("juvenile", warm, "cv")
    return lambda organism, seed: np.asarray(egg(organism, seed) + juvenile(organism, seed + 1000))


def first_hatch(warm: float) -> Drawn:
    """Return when the first twentieth of the eggs hatches [d]."""

    def days(organism: Organism, seed: int) -> Values:
        value = column(organism, seed)
        middle = value("egg.residence") / (warm - value("egg.residence_t0"))
        return np.asarray(middle * np.exp(-1.645 * value("egg.residence_sigma")))

    return days


def rate(key: str, warm: float) -> Drawn:
    """Return a rate per day at a temperature: by q10, or by its line of degrees."""

    def per_day(organism: Organism, seed: int) -> Values:
        value = column(organism, seed)
        reference = value(f"{key}.ref_c")
        if organism.known(f"{key}.q10"):
            return np.asarray(value(key) * value(f"{key}.q10") ** ((warm - reference) / 10))
        start = value(f"{key}.t0")
        return np.asarray(value(key) * (warm - start) / (reference - start))

    return per_day


def plain(key: str) -> Drawn:
    return lambda organism, seed: column(organism, seed)(key)


def eggs_in(days: float, warm: float) -> Drawn:
    """Return the eggs of a worm from its first on, dying at the rate of the file."""

    def eggs(organism: Organism, seed: int) -> Values:
        laid = rate("adult.lay_per_d", warm)(organism, seed)
        lost = rate("adult.loss_per_d", warm)(organism, seed)
        return np.asarray(laid * -np.expm1(-lost * days) / lost)

    return eggs


def hatch_after(salt_g_l: float, hours: float) -> Drawn:
    """Return the share of eggs that live through hours of low salinity, as printed to 0.1 %."""

    def percent(organism: Organism, seed: int) -> Values:
        value, stem = column(organism, seed), "kill.low_salinity.egg"
        exposed = organism.claims[f"{stem}.hours"].number()
        odds = (value(f"{stem}.half_g_l") / max(salt_g_l, 0.1)) ** value(f"{stem}.steepness")
        return np.round(100 * np.exp(-np.log1p(odds) * hours / exposed), 1)

    return percent


def hatches(salt_g_l: float, hours: float, low: float, high: float) -> Drawn:
    """Return whether the share that lives through low salinity lies between two bounds [%]."""
    share = hatch_after(salt_g_l, hours)

    def between(organism: Organism, seed: int) -> Values:
        percent = share(organism, seed)
        return np.asarray((percent >= low) & (percent <= high), dtype=np.float64)

    return between


def lived_on(organism: Organism, seed: int) -> Values:
    """Return the share of worms alive after a day at 13 C [%]."""
    return np.asarray(100 * np.exp(-rate("worm.loss_per_d", 13)(organism, seed)))


def young_per_worm(organism: Organism, seed: int) -> Values:
    """Return births over losses at 15 C."""
    births, losses = rate("worm.birth_per_d", 15), rate("worm.loss_per_d", 15)
    return np.asarray(births(organism, seed) / losses(organism, seed))


def bath(agent: str, mg_l: float, minutes: float) -> Drawn:
    """Return the share of the worms on twenty fish gone after a bath against none [%], played."""

    def percent(organism: Organism, seed: int) -> Values:
        dip = TimedEvent(
            3, "main", Channel.BATH, group="fish", agent=agent, amount=mg_l, minutes=minutes
        )
        left = []
        for events in ((), (dip,)):
            water = tank_hours(body(hours=24, warm=22.0), events=events)
            compiled = lifecycle.compile(organism, water, (fish(20),))
            draws = lifecycle.draw(organism, HISTORIES, seed)
            run = lifecycle.run(
                compiled, start(100.0), draws, HISTORIES, seed, threads=1, record_h=(0, 6)
            )
            left.append(run.burden[:, 1, 0])
        return np.asarray(100 * (1 - left[1] / np.maximum(left[0], 1)))

    return percent


def cysts_bear_fresh_water(organism: Organism, seed: int) -> Values:
    """Return whether a tenth of the cysts or more still hatch after an hour of fresh water."""
    value = column(organism, seed)
    stem = "kill.low_salinity.cyst"
    exposed = organism.claims[f"{stem}.hours"].number()
    odds = (value(f"{stem}.half_g_l") / 0.1) ** value(f"{stem}.steepness")
    return np.asarray(np.exp(-np.log1p(odds) / exposed) >= 0.1, dtype=np.float64)


def spotted(organism: Organism, seed: int) -> Values:
    """Return whether 70 % of ten catfish carry any after 1,000 swimmers each for half an hour."""
    value = column(organism, seed)
    area = (np.random.default_rng(seed).uniform(3, 15, HISTORIES) / 5) ** (2 / 3)
    contact = value("swimmer.search_l_per_h") * area / 0.1
    lost = np.log(2) * (1 / value("swimmer.infective_half_h") + 1 / value("swimmer.life"))
    met = contact / (contact + lost) * (1 - np.exp(-(contact + lost) / 2))
    burden = 1000 * value("swimmer.establish") * met
    shape = 1 / value("host.susceptibility_cv") ** 2
    free = (1 + burden / shape) ** -shape
    return np.asarray(1 - free >= 0.7, dtype=np.float64)


def of_setup(name: str) -> Drawn:
    """Return the outcome of a frozen set-up of the library's experiments."""
    check = next(c for c in checks() if c["id"] == name)
    return lambda _, seed: np.asarray(outcome(check, check["histories"], seed))


DOUBLED = "E101 doubling time on single goldfish, 7 d"
DONOR = "E101 worms on ten goldfish after 10 d with one donor"
FORECASTS: dict[tuple[str, str], Drawn] = {
    ("e06", "whole_life_cycle"): cycle_days(29),
    ("e06", "whole_life_cycle_2"): cycle_days(23),
    ("e09", "egg_hatch_after_dip"): hatch_after(0, 0.5),
    ("e65", "eggs_per_worm_per_day_d10"): rate("adult.lay_per_d", 24),
    ("e65", "eggs_per_worm_per_day_d15"): rate("adult.lay_per_d", 24),
    ("e65", "time_to_first_egg_d10"): stage_days("juvenile", 24, "cv"),
    ("e65", "total_eggs_per_worm_d26"): eggs_in(17, 24),
    ("p01", "hatch_after_72h_0"): hatch_after(0, 72),
    ("p01", "hatch_after_96h_0"): hatch_after(0, 96),
    ("p01", "hatch_after_96h_6"): hatch_after(6, 96),
    ("p01", "hatch_after_96h_12"): hatch_after(12, 96),
    ("p01", "hatch_after_96h_18"): hatch_after(18, 96),
    ("p01", "hatch_at_24_and_above"): hatches(24, 96, 69.6, 100),
    ("p01", "hatch_below_24"): hatches(18, 48, 0, 32.5),
    ("e100", "removals_every_three_days"): of_setup(
        "E100 three removals, three days apart, leave clean fish"
    ),
    ("e101", "mean_worms_per_fish_d10_with_donor"): of_setup(DONOR),
    ("e101", "mean_worms_per_fish_d7_single"): of_setup(DOUBLED),
    ("e103", "fish_infected_from_gills_d7"): of_setup(
        "E103 fish infected within 7 d from bottom stages"
    ),
    ("e204", "fewer_praziquantel_5"): bath("praziquantel", 5, 60),
    ("e204", "fewer_praziquantel_15"): bath("praziquantel", 15, 60),
    ("e204", "fewer_praziquantel_40"): bath("praziquantel", 40, 60),
    ("p05", "young_per_worm_15c"): young_per_worm,
    ("p07", "removed_turnbulli"): bath("sodium_chloride", 25000, 15),
    ("p07", "removed_bullatarudis"): bath("sodium_chloride", 25000, 15),
    ("p08", "daily_survival_13c"): lived_on,
    ("p04", "fish_with_spots"): spotted,
    ("n01", "first_hatch_15c"): first_hatch(15),
    ("n01", "first_hatch_35c"): first_hatch(35),
    ("n01", "hatch_success_20_to_30c"): lambda o, seed: 100 * column(o, seed)("egg.hatch_share"),
    ("n03", "eggs_per_worm"): rate("adult.lay_per_d", 30),
    ("n03", "hatching_time"): stage_days("egg", 30, "sigma"),
    ("n03", "larval_life"): plain("swimmer.life"),
    ("n03", "settled_to_adult"): stage_days("juvenile", 30, "cv"),
    ("n03", "whole_cycle"): cycle_days(30),
    ("n04", "cyst_hatch_after_fresh_water"): cysts_bear_fresh_water,
}
BY_SETUP = {
    ("e100", "removals_every_three_days"): ("event", 0.0),
    ("e103", "fish_infected_from_gills_d7"): ("event", 0.0),
    ("e101", "mean_worms_per_fish_d7_single"): ("time", 2.27),
}
"""Outcomes that the frozen set-up asks in another form: its rule and published value."""


@dataclass(frozen=True)
class Foretold:
    """One outcome of a test paper: what was printed, what is forecast, how that is judged."""

    paper: str
    claim: str
    rule: str
    published: float
    low: float
    middle: float
    high: float
    word: str
    inside: tuple[bool, ...] = ()
    why: str = ""


def foretell(paper: Paper, claim: Claim, seed: int) -> Foretold:
    """Return the forecast of one outcome under one seed."""
    key = (paper["id"], claim["key"])
    rule, published = BY_SETUP.get(key, (rule_of(claim), printed(claim)))
    if claim.get("value") is None and ("low" in claim) != ("high" in claim):
        rule = "event"
    organism = library.load().organisms.get(paper["kin"])
    if organism is None or not organism.stages or organism.missing or key not in FORECASTS:
        runs = organism is not None and organism.stages and not organism.missing
        why = NO_FIGURE if runs else REFUSED
        return Foretold(*key, rule, published, np.nan, np.nan, np.nan, "unknown", (), why)
    values = FORECASTS[key](organism, seed)
    if rule == "event":
        chance = float(values.mean())
        word = "passed" if chance >= EVENT_AT else "failed"
        return Foretold(*key, rule, published, chance, chance, chance, word)
    low, middle, high = (quantile(values, q) for q in (0.05, 0.5, 0.95))
    wide = high - low > WIDEST_POINTS if rule == "points" else high > WIDEST_FACTOR * low
    inside = low <= published <= high
    word = "failed" if not inside else "useless" if wide else "passed"
    within = tuple(
        quantile(values, (1 - p) / 2) <= published <= quantile(values, (1 + p) / 2) for p in LEVELS
    )
    return Foretold(*key, rule, published, low, middle, high, word, within)


def printed(claim: Claim) -> float:
    """Return the printed number, the middle of a range, or nothing for words and bounds."""
    value = claim.get("value")
    if isinstance(value, int | float):
        return float(value)
    edges = [claim[edge] for edge in ("low", "high") if edge in claim]
    return float(sum(edges) / len(edges)) if edges else np.nan


def quantile(values: Values, level: float) -> float:
    return float(np.quantile(values, level, method="inverted_cdf"))


def every(seed: int) -> list[Foretold]:
    """Return the forecast of every outcome asked of every test paper."""
    return [
        foretell(paper, claim, seed) for paper in papers("test") for claim in asked_claims(paper)
    ]


def band(hits: int, of: int) -> tuple[float, float]:
    """Return the exact two-sided 95 % band of a share (Clopper & Pearson 1934)."""
    low = 0.0 if hits == 0 else float(beta.ppf(0.025, hits, of - hits + 1))
    high = 1.0 if hits == of else float(beta.ppf(0.975, hits + 1, of - hits))
    return low, high


def score(rows: list[list[Foretold]]) -> dict[str, Any]:
    """Return the score over seeds: passed only where every seed passes, the rest by the first."""
    words = []
    for same in zip(*rows, strict=True):
        each = {row.word for row in same}
        words.append("on the edge" if "passed" in each and len(each) > 1 else same[0].word)
    forecast = [word for word in words if word != "unknown"]
    judged = [row for row in rows[0] if row.inside]
    coverage = {}
    for place, level in enumerate(LEVELS):
        hits = sum(row.inside[place] for row in judged)
        coverage[f"{level:.0%}"] = [hits, len(judged), *band(hits, len(judged))]
    return {
        "outcomes": len(words),
        "forecast": len(forecast),
        "unknown": words.count("unknown"),
        **{word: words.count(word) for word in ("passed", "on the edge", "useless", "failed")},
        "coverage": coverage,
    }


def main(arguments: list[str]) -> None:
    rows = [every(seed) for seed in SEEDS]
    for same in zip(*rows, strict=True):
        row = same[0]
        said = " / ".join(other.word for other in same)
        numbers = f"{row.middle:.3g} [{row.low:.3g}, {row.high:.3g}]"
        print(f"{row.paper} {row.claim}: printed {row.published:g}; {numbers}; {said} {row.why}")
    print(json.dumps(score(rows), indent=1))
    if "--keep" in arguments:
        kept = {
            f"{same[0].paper} {same[0].claim}": {
                "words": [row.word for row in same],
                "numbers": [
                    None if np.isnan(x) else x for x in (same[0].low, same[0].middle, same[0].high)
                ],
                "why": same[0].why,
            }
            for same in zip(*rows, strict=True)
        }
        text = json.dumps({"score": score(rows), "outcomes": kept}, indent=1)
        KEPT_PAPERS.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
