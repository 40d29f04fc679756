"""Correcting a species account from a find: what the account holds, what the find shows, and what
has been corrected from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.finds.models import Find, Qualifier, Stage, Standing
from society.finds.queries import places_given
from society.members.permissions import Viewer
from society.names.models import Account, AccountState, Character, Rank, Taxon, Usual
from society.names.queries import account_book, danger_words, vocabulary
from society.review.models import AccountCorrection
from society.review.permissions import in_scope, may_withdraw_correction
from society.review.queries.contrast import find_with_evidence
from society.review.queries.observed import observed_of
from society.science.names import render_parts

EVERY_FORM = "all"
ONE_SPECIES = (Rank.SPECIES, Rank.VARIETY)
# A name written with one of these may be another species' or more than one's.
MEANT_AS_ONE = (Qualifier.NONE, Qualifier.SS)
WHY_NOT: dict[str, Promise] = {
    "withdrawn": gettext_lazy("This find has been withdrawn."),
    "not_confirmed": gettext_lazy(
        "Only a confirmed find corrects an account, and this one is not confirmed."
    ),
    "no_species": gettext_lazy(
        "This find is not confirmed as far as one species, so it cannot correct an account."
    ),
    "in_doubt": gettext_lazy(
        "This find's name stands with a doubt or in a wide sense, so it cannot correct an account."
    ),
    "not_grown": gettext_lazy(
        "Accounts tell of fresh, grown ones; a button or a decayed one corrects none."
    ),
    "split_since": gettext_lazy(
        "This name has been split since the find was confirmed. Confirm the find anew first."
    ),
}

NOT_GROWN = (Stage.BUTTON, Stage.DECAYED)


@dataclass(frozen=True, slots=True)
class StateHeld:
    """A state as the account holds it (``usual`` empty where not known), and whether the find
    shows it."""

    code: str
    name: str
    usual: str
    source: str
    is_seen: bool

    @property
    def usual_words(self) -> str:
        return str(Usual(self.usual).label) if self.usual else _("not known")


@dataclass(frozen=True, slots=True)
class CharacterChoice:
    """A character that can be chosen, with the names of the states the find shows of it."""

    code: str
    name: str
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CorrectionPage:
    """The page on which a referee corrects an account from a find.

    ``why_not`` is a sentence where the find cannot correct one; ``character`` None until one is
    chosen. ``version`` 0: there is no account yet. ``source`` is what the state's source will name.
    """

    find: Find
    taxon: Taxon | None
    parts: list[tuple[str, bool]]
    danger: str
    why_not: str
    choices: tuple[CharacterChoice, ...]
    character: Character | None
    states: tuple[StateHeld, ...]
    version: int
    source: str

    @property
    def shown(self) -> list[CharacterChoice]:
        """The characters of which the find shows a state."""
        return [choice for choice in self.choices if choice.seen]

    @property
    def said_always(self) -> list[StateHeld]:
        """What the account holds as always where the find shows another state."""
        if not any(row.is_seen for row in self.states):
            return []
        return [row for row in self.states if row.usual == Usual.ALWAYS and not row.is_seen]


@dataclass(frozen=True, slots=True)
class CorrectionShown:
    """A correction as one viewer may have it."""

    correction: AccountCorrection
    may_withdraw: bool
    holds_words_back: bool


@dataclass(frozen=True, slots=True)
class CorrectionsShown:
    """What was corrected from a find, and what this viewer may correct.

    ``may_correct`` is the id of the name whose account they may; ``just_laid`` the correction that
    the address names, while they may withdraw it.
    """

    rows: list[CorrectionShown]
    may_correct: int | None
    just_laid: CorrectionShown | None


def find_source(find: Find) -> str:
    """Return how an account names a find as a source; stored, hence in no reader's language."""
    return f"find {find.spoken_number}"


def taxon_to_correct(find: Find) -> Taxon | None:
    """Return the accepted name that a find stands under; else of the last slip that has one."""
    if find.standing_taxon is not None:
        return find.standing_taxon.current
    slips = find.slips.select_related("taxon__accepted").filter(taxon__isnull=False)
    slip = slips.order_by("pk").last()
    return slip.taxon.current if slip is not None and slip.taxon is not None else None


def why_not_from(find: Find) -> str:
    """Return the code in ``WHY_NOT`` of why a find cannot correct an account; '' where it can."""
    taxon, slip = find.standing_taxon, find.standing_slip
    if find.withdrawn_at is not None:
        return "withdrawn"
    if find.standing != Standing.CONFIRMED or taxon is None or slip is None:
        return "not_confirmed"
    if taxon.current.rank not in ONE_SPECIES or find.standing_rank not in ONE_SPECIES:
        return "no_species"
    if slip.qualifier not in MEANT_AS_ONE:
        return "in_doubt"
    if find.stage in NOT_GROWN:
        return "not_grown"
    return "split_since" if find.reads_wide else ""


def states_seen(find_id: int) -> dict[str, frozenset[str]]:
    """Return the codes of the states a find shows, by the code of their character, as the contrast
    takes them. Seven queries, and eight when the accounts have changed."""
    return dict(observed_of(find_with_evidence(find_id), account_book()).states)


def correction_page(find: Find, character_code: str) -> CorrectionPage:
    """Return the page for one character, or to choose one: at most sixteen queries, whatever the
    account and the find hold."""
    taxon = taxon_to_correct(find)
    code = why_not_from(find)
    words = vocabulary()
    seen = states_seen(find.pk)
    account = Account.objects.filter(taxon=taxon).first() if taxon is not None else None
    character = words.get(character_code) if taxon is not None and not code else None
    if character is not None and character.never_asked:
        character = None
    return CorrectionPage(
        find=find,
        taxon=taxon,
        parts=render_parts(taxon.scientific_name, taxon.authorship) if taxon is not None else [],
        danger=danger_words(taxon) if taxon is not None and taxon.danger else "",
        why_not=str(WHY_NOT[code]) if code else "",
        choices=tuple(_choices(words.values(), taxon, seen)),
        character=character,
        states=tuple(_states_held(character, account, seen)) if character is not None else (),
        version=account.version if account is not None else 0,
        source=find_source(find),
    )


def _choices(
    words: Iterable[Character], taxon: Taxon | None, seen: dict[str, frozenset[str]]
) -> Iterable[CharacterChoice]:
    """Yield the characters of the fungus' form and those seen; none that is never asked for."""
    form = taxon.form if taxon is not None else ""
    for row in words:
        is_for = EVERY_FORM in row.forms or form in row.forms
        if not row.never_asked and (row.code in seen or is_for):
            states = seen.get(row.code, frozenset())
            names = (state.name for state in row.states.all() if state.code in states)
            yield CharacterChoice(row.code, row.name, tuple(names))


def _states_held(
    character: Character, account: Account | None, seen: dict[str, frozenset[str]]
) -> Iterable[StateHeld]:
    """Yield every state of a character. One query."""
    held = rows_held(account, character.code) if account is not None else {}
    for state in character.states.all():
        row = held.get(state.code)
        yield StateHeld(
            code=state.code,
            name=state.name,
            usual=row.usual if row is not None else "",
            source=row.source if row is not None else "",
            is_seen=state.code in seen.get(character.code, frozenset()),
        )


def rows_held(account: Account, character_code: str) -> dict[str, AccountState]:
    """Return what an account holds of a character, by the code of the state. One query."""
    rows = AccountState.objects.filter(account=account, character__code=character_code)
    return {row.state.code: row for row in rows.select_related("state")}


def corrections_on(
    viewer: Viewer, find_id: int, *, just_laid: UUID | None = None
) -> CorrectionsShown:
    """Return what was corrected from a find: for members. Two queries, and those of the find's
    place where something was written."""
    if not viewer.is_member:
        return CorrectionsShown([], None, None)
    find = Find.objects.select_related("standing_taxon__accepted", "standing_slip").get(pk=find_id)
    corrections = list(
        AccountCorrection.objects.filter(find=find).select_related(
            "taxon", "character", "state", "by", "withdrawn_by"
        )
    )
    is_kept_back = (
        any(row.remarks for row in corrections)
        and places_given(viewer, [find])[find.pk].holds_words_back
    )
    rows = [
        CorrectionShown(
            correction=row,
            may_withdraw=row.withdrawn_at is None and may_withdraw_correction(viewer, row.by_id),
            holds_words_back=is_kept_back and row.by_id != viewer.person_id,
        )
        for row in corrections
    ]
    named = (row for row in rows if row.correction.uuid == just_laid and row.may_withdraw)
    return CorrectionsShown(rows, _may_correct(viewer, find), next(named, None))


def _may_correct(viewer: Viewer, find: Find) -> int | None:
    taxon = find.standing_taxon
    if taxon is None or not in_scope(viewer, taxon.current) or why_not_from(find):
        return None
    return taxon.current.pk
