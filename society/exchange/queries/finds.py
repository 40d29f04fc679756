"""Finds as a table, each place as its reader may have it, read a few hundred at a time.

Headings are the terms of Darwin Core where one says the same (darwinCore: dwc.tdwg.org/terms), and
plain words written alike where none does.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import lru_cache

from django.conf import settings
from django.db.models import Model, Prefetch, Q, QuerySet
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from society.exchange.queries.places import place_cells, words_held_back
from society.exchange.queries.tables import Cell, Column, Table
from society.finds.models import (
    AssociatedOrganism,
    DeterminationSlip,
    EatingNote,
    Find,
    ObservedCharacter,
    Photograph,
    Qualifier,
    Reading,
)
from society.finds.queries import PlaceGiven, places_given
from society.lists.queries import SpeciesListFilter, finds_of_row, own_finds, title_of
from society.lists.queries.listed import HOST_PARTS
from society.members.models import Society
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon
from society.names.queries import dangerous_look_alikes, english_names
from society.safety import gate

FINDS_IN_ONE_READ = 300

_WIDTHS = {
    "catalogNumber": 12,
    "scientificName": 34,
    "verbatimIdentification": 34,
    "locality": 28,
    "associatedOrganisms": 40,
    "occurrenceRemarks": 60,
    "notice": 60,
}
HEADINGS = (
    *("catalogNumber", "occurrenceID", "references", "recordNumber", "recordedBy", "companions"),
    *("enteredBy", "eventDate", "verbatimEventDate", "eventTime", "locality"),
    *("decimalLatitude", "decimalLongitude", "coordinatePrecision"),
    *("coordinateUncertaintyInMeters", "geodeticDatum", "dataGeneralizations"),
    *("informationWithheld", "scientificName", "scientificNameAuthorship"),
    *("identificationQualifier", "taxonRank", "vernacularName", "family"),
    *("verbatimIdentification", "identifiedBy", "allNamesAsWritten", "standing", "danger"),
    *("dangerousLookAlikes", "hosts", "associatedOrganisms", "grewOn", "habitat", "soil"),
    *("howItStood", "charactersSeen", "timedReadings", "sporePrint", "inHand"),
    *("specimenNumber", "fungarium", "photographs", "onEating", "occurrenceRemarks", "notice"),
)
COLUMNS = tuple(
    Column(heading, _WIDTHS.get(heading, 16), is_name=heading == "scientificName")
    for heading in HEADINGS
)


def finds_table(
    viewer: Viewer,
    wanted: SpeciesListFilter,
    society: Society,
    *,
    taxon: Taxon | None = None,
    qualifier: str | None = None,
    written: str = "",
) -> Table:
    """Return the finds behind a species list, or behind one row of it, the latest first."""
    finds = finds_of_row(viewer, wanted, taxon, qualifier=qualifier, written=written)
    name = taxon.scientific_name if taxon is not None else written
    title = title_of(wanted)
    return _table(viewer, finds, society, f"{name}, {title}" if name else title, _("Finds"))


def own_records_table(viewer: Viewer, society: Society) -> Table:
    """Return everything the viewer found or was a companion at, named or not."""
    return _table(viewer, own_finds(viewer), society, viewer.name, _("Records"))


def _table(
    viewer: Viewer, finds: QuerySet[Find], society: Society, title: str, sheet: str
) -> Table:
    return Table(
        society=society.name,
        title=title,
        sheet=sheet,
        columns=COLUMNS,
        rows=find_rows(viewer, finds, society),
        about=[(_("made on"), timezone.localdate())],
    )


def find_rows(viewer: Viewer, finds: QuerySet[Find], society: Society) -> Iterator[Sequence[Cell]]:
    """Yield a row for each find, the latest first.

    Twelve queries for every ``FINDS_IN_ONE_READ`` finds, and no more than those in memory: each
    read begins where the one before ended, so that finds posted meanwhile shift nothing.
    """
    finds = _with_all(finds).order_by("-date_start", "-pk")
    after: Find | None = None
    while True:
        rest = finds
        if after is not None:
            rest = finds.filter(
                Q(date_start__lt=after.date_start) | Q(date_start=after.date_start, pk__lt=after.pk)
            )
        rows = list(rest[:FINDS_IN_ONE_READ])
        yield from _rows(viewer, rows, society)
        if len(rows) < FINDS_IN_ONE_READ:
            return
        after = rows[-1]


def _with_all(finds: QuerySet[Find]) -> QuerySet[Find]:
    kept = Q(removed_at=None)
    return finds.select_related(
        "site", "finder", "entered_by", "standing_taxon__accepted", "standing_slip__by"
    ).prefetch_related(
        "companions",
        Prefetch(
            "organisms", AssociatedOrganism.objects.filter(kept).select_related("taxon__accepted")
        ),
        Prefetch("slips", DeterminationSlip.objects.select_related("by")),
        Prefetch("readings", Reading.objects.filter(kept)),
        Prefetch(
            "observed_characters", ObservedCharacter.objects.select_related("character", "state")
        ),
        Prefetch("photographs", Photograph.objects.filter(kept).only("find_id")),
        Prefetch("eating_notes", EatingNote.objects.filter(kept)),
    )


def _rows(viewer: Viewer, finds: list[Find], society: Society) -> Iterator[Sequence[Cell]]:
    places = places_given(viewer, finds)
    ids = {taxon.pk for taxon in map(_taxon, finds) if taxon is not None}
    english = english_names(ids)
    look_alikes = dangerous_look_alikes(ids)
    for find in finds:
        taxon = _taxon(find)
        dangerous = look_alikes.get(taxon.pk, []) if taxon is not None else []
        told = gate.notice_context(taxon, standing=find.standing, dangerous=dangerous)
        place = places[find.pk]
        shown = (
            *_identity(find),
            *place_cells(find, place, society.region_name),
            *_name(find, taxon, english.get(taxon.pk, "") if taxon else ""),
            _dangers(taxon),
            "; ".join(f"{other} ({_dangers(other)})" for other in dangerous),
            *_stood(find, place, told),
            *_evidence(find),
            *_texts(find, place, told),
            gate.notice_line(told),
        )
        yield shown


def _taxon(find: Find) -> Taxon | None:
    return find.standing_taxon.current if find.standing_taxon is not None else None


def _dangers(taxon: Taxon | None) -> str:
    if taxon is None:
        return gate.danger_words(None)
    return gate.danger_words(taxon.danger, taxon.danger_note)


def _identity(find: Find) -> Sequence[Cell]:
    day: Cell = find.date_start
    if find.date_end != find.date_start:
        day = f"{find.date_start.isoformat()}/{find.date_end.isoformat()}"
    return (
        find.spoken_number,
        str(find.uuid),
        f"{settings.SITE_URL}/finds/{find.year}/{find.number}/",
        find.collector_number,
        find.finder.display_name,
        " | ".join(person.display_name for person in find.companions.all()),
        find.entered_by.display_name if find.entered_by_id != find.finder_id else "",
        day,
        find.date_verbatim,
        find.time_of_day.strftime("%H:%M") if find.time_of_day else "",
    )


def _name(find: Find, taxon: Taxon | None, english: str) -> Sequence[Cell]:
    """What stands, in the checklist's words, then every name in its writer's own.

    A name that was split since reads as 's.l.'; what its writer wrote is beside it.
    """
    slip = find.standing_slip
    qualifier = Qualifier.SL if find.reads_wide else slip.qualifier if slip is not None else ""
    is_wide = find.standing_rank in (Rank.GENUS, Rank.SECTION)
    rank = find.standing_rank or (taxon.rank if taxon else "")
    return (
        taxon.scientific_name if taxon else "",
        taxon.authorship if taxon else "",
        str(qualifier) if taxon is not None and not is_wide else "",
        str(Rank(rank).label) if rank in Rank.values else rank,
        english,
        taxon.family if taxon else "",
        slip.name_written if slip is not None else "",
        slip.by.display_name if slip is not None else "",
        " | ".join(
            f"{laid.name_written} ({laid.by.display_name}, "
            f"{timezone.localtime(laid.laid_at).date().isoformat()})"
            for laid in find.slips.all()
        ),
        _choice(find, "standing"),
    )


def _stood(find: Find, place: PlaceGiven, told: gate.NoticeContext) -> Sequence[Cell]:
    """What it grew with and on, and how."""
    organisms = list(find.organisms.all())
    hosts = [organism for organism in organisms if organism.part in HOST_PARTS]
    grew_on = [_choice(find, name) for name in ("substrate", "wood_part", "wood_position")]
    if find.wood_decay:
        grew_on.append(_("decay %(step)s of 5") % {"step": find.wood_decay})
    if find.wood_girth_cm:
        grew_on.append(_("girth %(girth)s cm") % {"girth": find.wood_girth_cm})
    grew_on.append(gate.as_text(find.substrate_note, told))
    how = [_choice(find, name) for name in ("form", "growth", "stage", "base")]
    if find.count is not None:
        how.insert(0, str(find.count))
    return (
        " | ".join(_organism_name(organism) for organism in hosts),
        " | ".join(_organism(organism) for organism in organisms),
        "; ".join(filter(None, grew_on)),
        words_held_back(find, place) or gate.as_text(find.habitat, told),
        "; ".join(filter(None, (_choice(find, "soil"), gate.as_text(find.moss_layer, told)))),
        "; ".join(filter(None, how)),
    )


def _choice(row: Model, name: str) -> str:
    """The words of a choice; nothing where nothing was said."""
    value = getattr(row, name)
    return _words(type(row), name, get_language() or "").get(value, "") if value else ""


@lru_cache(maxsize=256)
def _words(kind: type[Model], name: str, language: str) -> dict[str, str]:
    """The words of all choices of a field, put into the language once and not for every row."""
    return {str(value): str(words) for value, words in kind._meta.get_field(name).flatchoices}  # type: ignore[union-attr]


def _organism_name(organism: AssociatedOrganism) -> str:
    taxon = organism.taxon
    return taxon.current.scientific_name if taxon is not None else organism.as_written


def _organism(organism: AssociatedOrganism) -> str:
    told = [_choice(organism, name) for name in ("part", "certainty", "state")]
    if organism.distance_m is not None:
        told.append(f"{organism.distance_m.normalize():f} m")
    name = _organism_name(organism)
    if organism.as_written != name:
        told.append(_("written as %(name)s") % {"name": organism.as_written})
    return f"{name} ({', '.join(filter(None, told))})"


def _evidence(find: Find) -> Sequence[Cell]:
    characters: dict[str, list[str]] = {}
    for row in find.observed_characters.all():
        characters.setdefault(row.character.name, []).append(row.state.name)
    specimen = find.specimen_number or (_("kept, without a number") if find.specimen_kept else "")
    return (
        "; ".join(f"{name}: {', '.join(states)}" for name, states in characters.items()),
        "; ".join(_reading(reading) for reading in find.readings.all()),
        find.spore_print,
        _choice(find, "in_hand"),
        specimen,
        find.fungarium,
        len(find.photographs.all()),
    )


def _reading(reading: Reading) -> str:
    exposed = " ".join(filter(None, (_choice(reading, "exposed"), reading.reagent)))
    seen = reading.seen if reading.looked else _("not looked")
    minutes = Decimal(reading.minutes).normalize()
    return _("%(exposed)s, %(minutes)s min: %(seen)s") % {
        "exposed": exposed,
        "minutes": f"{minutes:f}",
        "seen": seen,
    }


def _texts(find: Find, place: PlaceGiven, told: gate.NoticeContext) -> Sequence[Cell]:
    eating = []
    for note in find.eating_notes.all():
        source = ", ".join(filter(None, (note.said_by, note.source)))
        eating.append(f"{source}: {gate.as_text(note.text, told, structured=True)}")
    held_back = words_held_back(find, place)
    return (
        held_back if held_back and eating else " | ".join(eating),
        held_back if held_back and find.notes else gate.as_text(find.notes, told),
    )
