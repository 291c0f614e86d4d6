"""The command line."""

import os

# More threads are slower on matrices as small as ours, and numpy reads this when it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
