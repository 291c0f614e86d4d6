"""One thread for matrices: more are slower on ones as small as ours.

NumPy reads this when it is loaded, so the command line imports this module before any other.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
