"""The site on this machine while its maker works on it: publishes at every change and reloads the page.

It listens on 127.0.0.1 alone and answers only to names of this machine, so that no page from elsewhere can read the
book through the browser. It serves what stands in the output and nothing outside. A problem is shown over the page,
and the last good site stays under it. What the pages need for all this is added while they are served; none of it
is in the site.
"""

from __future__ import annotations

import contextlib
import errno
import signal
import threading
import traceback
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path

from bowbook.book.problems import Location, Problem
from bowbook.build.publish import publish
from bowbook.build.report import Progress, PublishReport
from bowbook.preview.server import HOST, News, Server
from bowbook.storage.signals import EndAsked, asked_to_end

FIRST_NEEDED = (
    "jinja2",
    "markdown_it",
    "bowbook.findings.kite_findings",
    "bowbook.pages.site_files",
    "bowbook.pages.kite_page",
    "bowbook.charts.card",
    "bowbook.sheets.pdf",
)
_PORTS = 20  # tried one after another
QUIET_MS = 60  # a program that saves a file does so in several steps; this much later it has done


def preview(
    root: Path,
    port: int = 0,
    progress: Progress | None = None,
    report_to: Callable[[str, PublishReport], None] = lambda *_: None,
    changed: Callable[[], object] = lambda: None,
) -> None:
    """Publish the book, serve its site on this machine and follow changes, until Ctrl-C or SIGTERM.

    `port` 0 lets the system choose. `report_to` is called with the site's address and what came of each publish, and
    `changed` before one that follows a change. Raises OSError where the port is taken.
    """
    with contextlib.suppress(KeyboardInterrupt), asked_to_end(signal.SIGTERM) as asked:
        report = _published(root, progress, asked)
        news = News(report.problems)
        with serving(Path(root).absolute() / "output", news, port) as address:
            report_to(address, report)
            for name in FIRST_NEEDED:  # while the maker looks at the page: a publish with nothing new loads none
                import_module(name)
            for _ in _changes(root):
                changed()
                report = _published(root, progress, asked, news)
                if report.problems != news.problems or report.wrote or news.ahead:
                    news.tell(report.problems, new_site=report.wrote)
                    report_to(address, report)


def _published(root: Path, progress: Progress | None, asked: EndAsked, news: News | None = None) -> PublishReport:
    """What came of a publish; a fault of the program is reported as a problem, and the next save is tried.

    Raises KeyboardInterrupt where the preview was `asked` to end meanwhile: a library may have caught the signal's
    exception.
    """
    try:
        return publish(root, progress=progress, client=news)
    except Exception as fault:
        calls = "; ".join(
            f"{Path(c.filename).name}:{c.lineno} {c.name}" for c in traceback.extract_tb(fault.__traceback__)[-8:]
        )
        what = f"publishing stopped by a fault of the program: {type(fault).__name__}: {fault}"
        hint = f"The site is as it was, and the next save is tried. Last calls: {calls}."
        return PublishReport(root / "output", problems=(Problem(Location("bowbook"), what, hint),))
    finally:
        if asked:
            raise KeyboardInterrupt


@contextlib.contextmanager
def serving(site: Path, news: News, port: int = 0) -> Iterator[str]:
    """Serve a site's folder on this machine while the block runs; gives its address."""
    server = _server(site, news, port)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def _server(site: Path, news: News, port: int) -> Server:
    """A server at a port, or at the next free one. Raises OSError, with a sentence, where none of them is."""
    ports = range(port, min(port + _PORTS, 65536)) if port else (0,)
    for number in ports:
        try:
            return Server(site, news, number)
        except OSError as refused:
            if refused.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
    raise OSError(errno.EADDRINUSE, f"the ports {ports[0]} to {ports[-1]} are taken; name another with --port")


def _changes(root: Path) -> Iterator[object]:
    """Every change under the book's content and themes, gathered, until Ctrl-C."""
    from watchfiles import watch

    import bowbook

    themes = Path(bowbook.__file__).parents[2] / "themes"
    folders = {folder for folder in (root / "content", root / "themes", themes) if folder.is_dir()}
    yield from watch(
        *folders, debounce=QUIET_MS * 4, step=QUIET_MS, raise_interrupt=True, ignore_permission_denied=True
    )
