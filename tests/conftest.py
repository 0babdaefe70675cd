"""Fixtures that several rooms of the tests share."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

import bowbook  # noqa: F401  it settles how numpy will use the machine, so it comes before any test imports that
from helpers import copy_demo

# A busy machine may take long over any one example; that says nothing about what is tested.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture
def demo_book(tmp_path: Path) -> Path:
    """A copy of the demo book, free to be changed."""
    return copy_demo(tmp_path / "book")


@pytest.fixture(scope="session")
def published_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo book, published once for all tests: the folder of the book. Look, do not touch."""
    from bowbook.site.publish import publish

    root = copy_demo(tmp_path_factory.mktemp("demo") / "book")
    report = publish(root)
    assert report.wrote, [str(fault) for fault in report.faults]
    return root
