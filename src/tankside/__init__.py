"""Tankside: a case workbench for ornamental-fish health."""

import os

# Matrices here are small: threads of the linear algebra would wait longer than they work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
