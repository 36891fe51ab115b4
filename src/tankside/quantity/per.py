"""The fixed ratios of units that every room counts with, each under one name."""

from __future__ import annotations

HOURS_PER_DAY = 24
MINUTES_PER_HOUR = 60
SECONDS_PER_HOUR = 60 * MINUTES_PER_HOUR
LITRES_PER_M3 = 1000
MG_PER_G = 1000
ML_PER_L = 1000
MS_PER_S = 1000
PER_THOUSAND = 1000
PER_MILLION = 1_000_000
PERCENT = 100
