"""Two-dimensional finite elements for clips and mounts, to judge the program's estimates from outside."""

import os

# The matrices are small: threads would cost more than they bring, and one order of sums repeats more closely.
os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
