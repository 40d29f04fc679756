"""Forms of names against the International Code's own examples.

Source: International Code of Nomenclature for algae, fungi, and plants, the articles named beside
each example. The examples are given from memory, not copied from the text.
"""

from __future__ import annotations

import pytest

from society.science.names import parse_written_name, render_parts

# (article, name as written, genus, epithet, infraspecific, infrageneric, rank, authorship)
EXAMPLES = [
    ("46", "Rosa L.", "Rosa", None, None, None, "genus", "L."),
    ("46", "Rosa gallica L.", "Rosa", "gallica", None, None, "species", "L."),
    (
        "46",
        "Rosa gallica var. eriostyla R. Keller",
        "Rosa",
        "gallica",
        "eriostyla",
        None,
        "variety",
        "R. Keller",
    ),
    ("46", "Rosa gallica L. var. gallica", "Rosa", "gallica", "gallica", None, "variety", ""),
    ("46", "Rosaceae Juss.", "Rosaceae", None, None, None, "family", "Juss."),
    (
        "46",
        "Gossypium tomentosum Nutt. ex Seem.",
        "Gossypium",
        "tomentosum",
        None,
        None,
        "species",
        "Nutt. ex Seem.",
    ),
    (
        "46",
        "Lithocarpus polystachyus (Wall. ex A. DC.) Rehder",
        "Lithocarpus",
        "polystachyus",
        None,
        None,
        "species",
        "(Wall. ex A. DC.) Rehder",
    ),
    (
        "49",
        "Medicago polymorpha var. orbicularis L.",
        "Medicago",
        "polymorpha",
        "orbicularis",
        None,
        "variety",
        "L.",
    ),
    (
        "49",
        "Medicago orbicularis (L.) Bartal.",
        "Medicago",
        "orbicularis",
        None,
        None,
        "species",
        "(L.) Bartal.",
    ),
    ("23", "Atropa bella-donna", "Atropa", "bella-donna", None, None, "species", ""),
    ("23", "Impatiens noli-tangere", "Impatiens", "noli-tangere", None, None, "species", ""),
    (
        "24",
        "Saxifraga aizoon subf. surculosa Engl. & Irmsch.",
        "Saxifraga",
        "aizoon",
        "surculosa",
        None,
        "subform",
        "Engl. & Irmsch.",
    ),
    (
        "24",
        "Saxifraga aizoon var. aizoon subvar. brevifolia f. multicaulis subf. surculosa Engl.",
        "Saxifraga",
        "aizoon",
        "surculosa",
        None,
        "subform",
        "Engl.",
    ),
    ("21", "Costus subg. Metacostus", "Costus", None, None, "Metacostus", "subgenus", ""),
    (
        "21",
        "Ricinocarpos sect. Anomodiscus",
        "Ricinocarpos",
        None,
        None,
        "Anomodiscus",
        "section",
        "",
    ),
    ("21", "Euphorbia subsect. Tenellae", "Euphorbia", None, None, "Tenellae", "subsection", ""),
    (
        "F.3",
        "Boletus piperatus Bull. : Fr.",
        "Boletus",
        "piperatus",
        None,
        None,
        "species",
        "Bull. : Fr.",
    ),
    (
        "F.3",
        "Agaricus ericetorum Pers. : Fr.",
        "Agaricus",
        "ericetorum",
        None,
        None,
        "species",
        "Pers. : Fr.",
    ),
    ("H.3", "×Agropogon P. Fourn.", "Agropogon", None, None, None, "genus", "P. Fourn."),
    (
        "H.3",
        "Mentha ×smithiana R. A. Graham",
        "Mentha",
        "smithiana",
        None,
        None,
        "species",
        "R. A. Graham",
    ),
    ("H.3", "Salix × capreola", "Salix", "capreola", None, None, "species", ""),
    (
        "4",
        "Puccinia graminis f. sp. avenae",
        "Puccinia",
        "graminis",
        "avenae",
        None,
        "special form",
        "",
    ),
    ("16", "Ascomycota", "Ascomycota", None, None, None, "phylum", ""),
    ("16", "Agaricomycetes", "Agaricomycetes", None, None, None, "class", ""),
    ("17", "Polygonales", "Polygonales", None, None, None, "order", ""),
]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: f"{example[0]}: {example[1]}")
def test_the_codes_own_examples_are_read(example: tuple[str | None, ...]) -> None:
    _, text, genus, epithet, infraspecific, infrageneric, rank, authorship = example
    assert text is not None
    written = parse_written_name(text)
    assert written.genus == genus
    assert written.epithet == epithet
    assert written.infraspecific == infraspecific
    assert written.infrageneric == infrageneric
    assert written.rank == rank
    assert written.authorship == authorship
    assert written.qualifier is None
    assert not written.is_uninformative


@pytest.mark.parametrize(
    ("name", "italic"),
    [
        ("Rosa gallica var. eriostyla", ["Rosa gallica", "eriostyla"]),
        ("Costus subg. Metacostus", ["Costus", "Metacostus"]),
        ("Rosaceae", ["Rosaceae"]),
        ("Saxifraga aizoon subf. surculosa", ["Saxifraga aizoon", "surculosa"]),
    ],
)
def test_scientific_names_of_every_rank_are_italic_and_rank_words_upright(
    name: str, italic: list[str]
) -> None:
    """The Code's preface sets scientific names of every rank in italics (from memory)."""
    assert [text for text, slanted in render_parts(name) if slanted] == italic
