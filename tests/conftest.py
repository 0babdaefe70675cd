"""Fixtures that several rooms of the tests share."""

from __future__ import annotations

import compileall
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

import bowbook  # it settles how numpy will use the machine, so it comes before any test imports that
from helpers import chromium, copy_demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# Started in the background of a shell, a run inherits "ignore" for Ctrl-C, and so would every command it starts: the
# tests that press it would wait for ever.
signal.signal(signal.SIGINT, signal.default_int_handler)

# A busy machine may take long over any one example; that says nothing about what is tested.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture(scope="session", autouse=True)
def state_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What bowbook remembers for its user is kept apart from what it remembers for whoever runs the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOWBOOK_STATE", str(tmp_path_factory.mktemp("state")))
        yield


@pytest.fixture(scope="session", autouse=True)
def compiled() -> None:
    """The program compiled as an installed one is: else every process a test starts may have to do it again."""
    compileall.compile_dir(Path(bowbook.__file__).parent, quiet=2)


@pytest.fixture(scope="session", autouse=True)
def caches(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder of this run's own for caches, in this process and in all it starts; the user's is left alone."""
    folder = tmp_path_factory.mktemp("caches")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOWBOOK_CACHE", str(folder))
        yield folder


@pytest.fixture
def demo_book(tmp_path: Path) -> Path:
    """A copy of the demo book, free to be changed."""
    return copy_demo(tmp_path / "book")


@pytest.fixture(scope="session")
def published_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo book, published once for all tests: the folder of the book. Look, do not touch."""
    from bowbook.build.publish import publish

    root = copy_demo(tmp_path_factory.mktemp("demo") / "book")
    report = publish(root)
    assert report.wrote, [str(problem) for problem in report.problems]
    return root


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for the whole run: its driver cannot be started twice at once."""
    from browsing import FLAGS
    from playwright.sync_api import sync_playwright

    executable = chromium()
    assert executable, "CI=true, but there is no Chromium: these tests must not be skipped"
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=executable, args=FLAGS)
        yield launched
        launched.close()
