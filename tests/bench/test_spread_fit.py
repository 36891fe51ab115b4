"""The joint belief of spread: the generation model by hand, the draws against the range they
came from, and the table that is shipped."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.lifecycle.tanks import body, deathless, play, stating, tank_hours

from tankside import library, lifecycle
from tankside.bench.spread_fit import DrawEffort, drawn, drawn_apart, printed_again, prints_of
from tankside.bench.spread_model import (
    GenerationModel,
    RowOfModel,
    as_printed,
    log_chance,
    stay_law,
)
from tankside.library.released import data_root
from tankside.library.spread_files import spread_plan

ICH = "ichthyophthirius_multifiliis"
CLAIMS = {
    "young": "cyst.offspring",
    "survival_below": "cyst.hatch_share",
    "settling": "swimmer.establish",
    "searching": "swimmer.search_l_per_h",
    "infective_half": "swimmer.infective_half_h",
    "life": "swimmer.life",
}
MAIN = ("young", "survival_below", "settling", "searching", "infective_half", "lethal_load")


def model_of(organism: str) -> GenerationModel:
    law = stay_law(library.load().organisms[organism])
    return GenerationModel(spread_plan(data_root(), organism), law)


def test_reproduction_is_the_closed_form_worked_by_hand() -> None:
    # k = 1 / 3 per h, leave = ln 2 (1 / 6 + 1 / 24) = 0.14441 per h, F = 0.69773
    model = model_of(ICH)
    values = {name: np.full(1, 1.0) for name in model.names}
    values |= {"young": np.full(1, 500.0), "survival_below": np.full(1, 0.7)}
    values |= {"settling": np.full(1, 0.06), "infective_half": np.full(1, 6.0)}
    assert model.law.life_h == 24
    assert model.reproduction(values, 3.0)[0] == pytest.approx(500 * 0.7 * 0.06 * 0.69773, rel=1e-4)


def test_a_score_of_zero_is_the_middle_of_its_range() -> None:
    model = model_of(ICH)
    values = model.values(np.zeros((1, len(model.names))))
    assert values["young"][0] == pytest.approx(60000**0.5)
    assert values["death_slope"][0] == pytest.approx(1.6)


def test_the_two_readings_differ_by_one_generation() -> None:
    model = model_of(ICH)
    row = model.plan.rows[0]
    values = model.values(np.zeros((1, len(model.names))))
    added, on_fish = (model.quantity(row, values, r)[0] for r in ("added", "on_the_fish"))
    weight, litres = values["joshi_1966.weight_g"], values["joshi_1966.litres_per_fish"]
    per_5_g = litres / (weight / 5) ** (2 / 3)
    assert added - on_fish == pytest.approx(np.log(model.reproduction(values, per_5_g[0])[0]))


def test_deaths_at_the_middle_dose_are_those_of_a_coin() -> None:
    model = model_of(ICH)
    values = model.values(np.zeros((1, len(model.names))))
    row = replace(model.plan.rows[0], dead=3, of=10)
    chance = log_chance(row, as_printed(row), np.zeros(1), values, model.law)[0]
    assert chance == pytest.approx(10 * np.log(0.5))


def test_harm_of_a_whole_stay_is_one_without_healing_and_less_with_it() -> None:
    # k = 0.5 and a stay of 5.714 d at 22 C: without healing g(1) = 1; with r = 0.1 a day by hand
    # a = 0.5714, gone = (1 - exp(-a)) / a = 0.7618, h = 0.5 x 0.7618 + (1 - 0.7618) / a = 0.7978
    model = model_of(ICH)
    row = replace(model.plan.rows[0], source="areerat_1974", settings={"temperature_c": 22.0})
    values = model.values(np.zeros((1, len(model.names)))) | {"growth_of_harm": np.full(1, 0.5)}
    paper = model.experiments["areerat_1974"]
    for healing, harm in ((1e-6, 1.0), (0.1, 0.7978)):
        of_row = RowOfModel(paper, row, values | {"healing": np.full(1, healing)}, model.law)
        assert of_row.harm_done()[0] == pytest.approx(harm, rel=1e-3)


def test_without_rows_the_draws_are_the_range_before_the_experiments() -> None:
    model = model_of(ICH)
    scores = drawn(model, "added", [], DrawEffort(chains=64, steps=400, every=20))
    assert abs(scores[:, :6].mean()) < 0.1
    assert scores[:, :6].std() == pytest.approx(1.0, abs=0.1)


def test_a_row_moves_what_it_speaks_of() -> None:
    model = model_of(ICH)
    rows = [row for row in model.plan.rows if row.source == "mccallum_1982"]
    scores = drawn(model, "added", prints_of(rows), DrawEffort(chains=64, steps=400, every=20))
    values = model.values(scores)
    assert np.median(values["searching"]) > 0.6  # 0.3 before
    assert np.median(values["young"]) == pytest.approx(245, rel=0.3)  # as before


def test_the_loop_has_the_reproduction_of_the_closed_form() -> None:
    # Ten 5 g fish in 30 L at 22 C, 20 mature parasites on the bottom, nobody dies or leaves.
    organism = stating(deathless(library.load().organisms[ICH]), trophont__residence=1e6)
    water = tank_hours(body(hours=240, litres=30.0, warm=22.0))
    begin = lifecycle.InitialState({}, bottom={"main": (20.0,) * 3}, steady_bottom=False)
    result = play(organism, water, begin, histories=512)
    drawn_of = {name: result.draws.column(key) for name, key in CLAIMS.items()}
    contact = drawn_of["searching"] / 3
    lost = np.log(2) * (1 / drawn_of["infective_half"] + 1 / drawn_of["life"])
    wanted = drawn_of["young"] * drawn_of["survival_below"] * drawn_of["settling"]
    wanted = wanted * contact / (contact + lost)
    reached = result.burden[:, -1, 0] / 20
    error = (reached - wanted).std() / 512**0.5
    assert (reached - wanted).mean() == pytest.approx(0.0, abs=4 * error)
    assert error < 0.05 * wanted.mean()


@pytest.mark.slow
@pytest.mark.timeout(1500)
def test_the_true_value_has_every_rank_in_its_draws_equally_often() -> None:
    """Simulation-based calibration (Talts et al. 2018): ranks in simulated experiments are even."""
    model = model_of(ICH)
    effort = DrawEffort(chains=64, steps=1600, every=40)
    sets, bins = 40, 8
    ranks: dict[str, list[int]] = {name: [] for name in MAIN}
    for seed in range(5):
        chance = np.random.default_rng(seed)
        truth = chance.normal(size=(sets, len(model.names)))
        again = printed_again(model, truth, "added", chance)
        prints = []
        for row, value in zip(model.plan.rows, again, strict=True):
            limit = np.log(row.above or row.below or 1.0)
            seen = value if row.of or row.about else np.sign(value - limit)
            prints.append((row, seen[:, np.newaxis]))
        scores = drawn_apart(model, "added", prints, replace(effort, seed=seed), sets)
        for place, name in enumerate(model.names):
            if name in MAIN:
                below = (scores[:, :, place] < truth[:, np.newaxis, place]).mean(axis=1)
                ranks[name] += list(np.minimum((below * bins).astype(int), bins - 1))
    for name, placed in ranks.items():
        counts = np.bincount(placed, minlength=bins)
        even = len(placed) / bins
        chi_square = float(((counts - even) ** 2 / even).sum())
        # 7 degrees of freedom: 24.3 is passed by chance once in 1,000 (chi-square tables)
        assert chi_square < 24.3, (name, counts)
