"""Publishing: from a book's files to its site in place, as a list of named steps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from bowbook.book.asked import at_hand
from bowbook.book.faults import Fault, Place
from bowbook.site import memory as memories
from bowbook.site import places, scan, tree
from bowbook.site.memory import Memory
from bowbook.site.report import Onlooker, PublishReport, Tell, silent
from bowbook.site.shelf import Shelf, ShelfError, in_sentences
from bowbook.site.tree import Present

if TYPE_CHECKING:  # the work's own imports wait until there is work: where nothing changed they would be most of it
    from bowbook.findings.known import Alone
    from bowbook.findings.results import BookFindings
    from bowbook.site.jobs import Job, Material
    from bowbook.site.kites import KnownKites
    from bowbook.site.marks import Marks
    from bowbook.site.pages import PhotoView
    from bowbook.site.pieces import Fresh, Pieces
    from bowbook.site.theme import Theme

__all__ = ["STEPS", "PublishReport", "publish"]

T = TypeVar("T")


class FaultsError(Exception):
    """The book can't be published as it is; carries everything that is wrong with it."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults


@dataclass(slots=True)
class Run:
    """One publish on its way: what each step leaves for the next. `report` is set when there is no more to do."""

    root: Path
    output: Path
    workers: int
    tell: Tell
    shelf: Shelf
    state: Path
    memory: Memory = field(default_factory=Memory)
    inputs: Mapping[str, scan.Seen] = field(default_factory=dict)
    version: str = ""  # of the program with its own themes
    present: Present = field(default_factory=Present)
    known: KnownKites | None = None
    alone: Mapping[str, Alone] = field(default_factory=dict)
    marks: Mapping[str, Marks] = field(default_factory=dict)
    findings: BookFindings | None = None
    theme: Theme | None = None
    photos: Mapping[str, tuple[PhotoView, ...]] = field(default_factory=dict)
    pieces: Pieces | None = None
    material: Material | None = None
    jobs: list[Job] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)
    changed: list[str] = field(default_factory=list)
    onlooker: Onlooker | None = None
    report: PublishReport | None = None

    @property
    def made_by(self) -> str:
        """What stands for the program and for all themes, the book's own too."""
        return f"{self.version} {scan.digests(self.inputs, 'themes')}"


def publish(
    root: Path | str,
    output: Path | None = None,
    workers: int = 1,
    progress: Tell | None = None,
    onlooker: Onlooker | None = None,
) -> PublishReport:
    """Check the book at `root` and put its site in place at `output` (its own `output/` where that is None).

    All that is wrong comes back in the report, at once, and then the site that stands is as it was. `workers` is how
    many processes share the work; the site is the same for any number. `progress` hears what is being done. The pages
    that an `onlooker` looks at are made first, and shown before the others are there.
    """
    book = Path(root).absolute()
    site = Path(output).absolute() if output is not None else book / "output"
    tell = progress or silent
    try:
        if not (book / "content").is_dir():
            raise FaultsError(_no_book(book))
        state = places.state_folder(book)
        with in_sentences(state), Shelf(book, site, state) as shelf:
            shelf.open(tell)
            return _in_steps(Run(book, site, workers, tell, shelf, state, onlooker=onlooker))
    except FaultsError as fault:
        return PublishReport(site, faults=fault.faults)
    except ShelfError as error:
        return PublishReport(site, faults=(error.as_fault(),))


def _in_steps(run: Run) -> PublishReport:
    """Take every step; where what was remembered of a kite turns out not to be there, all of them anew without it."""
    try:
        for step in STEPS:
            step(run)
            if run.report is not None:
                return run.report
    except Exception as error:
        # Asked by name: to import the kites' memory where nothing has changed would cost more than all else there.
        if run.known is None or type(error).__name__ != "ForgottenError":
            raise
        run.known.forget()
        return _in_steps(Run(run.root, run.output, run.workers, run.tell, run.shelf, run.state, onlooker=run.onlooker))
    raise AssertionError("the last step reports")


def look(run: Run) -> None:
    """See what has changed since the last time; with nothing changed there is nothing to do."""
    run.tell("looking at what has changed")
    run.memory = memories.recall(memories.file_for(run.state, run.root, run.output))
    run.inputs = scan.scan(run.root, run.memory.inputs)
    run.version = scan.program_version(run.inputs)
    run.present = run.shelf.look(run.memory.files)
    same_inputs = scan.contents(run.inputs) == scan.contents(run.memory.inputs)
    if run.memory.files and run.memory.version == run.version and same_inputs and run.present.files == run.memory.files:
        if run.inputs != run.memory.inputs:
            _remember(run, replace(run.memory, inputs=run.inputs))
        run.report = PublishReport(
            run.output, run.memory.pages, kept=len(run.present.files), foreign=run.present.foreign
        )


def read(run: Run) -> None:
    """Read what is not known of the book, find every fault that shows before a page is made, and work it out."""
    from bowbook.book.reading import read_book
    from bowbook.findings.book import work_out_again
    from bowbook.site.kites import KnownKites
    from bowbook.site.links import link_faults
    from bowbook.site.marks import marks_of
    from bowbook.site.plain import Packed
    from bowbook.site.theme import ThemeFault, theme_again

    run.tell("reading the book")
    run.known = KnownKites(run.state, run.version, scan.contents(run.inputs))
    book = read_book(run.root, run.known.before)
    links = {key: marks.links for key, marks in run.known.marks.items()}
    faults = [*book.faults, *link_faults(book, links)]
    try:
        run.theme = theme_again(book.settings.theme, run.root, run.made_by)
    except ThemeFault as fault:
        faults += fault.faults
    run.tell("working out the kites")
    run.findings, run.alone = work_out_again(book, run.known.of(book), Packed)
    faults += [fault for fault in run.findings.faults if fault not in faults]
    if faults:
        raise FaultsError(tuple(faults))
    known = run.known
    run.marks = {
        key: known.marks[key] if kite is known.alone.get(key) else marks_of(kite.load(), book.kites[key])
        for key, kite in run.alone.items()
    }


def prepare_photos(run: Run) -> None:
    """Make every photo's sizes that are not there yet."""
    from bowbook.site.photos import Album, PhotoError

    album = Album(run.root, run.state, scan.contents(run.inputs))
    kites = {key: marks.photos for key, marks in run.marks.items() if marks.photos}
    results = _share(run, [partial(album.make, photo) for photo in album.wanted(kites)], "photos")
    faults = tuple(fault for result in results for fault in result)
    if faults:
        raise FaultsError(faults)
    try:
        run.photos = album.views(kites)
        run.jobs += album.jobs(kites)
    except PhotoError as error:
        raise FaultsError(error.faults) from error


def plan(run: Run) -> None:
    """Say which files the site has, and what each is made from."""
    from bowbook.site.jobs import Material, jobs
    from bowbook.site.pages import plan as plan_pages
    from bowbook.site.pieces import Pieces

    run.tell("planning the pages")
    assert run.findings is not None
    assert run.theme is not None
    sources = scan.contents(run.inputs)
    run.pieces = Pieces(run.state, run.version)
    parts, links = run.pieces.parts, {key: marks.links for key, marks in run.marks.items()}
    specs = plan_pages(run.findings, run.photos, links, parts)
    run.material = Material(run.root, run.made_by, run.findings, run.theme, specs, sources, run.marks, parts)
    run.jobs += jobs(run.material)
    times = Counter(job.address for job in run.jobs)
    twice = sorted(address for address in times if times[address] > 1)
    if twice:
        raise FaultsError(
            tuple(Fault(Place("content"), f"Two things want to be at {a}.", "Rename one.") for a in twice)
        )


def make(run: Run) -> None:
    """Make, beside the site that stands, every file whose making would not give the same bytes again."""
    kept = {job.address: run.present.files[job.address] for job in run.jobs if _as_remembered(run, job)}
    run.digests = {address: held.digest for address, held in kept.items()}
    to_make = [job for job in run.jobs if job.address not in kept]
    assert run.pieces is not None
    if any(job.kind == "page" for job in to_make):
        run.pieces.recall()
    to_make = _shown_first(run, to_make)
    run.shelf.begin(kept, [job.address for job in run.jobs])
    first_of_kind = list({job.kind: index for index, job in reversed(list(enumerate(to_make)))}.values())
    results = _share(run, [partial(_made, run, job) for job in to_make], "files", first_of_kind)
    faults: list[Fault] = []
    for job, (digest, wrong, fresh) in zip(to_make, results, strict=True):
        faults += wrong
        run.pieces.take(fresh)
        run.digests[job.address] = digest
        _note(run, job.address)
    if faults:
        raise FaultsError(tuple(dict.fromkeys(faults)))


def finish(run: Run) -> None:
    """Add the files that speak of all the others: what a browser keeps for the field, and the site's own list."""
    assert run.theme is not None
    run.digests["sw.js"] = _put(run, "sw.js", run.theme.service_worker(sorted(run.digests.items())))
    run.digests[tree.MANIFEST] = _put(run, tree.MANIFEST, tree.manifest_text(run.digests))
    _note(run, "sw.js")
    _note(run, tree.MANIFEST)


def put_in_place(run: Run) -> None:
    """Let the new site take the old one's place, unless they are the same."""
    removed = sorted(set(run.present.files) - set(run.digests))
    if run.changed or removed:
        run.tell("putting the site in place")
        run.shelf.swap(run.present)
    made_of = {job.address: job.made_of for job in run.jobs}
    new = set(run.changed)
    files = {
        address: tree.held(run.output / address, digest) if address in new else run.present.files[address]
        for address, digest in run.digests.items()
    }
    pages = sum(job.kind == "page" for job in run.jobs)
    _remember(run, Memory(run.version, run.inputs, files, made_of, pages))
    run.report = PublishReport(
        run.output,
        pages,
        changed=tuple(sorted(run.changed)),
        removed=tuple(removed),
        kept=len(files) - len(run.changed),
        foreign=tuple(address for address in run.present.foreign if address not in run.digests),
        set_aside=tuple(run.shelf.set_aside.values()),
        wrote=bool(run.changed or removed),
    )


STEPS: tuple[Callable[[Run], None], ...] = (look, read, prepare_photos, plan, make, finish, put_in_place)


def _shown_first(run: Run, to_make: Sequence[Job]) -> list[Job]:
    """The jobs, the pages being looked at made and shown; none where one may lean on a file that is not there yet."""
    from bowbook.site.theme import ThemeFault

    if run.onlooker is None or any(job.kind in ("asset", "photo") for job in to_make):
        return list(to_make)
    looked_at = run.onlooker.pages()
    try:
        made = {job.address: job.make() for job in to_make if job.kind == "page" and job.address in looked_at}
    except ThemeFault:  # it will be found again, and told with all others
        return list(to_make)
    there = run.present.files
    new = {at: page for at, page in made.items() if at not in there or there[at].digest != tree.digest_of(page)}
    if new:
        run.onlooker.show(new)
    return [replace(job, make=at_hand(made[job.address])) if job.address in made else job for job in to_make]


def _as_remembered(run: Run, job: Job) -> bool:
    """Whether a file stands that was made from the very same things."""
    there, was = run.present.files.get(job.address), run.memory.files.get(job.address)
    same = there is not None and was is not None and there.digest == was.digest
    return same and run.memory.made_of.get(job.address) == job.made_of


def _made(run: Run, job: Job) -> tuple[str, tuple[Fault, ...], Fresh]:
    """Make one file and put it into the new site: its digest, what is wrong, and what was made on the way."""
    from bowbook.site.photos import PhotoError
    from bowbook.site.theme import ThemeFault

    assert run.pieces is not None
    digest, wrong = "", tuple[Fault, ...]()
    try:
        digest = _put(run, job.address, job.make())
    except (ThemeFault, PhotoError) as fault:
        wrong = tuple(fault.faults)
    return digest, wrong, run.pieces.hand_over()


def _put(run: Run, address: str, data: bytes) -> str:
    """Put one file into the new site: the very same one if it stands already, so that it stays untouched."""
    digest = tree.digest_of(data)
    there = run.present.files.get(address)
    if there is not None and there.digest == digest:
        run.shelf.keep(address)
    else:
        run.shelf.write(address, data)
    return digest


def _note(run: Run, address: str) -> None:
    """Count a file as changed if its bytes are not those that stand."""
    there = run.present.files.get(address)
    if there is None or there.digest != run.digests[address]:
        run.changed.append(address)


def _share(run: Run, tasks: Sequence[Callable[[], T]], what: str, first: Sequence[int] = ()) -> list[T]:
    """What each task gives, made by as many processes as the run may use."""
    if not tasks:
        return []
    from bowbook.site.work import share

    return share(tasks, run.workers, lambda done, total: run.tell(f"making {what}", done, total), first)


def _remember(run: Run, memory: Memory) -> None:
    """Write the memory down; a site without one is still whole, it only costs more the next time."""
    try:
        if run.known is not None:
            run.known.keep(run.alone, run.marks, partial(_as_seen, run))
        if run.pieces is not None:
            run.pieces.keep()
        memories.keep(memories.file_for(run.state, run.root, run.output), memory)
    except OSError:
        run.tell("the memory of this publish could not be written; the next one starts anew")


def _as_seen(run: Run, name: str) -> bool:
    """Whether a file of the book still holds what it held when this publish looked at it."""
    try:
        return tree.digest_of((run.root / name).read_bytes()) == run.inputs[name].digest
    except OSError:
        return False


def _no_book(root: Path) -> tuple[Fault, ...]:
    what, instead = "There is no book here: no content/ folder.", "Name the book's folder with --book, or begin one."
    return (Fault(Place(str(root)), what, instead),)
