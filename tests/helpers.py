"""Helps that several rooms of the tests share: running the program, copying the demo book, serving a folder."""

from __future__ import annotations

import contextlib
import functools
import gzip
import http.server
import io
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

ROOT = Path(__file__).resolve().parents[1]
CONTENT = ROOT / "content"
BOWBOOK = (sys.executable, "-c", "from bowbook.cli import main; main()")


def run_bowbook(
    *words: str, cwd: Path, given: str | None = None, env: Mapping[str, str] | None = None, seconds: float = 120
) -> subprocess.CompletedProcess[str]:
    """What `bowbook WORDS` did in `cwd`, as a process of its own, with `given` typed in (else no input at all)."""
    clean = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "FORCE_COLOR", "COLUMNS")}
    return subprocess.run(
        [*BOWBOOK, *words],
        cwd=cwd,
        input=given if given is not None else "",
        env={**clean, "PYTHONUTF8": "1", **(env or {})},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=seconds,
        check=False,
    )


def copy_demo(folder: Path) -> Path:
    """`folder` as a book with the demo book's content and nothing else."""
    shutil.copytree(CONTENT, folder / "content")
    return folder


def small_book(folder: Path, kites: Mapping[str, str], book: str = "", rods: str = "", skins: str = "") -> Path:
    """`folder` as a book with these kite files (key to whole text), book.yaml and stock."""
    content = folder / "content"
    (content / "kites").mkdir(parents=True, exist_ok=True)
    (content / "stock").mkdir()
    for name, text in (("book.yaml", book), ("stock/rods.yaml", rods), ("stock/skins.yaml", skins)):
        if text:
            (content / name).write_text(text, encoding="utf-8")
    for key, text in kites.items():
        (content / "kites" / f"{key}.md").write_text(text, encoding="utf-8")
    return folder


def bytes_under(folder: Path) -> dict[str, bytes]:
    """Every file under a folder: its path with forward slashes, its bytes."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def chromium() -> str | None:
    """Where a Chromium is, or None."""
    named = os.environ.get("BOWBOOK_CHROMIUM")
    names = ("chromium", "chromium-browser", "google-chrome", "chrome")
    return named or next((found for name in names if (found := shutil.which(name))), None)


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves files without printing a line for each."""

    def log_message(self, format: str, *args: object) -> None:
        """Nothing."""


class _Packed(_Quiet):
    """Sends texts gzipped to those that take it, as hosts of static sites do."""

    def send_head(self) -> io.BytesIO | BinaryIO | None:
        """The head of an answer, and what it is to be followed by."""
        path = Path(self.translate_path(self.path))
        text = path.suffix in (".html", ".css", ".js", ".svg", ".json", ".xml")
        if not (text and path.is_file() and "gzip" in self.headers.get("Accept-Encoding", "")):
            return super().send_head()
        body = gzip.compress(path.read_bytes(), 6)
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(path)))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        return io.BytesIO(body)


@contextlib.contextmanager
def served(folder: Path, packed: bool = False) -> Iterator[str]:
    """`folder` served on this machine only, at the address given, with a slash at its end; texts gzipped if asked."""
    handler = functools.partial(_Packed if packed else _Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        server.daemon_threads = True
        thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}/"
        finally:
            server.shutdown()
            thread.join()
