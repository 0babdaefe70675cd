"""bowbook: build pages for hand-made bowed kites, from plain files to a printed site."""

import os

# The bench solves thousands of small systems. Linear algebra spread over threads is no faster on these on a quiet
# machine, and thirty times slower on a busy one, where the threads wait for one another; a user's own setting stands.
for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

__version__ = "1.0.0"
