"""Bodies of water, animals, hours and effects: what every part of a course speaks of."""
