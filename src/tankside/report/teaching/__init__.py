"""Sheets to teach from: life cycles, look-alikes, mistakes, keepers' pages, the example case."""
