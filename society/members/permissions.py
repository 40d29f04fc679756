"""Who is asking: the value by which every query and service decides what may be seen or done."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Viewer:
    """A person at the site, or a guest.

    ``scopes`` are a referee's ``(rank, name)`` pairs such as ``("family", "Russulaceae")`` or
    ``("all", "")``; they are filled in by the review room (``review.queries.viewer_for``) and are
    empty elsewhere, which only ever shows less.
    """

    person_id: int | None = None
    account_id: int | None = None
    name: str = ""
    is_organiser: bool = False
    is_keeper: bool = False
    scopes: tuple[tuple[str, str], ...] = ()

    @property
    def is_member(self) -> bool:
        return self.person_id is not None

    @property
    def is_referee(self) -> bool:
        return bool(self.scopes)


GUEST = Viewer()


def may_keep(viewer: Viewer) -> bool:
    """Whether the viewer manages people, names and settings."""
    return viewer.is_keeper


def may_organise(viewer: Viewer) -> bool:
    """Whether the viewer manages sites and forays; keepers may too."""
    return viewer.is_organiser or viewer.is_keeper
