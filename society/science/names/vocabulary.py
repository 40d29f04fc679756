"""The words of written names: ranks, parts of a genus, qualifiers, with their usual short forms.

Source: International Code of Nomenclature for algae, fungi, and plants, articles 4, 5 and 21-24,
for the ranks and their abbreviations (from memory); the qualifiers are common practice.
"""

from __future__ import annotations

from typing import Final, Literal

Qualifier = Literal["aff.", "cf.", "?", "sp.", "group", "agg.", "s.l.", "s.str."]
# The first of these is kept where several stand.
QUALIFIERS: Final[tuple[Qualifier, ...]] = (
    "aff.",
    "cf.",
    "?",
    "sp.",
    "group",
    "agg.",
    "s.l.",
    "s.str.",
)

# Folded rank word: rank. Those within a species lead a small letter, those in a genus a capital.
RANK_WORDS: Final[dict[str, str]] = {
    "subsp": "subspecies",
    "ssp": "subspecies",
    "subspecies": "subspecies",
    "var": "variety",
    "v": "variety",
    "variety": "variety",
    "varietas": "variety",
    "subvar": "subvariety",
    "subf": "subform",
    "f": "form",
    "fo": "form",
    "forma": "form",
    "form": "form",
    "f sp": "special form",
    "nothosubsp": "subspecies",
    "nothovar": "variety",
    "nothof": "form",
}
GENUS_PARTS: Final[dict[str, str]] = {
    "sect": "section",
    "section": "section",
    "sectio": "section",
    "subsect": "subsection",
    "subsection": "subsection",
    "subgen": "subgenus",
    "subg": "subgenus",
    "subgenus": "subgenus",
    "ser": "series",
    "series": "series",
    "stirps": "stirps",
}
SHORT_RANKS: Final[dict[str, str]] = {
    "subspecies": "subsp.",
    "variety": "var.",
    "subvariety": "subvar.",
    "form": "f.",
    "subform": "subf.",
    "special form": "f. sp.",
    "section": "sect.",
    "subsection": "subsect.",
    "subgenus": "subgen.",
    "series": "ser.",
    "stirps": "stirps",
}
QUALIFIER_WORDS: Final[dict[str, Qualifier]] = {
    "cf": "cf.",
    "cfr": "cf.",
    "aff": "aff.",
    "affin": "aff.",
    "affinis": "aff.",
    "nr": "aff.",
    "confer": "cf.",
    "poss": "?",
    "possibly": "?",
    "prob": "?",
    "probably": "?",
    "probable": "?",
    "perhaps": "?",
    "maybe": "?",
    "agg": "agg.",
    "aggr": "agg.",
    "aggregate": "agg.",
    "sp": "sp.",
    "spp": "sp.",
    "species": "sp.",
    "indet": "sp.",
    "group": "group",
    "grp": "group",
    "gr": "group",
    "gp": "group",
    "complex": "group",
    "sl": "s.l.",
    "slat": "s.l.",
    "sstr": "s.str.",
    "sens lat": "s.l.",
    "sensu lato": "s.l.",
    "sens str": "s.str.",
    "sensu stricto": "s.str.",
    "sensu latu": "s.l.",
    "sens lato": "s.l.",
    "sens stricto": "s.str.",
    "s stricto": "s.str.",
    "s lato": "s.l.",
    "s l": "s.l.",
    "s lat": "s.l.",
    "s s": "s.str.",
    "s str": "s.str.",
    "ss str": "s.str.",
    "ss lat": "s.l.",
}
