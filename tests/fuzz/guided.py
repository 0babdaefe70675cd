"""Coverage-guided fuzzing of the reader: inputs that reach new lines of it are kept and changed further.

It needs a library that the tests do without, in an environment of its own:

    python -m venv FUZZ && FUZZ/bin/pip install atheris -e .
    FUZZ/bin/python tests/fuzz/guided.py kite CORPUS -runs=300000 -timeout=2 -rss_limit_mb=500

The first word is what is read: kite, page, book, stock or quantity. CORPUS is a folder of its own for each of them;
it is filled from the demonstration book and the files that are wrong on purpose where it is empty, and keeps what
reached new lines. All that follows goes to libFuzzer, which prints how many inputs it has run and stops at the first
that raises, takes over two seconds or more than the given memory; that input, made small
(`-minimize_crash=1 FILE`), belongs into `found/`. Two inputs in three are changed line by line and value by value,
as `mutating.py` does, the others byte by byte; how many of each is written to CORPUS.counts.
"""

from __future__ import annotations

import importlib
import sys
import tempfile
import time
from pathlib import Path

MOST_S = 2.0  # of processor time, for one input
BY_VALUE = 0.67


def main() -> None:
    """Fuzz what the command line names."""
    import atheris

    sys.path.insert(0, str(Path(__file__).resolve().parent))
    with atheris.instrument_imports(include=["bowbook.book", "bowbook.format"]):
        targets = importlib.import_module("targets")
    from mutating import dictionary

    what, corpus, *settings = sys.argv[1:]
    Path(corpus).mkdir(parents=True, exist_ok=True)
    if not any(Path(corpus).iterdir()):
        for number, data in enumerate(targets.seeds(what)):
            (Path(corpus) / f"seed-{number}").write_bytes(data)
    words, counts = Path(f"{corpus}.words"), Path(f"{corpus}.counts")
    words.write_text(dictionary())
    changed = {"by value": 0, "by byte": 0}

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        how = "by value" if seed % 1000 < BY_VALUE * 1000 else "by byte"
        changed[how] += 1
        if changed[how] % 500 == 0:
            counts.write_text(f"{changed}\n")
        found: bytes = targets.by_value(what, data, most, seed) if how == "by value" else atheris.Mutate(data, most)
        return found

    with tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as folder:
        read = targets.reader(what, Path(folder))

        def one(data: bytes) -> None:
            start = time.process_time()
            read(data)
            took_s = time.process_time() - start
            assert took_s < MOST_S, f"it took {took_s:.1f} s"

        atheris.Setup([sys.argv[0], corpus, f"-dict={words}", *settings], one, custom_mutator=mutate)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
