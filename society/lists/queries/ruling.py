"""Handing what the database counted to the society's rule of lists, and reading its answer.

The rule (what counts as a species, which find is a first) is ``science.listing``. It is handed a
few finds for each name and standing instead of every find: they bear the earliest and latest dates
that the database found, so that its answer is the same and a record of 20,000 finds need not pass
through memory. ``tests/lists/test_rule_of_lists.py`` holds both equal.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Window
from django.db.models.functions import Coalesce, RowNumber

from society.finds.models import Find
from society.lists.queries.counting import Counted, Key
from society.lists.queries.listed import (
    DOUBTS,
    QUALIFIER_NOW,
    TAXON_NOW,
    WIDENINGS,
    stands_condition,
)
from society.names.models import Group, Rank, Taxon
from society.science.listing import ListedFind, ListRow, count_list, firsts
from society.science.names import fold, parse_written_name

NARROW = (Rank.SPECIES, Rank.VARIETY)


@dataclass(frozen=True, slots=True)
class NameFacts:
    """What the rule must know of a name. ``species`` is its genus and epithet in folded letters;
    a name in doubt stands as 'cf.', 'aff.' or '?': it says its genus and no more."""

    key: Hashable
    rank: str
    genus: str
    species: str
    in_doubt: bool = False

    @property
    def says_genus_only(self) -> bool:
        return self.in_doubt or self.rank == Rank.GENUS


def names_ruled(
    counted: Mapping[Key, Counted], taxa: Mapping[int, Taxon], *, with_unconfirmed: bool
) -> dict[Key, ListRow]:
    """Return the rule's row for each name: its dates, its marks, whether it counts as a species.

    Numbers of finds in it are those handed over, not those of the list.
    """
    facts = [_facts(key, counted[key], taxa) for key in sorted(counted, key=_order)]
    ids = {name.key: number for number, name in enumerate(facts, start=1)}
    wider = wider_names(facts)
    finds: list[ListedFind] = []
    for name in facts:
        for standing, start, end in counted[name.key].dates:  # type: ignore[index]
            finds.append(
                ListedFind(
                    find_id=len(finds) + 1,
                    taxon_id=ids[name.key],
                    taxon_rank=Rank.GENUS if name.in_doubt else name.rank,
                    genus=name.genus,
                    standing=standing,
                    start=start,
                    end=end,
                    site_id=None,
                    counted_member_of=frozenset(ids[key] for key in wider[name.key]),
                    species_id=_species_id(name, facts, ids),
                )
            )
    rows = {row.taxon_id: row for row in count_list(finds, with_unconfirmed=with_unconfirmed).rows}
    return {key: rows[ids[key]] for key in counted}


def _order(key: Key) -> tuple[int, str, str]:
    return key[0] or 0, key[1], key[2]


def _facts(key: Key, entry: Counted, taxa: Mapping[int, Taxon]) -> NameFacts:
    taxon_id, qualifier, _ = key
    if taxon_id is None:
        read = parse_written_name(entry.written)
        rank = entry.written_rank or (Rank.SPECIES if read.epithet else Rank.GENUS)
        genus = fold(read.genus or "")
        return NameFacts(key, rank, genus, fold(read.name), in_doubt=read.qualifier in DOUBTS)
    taxon = taxa[taxon_id]
    rank = Rank.AGGREGATE if qualifier in WIDENINGS else taxon.rank
    return NameFacts(key, rank, fold(taxon.genus), _species(taxon.folded), qualifier in DOUBTS)


def _species(folded: str) -> str:
    return " ".join(folded.split()[:2])


def _species_id(
    name: NameFacts, facts: Iterable[NameFacts], ids: Mapping[Hashable, int]
) -> int | None:
    """Return the listed species of a variety."""
    if name.rank != Rank.VARIETY or name.in_doubt:
        return None
    for other in facts:
        if other.rank == Rank.SPECIES and other.species == name.species and not other.in_doubt:
            return ids[other.key]
    return None


def wider_names(names: Iterable[NameFacts]) -> dict[Hashable, set[Hashable]]:
    """Return, for each name, the wider names among them that it is a member of.

    A genus has every narrower name of it for a member; an aggregate (or 's.l.') the species it is
    called after and what is below that. Of several names in doubt of one genus the first is a
    member of the others, so that one of them counts.
    """
    by_genus: dict[str, list[NameFacts]] = defaultdict(list)
    wider: dict[Hashable, set[Hashable]] = {}
    for name in names:
        by_genus[name.genus].append(name)
        wider[name.key] = set()
    for genus, held in by_genus.items():
        if not genus:
            continue
        bare = [name for name in held if name.says_genus_only]
        aggregates = [name for name in held if name.rank == Rank.AGGREGATE and not name.in_doubt]
        for at, name in enumerate(held):
            if not name.says_genus_only:
                wider[name.key] |= {other.key for other in bare}
            elif name.in_doubt:
                after = held[at + 1 :]
                wider[name.key] |= {other.key for other in after if other.in_doubt}
                wider[name.key] |= {other.key for other in bare if not other.in_doubt}
            if name.rank in NARROW and not name.in_doubt:
                wider[name.key] |= {
                    other.key for other in aggregates if other.species == name.species
                }
    return wider


def first_finds(
    finds: QuerySet[Find], taxa: Mapping[int, Taxon], first_day: dt.date
) -> dict[int, int]:
    """Return the find that is the first of a name among all that stands, by accepted name, for
    those names of which none stands from before ``first_day``.

    ``finds`` is the whole record of a place. What stands with a qualifier makes no first. Two
    queries: which names were found before, answered from an index, and the finds of the others.
    """
    makes_first = (
        finds.filter(stands_condition())
        .alias(qualifier_now=QUALIFIER_NOW)
        .exclude(qualifier_now__in=(*DOUBTS, *WIDENINGS))
    )
    listed = {pk: _taxon_facts(taxon) for pk, taxon in taxa.items() if taxon.group == Group.FUNGUS}
    if not listed:
        return {}
    before = _found_before(makes_first, listed, first_day)
    wider = wider_names({**before, **listed}.values())
    known = before.keys() | {key for pk in before for key in wider[pk]}
    new = {pk: name for pk, name in listed.items() if pk not in known}
    return dict(firsts(_earliest_of_each(makes_first, new)).for_society) if new else {}


def _taxon_facts(taxon: Taxon) -> NameFacts:
    return NameFacts(taxon.pk, taxon.rank, fold(taxon.genus), _species(taxon.folded))


def _found_before(
    makes_first: QuerySet[Find], listed: Mapping[int, NameFacts], first_day: dt.date
) -> dict[int, NameFacts]:
    """Return the names listed, and the members of wide ones, that stand from before a day.

    One find of each is asked for by its index: for ``Exists`` a planner may join every find there
    is, which takes ten times as long.
    """
    earlier = makes_first.filter(standing_taxon=OuterRef("pk"), date_end__lt=first_day)
    one = Subquery(earlier.order_by().values("pk")[:1])
    rows = (
        Taxon.objects.fungi()
        .filter(Q(pk__in=listed) | Q(accepted__in=listed) | Q(genus__in=_wide_genera(listed)))
        .alias(one=one)
        .filter(one__isnull=False)
        .order_by()
        .values_list(
            Coalesce("accepted_id", "pk"),
            Coalesce("accepted__rank", "rank"),
            Coalesce("accepted__genus", "genus"),
            Coalesce("accepted__folded", "folded"),
        )
    )
    return {
        pk: NameFacts(pk, rank, fold(genus), _species(folded)) for pk, rank, genus, folded in rows
    }


def _wide_genera(names: Mapping[int, NameFacts]) -> list[str]:
    """Return the genera, as the checklist writes them, of names wider than a species."""
    return [name.genus.capitalize() for name in names.values() if name.rank not in NARROW]


def _earliest_of_each(
    makes_first: QuerySet[Find], new: Mapping[int, NameFacts]
) -> list[ListedFind]:
    """Return the earliest find of each of these names, and of the members of the wide ones."""
    rows_of = Taxon.objects.fungi().filter(
        Q(pk__in=new) | Q(accepted__in=new) | Q(genus__in=_wide_genera(new))
    )
    nth = Window(
        RowNumber(),
        partition_by=TAXON_NOW,
        order_by=[F("date_end").asc(), F("date_start").asc(), F("pk").asc()],
    )
    rows = list(
        makes_first.filter(standing_taxon_id__in=rows_of.values("pk"))
        .annotate(nth=nth)
        .filter(nth=1)
        .order_by()
        .values_list(
            "pk",
            TAXON_NOW,
            Coalesce("standing_taxon__accepted__rank", "standing_taxon__rank"),
            Coalesce("standing_taxon__accepted__genus", "standing_taxon__genus"),
            Coalesce("standing_taxon__accepted__folded", "standing_taxon__folded"),
            "date_start",
            "date_end",
        )
    )
    wider = wider_names(
        NameFacts(key, rank, fold(genus), _species(folded))
        for _, key, rank, genus, folded, _, _ in rows
    )
    return [
        ListedFind(
            find_id=pk,
            taxon_id=key,
            taxon_rank=rank,
            genus=genus,
            standing="confirmed",
            start=start,
            end=end,
            site_id=None,
            counted_member_of=frozenset(wider[key]),  # type: ignore[arg-type]
        )
        for pk, key, rank, genus, _, start, end in rows
    ]
