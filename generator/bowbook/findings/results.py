"""What the findings are made of: frozen results in SI, each None where it cannot be known."""

# Annotations are types here, not texts: msgspec would have to compile each text, in every publish.

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct, field

from bowbook.book.problems import Problem
from bowbook.book.records import Band, Book, Kite, Rod, Round, Skin
from bowbook.findings.bench_results import (
    Balance,
    BowFindings,
    HandFindings,
    Measured,
    RoundBalance,
    SailFindings,
    Shape,
    Shaving,
)
from bowbook.mechanics.scatter import RepeatSet, Scatter, SessionScatter


class SkinFindings(Struct, frozen=True):
    """What the skin adds to the bow, its share of the whole, and how that is known."""

    EI_Nm2: Measured | None = None
    share: float | None = None
    how: Literal["covered", "same skin", "lower bound"] | None = None
    left_N: Measured | None = None  # covered readings, as the scale said them
    right_N: Measured | None = None


class Range(Struct, frozen=True):
    """A range of wind at the book's height, m/s."""

    low: float
    high: float


class Predicted(Struct, frozen=True):
    """Where a flyer is expected to like a kite, m/s, with the 95 % interval of either edge for a new kite."""

    low: float
    high: float
    kites: int
    low_interval: Range | None = None
    high_interval: Range | None = None


LEAST_TIPS_N = 8 * 0.00980665  # under 8 grams the computed wind stands


class TipsFindings(Struct, frozen=True):
    """Both tips pressed back together: how hard one pushes back for each metre, and the flex wind by that alone."""

    stiffness_N_m: Measured | None = None
    flex_m_s: Measured | None = None
    read_N: Measured | None = None  # as the scale said it


class WindFindings(Struct, frozen=True):
    """The winds of a kite at the book's height, m/s: computed, flown and predicted."""

    flex_m_s: Measured | None = None
    least_m_s: float | None = None
    flown: Mapping[str, Range] = field(default_factory=dict)
    predicted: Mapping[str, Predicted] = field(default_factory=dict)
    bands: tuple[str, ...] = ()  # names of bands
    basis: Literal["flown", "predicted"] | None = None
    flex_how: Literal["computed", "tips"] | None = None
    computed_m_s: Measured | None = None  # flex wind by the bow's tension, where the tips test stands above it
    range: Range | None = None  # the one range the shelf shows: of `flyer`, on `basis`
    flyer: str | None = None

    @property
    def fold_rad(self) -> float | None:
        """How far each wing folds back in the middle of the range that is shown; None where nothing is known of it."""
        from bowbook.mechanics.tension import fold_angle

        if self.range is None or self.flex_m_s is None:
            return None
        return fold_angle((self.range.low * self.range.high) ** 0.5, self.flex_m_s.value)


class TowPoint(Struct, frozen=True):
    """Where the bridle legs meet: out from the sail and down from the nose, m; None where they cannot."""

    out_m: float
    down_m: float


class RoundFindings(Struct, frozen=True):
    """A round of any bow and state: what it showed, what its halves read before, and the skin's share it measured.

    `before_N` is the round before of a bare half, and the bare bow of a covered one; None where there is none, or the
    bow drifted since.
    """

    round: Round
    showed: RoundBalance
    bow: str | None
    bow_number: int
    before_N: tuple[Measured | None, Measured | None] = (None, None)
    share: float | None = None


class StateFindings(Struct, frozen=True):
    """What is known of one state of a kite: since when, what began it, its bow and skin, its winds in m/s."""

    since: str | None
    what: tuple[str, ...]
    bow: str | None  # the rod's key, or the bow's name where the kite has several
    skin: str | None
    flex_m_s: Measured | None = None
    flown: Mapping[str, Range] = {}
    shown_bow: bool = True  # whether its bow is the one that the kite's own figures are of
    flights: int = 0  # with a best wind


class Drift(Struct, frozen=True):
    """A reading that differs from an earlier one of the same state by more than sessions scatter."""

    since: str | None
    until: str | None
    change: Measured  # relative, of the mean of both halves; below zero is softer
    expanded: float  # 95 % half width of the change
    skin_on: bool = False  # whether it was pressed with the skin on
    rounds: tuple[str, ...] = ()  # paths of the rounds from the first to the last


class TargetPart(Struct, frozen=True):
    """What one part of a bow is to read, what it reads, and how far that is off, as a fraction of the target."""

    wanted_N: float
    read_N: float | None = None
    off: float | None = None


class TargetFindings(Struct, frozen=True):
    """How far a bow still is from the readings it is built to."""

    left: TargetPart | None = None
    right: TargetPart | None = None
    whole: TargetPart | None = None
    like: str | None = None  # the kite whose readings these are


class Findings(Struct, frozen=True):
    """Everything computed for one kite.

    `wanting` maps a figure's path ("total.EI_Nm2") to a sentence saying what would give it.
    `assumed` are sentences on what was assumed for this kite; `warnings` are sentences to heed.
    """

    kite: Kite
    sail: SailFindings = SailFindings()
    bow: BowFindings = BowFindings()
    balance: Balance = Balance()
    shave: Shaving = Shaving()
    shape: Shape = Shape()
    skin: SkinFindings = SkinFindings()
    total: Measured | None = None  # flexural rigidity of bow and skin together, N m²
    wind: WindFindings = WindFindings()
    tow: TowPoint | None = None
    tips: TipsFindings = TipsFindings()
    states: tuple[StateFindings, ...] = ()  # newest last; those of its first bow after those of the others
    drift: Drift | None = None
    rounds: Mapping[str, RoundFindings] = {}  # by path, "bench.0", those in which something was pressed or judged
    target: TargetFindings | None = None
    filed: Kite | None = None  # the record as it stands in its file, with every state's rounds
    ratings: Mapping[str, Mapping[str, float]] = {}  # by flyer the mean of each mark, where kites are compared
    wanting: Mapping[str, str] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


class KiteProblem(Struct, frozen=True):
    """What the mechanics refuse of one kite: the path of the value in its file, a sentence, and what to write."""

    path: str
    message: str
    hint: str


class Reread(Struct, frozen=True):
    """One half read in two rounds with nothing done to it between: means and numbers of readings, N."""

    before_N: float
    readings_before: int
    after_N: float
    readings_after: int


class Repeated(Struct, frozen=True):
    """What one kite's readings say of how sure any reading is: repeats in SI, rereadings, and the hand that held it."""

    presses: tuple[RepeatSet, ...] = ()
    drops: tuple[RepeatSet, ...] = ()
    tips: tuple[RepeatSet, ...] = ()
    reread: tuple[Reread, ...] = ()
    hand: tuple[float, float] | None = None  # factor shown by a whole press, and load times half length, N m


class LoggedStrokes(Struct, frozen=True):
    """One shaving whose strokes were counted: of which material, with what, and the fall, N."""

    material: str | None
    tool: str | None
    strokes: int
    fall_N: float


class LearntStrokes(Struct, frozen=True):
    """By how much a stroke lowers a kite's reading, N, as its own or the others' counted strokes say, if any do."""

    rate_N: Measured | None = None


class Liked(Struct, frozen=True):
    """One flyer's best range in the newest state of a kite that has both that and a flex wind, m/s."""

    flex_m_s: float
    low: float
    high: float


class Spread(Struct, frozen=True):
    """A mean, the relative standard deviation about it, and of how many."""

    mean: float
    relative: float
    of: int


class BatchFindings(Struct, frozen=True):
    """Kites that were built together: their keys, and how their readings and their flex winds spread."""

    kites: tuple[str, ...]
    press_N: Spread | None = None  # of the mean of both halves
    flex_m_s: Spread | None = None


class KiteSummary(Struct, frozen=True):
    """What one kite says of its stock, its flyers and the others. SI units."""

    key: str
    bow_rod: str | None
    spine_rod: str | None
    skin: str | None
    covered: bool  # a covered press gave its skin's part
    modulus_Pa: Measured | None  # of the bow's rod
    per_chord_Nm: Measured | None  # its skin's rigidity per metre of mean chord, where measured covered
    flex_m_s: Measured | None
    flown: Mapping[str, Range]  # by flyer
    liked: Mapping[str, Liked] = {}  # by flyer
    batch: str | None = None
    press_N: float | None = None  # mean of both halves, as the scale said it
    problems: tuple[KiteProblem, ...] = ()
    strokes: tuple[LoggedStrokes, ...] = ()
    example: bool = False
    uneven: bool = False  # whether there is a half to shave


class KiteResult(Struct, frozen=True):
    """One kite computed by itself: its findings but for what flyers say, and what the others need of it."""

    findings: Findings
    summary: KiteSummary


class ComfortPoint(Struct, frozen=True):
    """One kite in a flyer's records: its flex wind, the liked range, and what the other kites would have said."""

    kite: str
    flex_m_s: float
    low: float
    high: float
    left_out_middle: float | None = None


class FlyerFindings(Struct, frozen=True):
    """One flyer's comfort zone. Ratios are of best wind to flex wind; None under three kites."""

    name: str
    kites: int  # kites with both a best wind and a flex wind
    flights: int = 0
    ratio_low: float | None = None
    ratio_high: float | None = None
    spread: float | None = None  # standard deviation of ln(best middle / flex wind)
    left_out_error: float | None = None  # root mean square of ln(predicted / actual middle), each kite left out in turn
    slope: Measured | None = None  # of ln(best middle) on ln(flex wind), from six kites on
    slope_interval: Range | None = None  # 95 %
    points: tuple[ComfortPoint, ...] = ()
    wanting: str | None = None
    ratio_lowest: float | None = None  # 95 % of new kites: from here
    ratio_highest: float | None = None  # to here


class RodFindings(Struct, frozen=True):
    """What the kites built from one rod say about it."""

    rod: Rod
    kites: tuple[str, ...] = ()
    moduli: tuple[tuple[str, Measured], ...] = ()  # kite key, modulus in Pa
    mean_Pa: float | None = None
    spread_Pa: float | None = None
    handbook_Pa: tuple[float, float] | None = None
    handbook_source: str | None = None
    warning: str | None = None
    expected_Pa: Measured | None = None  # of the next bow from this rod
    expected_range_Pa: tuple[float, float] | None = None  # 95 %


class SkinStock(Struct, frozen=True):
    """What the covered kites of one skin say about it. Rigidity per metre of mean chord, N m."""

    skin: Skin
    kites: tuple[str, ...] = ()
    per_chord: tuple[tuple[str, Measured], ...] = ()
    mean_per_chord_Nm: Measured | None = None
    bending_rigidity_Nm: float | None = None


class BookFindings(Struct, frozen=True):
    """A whole book worked out."""

    book: Book
    kites: Mapping[str, Findings] = field(default_factory=dict)
    flyers: Mapping[str, FlyerFindings] = field(default_factory=dict)
    rods: Mapping[str, RodFindings] = field(default_factory=dict)
    skins: Mapping[str, SkinStock] = field(default_factory=dict)
    bands: tuple[Band, ...] = ()
    scatter: Scatter = Scatter()  # of one press reading, N
    session: SessionScatter = SessionScatter()  # between two days
    hand: HandFindings = HandFindings()
    coverage: float = 3.182446  # Student t at 95 % for a press reading
    batches: Mapping[str, BatchFindings] = {}
    air_kg_m3: float = 1.225
    problems: tuple[Problem, ...] = ()  # the reader's, and those the mechanics found
