"""Brings matplotlib in with the settings that come with it. Import this before anything of matplotlib.

By itself it reads a file `matplotlibrc` from the folder the program is started in, which may be somebody else's book,
or from the user's own settings, and two variables of the environment. With these, charts would not be the same on
every machine, and a pipe or a slip there would end the publish. No variable turns that off: the folder comes first.
"""

from __future__ import annotations

import os
from pathlib import Path

_FILE = "matplotlibrc"
_VARIABLES = ("MATPLOTLIBRC", "MPLBACKEND")


def _bring_in() -> None:
    exists = os.path.exists

    def exists_here(path: str) -> bool:
        """Like os.path.exists, but for files of settings that did not come with matplotlib: they are not there."""
        return exists(path) and (Path(path).name != _FILE or Path(path).parent.name == "mpl-data")

    said = {name: os.environ.pop(name) for name in _VARIABLES if name in os.environ}
    os.path.exists = exists_here  # type: ignore[assignment]
    try:
        import matplotlib  # noqa: F401
    finally:
        os.path.exists = exists
        os.environ.update(said)


_bring_in()
