"""The records a book is made of: frozen, SI units, nothing computed."""

# Annotations are types here, not texts: msgspec would have to compile each text, in every publish.

from collections.abc import Mapping
from typing import Literal, get_args

from msgspec import Struct, field

from bowbook.book.problems import Places, Problem
from bowbook.book.sail import Sail

Stage = Literal["planned", "building", "flying", "resting", "given", "lost", "broken", "retired"]
STAGES: tuple[Stage, ...] = get_args(Stage)
AWAY = frozenset({"resting", "given", "lost", "broken", "retired"})  # stages of a kite that is not there to fly
Side = Literal["left", "right"]


class Section(Struct, frozen=True):
    """The cross-section of a rod; what does not apply is None."""

    kind: Literal["round", "flat", "tube"]
    thick_m: float  # of a round rod the diameter, of a tube the outer one; a flat rod bends over it
    wide_m: float | None = None  # of a flat rod
    inner_m: float | None = None  # of a tube, the inner diameter


class Rod(Struct, frozen=True):
    """One kind of rod in stock. Modulus in Pa, density in kg/m³, strain limit as a fraction; None if not given."""

    key: str
    material: str | None = None
    section: Section | None = None
    modulus_Pa: float | None = None
    density_kg_m3: float | None = None
    strain_limit: float | None = None
    note: str | None = None


class Skin(Struct, frozen=True):
    """One kind of sail material in stock."""

    key: str
    material: str | None = None
    areal_kg_m2: float | None = None
    thick_m: float | None = None
    modulus_Pa: float | None = None
    bending_length_m: float | None = None
    overhang_m: float | None = None
    colours: tuple[str, ...] = ()  # "#rrggbb", one or two: left and right half, as seen from the front
    note: str | None = None


Hold = Literal["pinned", "hinge", "clamped"] | float  # how the far end was held; a factor is an effective length


class Press(Struct, frozen=True, tag=True):
    """Repeats of one press reading on the scale, N. `hold` is a name, an effective-length factor, or None."""

    values_N: tuple[float, ...]
    length_m: float | None = None  # free length, if it is not the half (or the whole) bow
    hold: Hold | None = None  # None: in the fingers
    rise_m: float | None = None  # how far it bowed out, if noted
    about: bool = False  # written as a guess


class Sag(Struct, frozen=True, tag=True):
    """Three-point bend: a load at mid-span and the drops it made."""

    load_N: float
    span_m: float
    drops_m: tuple[float, ...]
    at_m: float | None = None  # of the load, from the centre mark outward; None where the maker does not say
    about: bool = False  # written as a guess


class Droop(Struct, frozen=True, tag=True):
    """Clamped at the centre, a load at the end of `length_m`, and the vertical drops it made."""

    load_N: float
    length_m: float
    drops_m: tuple[float, ...]
    about: bool = False  # written as a guess


Reading = Press | Sag | Droop


class Tips(Struct, frozen=True):
    """Both tips of a finished kite pressed down together: repeats, N, and how far from where they rested, m."""

    values_N: tuple[float, ...]
    back_m: float
    about: bool = False  # written as a guess


class Zone(Struct, frozen=True):
    """A stretch of a half, from `start` to `end`: fractions of the half, or metres from the centre mark."""

    label: str  # "whole half", "middle third", "inner third", "outer third" or as the maker wrote it
    start: float
    end: float
    unit: Literal["half", "m"] = "half"


class Shave(Struct, frozen=True):
    """What was taken off after a round."""

    side: Side
    zone: Zone | None = None
    strokes: int | None = None
    taken_m: float | None = None
    note: str | None = None
    tool: str | None = None  # as the maker calls it


class Round(Struct, frozen=True):
    """One round at the bench: readings of either half, of the whole bow or of both tips, then what was shaved."""

    on: str | None = None  # a day as days.py keeps it
    left: Reading | None = None
    right: Reading | None = None
    whole: Press | None = None
    shaves: tuple[Shave, ...] = ()
    note: str | None = None
    tips: Tips | None = None
    skin_on: bool = False  # whether it is the same press with the skin on
    bow: str | None = None  # which of the kite's bows; None for its first


class Covered(Struct, frozen=True):
    """The same press with the skin on."""

    left: Press | None = None
    right: Press | None = None
    on: str | None = None


class Station(Struct, frozen=True):
    """The bow's section at a distance from the centre mark."""

    at_m: float
    section: Section


class Spine(Struct, frozen=True):
    """The straight spine."""

    rod: str | None = None
    length_m: float | None = None
    mass_kg: float | None = None


class Bow(Struct, frozen=True):
    """The bent bow. Stations of either half run outward from the centre mark."""

    rod: str | None = None
    length_m: float | None = None
    span_m: float | None = None
    mass_kg: float | None = None
    crosses_m: float | None = None
    left: tuple[Station, ...] = ()
    right: tuple[Station, ...] = ()
    mark: Literal["one end", "both ends"] | None = None  # how its centre was found


class Change(Struct, frozen=True):
    """What began a new state of the kite; what is None stayed as it was."""

    on: str
    skin: str | None = None
    bow: Bow | None = None
    span_m: float | None = None
    mass_kg: float | None = None
    note: str | None = None
    stage: Stage | None = None  # how far along it is since, or where it went
    sail: Sail | None = None  # what is new of its look: colours, panels, decoration

    @property
    def of_stage_alone(self) -> bool:
        """Whether nothing was changed on the kite itself, so that no new state begins."""
        return self.stage is not None and (self.skin, self.bow, self.span_m, self.mass_kg, self.sail) == (None,) * 5


class BowTarget(Struct, frozen=True):
    """What the bare bow is to read on the bench."""

    left: Press | None = None
    right: Press | None = None
    whole: Press | None = None
    like: str | None = None  # the kite whose readings these are


class Bridle(Struct, frozen=True):
    """Leg lengths, and where they tie on: distances below the nose; all m."""

    upper_m: float | None = None
    lower_m: float | None = None
    upper_at_m: float | None = None
    lower_at_m: float | None = None


class Wind(Struct, frozen=True):
    """A range of wind, m/s. `at_10m` is true where it was written in Beaufort, which is a 10 m wind.

    An edge that is not known is None; the other one then bounds it: "to 6 mph" has no low edge.
    """

    low_m_s: float | None
    high_m_s: float | None
    at_10m: bool = False


class Tap(Struct, frozen=True):
    """What a flyer said of a kite in the wind of one moment: too little, liked, too much."""

    wind_m_s: float
    said: Literal["little", "liked", "much"]


class Flight(Struct, frozen=True):
    """One flight. The reader drops private ones, so no record holds any."""

    on: str | None = None
    flyer: str | None = None
    wind: Wind | None = None
    best: Wind | None = None
    height_m: float | None = None  # of the wind meter; None means the book's own height
    control: int | None = None
    speed: int | None = None
    note: str | None = None
    taps: tuple[Tap, ...] = ()  # noted at the field, weakest wind first
    session: str | None = None  # of the phone that noted it: tells a session that is read twice
    bow: str | None = None  # which of the kite's bows; None for its first
    line_m: float | None = None
    place: str | None = None
    gusts: Wind | None = None
    pull: int | None = None
    turn: int | None = None
    track: int | None = None


class Photo(Struct, frozen=True):
    """One photo: file name inside the kite's folder, its text alternative, an optional caption."""

    file: str
    alt: str
    caption: str | None = None
    on: str | None = None


class Origin(Struct, frozen=True):
    """Where a build came from: the kite, perhaps another maker's, that this one was started from."""

    kite: str | None = None
    maker: str | None = None
    address: str | None = None


class Kite(Struct, frozen=True):
    """One kite file. Everything but the name may be missing."""

    key: str  # file name without .md: also its address on the site
    name: str
    made: str | None = None
    stage: Stage | None = None
    summary: str | None = None
    sail: Sail = Sail()
    mass_kg: float | None = None
    spine: Spine = Spine()
    bow: Bow = Bow()
    bench: tuple[Round, ...] = ()
    covered: Covered | None = None
    bridle: Bridle = Bridle()
    flights: tuple[Flight, ...] = ()
    photos: tuple[Photo, ...] = ()
    origin: Origin | None = None  # file key `after:`
    ancestors: tuple[Origin, ...] = ()  # what the origin came from, nearest first
    story: str = ""  # Markdown
    story_line: int = 0  # file line the story starts on
    file: str = ""  # path as shown in problems, such as content/kites/turnstone.md
    changes: tuple[Change, ...] = ()
    bows: Mapping[str, Bow] = {}
    to: str | None = None  # who has it, where it was given away
    tags: tuple[str, ...] = ()
    target: BowTarget | None = None
    batch: str | None = None  # name shared by kites built together
    example: bool = False  # an example to learn from, no kite of the maker's
    about: tuple[str, ...] = ()  # paths of the sizes and masses that are written as a guess


class Strip(Struct, frozen=True):
    """A bow measured before it belongs to a kite."""

    key: str
    rod: str | None = None
    length_m: float | None = None
    mass_kg: float | None = None
    bench: tuple[Round, ...] = ()
    note: str | None = None


class Page(Struct, frozen=True):
    """A free page: content/pages/NAME.md, a title and Markdown."""

    key: str
    title: str
    story: str = ""
    story_line: int = 0
    file: str = ""


class Band(Struct, frozen=True):
    """A wind band, m/s; `high_m_s` is the next band's lower limit."""

    key: str  # address: "light-breeze"
    name: str  # as shown: "light breeze"
    low_m_s: float
    high_m_s: float


class Units(Struct, frozen=True):
    """The units the maker writes bare numbers in and reads figures in."""

    length: str = "mm"
    force: str = "g"
    mass: str = "g"
    wind: str = "mph"
    altitude: str = "m"


class Sureness(Struct, frozen=True):
    """What is taken off every measurement, and what stays open after that, beside the scatter of its repeats.

    Parts of the figure, but for `hand`, an effective-length factor, and `pivot_m`, m. `_u` are standard uncertainties.
    """

    bow_out: float = 0.034  # a half reads so much high where its bow-out was not noted
    bow_out_u: float = 0.0125
    bow_out_clamped: float = 0.026
    bow_out_clamped_u: float = 0.0095
    hinge: float = 0.03  # taken off a half held in a hinge
    hinge_u: float = 0.017
    hand: float = 0.93  # of fingers of which nothing is known
    hand_u: float = 0.09
    pivot_m: float = 0.0015  # where the fingers pivot
    gain_u: float = 0.005  # of the scale
    air_u: float = 0.015  # of a wind, by the season's air
    tied_u: float = 0.015  # of a wind, by a crossing that is tied


class Settings(Struct, frozen=True):
    """content/book.yaml."""

    title: str = "A book of kites"
    maker: str | None = None
    about: str | None = None  # a paragraph shown on the home page
    demonstration: str | None = None  # where set, every page says it is a demonstration, with this sentence
    units: Units = Units()
    tolerance: float = 0.03  # of balance, as a fraction
    scale_N: float = 0.00980665  # resolution of the kitchen scale, N (1 gram-force)
    ruler_m: float = 0.0005  # resolution of the ruler, m
    height_m: float = 2.0  # of the wind meter where a flight does not say, and the height winds are compared at
    altitude_m: float | None = None  # of the field; None means standard sea-level air
    bands: tuple[Band, ...] = ()  # filled with Beaufort 1 to 6 by the reader where the book names none
    address: str | None = None  # https://… of the site
    theme: str | None = None  # None means the program's own look
    accent: str | None = None  # "#rrggbb"
    language: str = "en"
    direction: Literal["ltr", "rtl"] = "ltr"
    flyer: str | None = None  # whose comfort the catalogue is for
    compare: tuple[tuple[str, ...], ...] = ()  # two to four kite keys each
    seam_m: float = 0.010  # seam allowance of the sail pattern
    paper: Literal["a4", "letter"] = "a4"
    mark: Literal["both ends"] | None = None  # how the middle of a bow is marked
    sure: Sureness = Sureness()
    places: bool = False  # whether the places of flights are published
    file: str = "content/book.yaml"


class Book(Struct, frozen=True):
    """A whole book as read: settings, stock, kites and pages by key, and every problem found on the way.

    A kite with a problem is left out of `kites`; hidden kites are left out without one. `places` says, kite by kite,
    where in its file each value stands, so that a problem found later can point at it; the loose strips' places are
    under the name of their file. `drafts` are what could be read of kites with a problem: only for finding what else
    is wrong with them.
    """

    root: str
    settings: Settings = Settings()
    rods: Mapping[str, Rod] = field(default_factory=dict)
    skins: Mapping[str, Skin] = field(default_factory=dict)
    kites: Mapping[str, Kite] = field(default_factory=dict)  # in the order of their keys
    pages: Mapping[str, Page] = field(default_factory=dict)
    places: Mapping[str, Places] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    strips: Mapping[str, Strip] = field(default_factory=dict)
    drafts: tuple[Kite, ...] = ()
