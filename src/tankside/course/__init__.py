"""Actions, schedule, amounts, hour-by-hour water of every tank, safety checks."""
