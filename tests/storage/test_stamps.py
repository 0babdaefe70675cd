"""A file is read again wherever it may have changed, and only there."""

from __future__ import annotations

from pathlib import Path

from bowbook.storage.stamps import SURE_AFTER_NS, FileStamp, files_under, stamps


def test_a_stamp_trusts_only_what_cannot_have_changed(tmp_path: Path) -> None:
    """A file looked at just after it was written is read again the next time; an older one is not."""
    (tmp_path / "x").write_text("x")
    first = stamps(files_under(tmp_path, "content"), {})["content/x"]
    assert not first.still((tmp_path / "x").stat())
    later = FileStamp(
        *(getattr(first, name) for name in ("inode", "size", "changed_ns", "status_ns")),
        first.seen_ns + SURE_AFTER_NS * 2,
        first.digest,
    )
    assert later.still((tmp_path / "x").stat())
