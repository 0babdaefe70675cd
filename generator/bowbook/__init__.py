"""bowbook: build pages for hand-made bowed kites, from plain files to a printed site."""

import atexit
import gc
import os

# Starting up and reading a book make many objects that stay. Looking through them for garbage after every few hundred
# more takes some hundredths of a short command's time; and so does looking through them once more at the end.
gc.set_threshold(200_000)
atexit.register(gc.freeze)

# The bench solves thousands of small systems. Linear algebra spread over threads is no faster on these on a quiet
# machine, and thirty times slower on a busy one, where the threads wait for one another; a user's own setting stands.
for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

__version__ = "1.0.0"
