"""Which finds a list is drawn from: the conditions that every list, count and first shares."""

import datetime as dt

from django.db.models import Case, CharField, Exists, F, OuterRef, Q, QuerySet, Value, When
from django.db.models.functions import Coalesce

from society.finds.models import COUNTED, AssociatedOrganism, Find, PartPlayed, Qualifier, Standing
from society.finds.queries import site_named_condition
from society.lists.queries.wanted import SpeciesListFilter
from society.lists.queries.words import list_title
from society.members.permissions import Viewer
from society.members.queries import society_settings
from society.names.models import Rank, Taxon
from society.places.models import Site
from society.places.queries import site_with_parts_ids
from society.science.dates import season_span

# The accepted name a find stands under today; the stored one may have become a synonym since.
TAXON_NOW = Coalesce("standing_taxon__accepted_id", "standing_taxon_id")
WIDE_RANKS = (Rank.AGGREGATE, Rank.SECTION, Rank.GENUS)
DOUBTS = (Qualifier.CF, Qualifier.AFF, Qualifier.DOUBT)
WIDENINGS = (Qualifier.AGG, Qualifier.SL, Qualifier.GROUP)
# What the slip that stands adds to the name, and a split since; at a wider rank nothing is left.
QUALIFIER_NOW = Case(
    When(standing_rank__in=WIDE_RANKS, then=Value("")),
    When(standing_slip__qualifier__in=(*DOUBTS, *WIDENINGS), then=F("standing_slip__qualifier")),
    When(reads_wide=True, then=Value(Qualifier.SL)),
    default=Value(""),
    output_field=CharField(),
)
HOST_PARTS = (PartPlayed.HOST, PartPlayed.PROBABLE_HOST)

# Left open at no rank settles no name; the other standings count at the rank that holds.
named_condition = Q(standing_slip__isnull=False) & ~Q(standing=Standing.LEFT_OPEN, standing_rank="")


def stands_condition() -> Q:
    """Return the condition that a find stands under a name, from the books included."""
    return Q(standing__in=COUNTED) & named_condition


def standings_counted(wanted: SpeciesListFilter) -> tuple[str, ...]:
    """Return the standings that a list's number of finds counts."""
    return {
        "stands": COUNTED,
        "only": COUNTED,
        "settled": tuple(code for code in COUNTED if code != Standing.FROM_THE_BOOKS),
        "books": (Standing.FROM_THE_BOOKS,),
        "with_unconfirmed": (*COUNTED, Standing.UNCONFIRMED),
    }[wanted.counted]


def standings_shown(wanted: SpeciesListFilter) -> tuple[str, ...]:
    """Return the standings of which a list has rows: those counted, and those set apart."""
    apart = (Standing.UNCONFIRMED,) if wanted.counted in ("stands", "settled") else ()
    return (*standings_counted(wanted), *apart)


def span_of(wanted: SpeciesListFilter) -> tuple[dt.date | None, dt.date | None]:
    """Return the first and last day asked for. One query where a season is asked for."""
    first, last = wanted.date_from, wanted.date_to
    if wanted.season is not None:
        start, end = season_span(wanted.season, society_settings().season_start_month)
        first = max(start, first) if first else start
        last = min(end, last) if last else end
    return first, last


def in_time_condition(first: dt.date | None, last: dt.date | None) -> Q:
    """Return the condition that a find was certainly made between these days."""
    condition = Q()
    if first is not None:
        condition &= Q(date_start__gte=first)
    if last is not None:
        condition &= Q(date_end__lte=last, date_start__lte=last)
    return condition


def overlapping_condition(first: dt.date | None, last: dt.date | None) -> Q:
    """Return the condition that a find may have been made between these days."""
    condition = Q()
    if first is not None:
        condition &= Q(date_end__gte=first)
    if last is not None:
        condition &= Q(date_start__lte=last)
    return condition


def finds_at(viewer: Viewer, site: Site | None) -> QuerySet[Find]:
    """Return the finds this viewer may count for a site and its parts, or for the whole society.

    One query for the parts of a site.
    """
    finds = Find.objects.visible_to(viewer).laid()
    if site is None:
        return finds
    ids = site_with_parts_ids(site)
    visible = Site.objects.visible_to(viewer).filter(pk__in=ids)
    return finds.filter(site_named_condition(viewer), site_id__in=visible.values("pk"))


def finds_matching(
    finds: QuerySet[Find], wanted: SpeciesListFilter, first: dt.date | None, last: dt.date | None
) -> QuerySet[Find]:
    """Narrow finds to the time, family, form and host of a list."""
    finds = finds.filter(in_time_condition(first, last))
    if wanted.family:
        finds = finds.filter(
            Q(standing_taxon__accepted=None, standing_taxon__family=wanted.family)
            | Q(standing_taxon__accepted__family=wanted.family)
        )
    if wanted.form:
        finds = finds.filter(
            Q(standing_taxon__accepted=None, standing_taxon__form=wanted.form)
            | Q(standing_taxon__accepted__form=wanted.form)
            | Q(standing_taxon=None, form=wanted.form)
        )
    if wanted.host is not None:
        finds = finds.filter(Exists(_with_host(wanted.host)))
    return finds


def _with_host(host: Taxon) -> QuerySet[AssociatedOrganism]:
    """Return the organisms of a find that are this host; a genus stands for its species too."""
    organisms = AssociatedOrganism.objects.filter(
        find=OuterRef("pk"), part__in=HOST_PARTS, removed_at=None
    )
    if host.rank == Rank.GENUS:
        return organisms.filter(
            Q(taxon__accepted=None, taxon__genus=host.genus, taxon__group=host.group)
            | Q(taxon__accepted__genus=host.genus, taxon__accepted__group=host.group)
        )
    return organisms.filter(Q(taxon=host) | Q(taxon__accepted=host))


def finds_of_list(viewer: Viewer, wanted: SpeciesListFilter) -> QuerySet[Find]:
    """Return the finds that a list has rows for, those set apart included."""
    first, last = span_of(wanted)
    finds = finds_matching(finds_at(viewer, wanted.site), wanted, first, last)
    return finds.filter(named_condition, standing__in=standings_shown(wanted))


def of_taxon_condition(taxon: Taxon) -> Q:
    """Return the condition that a find stands under an accepted name, as indexed columns allow."""
    rows = Taxon.objects.filter(Q(pk=taxon.pk) | Q(accepted=taxon))
    return Q(standing_taxon_id__in=rows.values("pk"))


def title_of(wanted: SpeciesListFilter) -> str:
    """Return place and time of a list in words. One query where a season is asked for."""
    return list_title(wanted, *span_of(wanted))
