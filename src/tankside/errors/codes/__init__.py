"""The records of the register, one module for each area."""
