"""Brings reportlab in with the settings that come with it. Import this before anything of reportlab.

By itself it runs two files of the user's, two modules wherever Python looks for modules, and takes settings from the
environment. With these a sheet would not be the same on every machine, and a slip there would end the publish.
"""

from __future__ import annotations

import os
import sys
from types import ModuleType

_MODULES = ("reportlab_mods", "reportlab_settings")  # where they are there, the user's files are not looked for
_VARIABLES = "RL_"  # what names of settings in the environment begin with


def _bring_in() -> None:
    said = {name: os.environ.pop(name) for name in list(os.environ) if name.startswith(_VARIABLES)}
    sys.modules.update((name, ModuleType(name)) for name in _MODULES)
    try:
        import reportlab.rl_config  # noqa: F401
    finally:
        for name in _MODULES:
            del sys.modules[name]
        os.environ.update(said)


_bring_in()
