"""How names of a find are written: the one that stands, those on slips, those of a split."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from society.finds.models import DeterminationSlip, Find, Qualifier
from society.names.models import Taxon
from society.names.queries import splits_of
from society.review.queries.evidence import taxon_of
from society.science.names import fold, parse_written_name, render_parts

Parts = list[tuple[str, bool]]
# Doubts stand before the epithet, every other qualifier after the name.
BEFORE_EPITHET = ("cf.", "aff.")


def qualified_parts(name: str, authorship: str, qualifier: str) -> Parts:
    """Return a name with its qualifier where the trade writes it, ready to print."""
    words = name.split()
    if not qualifier or qualifier in words:
        return render_parts(name, authorship)
    if qualifier in BEFORE_EPITHET and len(words) > 1:
        return render_parts(" ".join([words[0], qualifier, *words[1:]]), authorship)
    if qualifier in BEFORE_EPITHET:
        return render_parts(f"{qualifier} {name}", authorship)
    return [*render_parts(name), (f" {qualifier}", False)]


def qualifier_now(find: Find, slip: DeterminationSlip) -> str:
    """Return what stands beside the name: the slip's own word, 's.l.' where a split made it so."""
    return Qualifier.SL if find.reads_wide else slip.qualifier


def headline(find: Find, current: DeterminationSlip | None, taxon: Taxon | None) -> Parts:
    """Return the name the page is headed by: the accepted one that stands, else as written.

    The slip's qualifier goes with its own name only, not with a wider one that was confirmed.
    """
    if current is None:
        return []
    if taxon is None:
        return [(current.name_written, False)]
    own = taxon_of(current) == taxon
    return qualified_parts(
        taxon.scientific_name, taxon.authorship, qualifier_now(find, current) if own else ""
    )


def rows_written(slips: Iterable[DeterminationSlip]) -> dict[int, Taxon]:
    """Return the rows whose names the slips bear in so many words, by slip.

    A name that moved keeps its row, so that the row of a slip may bear another name today: what
    was written is a synonym by now. One query, and none where no whole name differs from its row's.
    """
    rows: dict[int, Taxon] = {}
    others: dict[int, tuple[int, str]] = {}
    for slip in slips:
        if slip.taxon is None:
            continue
        read = parse_written_name(slip.name_written)
        words = fold(read.name)
        current = slip.taxon.current
        rows[slip.pk] = current if words == current.folded else slip.taxon
        is_whole = bool(read.epithet) and "." not in (read.genus or "")
        if is_whole and words not in (current.folded, slip.taxon.folded):
            others[slip.pk] = current.pk, words
    if others:
        synonyms = Taxon.objects.filter(
            accepted_id__in={pk for pk, _ in others.values()},
            folded__in={words for _, words in others.values()},
            is_misapplied=False,
        )
        held = {(row.accepted_id, row.folded): row for row in synonyms}
        rows |= {pk: held[key] for pk, key in others.items() if key in held}
    return rows


def slip_parts(slip: DeterminationSlip, row: Taxon | None) -> tuple[Parts, Parts | None]:
    """Return a slip's name as laid, and the accepted name where that is another by now.

    ``row`` is the one whose name the slip bears (``rows_written``).
    """
    if row is None:
        return [(slip.name_written, False)], None
    accepted = taxon_of(slip)
    laid = qualified_parts(row.scientific_name, row.authorship, slip.qualifier)
    if accepted is None or accepted.pk == row.pk:
        return laid, None
    return laid, render_parts(accepted.scientific_name, accepted.authorship)


@dataclass(frozen=True, slots=True)
class SplitRead:
    """Why a name reads as 's.l.': the day its species was split, by what source, into what.

    ``names`` are the narrower names, as printed; that of the species itself stands as 's.str.'.
    """

    day: dt.date
    source: str
    taxa: tuple[Taxon, ...]
    names: list[tuple[int, Parts]]


def split_read(
    find: Find, current: DeterminationSlip | None, taxon: Taxon | None
) -> SplitRead | None:
    """Return the split that a find has not been looked at since. Two queries, or none.

    Of several splits the latest is meant: nobody has looked since that one, in any case.
    """
    if not find.reads_wide or current is None or current.taxon is None or taxon is None:
        return None
    splits = [row for rows in splits_of({current.taxon.pk, taxon.pk}).values() for row in rows]
    if not splits:
        return None  # taken back, and the finds are still being read anew
    latest = max(splits, key=lambda row: row.day)
    names = [
        (part.pk, qualified_parts(part.scientific_name, "", "s.str." if part == taxon else ""))
        for part in latest.into
    ]
    return SplitRead(latest.day, latest.source, latest.into, names)
