"""What was recorded of a find, in the terms of the accounts, and what may still be looked at."""

from collections.abc import Callable

from django.db.models import Prefetch, Q, QuerySet

from society.finds.models import (
    AssociatedOrganism,
    DeterminationSlip,
    Find,
    ObservedCharacter,
    Reading,
    Stage,
)
from society.names.models import Taxon
from society.names.queries import AccountBook
from society.review.queries.evidence import may_lift_and_cut
from society.science import contrast as science
from society.science.colours import read_colour
from society.science.contrast.facts import Part as HostPart
from society.science.evidence import may_still_be_seen
from society.science.reagents import read_reagent
from society.science.written_states import states_written

# How a find's growth is called among the states of the character 'growth'.
GROWTH = {
    "single": "single",
    "scattered": "scattered",
    "troop": "troops",
    "tuft": "tufts",
    "ring": "rings",
}
# How the substrate of a find is called where the checklist has a wider word.
SUBSTRATE = {"bark": "wood"}


def with_evidence(finds: QuerySet[Find]) -> QuerySet[Find]:
    """Return finds to be read with what bears on their names, photographs aside. Four queries."""
    kept = Q(removed_at=None)
    organisms = AssociatedOrganism.objects.filter(kept).select_related("taxon__accepted")
    characters = ObservedCharacter.objects.select_related("character", "state")
    return finds.prefetch_related(
        Prefetch("organisms", organisms),
        Prefetch("readings", Reading.objects.filter(kept)),
        Prefetch("observed_characters", characters),
        Prefetch("slips", DeterminationSlip.objects.select_related("taxon__accepted")),
    )


def observed_of(find: Find, book: AccountBook) -> science.Observed:
    """Return what was recorded of a find, in the terms of the accounts."""
    states: dict[str, set[str]] = {}
    for row in find.observed_characters.all():
        states.setdefault(row.character.code, set()).add(row.state.code)
    if find.growth in GROWTH and "growth" in book.words:
        states.setdefault("growth", {GROWTH[find.growth]})
    if find.spore_print and "print_colour" in book.words:
        read = states_written(find.spore_print, book.words["print_colour"].states)
        if read:
            states.setdefault("print_colour", set(read))
    photographs = [row for row in find.photographs.all() if row.removed_at is None]
    return science.Observed(
        states={code: frozenset(seen) for code, seen in states.items()},
        readings=tuple(reading for reading, _words in readings_written(find)),
        hosts=_hosts(find),
        substrate=SUBSTRATE.get(find.substrate, find.substrate),
        month=find.date_start.month
        if (find.date_start.year, find.date_start.month)
        == (find.date_end.year, find.date_end.month)
        else None,
        stage=find.stage if find.stage in (Stage.BUTTON, Stage.DECAYED) else "",
        pictures_only=bool(photographs)
        and not states
        and find.in_hand in ("pictures", "nothing")
        and not any(row.removed_at is None for row in find.readings.all()),
    )


def readings_written(find: Find) -> list[tuple[science.ReadingSeen, str]]:
    """Return the timed readings with the words written; without a look there are none."""
    return [
        (
            science.ReadingSeen(
                row.exposed,
                read_reagent(row.reagent),
                float(row.minutes),
                (read_colour(row.seen) or frozenset()) if row.looked else None,
            ),
            row.seen,
        )
        for row in find.readings.all()
        if row.removed_at is None
    ]


def _hosts(find: Find) -> dict[str, HostPart]:
    """Return the genera it stood with; the closest part that one of each played."""
    closeness: tuple[HostPart, ...] = ("host", "probable_host", "nearby")
    hosts: dict[str, HostPart] = {}
    for row in find.organisms.all():
        if row.removed_at is not None or row.taxon is None:
            continue
        genus, part = row.taxon.current.genus, row.part
        if genus and part in closeness:
            held = hosts.get(genus, "nearby")
            hosts[genus] = min(held, part, key=closeness.index)
    return hosts


def checks_possible(
    find: Find, laid: list[Taxon], form: str, book: AccountBook
) -> Callable[[science.CharacterFacts], bool]:
    """Return what decides whether a look may still be taken here, with this in hand.

    Spores are left out: their measures cannot be entered yet.
    """
    allowed = all(may_lift_and_cut(find, taxon) for taxon in (*laid, None))
    views = frozenset(row.view for row in find.photographs.all() if row.removed_at is None)

    def is_possible(look: science.CharacterFacts) -> bool:
        if look.code in ("hosts", "substrate"):
            return True
        if look.code == "spores":
            return False
        words = book.words.get(look.code)
        return may_still_be_seen(
            look.cost,
            words.part if words is not None else "",
            cuts=look.cuts,
            form=form,
            in_hand=find.in_hand,
            views=views,
            code=look.code,
            may_lift=allowed,
            may_cut=allowed,
        )

    return is_possible
