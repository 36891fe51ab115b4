"""The water of each body hour by hour: mixing, heat, gases, nitrogen, residues."""
