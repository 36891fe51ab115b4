"""Fill the columns of values each history carries, from its claims."""

from __future__ import annotations

import numpy as np

from tankside.claims.organism import LifeStage
from tankside.lifecycle.inputs.parameters import Parts, Values
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.kernel.positions import Column
from tankside.quantity.per import HOURS_PER_DAY

NO_TOP = float("inf")


def value_columns(values: Values, parts: Parts) -> Floats:
    """Return the (R, V) array of the kernel for an organism's claims."""
    table = np.zeros((values.histories, int(Column.BOTTOM_RESIDENCE) + len(parts.bottom)))
    if parts.timed_host:
        _timed_host(values, parts.timed_host, table)
    if parts.rated_host:
        _rated_host(values, parts.rated_host, table)
    for k, stage in enumerate(parts.bottom):
        table[:, Column.BOTTOM_RESIDENCE + k] = values.of(f"{stage.key}.residence") * values.of(
            f"{stage.key}.strain_factor", 1.0
        )
    if parts.bottom:
        _release(values, parts.bottom[-1], table)
    if parts.seeking:
        _seeking(values, parts.seeking, table)
    _host(values, parts, table)
    table[:, Column.IN_BRACKET] = values.of("water.in_bracket", 1 / 2)
    table[:, Column.SHARE_IN_RANGE] = values.of("action.share_in_range", 1 / 2)
    return table


def _timed_host(values: Values, stage: LifeStage, table: Floats) -> None:
    strain = values.of(f"{stage.key}.strain_factor", 1.0)
    table[:, Column.HOST_RESIDENCE] = values.of(f"{stage.key}.residence") * strain
    table[:, Column.UNSEEN_LEFT] = 1 - values.of(f"{stage.key}.visible_from", 1.0)


def _rated_host(values: Values, stage: LifeStage, table: Floats) -> None:
    for column, quantity in (
        (Column.BIRTH, "birth_per_d"),
        (Column.LOSS, "loss_per_d"),
        (Column.LAY, "lay_per_d"),
        (Column.TRANSFER, "transfer_per_d"),
        (Column.IMMUNE_LOSS, "immune_loss_per_d"),
    ):
        table[:, column] = values.of(f"{stage.key}.{quantity}", 0.0) / HOURS_PER_DAY


def _release(values: Values, stage: LifeStage, table: Floats) -> None:
    """Offspring of the last bottom stage, at most what was ever counted, and who of them swims."""
    key = stage.key
    most = values.of(f"{key}.offspring_most", float("inf"))
    table[:, Column.OFFSPRING] = np.minimum(values.of(f"{key}.offspring", 1.0), most)
    table[:, Column.OFFSPRING_SHAPE] = values.of(f"{key}.offspring_shape", 0.0)
    table[:, Column.SALT_HALF] = values.of(f"{key}.release_salt_half_g_l", 0.0)
    table[:, Column.SALT_STEEPNESS] = values.of(f"{key}.release_salt_steepness", 0.0)
    table[:, Column.HATCH_FROM] = values.of(f"{key}.hatch_from_c", 0.0)
    table[:, Column.HATCH_FULL] = values.of(f"{key}.hatch_full_c", 0.0)
    table[:, Column.HATCH_TOP] = values.of(f"{key}.hatch_top_c", NO_TOP)
    table[:, Column.HATCH_SHARE] = values.of(f"{key}.hatch_share", 1.0)


def _seeking(values: Values, stage: LifeStage, table: Floats) -> None:
    """Median life and half-life of infectivity become hazards: ln 2 over the time."""
    key = stage.key
    per_half = np.log(2)
    table[:, Column.SWIMMER_DEATH] = per_half / values.of(f"{key}.life")
    if values.known(f"{key}.infective_half_h"):
        table[:, Column.SWIMMER_FADING] = per_half / values.of(f"{key}.infective_half_h")
    table[:, Column.SEARCH] = values.of(f"{key}.search_l_per_h")
    table[:, Column.ESTABLISH] = values.of(f"{key}.establish")
    table[:, Column.UV_KILL] = values.of(f"{key}.uv_kill", 0.0)
    table[:, Column.FILTER_CATCH] = values.of(f"{key}.filter_catch", 0.0)


def _host(values: Values, parts: Parts, table: Floats) -> None:
    table[:, Column.SPREAD_OF_SUSCEPTIBILITY] = _shape(values.of("host.susceptibility_cv", 0.0))
    table[:, Column.SPREAD_OF_ATTRACTION] = _shape(values.of("host.attraction_cv", 0.0))
    table[:, Column.LETHAL_SLOPE] = values.of("host.lethal_slope", 1.0)
    table[:, Column.HARM_GROWTH] = values.of("host.harm_growth", 0.0)
    healed = values.of("host.healing_per_d", 0.0)
    table[:, Column.DAMAGE_KEPT] = np.exp(-healed / HOURS_PER_DAY)
    table[:, Column.HAZARD] = values.of("host.death_per_h", 0.0)
    table[:, Column.DEAD_EARLY] = values.of("host.dead_leave_early", 0.0)
    table[:, Column.DEAD_SHARE] = values.of("host.dead_leave_share", 0.0)
    table[:, Column.IMMUNE_ONSET] = values.of("immunity.onset_d", 0.0)
    table[:, Column.IMMUNE_COLD] = values.of("immunity.refused_cold", 0.0)
    table[:, Column.IMMUNE_WARM] = values.of("immunity.refused_warm", 0.0)
    table[:, Column.IMMUNE_PRIOR] = values.of("immunity.prior", 1.0)
    area = values.of("host.skin_area_reference_cm2", 0.0)
    settle = values.of(f"{parts.seeking.key}.establish", 1.0) if parts.seeking else 1.0
    table[:, Column.CAP] = values.of("host.cap_per_cm2", 0.0) * area * settle


def _shape(spread: Floats) -> Floats:
    """Return the shape of a gamma with this coefficient of variation, 0 for none."""
    return np.where(spread > 0, 1 / np.where(spread > 0, spread, 1.0) ** 2, 0.0)
