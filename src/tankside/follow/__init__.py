"""Counts come back: update, doubt, decide whether to stop, extend or change."""
