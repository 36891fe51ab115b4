"""Published water chemistry: one formula per function, with its source and range.

Every formula returns a ``Ranged``: ``.values`` (array), ``.number`` (one number), ``.warnings``
(to be shown beside it), ``.strict()`` (refuse outside the range). Numbers and arrays broadcast.
"""

from tankside.water.aeration import (
    air_stone_sotr_g_h,
    kla_from_reading_per_h,
    kla_of_aerator_per_h,
    oxygen_after_mg_l,
    oxygen_steady_mg_l,
    oxygen_transfer_field_g_h,
    surface_kla_per_h,
    transfer_at_temperature,
)
from tankside.water.air_pressure import pressure_standard_atmosphere
from tankside.water.ammonia_epa13 import (
    ammonia_acute_epa13,
    ammonia_chronic_epa13,
    four_day_limit_epa13,
)
from tankside.water.ammonia_fresh import (
    unionised_fraction_emerson75,
    unionised_fraction_trussell72,
)
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.carbonate import (
    co2_activity_mg_l,
    co2_ideal_mg_l,
    co2_in_balance_with_air_mg_l,
)
from tankside.water.carbonate_mixing import (
    CarbonateWater,
    Mixed,
    mix_waters,
    settled_co2_mg_l,
)
from tankside.water.carbonate_species import (
    dissolved_carbon_mmol_l,
    free_co2_mg_l,
    ph_of_closed_water,
    ph_of_open_water,
)
from tankside.water.dilution import (
    changes_needed,
    decay_rate_per_h,
    dose_to_hold,
    left_after_changes,
    left_after_flow_and_decay,
    repeated_dose_peak,
)
from tankside.water.fish_oxygen import (
    oxygen_use_boyd78,
    oxygen_use_cech94,
    oxygen_use_clarke99,
)
from tankside.water.heat import (
    cooling_time_constant_h,
    evaporation_loss_w,
    heat_loss_w,
    ramp_power_w,
    temperature_after,
)
from tankside.water.length_weight import Shape, WeightRange, weight_froese14, weight_power_law_g
from tankside.water.nitrite import nitrite_ion_mg_l, nitrite_nitrogen_mg_l, salt_for_nitrite
from tankside.water.nitrogen import (
    ammonia_produced_all_fed,
    ammonia_produced_timmons,
    nitrification_alkalinity_g,
    nitrification_oxygen_g,
    strength_rise_mg_l,
)
from tankside.water.oxygen_solubility import (
    oxygen_saturation_benson_krause84,
    oxygen_saturation_weiss70,
)
from tankside.water.ph_scale import PhScale
from tankside.water.ranged import Floats, Method, Outside, Ranged, Values
from tankside.water.salt_solution import (
    salt_conductivity_ms_cm,
    salt_density_table,
    salt_strength_g_l,
    volume_from_salt_l,
)
from tankside.water.sea_density import sea_water_density, specific_gravity
from tankside.water.turnover import share_passed, turnovers_per_h
from tankside.water.uv import fluence_derated_mj_cm2, fluence_mj_cm2, log10_kill_chick_watson

__all__ = [
    "CarbonateWater",
    "Floats",
    "Method",
    "Mixed",
    "Outside",
    "PhScale",
    "Ranged",
    "Shape",
    "Values",
    "WeightRange",
    "air_stone_sotr_g_h",
    "ammonia_acute_epa13",
    "ammonia_chronic_epa13",
    "ammonia_produced_all_fed",
    "ammonia_produced_timmons",
    "changes_needed",
    "co2_activity_mg_l",
    "co2_ideal_mg_l",
    "co2_in_balance_with_air_mg_l",
    "cooling_time_constant_h",
    "decay_rate_per_h",
    "dissolved_carbon_mmol_l",
    "dose_to_hold",
    "evaporation_loss_w",
    "fluence_derated_mj_cm2",
    "fluence_mj_cm2",
    "four_day_limit_epa13",
    "free_co2_mg_l",
    "heat_loss_w",
    "kla_from_reading_per_h",
    "kla_of_aerator_per_h",
    "left_after_changes",
    "left_after_flow_and_decay",
    "log10_kill_chick_watson",
    "mix_waters",
    "nitrification_alkalinity_g",
    "nitrification_oxygen_g",
    "nitrite_ion_mg_l",
    "nitrite_nitrogen_mg_l",
    "oxygen_after_mg_l",
    "oxygen_saturation_benson_krause84",
    "oxygen_saturation_weiss70",
    "oxygen_steady_mg_l",
    "oxygen_transfer_field_g_h",
    "oxygen_use_boyd78",
    "oxygen_use_cech94",
    "oxygen_use_clarke99",
    "ph_of_closed_water",
    "ph_of_open_water",
    "pressure_standard_atmosphere",
    "ramp_power_w",
    "repeated_dose_peak",
    "salt_conductivity_ms_cm",
    "salt_density_table",
    "salt_for_nitrite",
    "salt_strength_g_l",
    "sea_water_density",
    "settled_co2_mg_l",
    "share_passed",
    "specific_gravity",
    "strength_rise_mg_l",
    "surface_kla_per_h",
    "temperature_after",
    "transfer_at_temperature",
    "turnovers_per_h",
    "unionised_fraction_clegg_whitfield95",
    "unionised_fraction_emerson75",
    "unionised_fraction_trussell72",
    "volume_from_salt_l",
    "weight_froese14",
    "weight_power_law_g",
]
