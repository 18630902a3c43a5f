"""Finite elements for clips and mounts, in two dimensions and for tilting barrels in three: an independent validation of the
program's estimates."""

import os

# The matrices are small: threads would cost time, and a fixed order of sums repeats better.
os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
