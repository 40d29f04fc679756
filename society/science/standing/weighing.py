"""Rules 3 and 4: who is for and who is against each name that a referee stands for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from society.science.standing.opinions import Name, Opinion, width


def latest(opinions: Iterable[Opinion]) -> int:
    """When the last of these came to their opinion; -1 for none."""
    return max((opinion.since for opinion in opinions), default=-1)


@dataclass(frozen=True)
class Weighing:
    """A name with those for exactly it, those for it or narrower, and those against it."""

    name: Name
    direct: tuple[Opinion, ...]
    supporters: tuple[Opinion, ...]
    opposers: tuple[Opinion, ...]

    @property
    def settled(self) -> bool:
        """Nobody is against it; or one who came after the others made its side the larger."""
        if not self.opposers:
            return True
        return len(self.supporters) > len(self.opposers) and (
            latest(self.supporters) > latest(self.opposers)
        )

    @property
    def by(self) -> set[int]:
        """The referees who carry it."""
        return {opinion.by for opinion in self.supporters}


def weigh_all(opinions: Sequence[Opinion]) -> list[Weighing]:
    """One weighing for each name that a referee is firmly for, under its latest slip."""
    names = {o.pro.key: o.pro for o in opinions if o.firm and o.pro is not None}
    return [_weigh(name, opinions) for name in names.values()]


def _weigh(name: Name, opinions: Sequence[Opinion]) -> Weighing:
    direct, supporters, opposers = [], [], []
    for opinion in opinions:
        pro, contra = opinion.pro, opinion.contra
        if contra is not None and contra.key in name.lineage:
            opposers.append(opinion)
        elif pro is not None and name.key in pro.lineage:
            supporters.append(opinion)
            if pro.key == name.key:
                direct.append(opinion)
        elif pro is not None and pro.key not in name.lineage:
            opposers.append(opinion)
    return Weighing(name, tuple(direct), tuple(supporters), tuple(opposers))


def stands(weighing: Weighing, held: Sequence[Weighing], need: int) -> bool:
    """Whether `need` referees carry this name and it is settled beside all the names held."""
    if len(weighing.supporters) < need or not weighing.settled:
        return False
    name = weighing.name
    narrower = [o for o in held if name.key in o.name.lineage and o.name.key != name.key]
    wider = [o for o in held if o.name.key in name.lineage and o.name.key != name.key]
    # A later referee who goes less far limits it.
    if any(latest(o.direct) > latest(weighing.supporters) for o in wider):
        return False
    # Where narrower names are in dispute, the wider settles it only when said after they were.
    said = max((opinion.last for opinion in weighing.direct), default=-1)
    return all(o.settled or said > latest((*o.supporters, *o.opposers)) for o in narrower)


def narrowest_standing(held: Sequence[Weighing], need: int) -> Weighing | None:
    """The narrowest name that stands, or None. Names that stand together lie within each other."""
    standing = [weighing for weighing in held if stands(weighing, held, need)]
    return min(standing, key=lambda w: width(w.name.rank), default=None)
