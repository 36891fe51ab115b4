"""Levers, candidate courses, racing search, comparison, ablation."""
