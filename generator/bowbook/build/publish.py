"""Publishing: from a book's files to its site in place, as a list of named steps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from msgspec.structs import replace

from bowbook.book.lazy_mapping import at_hand
from bowbook.book.problems import Location, Problem
from bowbook.build import inputs
from bowbook.build import memory as memories
from bowbook.build.memory import Memory
from bowbook.build.report import PreviewClient, Progress, PublishReport, silent
from bowbook.storage import exchange, files
from bowbook.storage.files import OutputState
from bowbook.storage.folder_swap import FolderSwap, StorageError, explained

if TYPE_CHECKING:  # the work's own imports wait until there is work: where nothing changed they would be most of it
    from bowbook.build.kites import KnownKites
    from bowbook.build.marks import Marks
    from bowbook.build.pieces import Fresh, Pieces
    from bowbook.build.targets import BuildContext, Target
    from bowbook.findings.known import KiteResult
    from bowbook.findings.results import BookFindings
    from bowbook.pages.plan import PhotoView
    from bowbook.pages.theme import Theme

__all__ = ["STEPS", "PublishReport", "publish"]

T = TypeVar("T")


class ProblemsError(Exception):
    """The book can't be published as it is; carries everything that is wrong with it."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(problems)
        self.problems = problems


@dataclass(slots=True)
class Run:
    """One publish on its way: what each step leaves for the next. `report` is set when there is no more to do."""

    root: Path
    output: Path
    workers: int
    tell: Progress
    shelf: FolderSwap
    state: Path
    memory: Memory = field(default_factory=Memory)
    inputs: Mapping[str, inputs.FileStamp] = field(default_factory=dict)
    version: str = ""  # of the program with its own themes
    present: OutputState = field(default_factory=OutputState)
    known: KnownKites | None = None
    alone: Mapping[str, KiteResult] = field(default_factory=dict)
    marks: Mapping[str, Marks] = field(default_factory=dict)
    findings: BookFindings | None = None
    theme: Theme | None = None
    doubts: tuple[Problem, ...] = ()  # readings that no figure could be worked out from
    photos: Mapping[str, tuple[PhotoView, ...]] = field(default_factory=dict)
    pieces: Pieces | None = None
    material: BuildContext | None = None
    jobs: list[Target] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)
    made: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    onlooker: PreviewClient | None = None
    report: PublishReport | None = None

    @property
    def made_by(self) -> str:
        """What stands for the program and for all themes, the book's own too."""
        return f"{self.version} {inputs.digests(self.inputs, 'themes')}"


def publish(
    root: Path | str,
    output: Path | None = None,
    workers: int = 1,
    progress: Progress | None = None,
    onlooker: PreviewClient | None = None,
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
            raise ProblemsError(_no_book(book))
        state = exchange.state_folder(book)
        with explained(state), FolderSwap(book, site, state) as shelf:
            shelf.open(tell)
            return _in_steps(Run(book, site, workers, tell, shelf, state, onlooker=onlooker))
    except ProblemsError as problem:
        return PublishReport(site, problems=problem.problems)
    except StorageError as error:
        return PublishReport(site, problems=(error.as_problem(),))


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
    run.inputs = inputs.scan(run.root, run.memory.inputs)
    run.version = inputs.program_version(run.inputs)
    run.present = run.shelf.look(run.memory.files)
    same_inputs = inputs.contents(run.inputs) == inputs.contents(run.memory.inputs)
    if run.memory.files and run.memory.version == run.version and same_inputs and run.present.files == run.memory.files:
        if run.inputs != run.memory.inputs:
            _remember(run, replace(run.memory, inputs=run.inputs))
        run.report = PublishReport(
            run.output, run.memory.pages, kept=len(run.present.files), foreign=run.present.foreign
        )


def read(run: Run) -> None:
    """Read what is not known of the book, find every problem that shows before a page is made, and work it out."""
    from bowbook.build.kites import KnownKites
    from bowbook.build.marks import marks_of
    from bowbook.build.plain import Packed
    from bowbook.findings.compute import recompute_findings
    from bowbook.format.read_book import read_book
    from bowbook.pages.links import link_problems
    from bowbook.pages.theme import ThemeProblem, theme_again

    run.tell("reading the book")
    run.known = KnownKites(run.state, run.version, inputs.contents(run.inputs))
    book = read_book(run.root, run.known.before)
    links = {key: marks.links for key, marks in run.known.marks.items()}
    problems = [*book.problems, *link_problems(book, links)]
    try:
        run.theme = theme_again(book.settings.theme, run.root, run.made_by)
    except ThemeProblem as problem:
        problems += problem.problems
    run.tell("working out the kites")
    run.findings, run.alone = recompute_findings(book, run.known.of(book), Packed)
    run.doubts = tuple(problem for problem in run.findings.problems if problem not in problems)
    if problems:
        raise ProblemsError(tuple(problems))
    known = run.known
    run.marks = {
        key: known.marks[key] if kite is known.alone.get(key) else marks_of(kite.load(), book.places[key])
        for key, kite in run.alone.items()
    }


def prepare_photos(run: Run) -> None:
    """Make every photo's sizes that are not there yet."""
    from bowbook.pages.photos import Album, PhotoError

    album = Album(run.root, run.state, inputs.contents(run.inputs))
    kites = {key: marks.photos for key, marks in run.marks.items() if marks.photos}
    results = _share(run, [partial(album.make, photo) for photo in album.wanted(kites)], "photos")
    problems = tuple(problem for result in results for problem in result)
    if problems:
        raise ProblemsError(problems)
    try:
        run.photos = album.views(kites)
        run.jobs += album.jobs(kites)
    except PhotoError as error:
        raise ProblemsError(error.problems) from error


def plan(run: Run) -> None:
    """Say which files the site has, and what each is made from."""
    from bowbook.build.pieces import Pieces
    from bowbook.build.targets import BuildContext, jobs
    from bowbook.pages.plan import plan as plan_pages

    run.tell("planning the pages")
    assert run.findings is not None
    assert run.theme is not None
    sources = inputs.contents(run.inputs)
    run.pieces = Pieces(run.state, run.version)
    parts, links = run.pieces.parts, {key: marks.links for key, marks in run.marks.items()}
    specs = plan_pages(run.findings, run.photos, links, parts)
    run.material = BuildContext(run.root, run.made_by, run.findings, run.theme, specs, sources, run.marks, parts)
    run.jobs += jobs(run.material)
    times = Counter(job.address for job in run.jobs)
    twice = sorted(address for address in times if times[address] > 1)
    if twice:
        raise ProblemsError(
            tuple(Problem(Location("content"), f"Two things want to be at {a}.", "Rename one.") for a in twice)
        )


def make(run: Run) -> None:
    """Make, beside the site that stands, every file whose making would not give the same bytes again."""
    kept = {job.address: run.present.files[job.address] for job in run.jobs if _as_remembered(run, job)}
    run.digests = {address: held.digest for address, held in kept.items()}
    to_make = [job for job in run.jobs if job.address not in kept]
    run.made = [job.address for job in to_make]
    assert run.pieces is not None
    to_make = _shown_first(run, to_make)
    run.shelf.begin(kept, [job.address for job in run.jobs])
    first_of_kind = list({job.kind: index for index, job in reversed(list(enumerate(to_make)))}.values())
    results = _share(run, [partial(_made, run, job) for job in to_make], "files", first_of_kind)
    problems: list[Problem] = []
    for job, (digest, wrong, fresh) in zip(to_make, results, strict=True):
        problems += wrong
        run.pieces.take(fresh)
        run.digests[job.address] = digest
        _note(run, job.address)
    if problems:
        raise ProblemsError(tuple(dict.fromkeys(problems)))


def finish(run: Run) -> None:
    """Add the files that speak of all the others: what a browser keeps for the field, and the site's own list."""
    assert run.theme is not None
    run.digests["sw.js"] = _put(run, "sw.js", run.theme.service_worker(sorted(run.digests.items())))
    run.digests[files.MANIFEST] = _put(run, files.MANIFEST, files.manifest_text(run.digests))
    _note(run, "sw.js")
    _note(run, files.MANIFEST)


def put_in_place(run: Run) -> None:
    """Let the new site take the old one's place, unless they are the same."""
    removed = sorted(set(run.present.files) - set(run.digests))
    if run.changed or removed:
        run.tell("putting the site in place")
        run.shelf.swap(run.present)
    made_of = {job.address: job.made_of for job in run.jobs}
    new = set(run.changed)
    standing = {
        address: files.held(run.output / address, digest) if address in new else run.present.files[address]
        for address, digest in run.digests.items()
    }
    pages = sum(job.kind == "page" for job in run.jobs)
    _remember(run, Memory(run.version, run.inputs, standing, made_of, pages))
    run.report = PublishReport(
        run.output,
        pages,
        made=tuple(sorted([*run.made, "sw.js", files.MANIFEST])),
        changed=tuple(sorted(run.changed)),
        removed=tuple(removed),
        kept=len(standing) - len(run.changed),
        foreign=tuple(address for address in run.present.foreign if address not in run.digests),
        set_aside=tuple(run.shelf.set_aside.values()),
        wrote=bool(run.changed or removed),
        doubts=run.doubts,
    )


STEPS: tuple[Callable[[Run], None], ...] = (look, read, prepare_photos, plan, make, finish, put_in_place)


def _shown_first(run: Run, to_make: Sequence[Target]) -> list[Target]:
    """The jobs, the pages being looked at made and shown; none where one may lean on a file that is not there yet."""
    from bowbook.pages.theme import ThemeProblem

    if run.onlooker is None or any(job.kind in ("asset", "photo") for job in to_make):
        return list(to_make)
    looked_at = run.onlooker.pages()
    try:
        made = {job.address: job.make() for job in to_make if job.kind == "page" and job.address in looked_at}
    except ThemeProblem:  # it will be found again, and told with all others
        return list(to_make)
    there = run.present.files
    new = {at: page for at, page in made.items() if at not in there or there[at].digest != files.digest_of(page)}
    if new:
        run.onlooker.show(new)
    return [replace(job, make=at_hand(made[job.address])) if job.address in made else job for job in to_make]


def _as_remembered(run: Run, job: Target) -> bool:
    """Whether a file stands that was made from the very same things."""
    there, was = run.present.files.get(job.address), run.memory.files.get(job.address)
    same = there is not None and was is not None and there.digest == was.digest
    return same and run.memory.made_of.get(job.address) == job.made_of


def _made(run: Run, job: Target) -> tuple[str, tuple[Problem, ...], Fresh]:
    """Make one file and put it into the new site: its digest, what is wrong, and what was made on the way."""
    from bowbook.pages.photos import PhotoError
    from bowbook.pages.theme import ThemeProblem

    assert run.pieces is not None
    digest, wrong = "", tuple[Problem, ...]()
    try:
        digest = _put(run, job.address, job.make())
    except (ThemeProblem, PhotoError) as problem:
        wrong = tuple(problem.problems)
    return digest, wrong, run.pieces.hand_over()


def _put(run: Run, address: str, data: bytes) -> str:
    """Put one file into the new site: the very same one if it stands already, so that it stays untouched."""
    digest = files.digest_of(data)
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
    from bowbook.build.parallel import share

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
        return files.digest_of((run.root / name).read_bytes()) == run.inputs[name].digest
    except OSError:
        return False


def _no_book(root: Path) -> tuple[Problem, ...]:
    what, instead = "There is no book here: no content/ folder.", "Name the book's folder with --book, or begin one."
    return (Problem(Location(str(root)), what, instead),)
