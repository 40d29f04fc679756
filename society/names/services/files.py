"""Files of names: looked at when they come in, taken over by a Job when a keeper says so."""

import logging
import secrets
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DatabaseError, transaction
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record
from society.core.models import Change, Job, JobState
from society.core.services import job_add
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import ChecklistFile, Taxon, VernacularName
from society.names.permissions import keeper_demanded
from society.names.queries import checklist_version, unreadable_words
from society.names.services.incoming import (
    TAKEN_OVER,
    EntryOutcome,
    Held,
    LineOutcome,
    compared,
    entries_compared,
    taxon_of,
)
from society.names.services.listed import ListEntry, entries_take
from society.names.services.merging import leading_checked, merged, rows_held
from society.names.services.stamp import stamp_hold, stamp_raise
from society.science.checklist_csv import (
    ChecklistRead,
    EntriesRead,
    TaxonLine,
    UnreadableFile,
    read_checklist,
    read_entries,
)
from society.science.names import fold

TAKE_JOB = "names.take_over"
MOST_BYTES = 10 * 1024 * 1024
AT_ONCE = 300
EXAMPLES = 30
MOST_FAULTS = 300
# So many kinds of move are told; a file that has more of them is no checklist of ours.
MOST_MOVES = 500
MOVED_BY = ("order", "family")
FOLDER = "checklists"
LEFT_OUT = "Line %s of file %s was left out."
Line = TypeVar("Line")
Progress = Callable[[int, int], None]
logger = logging.getLogger(__name__)


@transaction.atomic
def checklist_file_add(*, kind: str, name: str, content: bytes, by: Viewer) -> ChecklistFile:
    """Look at a file that was sent in and keep it until it is taken over. Writes no name.

    Refused where no line of it can be read; what single lines lack stands in its report.
    """
    keeper_demanded(by)
    if len(content) > MOST_BYTES:
        raise Refused(
            _("The file is larger than %(most)s MB. Send it in parts.")
            % {"most": MOST_BYTES // 1024**2},
            "too_large",
            field="file",
        )
    report = _report(kind, content)
    row = ChecklistFile(
        kind=kind,
        name=_plain(name),
        stored=f"{FOLDER}/{secrets.token_hex(16)}.csv",
        report=report,
        report_version=checklist_version(),
    )
    row.full_clean()
    row.stored = default_storage.save(row.stored, ContentFile(content))
    row.save()
    change_record("checklist_file.added", row, actor_id=by.person_id)
    return row


@transaction.atomic
def checklist_file_look(file_id: int, *, by: Viewer) -> ChecklistFile:
    """Compare a waiting file anew, where the checklist has changed since it was looked at."""
    keeper_demanded(by)
    row = ChecklistFile.objects.select_for_update().get(pk=file_id)
    version = checklist_version()
    if row.state == ChecklistFile.State.WAITING and row.report_version != version:
        row.report, row.report_version = _report(row.kind, _content(row)), version
        row.save(update_fields=["report", "report_version", "updated_at"])
    return row


@transaction.atomic
def checklist_file_drop(file_id: int, *, by: Viewer) -> None:
    """Throw a file away that is not being taken over; what was taken over of it stays."""
    keeper_demanded(by)
    row = ChecklistFile.objects.select_for_update().get(pk=file_id)
    if _under_way(row):
        raise Refused(_("This file is being taken over. Wait until that is done."), "under_way")
    change_record("checklist_file.dropped", row, actor_id=by.person_id, prior={"name": row.name})
    _stored_drop(row)
    row.delete()


@transaction.atomic
def checklist_file_take(file_id: int, *, by: Viewer) -> ChecklistFile:
    """Have a file taken over by a Job. Asked twice it is taken over once.

    Where the Job failed it is asked for anew, and goes on where it stopped.
    """
    keeper_demanded(by)
    row = ChecklistFile.objects.select_for_update().get(pk=file_id)
    if row.state == ChecklistFile.State.TAKEN or _under_way(row):
        return row
    row.state = ChecklistFile.State.TAKING
    row.job_id = job_add(TAKE_JOB, {"file_id": row.pk}, key=f"{TAKE_JOB}:{row.pk}").pk
    row.save(update_fields=["state", "job_id", "updated_at"])
    change_record("checklist_file.taking", row, actor_id=by.person_id)
    return row


def _under_way(row: ChecklistFile) -> bool:
    """Whether a Job is, or will be, about this file; one that failed is not."""
    failed = (
        row.job_id is not None and Job.objects.filter(pk=row.job_id, state=JobState.FAILED).exists()
    )
    return row.state == ChecklistFile.State.TAKING and not failed


def checklist_take_over(file_id: int, *, progress: Progress = lambda done, total: None) -> None:
    """Write what a file says, in short transactions; run again it goes on where it stopped.

    Accepted names come first, so that synonyms find them. Every line is compared again in the
    transaction that writes it: a keeper's edit made meanwhile stays.
    """
    row = ChecklistFile.objects.filter(pk=file_id).first()
    if row is None or row.state == ChecklistFile.State.TAKEN:
        return
    asked = Change.objects.filter(
        object_kind=ChecklistFile._meta.label_lower, object_id=row.pk, verb="checklist_file.taking"
    ).first()
    actor_id = asked.actor_id if asked else None
    if row.kind == ChecklistFile.Kind.LISTS:
        _entries_take_over(row, actor_id, progress)
    else:
        _names_take_over(row, actor_id, progress)
    with transaction.atomic():
        row.state = ChecklistFile.State.TAKEN
        row.save(update_fields=["state", "updated_at"])
        change_record("checklist_file.taken", row, actor_id=actor_id)
        _stored_drop(row)


def _names_take_over(row: ChecklistFile, actor_id: int | None, progress: Progress) -> None:
    lines = read_checklist(_content(row)).lines
    accepted = [line for line in lines if line.kind == "accepted"]
    others = [line for line in lines if line.kind != "accepted"]
    done = 0
    for some in (*_portions(accepted), *_portions(others)):
        _names_written(row, some, actor_id)
        done += len(some)
        progress(done, len(lines))


def _entries_take_over(row: ChecklistFile, actor_id: int | None, progress: Progress) -> None:
    lines = read_entries(_content(row)).lines
    done = 0
    for some in _portions(lines):
        with transaction.atomic():
            stamp_hold()
            new = [
                (
                    outcome.taxon_id,
                    ListEntry(line.kind, line.area, line.edition, line.year, line.says),
                )
                for outcome in entries_compared(some)
                for line in [outcome.line]
                if outcome.outcome == "new" and outcome.taxon_id is not None
            ]
            _counted(row, new=entries_take(new, actor_id=actor_id))
        done += len(some)
        progress(done, len(lines))


@transaction.atomic
def _names_written(row: ChecklistFile, lines: list[TaxonLine], actor_id: int | None) -> None:
    stamp_hold()
    held = Held(lines)
    outcomes = compared(lines, held)
    new = [outcome for outcome in outcomes if outcome.outcome == "new"]
    changed = [outcome for outcome in outcomes if outcome.outcome == "changed"]
    rows = [
        taxon_of(outcome.line, outcome.leads_to, held.forms.get(outcome.line.genus, ""))
        for outcome in new
    ]
    for taxon in rows:
        taxon.source = taxon.source or row.name
    rows = _new_written(row, list(zip(rows, new, strict=True)))
    touched = {taxon.pk for taxon in rows}
    written = 0
    for outcome in changed:
        try:
            with transaction.atomic():
                touched |= _changed_written(outcome, actor_id)
        except (Refused, ValidationError, DatabaseError):
            # What looking at it did not foresee: this line is left out, the others are taken.
            logger.warning(LEFT_OUT, outcome.line.line, row.pk)
        else:
            written += 1
    _counted(row, new=len(rows), changed=written)
    if touched:
        stamp_raise()
        names_changed.send(Taxon, taxon_ids=sorted(touched))


def _new_written(row: ChecklistFile, pairs: list[tuple[Taxon, LineOutcome]]) -> list[Taxon]:
    """Insert new rows, all at once; where the database refuses that, each by itself.

    Returns the rows that were written.
    """
    try:
        with transaction.atomic():
            _inserted(pairs)
    except DatabaseError:
        if len(pairs) == 1:
            logger.warning(LEFT_OUT, pairs[0][1].line.line, row.pk)
            return []
        return [taxon for pair in pairs for taxon in _new_written(row, [pair])]
    return [taxon for taxon, _outcome in pairs]


def _inserted(pairs: list[tuple[Taxon, LineOutcome]]) -> None:
    for taxon, _outcome in pairs:
        # A batch that was rolled back has left its rows with numbers that nobody holds.
        taxon.pk, taxon._state.adding = None, True
    Taxon.objects.bulk_create(taxon for taxon, _outcome in pairs)
    for taxon, outcome in pairs:
        if taxon.accepted_id is None:
            _english_add(taxon, outcome.line.english)


def _changed_written(outcome: LineOutcome, actor_id: int | None) -> set[int]:
    """Write what a line changes of a held row; returns the ids of the rows concerned."""
    taxon, line, changes = outcome.taxon, outcome.line, outcome.changes
    assert taxon is not None
    touched = {taxon.pk, *(pk for pk in (taxon.accepted_id,) if pk)}
    prior: dict[str, Any] = {
        name: before for name, (before, _after) in changes.items() if name != "accepted"
    }
    for name, (_before, after) in changes.items():
        if name not in ("accepted", "english"):
            setattr(taxon, name, after)
    if "danger" in changes:
        prior["danger_note"], taxon.danger_note = taxon.danger_note, line.danger_note
    if "english" in changes:
        prior["english"] = " | ".join(taxon.vernacular_names.values_list("name", flat=True))
        _english_add(taxon, changes["english"][1].split(" | "))
    if "accepted" in changes and taxon.accepted_id is None and outcome.leads_to is not None:
        if prior:
            change_record(TAKEN_OVER, taxon, actor_id=actor_id, prior=prior)
        rows_held(taxon.pk, outcome.leads_to.pk)
        merged(taxon, outcome.leads_to.pk, verb=TAKEN_OVER, actor_id=actor_id)
        return {*touched, outcome.leads_to.pk}
    if "accepted" in changes:
        prior["accepted"] = taxon.accepted_id
        taxon.accepted = outcome.leads_to
        leading_checked(taxon)
    taxon.full_clean()
    taxon.save()
    change_record(TAKEN_OVER, taxon, actor_id=actor_id, prior=prior)
    return touched | ({taxon.accepted_id} if taxon.accepted_id else set())


def _english_add(taxon: Taxon, names: Iterable[str]) -> None:
    held = list(taxon.vernacular_names.filter(language="en"))
    have, shown = {row.folded for row in held}, any(row.is_preferred for row in held)
    for name in names:
        if fold(name) in have:
            continue
        have.add(fold(name))
        VernacularName.objects.create(
            taxon=taxon, name=name, folded=fold(name), is_preferred=not shown
        )
        shown = True


def _counted(row: ChecklistFile, **counts: int) -> None:
    """Add to what was taken over so far, in the transaction that wrote it."""
    row.taken = {
        **row.taken,
        **{name: row.taken.get(name, 0) + count for name, count in counts.items()},
    }
    row.save(update_fields=["taken", "updated_at"])


def _portions(lines: Iterable[Line]) -> Iterator[list[Line]]:
    walked = iter(lines)
    while some := list(islice(walked, AT_ONCE)):
        yield some


def _report(kind: str, content: bytes) -> dict[str, Any]:
    """Return what looking at a file gives: counts, examples, faults by line."""
    read: ChecklistRead | EntriesRead
    outcomes: list[LineOutcome] | list[EntryOutcome]
    try:
        if kind == ChecklistFile.Kind.LISTS:
            read = read_entries(content)
            outcomes = entries_compared(read.lines)
        else:
            read = read_checklist(content)
            outcomes = compared(read.lines, Held())
    except UnreadableFile as fault:
        raise Refused(
            unreadable_words(fault.code, fault.about), fault.code, field="file"
        ) from fault
    faults: list[list[Any]] = [[row.line, row.code, row.about] for row in read.faults]
    counts = dict.fromkeys(("new", "changed", "held", "kept"), 0)
    examples: dict[str, list[Any]] = {name: [] for name in counts}
    moves: Counter[tuple[str, str, str]] = Counter()
    for outcome in outcomes:
        if outcome.outcome == "left":
            faults.append([outcome.line.line, outcome.why, outcome.line.name])
            continue
        counts[outcome.outcome] += 1
        moves.update(_moves(outcome))
        if len(examples[outcome.outcome]) < EXAMPLES:
            examples[outcome.outcome].append(_example(outcome))
    faults.sort(key=lambda fault: fault[0])
    return {
        "counts": {**counts, "left": len(faults)},
        "examples": examples,
        "faults": faults[:MOST_FAULTS],
        "moves": [[*move, count] for move, count in moves.most_common(MOST_MOVES)],
        "encoding": read.encoding,
        "left_columns": list(read.left_columns)[:20],
    }


def _moves(outcome: LineOutcome | EntryOutcome) -> list[tuple[str, str, str]]:
    """Return the orders and families that a line takes a held name out of, and into which."""
    if isinstance(outcome, EntryOutcome):
        return []
    return [(name, *outcome.changes[name]) for name in MOVED_BY if name in outcome.changes]


def _example(outcome: LineOutcome | EntryOutcome) -> dict[str, Any]:
    if isinstance(outcome, EntryOutcome):
        line = outcome.line
        said = {name: getattr(line, name) for name in ("kind", "area", "edition", "year", "says")}
        return {
            "line": line.line,
            "name": line.name,
            "changes": [],
            "why": outcome.why,
            "entry": said,
        }
    taxon_line = outcome.line
    return {
        "line": taxon_line.line,
        "name": taxon_line.name,
        "leads_to": taxon_line.accepted_name,
        "changes": [[name, *values] for name, values in outcome.changes.items()],
        "why": outcome.why,
    }


def _plain(name: str) -> str:
    """The file's own name, on one line and without what no name of ours may hold."""
    plain = "".join(sign for sign in name if sign.isprintable() and sign not in "<>")
    return plain[-120:] or "names.csv"


def _content(row: ChecklistFile) -> bytes:
    with default_storage.open(row.stored) as stored:
        return bytes(stored.read())


def _stored_drop(row: ChecklistFile) -> None:
    key = row.stored
    # robust: the row is the truth; a file that will not go is swept by hand.
    transaction.on_commit(lambda: default_storage.delete(key), robust=True)
