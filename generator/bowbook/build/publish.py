"""Publishing: from a book's files to its site in place, as a list of named steps."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import msgspec

from bowbook.book.problems import Location, Problem
from bowbook.build import inputs
from bowbook.build.cache import Cache
from bowbook.build.published import GroupMade, MadeFrom, Outcome, Published
from bowbook.build.report import PreviewClient, Progress, PublishReport, silent
from bowbook.storage import exchange, files
from bowbook.storage.files import Held
from bowbook.storage.folder_swap import FolderSwap
from bowbook.storage.os_errors import StorageError, explained
from bowbook.storage.result_file import DamagedError, file_for
from bowbook.storage.stamps import FileChangedError, FileStamp

if TYPE_CHECKING:  # the work's own imports wait until there is work: where nothing changed they would be most of it
    from bowbook.book.values import Value
    from bowbook.findings.compute import BookValues
    from bowbook.pages.outline import ReadBook
    from bowbook.pages.photos import PhotoSizes
    from bowbook.pages.targets import Target
    from bowbook.pages.theme import Theme

T = TypeVar("T")
_TRIES = 4  # times a book that is written into meanwhile is looked at anew


class ProblemsError(Exception):
    """The book can't be published as it is; carries everything that is wrong with it."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(problems)
        self.problems = problems


class PublishRun(msgspec.Struct):
    """One publish on its way: what each step leaves for the next. `report` is set when there is no more to do."""

    root: Path
    output: Path
    tell: Progress
    swap: FolderSwap
    cache: Cache
    client: PreviewClient | None = None
    last: Published = msgspec.field(default_factory=Published)
    inputs: Mapping[str, FileStamp] = msgspec.field(default_factory=dict)
    version: str = ""  # of the program with its own themes
    book: ReadBook | None = None
    values: BookValues | None = None
    theme: Theme | None = None
    doubts: tuple[Problem, ...] = ()  # readings that no figure could be computed from
    photos: Mapping[str, tuple[Value[PhotoSizes], ...]] = msgspec.field(default_factory=dict)
    pages: int = 0
    were: Mapping[str, GroupMade] = msgspec.field(default_factory=dict)  # the groups of files of the last publish
    groups: dict[str, GroupMade] = msgspec.field(default_factory=dict)
    targets: dict[str, list[Target]] = msgspec.field(default_factory=dict)  # of each group that is looked at
    digests: dict[str, str] = msgspec.field(default_factory=dict)
    made: list[str] = msgspec.field(default_factory=list)
    latest: tuple[Value[object], object] | None = None  # the model that was last worked out
    report: PublishReport | None = None

    @property
    def themes(self) -> str:
        """What stands for the program's themes and the book's own."""
        return f"{self.version} {inputs.digests(self.inputs, 'themes')}"

    @property
    def note(self) -> str:
        """The name of what is noted of this output."""
        return f"of {os.fsencode(self.output)!r}"  # a folder's name need not be UTF-8


def publish(
    root: Path | str,
    output: Path | None = None,
    workers: int = 1,
    progress: Progress | None = None,
    client: PreviewClient | None = None,
) -> PublishReport:
    """Check the book at `root` and put its site in place at `output` (its own `output/` where that is None).

    All that is wrong comes back in the report, at once, and then the site that stands is as it was. `workers` is how
    many processes share the work; the site is the same for any number. `progress` is called with what is being done.
    The pages that a preview's `client` looks at are made first, and shown before the others are there.
    """
    book = Path(root).absolute()
    site = Path(output).absolute() if output is not None else book / "output"
    tell = progress or silent
    try:
        if not (book / "content").is_dir():
            what = "There is no book here: no content/ folder."
            raise _refused(book, what, "Name the book's folder with --book, or begin one.")
        state = exchange.state_folder(book)
        with explained(state), FolderSwap(book, site, state) as swap:
            swap.open(tell)
            return _tried(book, site, workers, tell, swap, client)
    except ProblemsError as problem:
        return PublishReport(site, problems=problem.problems)
    except StorageError as error:
        return PublishReport(site, problems=(error.as_problem(),))


def _tried(
    book: Path, site: Path, workers: int, tell: Progress, swap: FolderSwap, client: PreviewClient | None
) -> PublishReport:
    """Take every step; all of them anew where a kept result is damaged, or a file changes while the book is read."""
    file: Path | None = file_for(book)
    home = f"{book.resolve()} {book.stat().st_ino}"
    for left in reversed(range(_TRIES)):
        cache = Cache(file, home, workers, tell)
        try:
            return _in_steps(PublishRun(book, site, tell, swap, cache, client))
        except DamagedError:
            cache.file.delete()
            file = file if left > 1 else None  # it comes back damaged: do without
        except FileChangedError as error:
            if not left:
                what = "Files of the book change faster than they can be read."
                raise _refused(book / "content", what, "Publish again when nothing writes into it.") from error
        finally:
            cache.write()
            cache.file.close()
    raise AssertionError("an empty cache is not damaged")


def _in_steps(run: PublishRun) -> PublishReport:
    for step in STEPS:
        step(run)
        if run.report is not None:
            return run.report
    raise AssertionError("the last step reports")


def look(run: PublishRun) -> None:
    """See what has changed since the last time; with nothing changed there is nothing to do."""
    run.tell("looking at what has changed")
    run.last = run.cache.file.note(Published, run.note) or Published()
    known = {os.fsdecode(name): stamp for name, stamp in run.last.inputs.items()}
    run.inputs = inputs.scan(run.root, known)
    run.version = inputs.program_version(run.inputs)
    present = run.swap.look(run.last.files)
    same_inputs = inputs.contents(run.inputs) == inputs.contents(known)
    same = run.last.version == run.version and same_inputs
    if run.last.files and same and present.files == run.last.files:
        if run.inputs != known:
            _write(run, **{run.note: msgspec.structs.replace(run.last, inputs=_named(run.inputs))})
        run.report = PublishReport(run.output, run.last.pages, kept=len(present.files), foreign=present.foreign)


def read(run: PublishRun) -> None:
    """Read what is not known of the book, find every problem that shows before a page is made, and compute it."""
    from bowbook.build.reading import read_for_publish
    from bowbook.findings.compute import compute, mechanics_problems
    from bowbook.pages.links import link_problems
    from bowbook.pages.theme import theme_again
    from bowbook.pages.theme_problems import ThemeProblem

    run.tell("reading the book")
    run.cache.of_version(run.version)
    run.book = read_for_publish(run.root, inputs.contents(run.inputs), run.cache)
    book = run.book.book
    problems = [*book.problems, *link_problems(book, run.book.links)]
    try:
        run.theme = theme_again(book.settings.theme, run.root, run.version, run.themes)
    except ThemeProblem as problem:
        problems += problem.problems
    if problems:  # what they speak of need not be fit to be computed
        raise ProblemsError(tuple(problems))
    run.tell("computing the kites")
    run.values = compute(book, {key: kite.given for key, kite in run.book.kites.items()}, run.cache)
    run.doubts = mechanics_problems(run.values, book)


def prepare_photos(run: PublishRun) -> None:
    """Make every photo's sizes that are not kept."""
    from bowbook.build.photo_steps import made_photos

    assert run.book is not None
    run.photos, problems = made_photos(run.book, run.root, run.cache)
    if problems:
        raise ProblemsError(problems)


def plan(run: PublishRun) -> None:
    """Say which files the site has, and what each is made from; a group that is made as it was is left as it stands."""
    from bowbook.book.file_names import alike
    from bowbook.pages.site_files import SiteFiles
    from bowbook.pages.site_plan import Look
    from bowbook.pages.site_plan import plan as plan_pages

    run.tell("planning the pages")
    assert run.book is not None
    assert run.values is not None
    assert run.theme is not None
    site = plan_pages(run.book, run.values, run.photos, Look(run.theme.style, run.themes), run.cache)
    site_files = SiteFiles(site, run.values, run.theme, run.cache)
    run.pages = site.page_count
    groups = site_files.groups()
    if run.last.files:
        run.were = run.cache.file.note(dict[str, GroupMade], f"{run.note}: made") or {}
    kept = {group for group, made_from in groups.items() if _stands_as(run, group, made_from)}
    site_files.prepare(group for group in groups if group not in kept)
    for group, made_from in groups.items():
        if group in kept:
            run.groups[group] = run.were[group]
            continue
        run.cache.asked.clear()
        run.targets[group] = site_files.of(group)
        run.groups[group] = GroupMade(made_from, {}, tuple(run.cache.asked))
    addresses = [address for group in run.groups.values() for address in group.files]
    addresses += [target.address for targets in run.targets.values() for target in targets]
    if twice := alike(addresses):
        raise ProblemsError(
            tuple(Problem(Location("content"), f"Two things want to be at {a}.", "Rename one.") for a in twice)
        )


def _stands_as(run: PublishRun, group: str, made_from: bytes) -> bool:
    """Whether a group of files stands as the last publish left it, and is made from the same."""
    was = run.were.get(group)
    return was is not None and made_from == was.made_from != b"" and all(_standing(run, at) for at in was.files)


def make(run: PublishRun) -> None:
    """Make, beside the site that stands, every file whose making would not give the same bytes again."""
    kept: dict[str, Held] = {}
    for group in run.groups.values():
        kept.update((address, run.swap.present.files[address]) for address in group.files)
    to_make: list[tuple[Target, MadeFrom | None]] = []
    files_made: dict[str, dict[str, MadeFrom]] = {}  # those of its group, by each address
    for name, targets in run.targets.items():
        known, now = run.were[name].files if name in run.were else {}, run.groups[name].files
        for target in targets:
            there, made = _standing(run, target.address), known.get(target.address)
            files_made[target.address] = now
            if there is None or made is None:
                to_make.append((target, None))
            elif made.made_from == target.made_from:
                kept[target.address], now[target.address] = there, made
            else:
                to_make.append((target, made))
    run.digests = {address: held.digest for address, held in kept.items()}
    ready = _shown_first(run, to_make)
    run.swap.begin(kept, [target.address for target, _ in to_make])
    kinds = {target.kind: index for index, (target, _) in reversed(list(enumerate(to_make)))}
    tasks = [partial(_made, run, target, was, ready.get(target.address)) for target, was in to_make]
    problems: list[Problem] = []
    for (target, _), outcome in zip(to_make, run.cache.share(tasks, "files", list(kinds.values())), strict=True):
        problems += outcome.problems
        run.digests[target.address] = outcome.digest
        files_made[target.address][target.address] = outcome.made_from
        if outcome.made:
            run.made.append(target.address)
    if problems:
        raise ProblemsError(tuple(dict.fromkeys(problems)))


def finish(run: PublishRun) -> None:
    """Add the files that speak of all the others: what a browser keeps for the field, and the site's own list."""
    assert run.theme is not None
    run.digests["sw.js"] = run.swap.put("sw.js", run.theme.service_worker(sorted(run.digests.items())))
    run.digests[files.MANIFEST] = run.swap.put(files.MANIFEST, files.manifest_text(run.digests))


def put_in_place(run: PublishRun) -> None:
    """Let the new site take the old one's place, unless they are the same."""
    present = run.swap.present.files
    removed = sorted(present.keys() - run.digests.keys())
    changed = sorted(at for at, digest in run.digests.items() if at not in present or present[at].digest != digest)
    if changed or removed:
        run.tell("putting the site in place")
        run.swap.swap()
    new = set(changed)
    standing = {
        address: files.held(run.output / address, digest) if address in new else present[address]
        for address, digest in run.digests.items()
    }
    published = Published(run.version, _named(run.inputs), standing, run.pages)
    _write(run, **{run.note: published, f"{run.note}: made": run.groups})
    for group in run.groups.values():
        run.cache.hold(chain(group.steps, *[made.steps for made in group.files.values()]))
    run.cache.drop_unused()
    run.report = PublishReport(
        run.output,
        run.pages,
        made=tuple(sorted([*run.made, "sw.js", files.MANIFEST])),
        changed=tuple(changed),
        removed=tuple(removed),
        kept=len(standing) - len(changed),
        foreign=tuple(address for address in run.swap.present.foreign if address not in run.digests),
        set_aside=tuple(run.swap.set_aside.values()),
        wrote=bool(changed or removed),
        doubts=run.doubts,
    )


STEPS: tuple[Callable[[PublishRun], None], ...] = (look, read, prepare_photos, plan, make, finish, put_in_place)


def _shown_first(
    run: PublishRun, to_make: Sequence[tuple[Target, MadeFrom | None]]
) -> dict[str, tuple[MadeFrom, bytes | None]]:
    """The pages being looked at, worked out and shown; none that may lean on a new file."""
    from bowbook.pages.theme_problems import ThemeProblem

    if run.client is None or any(target.kind in ("asset", "photo") for target, _ in to_make):
        return {}
    looked_at = run.client.pages()
    try:
        made = {
            target.address: _worked_out(run, target, was)
            for target, was in to_make
            if target.kind == "page" and target.address in looked_at
        }
    except ThemeProblem:  # it will be found again, and told with all others
        return {}
    new = {at: data for at, (_, data) in made.items() if data is not None and not run.swap.stands(at, data)}
    if new:
        run.client.show(new)
    return made


def _standing(run: PublishRun, address: str) -> Held | None:
    """The file that stands at an address, if it is the one the last publish left there."""
    there, was = run.swap.present.files.get(address), run.last.files.get(address)
    return there if there is not None and was is not None and there.digest == was.digest else None


def _worked_out(run: PublishRun, target: Target, was: MadeFrom | None) -> tuple[MadeFrom, bytes | None]:
    """What one file is made from now, and its bytes; no bytes where it `was` made to show the same."""
    if run.latest is None or run.latest[0] is not target.model:  # both files of a chart have one model
        run.latest = target.model, target.model()
    shows = target.shows(model := run.latest[1])
    if was is not None and shows == was.shows:
        return MadeFrom(target.made_from, shows, was.steps), None
    run.cache.asked.clear()
    data = target.render(model)
    return MadeFrom(target.made_from, shows, tuple(run.cache.asked)), data


def _made(
    run: PublishRun, target: Target, was: MadeFrom | None, ready: tuple[MadeFrom, bytes | None] | None
) -> Outcome:
    """Make one file and put it into the new site; the one that stands, where it `was` made to show the same."""
    from bowbook.pages.theme_problems import ThemeProblem

    try:
        made_from, data = ready or _worked_out(run, target, was)
    except ThemeProblem as problem:
        return Outcome("", True, MadeFrom(b"", b""), tuple(problem.problems))
    if data is None:
        run.swap.keep(target.address)
        return Outcome(run.swap.present.files[target.address].digest, False, made_from)
    return Outcome(run.swap.put(target.address, data), True, made_from)


def _write(run: PublishRun, **notes: object) -> None:
    """Write what is to be known the next time; a site without that is still whole, the next publish only costs more."""
    run.cache.write(**notes)
    if run.cache.failed:
        run.tell("what this publish made could not be kept; the next one starts anew")


def _named(stamps: Mapping[str, FileStamp]) -> dict[bytes, FileStamp]:
    return {os.fsencode(name): stamp for name, stamp in stamps.items()}


def _refused(where: Path, what: str, instead: str) -> ProblemsError:
    return ProblemsError((Problem(Location(str(where)), what, instead),))
