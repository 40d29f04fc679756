"""How the evidence of a find bears on its name and on everything it could be mistaken for."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from django.db.models import Count, Q

from society.finds.models import (
    COUNTED,
    Find,
)
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon
from society.names.queries import AccountBook, account_book, facts_of
from society.names.queries import danger_words as words_of_danger
from society.review.queries.evidence import taxon_of
from society.review.queries.observed import (
    checks_possible,
    observed_of,
    readings_written,
    with_evidence,
)
from society.review.queries.time_line import Instant, TimeLine, Written, time_lines
from society.safety.gate import NoticeContext, notice_context
from society.science import contrast as science
from society.science.names import render_parts

# Rows shown in full; look-alikes and dangerous species beyond them follow in short.
ROWS_IN_FULL = 12
LOOKS_NEXT = 5
LOOKS_WANTED = 3
# How many records elsewhere one record at the find's own site is worth.
AT_SITE = 4
# The roles that the names asked about play; all others start from less, and rise by evidence.
IN_QUESTION = ("proposed", "look_alike")
LINES = 7


@dataclass(frozen=True, slots=True)
class CandidateShown:
    """A candidate with its name ready to print. ``taxon`` None: something not in these accounts.

    ``role``: 'proposed', 'look_alike', 'dangerous' (of like form), 'other' or 'unknown'.
    ``has_account`` False: only hosts, substrate and months of the checklist are held.
    """

    taxon: Taxon | None
    parts: list[tuple[str, bool]]
    english: str
    danger: str
    role: str
    row: science.Row
    has_account: bool

    def of_verdict(self, verdict: str) -> list[science.Bearing]:
        found = [bearing for bearing in self.row.bearings if bearing.verdict == verdict]
        return sorted(found, key=lambda bearing: -abs(bearing.weight))

    @property
    def fitting(self) -> list[science.Bearing]:
        return self.of_verdict("fits")

    @property
    def against(self) -> list[science.Bearing]:
        return self.of_verdict("speaks_against")

    @property
    def not_seen(self) -> list[science.Bearing]:
        return self.of_verdict("not_seen")

    @property
    def not_known(self) -> list[science.Bearing]:
        return self.of_verdict("not_known")


@dataclass(frozen=True, slots=True)
class TableRow:
    """One thing seen, and how it bears on each candidate shown in full, in their order."""

    bearing: science.Bearing
    cells: list[science.Bearing | None]


@dataclass(frozen=True, slots=True)
class LinesShown:
    """A time line: what was seen first (candidate None), then what each account expects."""

    line: TimeLine
    rows: list[tuple[CandidateShown | None, list[Instant]]]


@dataclass(frozen=True, slots=True)
class ContrastPage:
    """What a contrast shows. ``further`` are look-alikes and dangerous species of like form, in
    short; ``others`` how many accounts of the form were weighed beside them, with no name laid.

    ``is_empty``: nothing has been recorded that could bear on a name.
    """

    book: AccountBook
    contrast: science.Contrast
    candidates: list[CandidateShown]
    further: list[CandidateShown]
    others: int
    table: list[TableRow]
    next_looks: list[science.NextLook]
    time_lines: list[LinesShown]
    observed: science.Observed
    context: NoticeContext
    is_empty: bool

    @property
    def named(self) -> dict[int, CandidateShown]:
        """Every candidate that has a name, by its id."""
        rows = [*self.candidates, *self.further]
        return {row.taxon.pk: row for row in rows if row.taxon is not None}


def contrast_of_find(find: Find, laid: Collection[Taxon]) -> ContrastPage:
    """Return the contrast of a find under the names ``laid`` on it; without one, under its form.

    The find's rows are read where they were not prefetched. Two queries beside them, and eight
    when the accounts have changed.
    """
    book = account_book()
    proposed = _species_proposed(laid, book)
    form = _form_of(find, laid)
    observed = observed_of(find, book)
    return contrast_page(
        book,
        observed,
        proposed=proposed,
        form=form,
        possible=checks_possible(find, list(laid), form, book),
        readings=readings_written(find),
        find=find,
    )


@dataclass(frozen=True, slots=True)
class LooksWanted:
    """The looks that would best part a name from what it is taken for, most telling first."""

    book: AccountBook
    looks: list[science.NextLook]


def looks_wanted(find: Find, laid: Collection[Taxon]) -> LooksWanted | None:
    """Return what would help to settle a find's name; None where nothing would or none is named.

    Only the names laid and what is taken for them are weighed. Two queries, and eight when the
    accounts have changed.
    """
    book = account_book()
    proposed = _species_proposed(laid, book)
    if not proposed:
        return None
    form = _form_of(find, laid)
    roles = _roles(book, proposed, form, with_like_form=False)
    facts = _facts_of_candidates(book, _taxa(book, proposed, roles), find)
    observed, background = observed_of(find, book), book.background(form)
    vocabulary = book.characters.values()
    weighed = science.contrast(observed, facts, vocabulary, background)
    looks = science.look_next(
        observed,
        weighed,
        facts,
        vocabulary,
        checks_possible(find, list(laid), form, book),
        background,
    )
    return LooksWanted(book, looks[:LOOKS_WANTED]) if looks else None


def find_with_evidence(find_id: int) -> Find:
    """Read a find with all that bears on a name. Six queries."""
    finds = Find.objects.select_related("site", "standing_taxon__accepted")
    return with_evidence(finds).prefetch_related("photographs").get(pk=find_id)


def contrast_for_find(find_id: int) -> ContrastPage:
    """Return the contrast of a find its reader may see. Nine queries, and those of the accounts."""
    find = find_with_evidence(find_id)
    laid = [taxon for slip in find.slips.all() if (taxon := taxon_of(slip)) is not None]
    if find.standing_taxon is not None:
        laid.insert(0, find.standing_taxon.current)
    return contrast_of_find(find, list({taxon.pk: taxon for taxon in laid}.values()))


def contrast_of_typed(observed: science.Observed, *, form: str) -> ContrastPage:
    """Return the contrast of characters typed on a bare page, with every account of the form.

    Two queries, and eight when the accounts have changed.
    """
    book = account_book()
    return contrast_page(
        book, observed, proposed=[], form=form, possible=lambda facts: facts.code != "spores"
    )


def contrast_page(
    book: AccountBook,
    observed: science.Observed,
    *,
    proposed: Collection[Taxon],
    form: str,
    possible: Callable[[science.CharacterFacts], bool],
    readings: Sequence[Written] = (),
    find: Find | None = None,
) -> ContrastPage:
    """Weigh what was observed. Without a name proposed every account of the form is a candidate.

    One query, for how often each candidate was recorded here.
    """
    roles = _roles(book, proposed, form)
    taxa = _taxa(book, proposed, roles)
    facts = _facts_of_candidates(book, taxa, find)
    background = book.background(form)
    vocabulary = book.characters.values()
    asked_about = {pk for pk, role in roles.items() if role in IN_QUESTION} or None
    weighed = science.contrast(observed, facts, vocabulary, background, asked_about)
    shown = [_candidate_shown(row, taxa, roles, book) for row in weighed.rows]
    full = _in_full(shown)
    candidates = [row for row in shown if row.row.key in full]
    if weighed.level == "genus":  # in the order of names, since no species stands before another
        candidates.sort(key=lambda row: row.taxon.folded if row.taxon is not None else "~")
    rest = [row for row in shown if row.row.key not in full]
    further = [row for row in rest if row.row.is_dangerous or row.role == "look_alike"]
    close = {*full, None, *weighed.dangerous_close[:ROWS_IN_FULL]}
    looks = science.look_next(
        observed,
        replace(weighed, rows=tuple(row for row in weighed.rows if row.key in close)),
        [account for account in facts if account.key in close],
        vocabulary,
        possible,
        background,
    )
    main = next(iter(proposed), None)
    dangerous = _dangerous(row for row in shown if row.role == "look_alike")
    return ContrastPage(
        book=book,
        contrast=weighed,
        candidates=candidates,
        further=further,
        others=len(rest) - len(further),
        table=_table([row for row in candidates if row.taxon is not None]),
        next_looks=list(looks[:LOOKS_NEXT]),
        time_lines=_lines_shown(readings, candidates, book),
        observed=observed,
        context=notice_context(main, dangerous=dangerous)
        if main is not None
        else NoticeContext(shown=tuple(taxon.scientific_name for taxon in _dangerous(candidates))),
        is_empty=not any(row.row.seen for row in shown),
    )


def _form_of(find: Find, laid: Iterable[Taxon]) -> str:
    """The form that the names laid have; else the one the finder gave."""
    return next((taxon.form for taxon in laid if taxon.form), "") or find.form


def _taxa(book: AccountBook, proposed: Iterable[Taxon], roles: Iterable[int]) -> dict[int, Taxon]:
    """The candidates' names by their ids; a name proposed need not stand in the book."""
    taxa = {pk: book.taxa[pk] for pk in roles if pk in book.taxa}
    return taxa | {taxon.pk: taxon for taxon in proposed}


def _facts_of_candidates(
    book: AccountBook, taxa: Mapping[int, Taxon], find: Find | None
) -> list[science.AccountFacts]:
    """Return the account of each candidate, with how often it was recorded here. One query.

    A record at the find's own site counts ``AT_SITE`` times: the place is modest evidence.
    """
    recorded = recorded_here(taxa, find)
    facts = []
    for pk, taxon in taxa.items():
        n, there = recorded.get(pk, (0, 0))
        weight = n + (AT_SITE - 1) * there
        facts.append(replace(book.facts.get(pk) or facts_of(taxon), recorded=weight))
    return facts


def _roles(
    book: AccountBook, proposed: Collection[Taxon], form: str, *, with_like_form: bool = True
) -> dict[int, str]:
    """Say why each candidate is one; the first reason counts."""
    roles = {taxon.pk: "proposed" for taxon in proposed}
    for taxon in proposed:
        for pk in (*sorted(book.look_alikes.get(taxon.pk, ())), *book.alike(taxon.pk)):
            if pk in book.taxa:
                roles.setdefault(pk, "look_alike")
    if not proposed:
        for pk in book.of_form(form):
            roles.setdefault(pk, "other")
    for pk in book.dangerous(form) if with_like_form else ():
        roles.setdefault(pk, "dangerous")
    return roles


def _species_proposed(laid: Iterable[Taxon], book: AccountBook) -> list[Taxon]:
    """Return the species proposed; for a genus or wider, the accounts held within it."""
    species: dict[int, Taxon] = {}
    for taxon in laid:
        if taxon.rank in (Rank.SPECIES, Rank.VARIETY):
            species.setdefault(taxon.pk, taxon)
        elif taxon.genus:
            for pk in book.of_genus(taxon.genus):
                species.setdefault(pk, book.taxa[pk])
    return list(species.values())


def recorded_here(taxon_ids: Iterable[int], but: Find | None = None) -> dict[int, tuple[int, int]]:
    """Return how many finds stand under each name: in the society, and at the site of ``but``.

    The find asked about does not speak for itself. At a site only what is not sensitive is
    counted, so that no order of names tells what is kept back there. One query.
    """
    at_site = Q(pk__in=[])
    if but is not None and but.site_id is not None:
        at_site = Q(site_id=but.site_id, secrecy=None)
    rows = (
        Find.objects.laid()
        .filter(standing__in=COUNTED, standing_taxon__in=set(taxon_ids))
        .exclude(pk=but.pk if but is not None else 0)
        .order_by()
        .values_list("standing_taxon")
        .annotate(n=Count("pk"), there=Count("pk", filter=at_site))
    )
    return {taxon_id: (n, there) for taxon_id, n, there in rows}


def _candidate_shown(
    row: science.Row, taxa: Mapping[int, Taxon], roles: Mapping[int, str], book: AccountBook
) -> CandidateShown:
    if row.key is None:
        return CandidateShown(None, [], "", "", "unknown", row, has_account=False)
    taxon = taxa[row.key]
    return CandidateShown(
        taxon=taxon,
        parts=render_parts(taxon.scientific_name, taxon.authorship),
        english=book.english.get(taxon.pk, ""),
        danger=words_of_danger(taxon) if taxon.danger else "",
        role=roles.get(taxon.pk, "other"),
        row=row,
        has_account=taxon.pk in book.facts,
    )


def _dangerous(rows: Iterable[CandidateShown]) -> list[Taxon]:
    return [row.taxon for row in rows if row.taxon is not None and row.taxon.is_dangerous]


def _in_full(shown: list[CandidateShown]) -> set[int | None]:
    """Say by their keys which rows are shown in full (None is 'something else').

    Every name proposed, and the best supported up to a page's worth.
    """
    full = {row.row.key for row in shown if row.role in ("proposed", "unknown")}
    for row in shown:
        if len(full) >= ROWS_IN_FULL:
            break
        if row.role in ("look_alike", "other"):
            full.add(row.row.key)
    return full | {row.row.key for row in shown[: ROWS_IN_FULL // 2]}


def _table(candidates: list[CandidateShown]) -> list[TableRow]:
    """Return what was seen as rows, those that part the candidates most first."""
    rows: dict[tuple[str, str], list[science.Bearing | None]] = {}
    first: dict[tuple[str, str], science.Bearing] = {}
    for column, candidate in enumerate(candidates):
        for bearing in candidate.row.bearings:
            if bearing.verdict == "not_seen" or not bearing.seen:
                continue
            key = (bearing.kind, bearing.code)
            first.setdefault(key, bearing)
            rows.setdefault(key, [None] * len(candidates))[column] = bearing
    return sorted(
        (TableRow(first[key], cells) for key, cells in rows.items()),
        key=lambda row: -_spread(row.cells),
    )


def _spread(cells: list[science.Bearing | None]) -> float:
    weights = [cell.weight for cell in cells if cell is not None]
    return max(weights, default=0.0) - min(weights, default=0.0)


def _lines_shown(
    readings: Sequence[Written], candidates: list[CandidateShown], book: AccountBook
) -> list[LinesShown]:
    """Return the time lines of what the find was read for, or a name proposed is known to turn."""
    shown = [row for row in candidates if row.taxon is not None and row.has_account][:LINES]
    facts = [book.facts[row.taxon.pk] for row in shown if row.taxon is not None]
    telling = {(reading.exposed, reading.reagent) for reading, _words in readings} | {
        (row.exposed, row.reagent)
        for candidate, account in zip(shown, facts, strict=True)
        if candidate.role == "proposed"
        for row in account.readings
    }
    lines = []
    for line in time_lines([(readings, None), *(((), account) for account in facts)]):
        if (line.exposed, line.reagent) not in telling:
            continue
        rows = zip((None, *shown), line.lines, strict=True)
        lines.append(
            LinesShown(
                line,
                [
                    (candidate, instants)
                    for candidate, instants in rows
                    if candidate is None or any(instant.expects for instant in instants)
                ],
            )
        )
    return lines


def ratio_between(page: ContrastPage, one: int, other: int, viewer: Viewer) -> float | None:
    """Return how many times better the evidence goes with one name than with the other.

    For signed-in members who ask for it; None for anybody else, where a name is no candidate, and
    where nothing is parted below the genus.
    """
    may_ask = viewer.is_member and page.contrast.level == "species"
    if not may_ask or not {one, other} <= page.named.keys() or one == other:
        return None
    return science.ratio(page.contrast, one, other)
