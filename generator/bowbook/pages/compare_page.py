"""All kites against each other: what stiffness, loading and skin have to do with the winds they like."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from bowbook.charts.style import Style
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.ratings import marks_against
from bowbook.findings.results import BookFindings
from bowbook.pages.chart_figure import Chart, chart_or_none, sails_in
from bowbook.pages.chrome import Chrome, NavItem
from bowbook.pages.comparison_table import HEAD, Compared
from bowbook.pages.kite_row import by_wind
from bowbook.pages.links import batch_address, pair_address
from bowbook.pages.markup import SafeHtml
from bowbook.wording import numbers
from bowbook.wording.marks import GOES_WITH

ASKED = "Which stiffness for which wind"
WHOLE_ROWS = 1500
"""Up to so many kites the table has every figure of each; of more, those of `SHORT`."""

SHORT = frozenset({"Kite", "Likes", "Even?", "Flexes at", "Sail loading", "Mass"})


class Shown(Struct, frozen=True):
    """One comparison: its question, what it tells, the chart."""

    title: str
    told: str
    chart: Chart
    whose: int | None = None  # number of the flyer it is about; None where it is about the kites


class Chosen(Struct, frozen=True):
    """A flyer who can be chosen on the page, what stands behind that flyer's zone, and whether the page opens on it."""

    number: int
    name: str
    kites: str
    first: bool


class ComparePage(Struct, frozen=True):
    """What the comparison page shows."""

    title: str
    description: str
    lead: str
    pairs: tuple[NavItem, ...]
    elsewhere: str | None
    slots: tuple[str, ...]
    flyers: tuple[Chosen, ...]  # empty where there is nobody to choose between
    zones: tuple[Shown, ...]
    charts: tuple[Shown, ...]
    table: ChartTable
    more: str | None  # where figures are that the table leaves out
    preview: str | None  # the picture for links to this page: its first chart
    sails: SafeHtml  # the shapes of the kites hung in the charts


def compare_page(chrome: Chrome, book: BookFindings, kites: tuple[Compared, ...], style: Style) -> ComparePage:
    """The page as its template takes it; `book` need have no kites of its own."""
    from bowbook.charts.points import crowded

    book = replace(book, kites={one.findings.kite.key: one.findings for one in kites})
    rows = {one.findings.kite.key: one.cells for one in kites}
    drawn = _charts(book, chrome.flyer, style)
    zones = tuple(shown for shown in drawn if shown.title.startswith(ASKED))
    charts = tuple(shown for shown in drawn if shown not in zones)
    ordered = sorted(book.kites.values(), key=by_wind)
    short = len(ordered) > WHOLE_ROWS
    columns = [n for n, head in enumerate(HEAD) if not short or head in SHORT]
    first = next((shown for shown in (*zones, *charts)), None)
    return ComparePage(
        title="Compare",
        description=f"{chrome.title}: stiffness, loading, skin and balance against the winds the kites like.",
        lead=_lead(len(book.kites), len(drawn)),
        pairs=_pairs(book),
        elsewhere="The winds of every flyer" if crowded(len(book.kites)) and len(book.flyers) > 1 else None,
        slots=("First", "Second", "Third", "Fourth")[: len(book.kites)] if len(book.kites) > 1 else (),
        flyers=_chosen(book, zones, chrome.flyer),
        zones=zones,
        charts=charts,
        preview=chrome.absolute(dict(first.chart.files)["PNG"]) if first else None,
        table=ChartTable(
            tuple(HEAD[n] for n in columns),
            tuple(ChartRow(tuple(rows[one.kite.key][n] for n in columns), one.kite.key) for one in ordered),
        ),
        more="data/kites.csv" if short else None,
        sails=sails_in(shown.chart for shown in drawn),
    )


def _chosen(book: BookFindings, zones: tuple[Shown, ...], own: str | None) -> tuple[Chosen, ...]:
    """The flyers whose zones are drawn, the book's own first chosen, where there are several."""
    names = list(book.flyers)
    found = [shown.whose for shown in zones if shown.whose is not None]
    if len(found) < 2:
        return ()
    first = names.index(own) if own in names and names.index(own) in found else found[0]
    return tuple(Chosen(n, names[n], numbers.counted(book.flyers[names[n]].kites, "kite"), n == first) for n in found)


def _lead(kites: int, charts: int) -> str:
    if kites < 2:
        return "There is nothing to compare before the second kite."
    if not charts:
        return "Readings and flights will draw the comparisons here; so far there are too few of them."
    return "What a bow's stiffness has to do with the wind a kite likes, point by point; every point is a kite."


def _charts(book: BookFindings, own: str | None, style: Style) -> list[Shown]:
    """The comparisons there is anything to show for.

    Of a crowd, only the book's own flyer's winds stand here, since the flyers' page shows everyone's; and figures that
    the table of every kite holds are not told twice.
    """
    from bowbook.charts.comfort import flyer_chart, flyer_rows
    from bowbook.charts.evening import balance_chart, balance_rows
    from bowbook.charts.halves import halves_chart, halves_rows
    from bowbook.charts.loading import loading_chart, loading_rows
    from bowbook.charts.points import crowded
    from bowbook.charts.share import share_chart, share_rows

    shown = []
    many = crowded(len(book.kites))
    first = own if own in book.flyers else next(iter(book.flyers), None)
    flyers = {name: who for name, who in book.flyers.items() if name == first or not many}
    numbered = {name: n for n, name in enumerate(book.flyers)}
    for flyer, who in flyers.items():
        several = f" for {flyer}" if len(book.flyers) > 1 else ""
        shown += _shown(
            f"{ASKED}{several}?",
            _fit(who.kites, who.left_out_error, flyer, book),
            chart_or_none(
                flyer_chart(book, flyer),
                None if many else flyer_rows(book, flyer),
                f"The wind {flyer} liked best against the wind each kite flexes in.",
                style,
            ),
            numbered[flyer],
        )
    for flyer in flyers:
        shown += _marked(book, flyer, numbered[flyer], style)
        several = f" for {flyer}" if len(book.flyers) > 1 else ""
        shown += _shown(
            f"Sail loading and the best wind{several}",
            "A heavy kite on little sail needs more wind to stay up; whether it also likes more wind shows here.",
            chart_or_none(
                loading_chart(book, flyer),
                None if many else loading_rows(book, flyer),
                "Mass on each area of sail.",
                style,
            ),
            numbered[flyer],
        )
    for title, told, drawn, rows, caption in (
        (
            "Left and right half",
            "In the band both halves are as good as even, from the softest bow on the left to the stiffest.",
            halves_chart(book),
            None if many else halves_rows(book),
            "Difference of the halves in the last bare round; the band is the book's tolerance.",
        ),
        (
            "How much of it is skin",
            "A stiff skin can turn a light-wind bow into a kite that will not fly in light wind.",
            share_chart(book),
            None if many else share_rows(book),
            "The skin's part of the whole stiffness.",
        ),
        (
            "Before the knife and after",
            "Each point is a bow: across, where it stood before any shaving; up, where it stands now."
            if many
            else "Each line is a bow: where it stood before any shaving, and where it stands now.",
            balance_chart(book),
            None if many else balance_rows(book),
            "Difference of the halves; the band is the book's tolerance, bars are 95 % intervals.",
        ),
    ):
        shown += _shown(title, told, chart_or_none(drawn, rows, caption, style))
    return shown


def _marked(book: BookFindings, flyer: str, number: int, style: Style) -> list[Shown]:
    """What a flyer's marks go with: stiffness always, loading and skin where a line is sure."""
    from bowbook.charts.multiples import marks_chart, marks_rows

    seen = {along: any(one.line for one in marks_against(along, book.kites, flyer)) for along in ("loading", "share")}
    quiet = [GOES_WITH[along] for along, found in seen.items() if not found]
    told = f"As {flyer} marked the kites, one to five."
    told += f" Against {numbers.listed(quiet)} no pattern is seen." if quiet else ""
    caption = "A line with its 95 % band where there is a slope to be sure of."
    shown: list[Shown] = []
    for along, title in (("flex", "stiffness"), ("loading", "loading"), ("share", "skin")):
        if seen.get(along, True):
            chart = chart_or_none(marks_chart(book, flyer, along), marks_rows(book, flyer), caption, style)
            shown += _shown(f"What else the {title} does", told if along == "flex" else "", chart, number)
    return shown


def _shown(title: str, told: str, chart: Chart | None, whose: int | None = None) -> list[Shown]:
    return [Shown(title, told, chart, whose)] if chart else []


def _fit(kites: int, error: float | None, flyer: str, book: BookFindings) -> str:
    """What a flyer's fit rests on, and how far it was off where it could be checked."""
    said = f"{numbers.capital(numbers.counted(kites, 'kite'))} with a best wind from {flyer}."
    if error is None:
        return f"{said} Predictions begin with the third."
    off = numbers.share(error, book.book.settings.units)
    return f"{said} Leaving each out in turn and asking the others, the middle of its wind came out {off} off."


def _pairs(book: BookFindings) -> tuple[NavItem, ...]:
    batches = [NavItem(batch_address(name), f"{name}, built together") for name in book.batches]
    return tuple(batches) + tuple(
        NavItem(pair_address(keys), numbers.listed([book.kites[key].kite.name for key in keys]))
        for keys in book.book.settings.compare
        if all(key in book.kites for key in keys)
    )
