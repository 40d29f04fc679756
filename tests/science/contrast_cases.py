"""Small accounts of milk caps and a vocabulary to hold them, for the tests of the contrast.

The accounts follow the table of the section Deliciosi kept beside the tests of the shared
reference: the key of Nuytinck & Verbeken (papers of 2005 and 2007), Phillips (2006) *Mushrooms*,
association sheets and encyclopedia articles; shades of usual are from memory.
"""

from __future__ import annotations

from society.science.contrast import (
    AccountFacts,
    Bearing,
    CharacterFacts,
    Contrast,
    ExpectedReading,
    Observed,
    ReadingSeen,
    SporeLimits,
    contrast,
)

AGARIC = frozenset({"agaric"})
VOCABULARY = (
    CharacterFacts("cap_zones", ("none", "faint", "clear", "spotted"), forms=AGARIC),
    CharacterFacts("cap_margin", ("even", "inrolled", "striate", "woolly"), forms=AGARIC),
    CharacterFacts("main_colour", ("white", "orange", "pink", "wine", "brown", "green")),
    CharacterFacts("greening", ("none", "spots", "patches", "all_green"), forms=AGARIC),
    CharacterFacts("stem_pits", ("none", "few", "many"), forms=AGARIC),
    CharacterFacts("ring", ("none", "hanging", "zone"), forms=AGARIC),
    CharacterFacts(
        "milk_colour",
        ("none", "watery", "white", "cream", "orange", "carrot", "red", "wine", "blue"),
        "cut",
        cuts=True,
        forms=AGARIC,
    ),
    CharacterFacts(
        "milk_change",
        ("none", "yellow", "red", "maroon", "green", "brown", "not_looked"),
        "wait",
        30,
        cuts=True,
        forms=AGARIC,
    ),
    CharacterFacts("taste", ("mild", "bitter", "hot"), never_asked=True, forms=AGARIC),
    CharacterFacts("print_colour", ("white", "cream", "ochre", "rusty"), "overnight"),
    CharacterFacts("spore_surface", ("smooth", "warty", "net"), "microscope"),
)
BY_CODE = {character.code: character for character in VOCABULARY}

DELICIOSUS, DETERRIMUS, SEMISANGUIFLUUS, SALMONICOLOR = 1, 2, 3, 4
SANGUIFLUUS, VINOSUS, QUIETICOLOR, TORMINOSUS = 5, 6, 7, 8


def milk(minute_from: float, minute_to: float, **colours: str) -> tuple[ExpectedReading, ...]:
    """Readings of milk over one span, colour=usual."""
    return tuple(
        ExpectedReading("milk", "", minute_from, minute_to, colour, usual)
        for colour, usual in colours.items()
    )


ORANGE = {"carrot": "usually", "orange": "sometimes"}
NO_RING = {"none": "always"}
MILKCAPS = (
    AccountFacts(
        DELICIOSUS,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": ORANGE,
            "milk_change": {"none": "usually", "green": "sometimes", "maroon": "rarely"},
            "cap_zones": {"clear": "usually", "faint": "sometimes"},
            "stem_pits": {"many": "usually", "few": "sometimes", "none": "rarely"},
            "greening": {"patches": "usually", "spots": "usually", "none": "sometimes"},
            "main_colour": {"orange": "usually", "green": "sometimes"},
            "ring": NO_RING,
            "taste": {"mild": "usually", "bitter": "sometimes"},
        },
        readings=(
            *milk(0, 10, orange="always"),
            *milk(10, 30, orange="usually", wine="rarely", green="sometimes"),
            *milk(30, 120, orange="usually", wine="sometimes", green="sometimes"),
        ),
        spores=SporeLimits(7, 9, 6, 7),
        hosts=frozenset({"Pinus"}),
        substrates=frozenset({"soil"}),
        months=(8, 11),
    ),
    AccountFacts(
        DETERRIMUS,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": ORANGE,
            "milk_change": {"maroon": "usually", "red": "sometimes", "none": "rarely"},
            "cap_zones": {"faint": "usually", "none": "sometimes", "clear": "rarely"},
            "stem_pits": {"none": "usually", "few": "sometimes", "many": "never"},
            "greening": {"patches": "usually", "spots": "usually", "none": "rarely"},
            "main_colour": {"orange": "usually", "green": "sometimes"},
            "ring": NO_RING,
            "taste": {"bitter": "usually", "mild": "sometimes"},
        },
        readings=(
            *milk(0, 5, orange="always"),
            *milk(10, 30, wine="usually", orange="sometimes"),
            *milk(30, 120, wine="always"),
        ),
        spores=SporeLimits(7.5, 10, 6, 7.5),
        hosts=frozenset({"Picea"}),
        substrates=frozenset({"soil"}),
        months=(6, 11),
    ),
    AccountFacts(
        SEMISANGUIFLUUS,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": {"carrot": "usually", "orange": "sometimes", "red": "sometimes"},
            "milk_change": {"red": "usually", "maroon": "usually", "none": "never"},
            "cap_zones": {"faint": "usually", "none": "sometimes"},
            "stem_pits": {"none": "usually", "few": "sometimes"},
            "greening": {"patches": "usually", "all_green": "sometimes", "spots": "sometimes"},
            "main_colour": {"orange": "sometimes", "green": "sometimes", "brown": "sometimes"},
            "ring": NO_RING,
        },
        readings=(*milk(0, 2, orange="usually", red="sometimes"), *milk(5, 60, wine="always")),
        spores=SporeLimits(7.5, 9.5, 6, 8.25),
        hosts=frozenset({"Pinus"}),
        substrates=frozenset({"soil"}),
        months=(8, 12),
    ),
    AccountFacts(
        SALMONICOLOR,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": {"orange": "usually", "carrot": "sometimes"},
            "milk_change": {"none": "usually", "brown": "sometimes"},
            "cap_zones": {"faint": "usually", "none": "sometimes"},
            "stem_pits": {"many": "usually", "few": "sometimes"},
            "greening": {"none": "always", "spots": "rarely"},
            "main_colour": {"orange": "always"},
            "ring": NO_RING,
        },
        readings=(
            *milk(0, 10, orange="always"),
            *milk(10, 60, orange="usually", brown="sometimes"),
        ),
        spores=SporeLimits(9.5, 11.5, 7, 9.5),
        hosts=frozenset({"Abies"}),
        substrates=frozenset({"soil"}),
        months=(8, 12),
    ),
    AccountFacts(
        SANGUIFLUUS,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": {"wine": "usually", "red": "usually"},
            "milk_change": {"none": "usually", "green": "sometimes"},
            "cap_zones": {"none": "usually", "faint": "sometimes"},
            "stem_pits": {"many": "usually"},
            "greening": {"spots": "usually", "none": "sometimes", "patches": "rarely"},
            "main_colour": {"orange": "sometimes", "pink": "sometimes", "wine": "rarely"},
            "ring": NO_RING,
        },
        readings=(*milk(0, 60, red="usually", wine="usually"),),
        spores=SporeLimits(7.5, 9.5, 6, 8),
        hosts=frozenset({"Pinus"}),
        substrates=frozenset({"soil"}),
        months=(8, 11),
    ),
    AccountFacts(
        VINOSUS,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": {"wine": "usually", "red": "usually"},
            "milk_change": {"none": "usually"},
            "cap_zones": {"clear": "usually"},
            "stem_pits": {"many": "usually"},
            "greening": {"patches": "usually", "all_green": "sometimes"},
            "main_colour": {"wine": "usually"},
            "ring": NO_RING,
        },
        readings=(*milk(0, 60, red="usually", wine="usually"),),
        spores=SporeLimits(8, 10, 6, 7),
        hosts=frozenset({"Pinus"}),
        substrates=frozenset({"soil"}),
        months=(9, 12),
    ),
    AccountFacts(
        QUIETICOLOR,
        "agaric",
        "Lactarius",
        states={
            "milk_colour": ORANGE,
            "milk_change": {"maroon": "usually", "none": "sometimes"},
            "cap_zones": {"faint": "usually"},
            "stem_pits": {"few": "usually", "none": "sometimes", "many": "sometimes"},
            "greening": {"spots": "usually", "patches": "sometimes"},
            "main_colour": {"brown": "usually", "orange": "sometimes"},
            "ring": NO_RING,
        },
        readings=(
            *milk(0, 5, orange="always"),
            *milk(10, 30, orange="usually", wine="sometimes"),
            *milk(30, 120, wine="usually"),
        ),
        spores=SporeLimits(7.5, 9.5, 6, 7.5),
        hosts=frozenset({"Pinus"}),
        substrates=frozenset({"soil"}),
        months=(8, 11),
    ),
    AccountFacts(
        TORMINOSUS,
        "agaric",
        "Lactarius",
        is_dangerous=True,  # as if: the tests need one
        states={
            "milk_colour": {"white": "always"},
            "milk_change": {"none": "always"},
            "cap_margin": {"woolly": "always", "inrolled": "usually"},
            "cap_zones": {"clear": "usually", "faint": "sometimes"},
            "stem_pits": {"none": "usually", "few": "sometimes"},
            "greening": {"none": "always"},
            "main_colour": {"pink": "usually"},
            "ring": NO_RING,
            "taste": {"hot": "always"},
        },
        readings=milk(0, 60, white="always"),
        spores=SporeLimits(7.5, 10, 6, 7.5),
        hosts=frozenset({"Betula"}),
        substrates=frozenset({"soil"}),
        months=(8, 10),
    ),
)

ANY = frozenset({"all"})


def seen(**states: str) -> dict[str, frozenset[str]]:
    return {code: frozenset(words.split()) for code, words in states.items()}


def milk_at(minutes: float, colours: str | None) -> ReadingSeen:
    found = None if colours is None else frozenset(colours.split())
    return ReadingSeen("milk", "", minutes, found)


def of_milkcaps(observed: Observed) -> Contrast:
    return contrast(observed, MILKCAPS, VOCABULARY)


def order_of(found: Contrast) -> list[int]:
    return [row.key for row in found.rows if row.key is not None]


def bearing(found: Contrast, key: int | None, code: str, kind: str = "") -> Bearing:
    return next(
        row
        for row in found.row(key).bearings
        if row.code == code and (not kind or row.kind == kind)
    )
