"""The species list as a table: the rows of its page, in the same order."""

from collections.abc import Iterator, Sequence

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.exchange.queries.tables import Cell, Column, Table, yes
from society.lists.queries import SpeciesList, SpeciesListFilter, SpeciesRow, species_list
from society.members.models import Society
from society.members.permissions import Viewer
from society.names.models import Form, Rank
from society.safety.gate import NoticeContext, danger_words, notice_line

COLUMNS = (
    Column(gettext_lazy("species"), 34, is_name=True),
    Column(gettext_lazy("author"), 26),
    Column(gettext_lazy("qualifier"), 9),
    Column(gettext_lazy("rank"), 10),
    Column(gettext_lazy("English name"), 24),
    Column(gettext_lazy("form"), 14),
    Column(gettext_lazy("family"), 20),
    Column(gettext_lazy("finds"), 7),
    Column(gettext_lazy("of these confirmed or determined by a referee"), 11),
    Column(gettext_lazy("of these from the books"), 11),
    Column(gettext_lazy("of these left open"), 11),
    Column(gettext_lazy("unconfirmed"), 12),
    Column(gettext_lazy("first date"), 12),
    Column(gettext_lazy("last date"), 12),
    Column(gettext_lazy("dates are certain"), 10),
    Column(gettext_lazy("hosts seen"), 40),
    Column(gettext_lazy("first for the site"), 10),
    Column(gettext_lazy("first for the society"), 10),
    Column(gettext_lazy("counts as a species"), 10),
    Column(gettext_lazy("danger"), 28),
    Column(gettext_lazy("dangerous look-alikes"), 50),
    Column(gettext_lazy("notice"), 60),
)


def species_table(viewer: Viewer, wanted: SpeciesListFilter, society: Society) -> Table:
    """Return the species list as this viewer may have it. As many queries as its page."""
    found = species_list(viewer, wanted)
    return Table(
        society=society.name,
        title=found.title,
        sheet=_("Species"),
        columns=COLUMNS,
        rows=map(species_cells, found.rows),
        about=list(_about(found)),
    )


def species_cells(row: SpeciesRow) -> Sequence[Cell]:
    """Return the cells of one row, in the order of ``COLUMNS``."""
    return (
        row.name,
        row.authorship,
        row.qualifier,
        str(Rank(row.rank).label) if row.rank in Rank.values else row.rank,
        row.english,
        str(Form(row.form).label) if row.form in Form.values else row.form,
        row.family,
        row.finds,
        row.settled,
        row.from_the_books,
        row.left_open,
        row.unconfirmed,
        row.first_date,
        row.last_date,
        "" if row.first_is_vague or row.last_is_vague else yes(True),
        "; ".join(f"{host.name} ({host.finds})" for host in row.hosts),
        yes(row.first_for_site),
        yes(row.first_for_society),
        yes(row.counts_as_species),
        row.danger_words or danger_words(None),
        "; ".join(f"{other.name} ({other.danger})" for other in row.dangerous_look_alikes),
        notice_line(NoticeContext(danger=row.danger)),
    )


def _about(found: SpeciesList) -> Iterator[tuple[str, Cell]]:
    left_out = found.left_out
    yield _("species"), found.species
    yield _("finds counted"), found.finds
    yield _("finds unconfirmed"), found.unconfirmed
    yield _("left out: disputed"), left_out.disputed
    yield _("left out: not named"), left_out.unnamed
    yield _("left out: left open without a name"), left_out.open_without_name
    yield _("left out: perhaps of another time"), left_out.partly_in_time
    yield _("made on"), timezone.localdate()
