"""Benchmarks: the program measured against a reference in the same run."""
