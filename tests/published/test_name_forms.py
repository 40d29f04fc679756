"""Forms of names against the International Code's own examples.

Source: International Code of Nomenclature for algae, fungi, and plants, the articles named beside
each example. The examples are given from memory, not copied from the text.
"""

from __future__ import annotations

import pytest

from society.science.names import fold, parse_written_name, render_parts
from society.science.names.sounding import sound

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


# (article, name as written, name read, rank, authorship): what author citations may hold
CITATIONS = [
    ("46.2", "Rosa gallica L.", "Rosa gallica", "species", "L."),
    ("46.3", "Viburnum ternatum Rehder in Sargent", "Viburnum ternatum", "species",
     "Rehder in Sargent"),
    ("46.4", "Gossypium tomentosum Nutt. ex Seem.", "Gossypium tomentosum", "species",
     "Nutt. ex Seem."),
    ("46.4", "Gossypium tomentosum Seem.", "Gossypium tomentosum", "species", "Seem."),
    ("46.2", "Didymopanax gleasonii Britton & P. Wilson", "Didymopanax gleasonii", "species",
     "Britton & P. Wilson"),
    ("46C.2", "Lapeirousia erythrantha (Klotzsch) Baker et al.", "Lapeirousia erythrantha",
     "species", "(Klotzsch) Baker et al."),
    ("47A.1", "Phyllanthus Linn. emend. Müll. Arg.", "Phyllanthus", "genus",
     "Linn. emend. Müll. Arg."),
    ("49.1", "Persicaria lapathifolia (L.) Delarbre", "Persicaria lapathifolia", "species",
     "(L.) Delarbre"),
    ("49.1", "Pulsatilla montana (Hoppe ex Sturm) Rchb.", "Pulsatilla montana", "species",
     "(Hoppe ex Sturm) Rchb."),
    ("F.3.9", "Boletus piperatus Bull. : Fr.", "Boletus piperatus", "species", "Bull. : Fr."),
    ("F.3.9", "Agaricus compactus [unranked] sarcocephalus", "Agaricus compactus", "species", None),
    ("50D", "Ficus stortophylla Warb. in Ann. Mus. Congo", "Ficus stortophylla", "species",
     "Warb. in Ann. Mus. Congo"),
]  # fmt: skip


@pytest.mark.parametrize("example", CITATIONS, ids=lambda example: f"{example[0]}: {example[1]}")
def test_author_citations_of_the_code_stay_with_the_author(
    example: tuple[str, str, str, str, str | None],
) -> None:
    """Articles 46-50 and F.3, on the citation of authors (from memory)."""
    _, text, name, rank, authorship = example
    written = parse_written_name(text)
    assert (written.name, written.rank) == (name, rank)
    if authorship is not None:
        assert (written.authorship, written.remark) == (authorship, "")


@pytest.mark.parametrize(
    ("article", "text", "name", "hybrid"),
    [
        ("H.1", "×Agropogon", "Agropogon", "genus"),
        ("H.1", "× Agropogon littoralis (Sm.) C. E. Hubb.", "Agropogon littoralis", "genus"),
        ("H.2", "Agrostis L. × Polypogon Desf.", "Agrostis", "formula"),
        ("H.2", "Agrostis stolonifera L. × Polypogon monspeliensis (L.) Desf.",
         "Agrostis stolonifera", "formula"),
        ("H.2", "Salix aurita L. × S. caprea L.", "Salix aurita", "formula"),
        ("H.2", "Mentha aquatica L. × M. arvensis L. × M. spicata L.", "Mentha aquatica",
         "formula"),
        ("H.3", "Mentha ×smithiana R. A. Graham", "Mentha smithiana", "species"),
        ("H.3", "Polypodium vulgare nothosubsp. mantoniae (Rothm.) Schidlay",
         "Polypodium vulgare subsp. mantoniae", None),
        ("H.3A", "Mentha x smithiana", "Mentha smithiana", "species"),
        ("H.11", "Mentha ×piperita nothosubsp. pyramidalis (Ten.) Harley",
         "Mentha piperita subsp. pyramidalis", "species"),
    ],
)  # fmt: skip
def test_hybrids_of_the_code_are_known_by_their_sign(
    article: str, text: str, name: str, hybrid: str | None
) -> None:
    """Articles H.1-H.12, on names of hybrids (from memory)."""
    written = parse_written_name(text)
    assert (written.name, written.hybrid) == (name, hybrid), article


@pytest.mark.parametrize(
    ("article", "text"),
    [
        ("50A", "Ocimum gratissimum L. sensu Forssk."),
        ("50D.1", "Ficus stortophylla sensu Warb., non Warb. 1894"),
        ("50D.1", "Ficus irumuensis auct. non De Wild."),
        ("50C", "Bartlingia Brongn. non Rchb. 1824 nec F. Muell. 1882"),
    ],
)
def test_misapplied_names_of_the_code_are_in_anothers_sense(article: str, text: str) -> None:
    """Recommendations 50C and 50D, on misapplied names and homonyms (from memory)."""
    assert parse_written_name(text).in_another_sense, article


@pytest.mark.parametrize(
    ("article", "text", "other"),
    [
        ("60.1", "Hieronima", "Hieronyma"),
        ("60.8", "bresadolae", "bresadolæ"),
        ("60.4", "coerulea", "cœrulea"),
        ("60.8", "dodongi", "dodongii"),
        ("60.8", "lecardi", "lecardii"),
        ("60.4", "Vaucheria", "Vaucherja"),
        ("53.2", "polianthemos", "polyanthemos"),
        ("53.2", "heteropodus", "heteropoddus"),
    ],
)
def test_spellings_that_the_code_takes_for_one_sound_alike(
    article: str, text: str, other: str
) -> None:
    """Articles 53 and 60, on names that are confusingly alike and on spelling (from memory)."""
    assert sound(fold(text)) == sound(fold(other)), article
