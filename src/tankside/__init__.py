"""Tankside: a case workbench for ornamental-fish health."""
