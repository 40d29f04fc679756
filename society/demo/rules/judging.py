"""Slips, verdicts and what is said about a find: how its refereeing is meant to come out."""

import datetime as dt
import random
from dataclasses import replace

from society.demo.rules.planned import (
    PlannedComment,
    PlannedFind,
    PlannedReading,
    PlannedSlip,
    PlannedStep,
    PlannedVerdict,
)
from society.demo.rules.words import (
    ANY_BOOK,
    ASKS,
    COMMENTS,
    DISPUTES,
    LEFT_OPEN,
    LITERATURE,
    REMARKS,
    misspelt,
)
from society.demo.rules.world import Member, Species, World

# Shares of what a referee in scope, not the finder, does with a find.
OUTCOMES = (("confirmed", 63), ("unconfirmed", 21), ("disputed", 6), ("asked", 6), ("left_open", 4))
# A referee's own find in scope: mostly nobody else has looked yet.
OWN_SHARE = 0.3


def judged(
    rng: random.Random, world: World, find: PlannedFind, last: dt.date, outcome: str | None = None
) -> PlannedFind:
    """The find with its slips, verdicts and comments."""
    species, finder = world.named(find.species), world.person(find.finder)
    if outcome is None:
        outcome = _outcome(rng, finder, species)
    find = replace(find, outcome=outcome)
    find = replace(find, slips=_first_slip(rng, world, find, species, finder))
    if outcome not in ("unconfirmed", "by_its_referee"):
        referee = _referee(rng, world, species, finder)
        find = _ACTS[outcome](rng, find, species, referee, last)
    return replace(find, comments=_comments(rng, world, find, last))


def _outcome(rng: random.Random, finder: Member, species: Species) -> str:
    if finder.referees(species) and rng.random() < OWN_SHARE:
        return "by_its_referee"
    return rng.choices([o for o, _ in OUTCOMES], [w for _, w in OUTCOMES])[0]


def _referee(rng: random.Random, world: World, species: Species, finder: Member) -> Member:
    """One in scope who is not the finder; those of the family before those of everything."""
    able = [p for p in world.people if p != finder and p.referees(species)]
    weights = [1 if p.scope[0].rank == "all" else 4 for p in able]
    return rng.choices(able, weights)[0]


def later(rng: random.Random, day: dt.date, last: dt.date, least: int, most: int) -> dt.date:
    """A day some days on, never after the last day of the plan."""
    return min(last, day + dt.timedelta(days=rng.randint(least, most)))


# --- slips


def _first_slip(
    rng: random.Random, world: World, find: PlannedFind, species: Species, finder: Member
) -> tuple[PlannedSlip, ...]:
    written, qualifier = _as_written(rng, species, find.outcome)
    if find.outcome == "disputed":
        written, qualifier = taken_for(world, species), ""
    if not written:
        return ()
    return (
        PlannedSlip(
            by=finder.key,
            day=find.day,
            written=written,
            qualifier=qualifier,
            basis="microscope" if find.specimen_kept and rng.random() < 0.25 else "eye",
            literature=_book(rng, species),
            remarks=rng.choice(REMARKS),
        ),
    )


def taken_for(world: World, species: Species) -> str:
    """The name a finder gives by mistake: a known look-alike, else the next of its kin."""
    if species.mistaken:
        return species.mistaken
    kin = [s for s in world.species if s.form == species.form and s != species]
    near = [s for s in kin if s.genus == species.genus] or [
        s for s in kin if s.family == species.family
    ]
    return (near or kin)[0].name


def _book(rng: random.Random, species: Species) -> str:
    mood = rng.random()
    if mood < 0.6:
        return ""
    return LITERATURE.get(species.family, ANY_BOOK)


def _as_written(rng: random.Random, species: Species, outcome: str) -> tuple[str, str]:
    """What the finder wrote, and the qualifier within it; empty where not named yet."""
    if outcome == "by_its_referee":
        return species.name, ""
    mood = rng.random()
    if outcome == "left_open" or mood < 0.05:
        return f"{species.genus} cf. {species.name.split()[1]}", "cf."
    if mood < 0.11:
        return misspelt(species.name, rng.randrange(6)), ""
    if mood < 0.24 and species.older:
        return rng.choice(species.older), ""
    if mood > 0.95 and outcome != "asked":
        return "", ""
    if mood > 0.92:
        return f"{species.genus} sp.", "sp."
    return species.name, ""


# --- verdicts


def _confirmed(
    rng: random.Random, find: PlannedFind, species: Species, referee: Member, last: dt.date
) -> PlannedFind:
    """Confirmed as written, or on the referee's own slip where the words need mending."""
    day = later(rng, find.day, last, 1, 40)
    slips = find.slips
    right = (species.name, *species.older)
    if not slips or slips[0].written not in right:
        own = PlannedSlip(referee.key, day, species.name, "", "eye", "", rng.choice(REMARKS))
        slips = (*slips, own)
    rank = "genus" if rng.random() < 0.04 else "species"
    verdict = PlannedVerdict("confirm", referee.key, day, len(slips) - 1, rank, "", "", "")
    return replace(find, slips=slips, verdicts=(verdict,))


def _disputed(
    rng: random.Random, find: PlannedFind, species: Species, referee: Member, last: dt.date
) -> PlannedFind:
    other = species.name if rng.random() < 0.8 else ""
    day = later(rng, find.day, last, 1, 30)
    verdict = PlannedVerdict(
        "dispute", referee.key, day, 0, "", DISPUTES[_against(rng, find, species)], other, ""
    )
    return replace(find, verdicts=(verdict,))


def _against(rng: random.Random, find: PlannedFind, species: Species) -> str:
    """What in the find speaks against the name; only what the find does hold."""
    held: list[str] = [view for view in ("underside", "stem_base") if view in find.views]
    if species.hosts:
        held.append("hosts")
    if any(r.exposed in ("milk", "flesh") for r in find.readings):
        return "readings"
    return rng.choice(held or [""])


def _asked(
    rng: random.Random, find: PlannedFind, species: Species, referee: Member, last: dt.date
) -> PlannedFind:
    """Asks only for what the site allows and what is in hand still gives."""
    wanted = ["hosts", "habitat"]
    if find.in_hand in ("dried", "drying"):
        wanted = ["microscope", "microscope", "hosts"]
    if find.in_hand in ("fresh", "fridge"):
        wanted = ["section", "spore_print"]
        if any(r.kind == "milk" for r in species.readings):
            wanted = ["milk_after_30_minutes"]
    code = rng.choice(wanted)
    day = later(rng, find.day, last, 1, 20)
    verdict = PlannedVerdict("ask", referee.key, day, 0, "", ASKS[code], "", code)
    return replace(find, verdicts=(verdict,))


def _left_open(
    rng: random.Random, find: PlannedFind, species: Species, referee: Member, last: dt.date
) -> PlannedFind:
    day = later(rng, find.day, last, 3, 50)
    verdict = PlannedVerdict(
        "leave_open", referee.key, day, 0, "genus", rng.choice(LEFT_OPEN), "", ""
    )
    return replace(find, verdicts=(verdict,))


_ACTS = {
    "confirmed": _confirmed,
    "disputed": _disputed,
    "asked": _asked,
    "left_open": _left_open,
}


def _comments(
    rng: random.Random, world: World, find: PlannedFind, last: dt.date
) -> tuple[PlannedComment, ...]:
    """Now and then somebody writes, and the finder answers when they can."""
    if rng.random() > (0.45 if find.outcome in ("asked", "disputed") else 0.1):
        return ()
    signed_in = [p for p in world.people if p.sign_in and p.key != find.finder]
    day = later(rng, find.day, last, 1, 10)
    asked, answer = rng.choice(COMMENTS)
    out = [PlannedComment(rng.choice(signed_in).key, day, asked)]
    if answer and world.person(find.finder).sign_in and rng.random() < 0.7:
        out.append(PlannedComment(find.finder, later(rng, day, last, 0, 5), answer))
    return tuple(out)


# --- old notebooks


def from_the_books(world: World, find: PlannedFind, day: dt.date, page: int) -> PlannedFind:
    """The find as an old notebook gives it: no pictures, no point, a name somebody stood by."""
    keeper_of_books = next(p for p in world.people if not p.sign_in)
    organiser = next(p for p in world.people if "organiser" in p.roles)
    slip = PlannedSlip(
        by=keeper_of_books.key,
        day=day,
        written=(world.named(find.species).older or (find.species,))[0],
        qualifier="",
        basis="books",
        literature=f"Stobbart's notebooks, {day.year}, p. {page}",
        remarks="",
    )
    return replace(
        find,
        outcome="from_the_books",
        day=day,
        date_verbatim=f"{day.day}.{_ROMAN[day.month - 1]}.{day.year}",
        time_of_day=None,
        point=None,
        uncertainty_m=None,
        foray=None,
        finder=keeper_of_books.key,
        companions=(),
        entered_by=organiser.key,
        collector_number="",
        views=(),
        readings=(),
        spore_print="",
        in_hand="nothing",
        specimen_kept=False,
        specimen_number="",
        notes="",
        made_secret=None,
        slips=(slip,),
        verdicts=(),
        comments=(),
    )


_ROMAN = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")


def unwatched(find: PlannedFind) -> PlannedFind:
    """The find with only the first minute of each reading: nobody looked again."""
    kept = tuple(
        PlannedReading(
            r.exposed,
            r.reagent,
            tuple(
                s if s.minute == 0 else PlannedStep(s.minute, looked=False, seen="")
                for s in r.steps
            ),
        )
        for r in find.readings
    )
    return replace(find, readings=kept)
