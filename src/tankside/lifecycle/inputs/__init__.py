"""From an organism, hourly water and fish to the arrays that the kernel reads."""
