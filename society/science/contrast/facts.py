"""What goes into a contrast and what comes out of it: plain facts, and the stated numbers.

Method. Nothing is computed here. Accounts, observations and the vocabulary come in as frozen
values; rows with their bearings go out. Every number the model rests on has a name in this module
and says what it means, so that the page on methods can show it.

Source: the numbers are the society's own choice, none is from print. They are set so that words
keep their usual sense ('usually' is well over half, 'rarely' about one in twenty) and that no
single look decides by itself.

Worked example. `USUAL['usually']` is 0.70: of ten fresh grown collections about seven show it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

Usual = Literal["always", "usually", "sometimes", "rarely", "never"]
Cost = Literal["at_once", "cut", "wait", "overnight", "lens", "microscope", "reagent"]
Part = Literal["host", "probable_host", "nearby"]
Verdict = Literal["fits", "speaks_against", "not_seen", "not_known"]
Kind = Literal["character", "reading", "hosts", "substrate", "month", "spores"]
Level = Literal["species", "genus"]
# A state, colour, genus, substrate, month or measure, and how usual it is ('' where unsaid).
Expected = tuple[str, str]

# How often a state of that word is met in fresh, grown collections.
USUAL: Final[Mapping[str, float]] = {
    "always": 0.95,
    "usually": 0.70,
    "sometimes": 0.25,
    "rarely": 0.05,
    "never": 0.005,
}
# What the states an account does not speak of have together at least.
UNSPOKEN: Final = 0.05
# One look in so many is mistaken, or the collection is odd: it then tells nothing of the candidate.
OBSERVER_ERROR: Final = 0.05
# The same for a dangerous candidate; so no one observation weighs less than this against it.
DANGEROUS_ERROR: Final = 0.10
# No one observation weighs more than this for a candidate.
GREATEST_GAIN: Final = 20.0
# How much of the background is spread evenly over all states, whatever the accounts hold.
BACKGROUND_EVEN: Final = 0.20
# Weight, before any evidence, of 'something not in these accounts'.
UNKNOWN_PRIOR: Final = 0.20
# A candidate recorded n times here starts with (1 + n) ** RECORDED_POWER, at most RECORDED_MOST.
RECORDED_POWER: Final = 0.25
RECORDED_MOST: Final = 4.0
# A candidate that is neither proposed nor a look-alike of what is, but held against the find for
# its form and its danger, starts with this share of the weight of one that is.
REMOTE_PRIOR: Final = 0.05
# Looks at one collection hang together more than a model of independent looks allows for: the
# log ratio of each counts by this share (set by the simulation in tests/bench/contrast.py).
TOGETHER: Final = 0.85
# Of looks at one exposure the most telling counts in full, every other by this share.
SAME_EXPOSURE: Final = 0.25
# Share of looks that write a neighbouring colour (wine-red as red or brown).
NEIGHBOUR_SHARE: Final = 0.30
# A colour the account does not name fits it where it still has this chance, as a neighbour.
COLOUR_FITS_AT: Final = 0.06
# Exponents of the modest evidence, by how the tree was written down; then the caps of the ratios.
HOST_POWER: Final[Mapping[str, float]] = {"host": 0.7, "probable_host": 0.5, "nearby": 0.2}
HOST_ERROR: Final = 0.10
HOST_CAP: Final = 6.0
SUBSTRATE_POWER: Final = 0.5
SUBSTRATE_CAP: Final = 4.0
MONTH_POWER: Final = 0.3
MONTH_CAP: Final = 3.0
SPORES_POWER: Final = 0.7
# Separated: the leader outweighs each other row so many times, a dangerous one more; and so many
# things at least have been seen that its account speaks of.
SEPARATED_AT: Final = 20.0
DANGEROUS_SEPARATED_AT: Final = 100.0
SEEN_AT_LEAST: Final = 2
# A dangerous candidate is close while the leader outweighs it less than so many times.
CLOSE_WITHIN: Final = 1000.0
# Bits about 'is it one of the dangerous ones' count beside the bits about the name.
DANGER_WEIGHT: Final = 1.0
# What a look costs, in looks at something seen at once; a wait adds one for each 15 minutes.
COSTS: Final[Mapping[str, float]] = {
    "at_once": 1.0,
    "cut": 2.0,
    "wait": 2.0,
    "lens": 2.0,
    "reagent": 4.0,
    "overnight": 8.0,
    "microscope": 10.0,
}
WAIT_MINUTES_A_LOOK: Final = 15.0
# What tells less than this, in bits, is not proposed.
LEAST_GAIN: Final = 0.01

# Characters whose states are colours, and the colours that are written for each other.
COLOUR_CHARACTERS: Final = frozenset(
    {
        "main_colour",
        "gill_colour",
        "pore_colour",
        "stem_colour",
        "milk_colour",
        "milk_change",
        "flesh_change",
        "underside_bruising",
        "stem_bruising",
        "print_colour",
        "flask_colour",
    }
)
NEAR_COLOURS: Final[Mapping[str, tuple[str, ...]]] = {
    "white": ("cream",),
    "cream": ("white", "buff", "ochre"),
    "ochre": ("cream", "yellow"),
    "yellow": ("cream", "ochre", "orange"),
    "orange": ("carrot", "yellow", "red"),
    "carrot": ("orange",),
    "pink": ("red", "lilac"),
    "red": ("wine", "maroon", "pink"),
    "wine": ("red", "maroon", "purple"),
    "maroon": ("red", "wine", "brown"),
    "purple": ("lilac", "wine"),
    "lilac": ("purple", "violet", "pink"),
    "violet": ("lilac", "blue"),
    "blue": ("green", "grey"),
    "green": ("olive", "blue"),
    "olive": ("green", "brown"),
    "buff": ("cream", "clay", "brown"),
    "clay": ("buff", "rusty", "cigar"),
    "brown": ("dark_brown", "rusty", "buff"),
    "rusty": ("brown", "clay", "cigar"),
    "cigar": ("clay", "rusty", "purple_brown"),
    "purple_brown": ("purple_black", "cigar"),
    "purple_black": ("purple_brown", "dark_brown", "black"),
    "dark_brown": ("brown", "black"),
    "grey": ("black", "buff"),
    "black": ("dark_brown", "purple_black", "grey"),
}

GENUS_ONLY_STAGES: Final = frozenset({"button", "decayed"})
# Written in place of a look: never an observation.
NOT_A_LOOK: Final = frozenset({"not_looked", "not_kept"})
COLOURS: Final[tuple[str, ...]] = (
    "none",
    "watery",
    "white",
    "cream",
    "yellow",
    "orange",
    "pink",
    "red",
    "wine",
    "lilac",
    "blue",
    "green",
    "grey",
    "brown",
    "black",
)


@dataclass(frozen=True)
class CharacterFacts:
    """A character of the vocabulary. `forms` empty, or holding 'all', means every form."""

    code: str
    states: tuple[str, ...]
    cost: Cost = "at_once"
    wait_minutes: int | None = None
    cuts: bool = False
    never_asked: bool = False
    forms: frozenset[str] = frozenset()


@dataclass(frozen=True)
class ExpectedReading:
    """A colour that an account expects between two minutes after something was exposed."""

    exposed: str
    reagent: str
    minute_from: float
    minute_to: float
    colour: str
    usual: str


@dataclass(frozen=True)
class SporeLimits:
    """Usual limits of an account's spores in micrometres, and of Q where it is held."""

    length_from: float
    length_to: float
    width_from: float
    width_to: float
    q_from: float | None = None
    q_to: float | None = None


@dataclass(frozen=True)
class MeasuredSpores:
    """The range measured (5th to 95th percentile, or smallest to largest), in micrometres."""

    length_from: float
    length_to: float
    width_from: float
    width_to: float
    count: int | None = None


@dataclass(frozen=True)
class AccountFacts:
    """What an account holds. What it does not hold is not known; it is never read as 'never'.

    `states`: character -> state -> how usual. `hosts`: genera. `months`: first and last, both
    included, across New Year where the first is greater. `recorded`: finds here, as prior weight.
    """

    key: int
    form: str
    genus: str = ""
    is_dangerous: bool = False
    states: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    readings: tuple[ExpectedReading, ...] = ()
    spores: SporeLimits | None = None
    hosts: frozenset[str] = frozenset()
    substrates: frozenset[str] = frozenset()
    months: tuple[int, int] | None = None
    recorded: int = 0


@dataclass(frozen=True)
class ReadingSeen:
    """A timed reading. `colours` None: nobody looked (never 'no change'); empty: not readable."""

    exposed: str
    reagent: str
    minutes: float
    colours: frozenset[str] | None


@dataclass(frozen=True)
class Observed:
    """What was recorded of a find, or typed on the bare page; empty means not recorded."""

    states: Mapping[str, frozenset[str]] = field(default_factory=dict)
    readings: tuple[ReadingSeen, ...] = ()
    hosts: Mapping[str, Part] = field(default_factory=dict)
    substrate: str = ""
    month: int | None = None
    stage: str = ""
    pictures_only: bool = False
    spores: MeasuredSpores | None = None


@dataclass(frozen=True)
class Moment:
    """One reading of a group: when, what was seen, what the account expects then.

    `carried_from`: the account's last minute, whose colours are carried on to this one. `near_to`,
    `in_part`: as in Bearing.
    """

    minutes: float
    seen: tuple[str, ...]
    expects: tuple[Expected, ...]
    verdict: Verdict = "not_known"
    near_to: tuple[str, ...] = ()
    in_part: bool = False
    carried_from: float | None = None


@dataclass(frozen=True)
class Bearing:
    """How one thing bears on one candidate.

    `code`: the character's, or 'milk', 'flesh', 'reagent:koh'... for readings, or the kind's name.
    `weight`: natural log of its ratio against the background, as counted; the weights of a row and
    its prior sum to its support. `expects`: most usual first. `near_to`: it fits only as the
    neighbour of these (of readings: at every minute). `in_part`: of several states or minutes seen
    some are not expected.
    """

    kind: Kind
    code: str
    verdict: Verdict
    seen: tuple[str, ...] = ()
    expects: tuple[Expected, ...] = ()
    weight: float = 0.0
    exposed: str = ""
    reagent: str = ""
    moments: tuple[Moment, ...] = ()
    near_to: tuple[str, ...] = ()
    in_part: bool = False


@dataclass(frozen=True)
class Row:
    """A candidate, or 'something not in these accounts' (`key` None).

    `log_support`: log of its share of the weight after the evidence. `log_likelihood`: what the
    evidence adds to `log_prior`. `seen` = `fits` + `against`.
    """

    key: int | None
    is_dangerous: bool
    log_support: float
    log_prior: float
    log_likelihood: float
    fits: int
    against: int
    seen: int
    not_known: int
    bearings: tuple[Bearing, ...]


@dataclass(frozen=True)
class Contrast:
    """Every candidate in order of support; how far a name may go; whether one stands apart.

    `dangerous_close`: keys of dangerous candidates that the leader does not outweigh by far.
    `contradictions`: characters of which 'none' was written beside another state; not counted.
    """

    rows: tuple[Row, ...]
    level: Level
    separated: bool
    dangerous_close: tuple[int, ...]
    contradictions: tuple[str, ...] = ()

    def row(self, key: int | None) -> Row:
        """The row of a candidate; KeyError where it is not one."""
        for row in self.rows:
            if row.key == key:
                return row
        raise KeyError(key)


@dataclass(frozen=True)
class WouldSay:
    """What one leading candidate's account expects of a look."""

    key: int
    expects: tuple[Expected, ...]
    sources_differ: bool


@dataclass(frozen=True)
class NextLook:
    """A look worth taking. `gain` in bits, `cost` in looks at once, best `gain / cost` first.

    `kind`, `code`, `exposed`, `reagent` as in Bearing; `minute` for readings. `would_say`: the
    leading candidates, best supported first. `telling`: (state, key, log ratio against the
    background), the outcome that would speak most strongly against a leading candidate;
    `goes_with`: the leading candidate with which that outcome would go best.
    """

    kind: Kind
    code: str
    gain: float
    cost: float
    would_say: tuple[WouldSay, ...]
    telling: tuple[str, int, float] | None
    sources_differ: bool
    exposed: str = ""
    reagent: str = ""
    minute: float | None = None
    goes_with: int | None = None
