"""Compiled templates of the themes that come with the program, kept as Python keeps its own compiled modules.

They lie where Python would put a module's code, in `__pycache__` beside the template or under PYTHONPYCACHEPREFIX:
whoever can write there can change the code of the program itself. A book's own templates are never kept. What is kept
is used only if it is whole and was made by this program from this very text; else the template is compiled again, and
where nothing can be written, each time.
"""

from __future__ import annotations

import contextlib
import hashlib
import marshal
import sys
from collections.abc import Callable, MutableMapping
from importlib.util import cache_from_source
from pathlib import Path
from types import CodeType
from typing import Any

import jinja2

from bowbook.storage.backups import write_whole
from bowbook.storage.regular import read_plain

_MOST_BYTES = 10_000_000
_SEAL = 32  # bytes at the beginning: a digest of what the code was made from and of the code


class KeptCodeLoader(jinja2.FunctionLoader):
    """Loads templates by a function, and keeps the code of each. `version` stands for all that compiles them."""

    def __init__(self, find: Callable[[str], tuple[str, str, None] | None], version: str) -> None:
        super().__init__(find)
        self._version = version

    def load(
        self, environment: jinja2.Environment, name: str, globals: MutableMapping[str, Any] | None = None
    ) -> jinja2.Template:
        """The template of this name."""
        source, path, _ = self.get_source(environment, name)
        assert path is not None
        whole = "\0".join((self._version, path, name, source))
        made_from = hashlib.sha256(whole.encode("utf-8", "surrogateescape")).digest()
        code = _read(path, made_from)
        if code is None:
            code = environment.compile(source, name, path)
            _keep(path, made_from, code)
        return environment.template_class.from_code(environment, code, environment.make_globals(globals))


def _read(path: str, made_from: bytes) -> CodeType | None:
    """The code that is kept of the template at this path, if it is whole and was made from this."""
    try:
        data = read_plain(cache_from_source(path), _MOST_BYTES)
    except (OSError, NotImplementedError):  # the latter where this Python keeps no code
        return None
    if data[:_SEAL] != hashlib.sha256(made_from + data[_SEAL:]).digest():
        return None
    code: CodeType = marshal.loads(data[_SEAL:])
    return code


def _keep(path: str, made_from: bytes, code: CodeType) -> None:
    """Keep a template's code, with the template's own permissions, unless Python was told to keep none."""
    if sys.dont_write_bytecode:
        return
    data = marshal.dumps(code)
    with contextlib.suppress(OSError, NotImplementedError):
        file = Path(cache_from_source(path))
        file.parent.mkdir(parents=True, exist_ok=True)
        seal = hashlib.sha256(made_from + data).digest()
        write_whole(file, seal + data, Path(path).stat().st_mode & 0o777 | 0o200)
