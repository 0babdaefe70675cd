"""Publishing makes what changed and nothing else, gives the same bytes each time, and says what it did."""

from __future__ import annotations

import json
import os
import random
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest
from drawn_photo import draw_photo

from bowbook.build.publish import publish
from bowbook.format.read_book import read_book
from bowbook.pages import photos
from bowbook.storage.files import digest_of
from bowbook.terminal.publish_report import sentences
from everyday_edits import EDITS
from helpers import bytes_under, small_book
from sample_book import change, cold, kite, lively_book, loaded_by_publishing


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small book, published once. Look, do not touch: copy it."""
    root = lively_book(tmp_path_factory.mktemp("published") / "book")
    report = publish(root)
    assert report.wrote, report.problems
    return root


@pytest.fixture
def book(published: Path, tmp_path: Path) -> Path:
    """A copy of the small book, which has to be published anew: it has a cache of its own."""
    shutil.copytree(published, tmp_path / "book")
    return tmp_path / "book"


def test_the_site_is_all_there(published: Path) -> None:
    """Pages, sheets, pictures, data, schemas and the list of all files with their digests are in the output."""
    site = bytes_under(published / "output")
    listed = json.loads(site.pop("data/files.json"))["files"]
    assert {address: digest_of(data) for address, data in site.items()} == listed
    for address in (
        "index.html", "404.html", "compare.html", "compare/knot-and-turnstone.html", "stock.html", "flyers.html",
        "how.html", "pages/words.html", "bands/light-breeze.html", "kites/knot/index.html", "kites/knot/sheet.html",
        "kites/knot/sheet.pdf", "kites/knot/kite.md", "kites/knot/card.png", "kites/knot/beach-480.webp",
        "kites/knot/beach-700.jpg", "data/kites.json", "data/kites.csv", "data/schema/kite.json", "feed.xml",
        "favicon.svg", "sw.js",
    ):  # fmt: skip
        assert address in site


def test_the_sitemap_waits_for_an_address(book: Path) -> None:
    """A sitemap needs full addresses: it is there once the book says where the site will stand."""
    assert not (book / "output" / "sitemap.xml").exists()
    with (book / "content" / "book.yaml").open("a") as file:
        file.write("address: https://kites.example/book\n")
    assert publish(book).wrote
    assert b"https://kites.example/book/kites/knot/index.html" in (book / "output" / "sitemap.xml").read_bytes()


def test_hidden_and_private_are_nowhere(published: Path) -> None:
    """No file of the site, whatever its kind, holds a word of a hidden kite or of a private flight."""
    for address, data in bytes_under(published / "output").items():
        assert b"HIDDEN" not in data, address
        assert b"PRIVATE" not in data, address
        assert "shy" not in address


def test_a_problem_leaves_the_site_as_it_was(book: Path) -> None:
    """With anything wrong, every problem comes back at once and not a byte of the output changes."""
    publish(book)
    before = bytes_under(book / "output")
    (book / "content" / "kites" / "bad.md").write_text("---\nname: Bad\nmass: twelve\n---\n[x](nobody.md)\n")
    (book / "content" / "kites" / "worse.md").write_text("---\nnaem: Worse\n---\n")
    with (book / "content" / "pages" / "words.md").open("a") as file:
        file.write("\n[nothing](nothing.md)\n")
    report = publish(book)
    assert not report.wrote
    assert {problem.location.file for problem in report.problems} == {
        "content/kites/bad.md",
        "content/kites/worse.md",
        "content/pages/words.md",
    }
    assert bytes_under(book / "output") == before


def test_a_photo_that_lies_is_a_problem_at_its_line(book: Path) -> None:
    """What is no photo is named with the line it is listed on, and the site stays."""
    (book / "content" / "kites" / "knot" / "beach.jpg").write_bytes(b"no photo")
    (problem,) = publish(book).problems
    assert (problem.location.file, problem.location.line > 1) == ("content/kites/knot.md", True)
    assert "is no photo" in problem.message


def test_where_there_is_no_book_nothing_is_made(tmp_path: Path) -> None:
    """In a folder that is no book publishing leaves nothing behind, not even notes of its own."""
    report = publish(tmp_path)
    assert report.problems
    assert list(tmp_path.iterdir()) == []


def test_what_is_not_bowbooks_is_named_and_left(book: Path) -> None:
    """Things the maker put into the output are in the report and still there."""
    (book / "output" / "CNAME").write_text("kites.example")
    (book / "content" / "kites" / "plain.md").unlink()
    report = publish(book)
    assert report.foreign == ("CNAME",)
    assert "kites/plain/index.html" in report.removed
    assert (book / "output" / "CNAME").read_text() == "kites.example"
    assert any("Left alone, because bowbook did not write it: CNAME." in said for said in sentences(report))


def test_a_page_changed_by_hand_comes_back_and_theirs_is_kept(book: Path) -> None:
    """A page somebody wrote into is made again; what they wrote is set aside and named."""
    publish(book)
    page = book / "output" / "how.html"
    was = page.read_bytes()
    page.write_bytes(b"mine")
    report = publish(book)
    assert page.read_bytes() == was
    assert [(book / kept).read_bytes() for kept in report.set_aside] == [b"mine"]


def test_without_its_notes_nothing_is_lost(book: Path, tmp_path: Path) -> None:
    """With .bowbook deleted, pages no longer needed are still known as bowbook's, and the site is as from nothing."""
    shutil.rmtree(book / ".bowbook")
    (book / "content" / "kites" / "plain.md").unlink()
    report = publish(book)
    assert "kites/plain/index.html" in report.removed
    assert bytes_under(book / "output") == cold(book, tmp_path / "cold")


def test_a_story_changes_its_page_alone(book: Path) -> None:
    """A word more in a story reaches the kite's page and its file, and what speaks of all files; nothing else."""
    publish(book)
    with (book / "content" / "kites" / "knot.md").open("a") as file:
        file.write("\nOne word more.\n")
    report = publish(book)
    assert report.changed == ("data/files.json", "kites/knot/index.html", "kites/knot/kite.md", "sw.js")


class PreviewClient:
    """Looks at some pages, and keeps what it was shown, and whether the site was still the old one then."""

    def __init__(self, site: Path, *looked_at: str) -> None:
        self.site, self.looked_at = site, looked_at
        self.shown: dict[str, bytes] = {}
        self.before: dict[str, bytes] = bytes_under(site)
        self.early = True

    def pages(self) -> tuple[str, ...]:
        return self.looked_at

    def show(self, pages: Mapping[str, bytes]) -> None:
        self.shown |= pages
        self.early = bytes_under(self.site) == self.before


def test_the_page_being_looked_at_is_shown_before_the_site_stands(book: Path) -> None:
    """It is the very page that then stands in the site; one that stays as it is, or nobody looks at, is not shown."""
    publish(book)
    file = book / "content" / "kites" / "knot.md"
    file.write_text(file.read_text().replace("mass: 21 g", "mass: 22 g").replace("# Made", "# Made again"))
    client = PreviewClient(book / "output", "kites/knot/index.html", "kites/plain/index.html", "nowhere.html")
    report = publish(book, client=client)
    assert "kites/knot/index.html" in report.changed
    assert len(report.changed) > 2
    assert client.early
    assert client.shown == {"kites/knot/index.html": (book / "output" / "kites" / "knot" / "index.html").read_bytes()}
    assert b"Made again" in client.shown["kites/knot/index.html"]


def test_a_page_that_leans_on_a_new_photo_waits_for_it(book: Path) -> None:
    """Shown too early it would have an empty frame."""
    publish(book)
    draw_photo(book / "content" / "kites" / "knot" / "beach.jpg", 30)
    client = PreviewClient(book / "output", "kites/knot/index.html")
    assert publish(book, client=client).wrote
    assert client.shown == {}


def test_a_file_touched_but_not_changed_changes_nothing(book: Path) -> None:
    """A new time on the same bytes is no change."""
    publish(book)
    os.utime(book / "content" / "kites" / "knot.md", ns=(1, 1))
    assert not publish(book).wrote


def test_a_change_that_leaves_a_files_times_is_seen(book: Path) -> None:
    """An edit of equal length whose times were put back is still noticed: the system's own time can't be."""
    publish(book)
    file = book / "content" / "kites" / "knot.md"
    was = file.stat()
    file.write_text(file.read_text().replace("two", "six"))
    os.utime(file, ns=(was.st_atime_ns, was.st_mtime_ns))
    assert "kites/knot/index.html" in publish(book).changed


@pytest.mark.parametrize("steps", [5, pytest.param(100, marks=pytest.mark.fuzz)])
def test_any_change_gives_what_publishing_from_nothing_gives(book: Path, tmp_path: Path, steps: int) -> None:
    """After each of many random edits, deletions and renames the site is, byte for byte, a cold publish's."""
    dice = random.Random(steps)
    publish(book)
    for number in range(steps):
        changes = [change(book, dice) for _ in range(dice.randrange(1, 5))]
        report = publish(book, workers=1 + number % 2)
        assert not report.problems, changes
        if number % 4 == 3 or number == steps - 1:
            assert bytes_under(book / "output") == cold(book, tmp_path / f"cold{number}"), changes


@pytest.mark.long
def test_every_everyday_edit_gives_what_publishing_from_nothing_gives(book: Path, tmp_path: Path) -> None:
    """After each of a maker's usual edits, one upon another, the site is, byte for byte, a cold publish's."""
    publish(book)
    for turn, edit in enumerate(EDITS):
        edit.apply(book, turn)
        report = publish(book)
        assert report.wrote, (edit.name, report.problems)
        assert set(report.changed) <= set(report.made), edit.name
        assert bytes_under(book / "output") == cold(book, tmp_path / f"cold{turn}"), edit.name


def test_two_kites_swapped_by_name_swap_their_pages(book: Path, tmp_path: Path) -> None:
    """Two files that change names are two changed kites, though no byte is new."""
    publish(book)
    kites = book / "content" / "kites"
    (kites / "plain.md").rename(kites / "x")
    (kites / "turnstone.md").rename(kites / "plain.md")
    (kites / "x").rename(kites / "turnstone.md")
    publish(book)
    assert bytes_under(book / "output") == cold(book, tmp_path / "cold")


def test_another_output_has_its_own_memory(book: Path, tmp_path: Path) -> None:
    """A site published elsewhere is the same, and neither publish disturbs what the other one knows."""
    publish(book)
    report = publish(book, output=tmp_path / "www")
    assert bytes_under(tmp_path / "www") == bytes_under(book / "output")
    assert report.wrote
    assert not publish(book).wrote
    assert not publish(book, output=tmp_path / "www").wrote


def test_nothing_changed_costs_no_heavy_import(book: Path) -> None:
    """When nothing has changed nothing is read, computed or drawn, and none of the libraries for it is loaded."""
    publish(book)
    heavy = ("numpy", "scipy", "matplotlib", "jinja2", "yaml", "PIL", "markdown_it", "uncertainties", "shapely")
    assert loaded_by_publishing(book, heavy) == (False, set())


def test_the_names_of_files_may_be_no_text(book: Path) -> None:
    """A file whose name is no UTF-8 is somebody's mistake, not the end of publishing."""
    (book / "content" / os.fsdecode(b"\xff\xfe.bak")).write_bytes(b"x")
    (book / "output" / os.fsdecode(b"mine\xff")).write_bytes(b"x")
    report = publish(book)
    assert not report.problems
    assert (book / "output" / os.fsdecode(b"mine\xff")).read_bytes() == b"x"
    assert not publish(book).wrote


def test_photos_of_a_removed_kite_go_with_it(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a kite its photos leave the site, and a photo that is made is made no second time, in whatever folder."""
    publish(book)
    (book / "content" / "kites" / "other.md").write_text(kite("Other", photo="beach.jpg"))
    draw_photo(book / "content" / "kites" / "other" / "beach.jpg")
    with monkeypatch.context() as patch:
        patch.setattr(photos, "photo_files", lambda *_: pytest.fail("it is made already"))
        publish(book)
    assert (book / "output" / "kites" / "other" / "beach-480.webp").exists()
    (book / "content" / "kites" / "other.md").unlink()
    report = publish(book)
    assert "kites/other/beach-480.webp" in report.removed


def test_a_heading_changed_in_a_story_is_on_the_sheet(tmp_path: Path) -> None:
    """The sheet lists the parts of the story: it is printed anew for another heading, not for another word below it."""
    root = small_book(tmp_path / "book", {"knot": "---\nname: Knot\n---\n# Cut\nwords\n# Glue\n"})
    assert publish(root).wrote
    file, sheet = root / "content/kites/knot.md", root / "output/kites/knot/sheet.pdf"
    before = sheet.stat().st_mtime_ns, sheet.read_bytes()
    file.write_text(file.read_text().replace("words", "other words"))
    assert publish(root).wrote
    assert (sheet.stat().st_mtime_ns, sheet.read_bytes()) == before
    file.write_text(file.read_text().replace("# Glue", "# Sew"))
    assert publish(root).wrote
    assert sheet.read_bytes() != before[1]
    assert bytes_under(root / "output") == cold(root, tmp_path / "cold")


@pytest.mark.parametrize("place", ["kites/new.md", "pages/new.md", "stock/strips.yaml", "pages/deep/er"])
def test_a_folder_that_comes_where_a_file_belongs_is_seen(place: str, book: Path) -> None:
    """An empty folder is no file, so nothing else has changed: publishing still says what checking says."""
    publish(book)
    (book / "content" / place).mkdir(parents=True)

    report = publish(book)

    assert report.problems == read_book(book).problems
    assert bool(report.problems) == (place != "pages/deep/er")


@pytest.mark.parametrize("folder", ["kites", "stock", "pages", "kites/knot"])
@pytest.mark.parametrize("inside", [True, False])
def test_a_folder_that_is_a_link_is_named_by_both(folder: str, inside: bool, book: Path, tmp_path: Path) -> None:
    """What lies behind a link is not looked through, so checking must not pass what publishing cannot read."""
    (book / "content/pages").mkdir(exist_ok=True)
    (book / "content/pages/how.md").write_text("---\ntitle: How\n---\n", encoding="utf-8")
    place = book / "content" / folder
    aside = (book / "content" if inside else tmp_path) / "aside"
    place.rename(aside)
    place.symlink_to(aside)

    problems = read_book(book).problems

    assert any("link" in problem.message for problem in problems)
    assert publish(book).problems == problems
