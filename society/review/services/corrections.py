"""Correcting a species account from a confirmed find: one state at a time, with the find as its
source. The account itself is written by the names room; here stands who said what from which find.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record
from society.finds.models import Find
from society.finds.permissions import writer_id
from society.members.permissions import Viewer
from society.names.models import Account, AccountState, Character, CharacterState, Taxon, Usual
from society.names.services import account_state_set
from society.review.models import AccountCorrection
from society.review.permissions import in_scope, may_withdraw_correction
from society.review.queries.corrections import (
    WHY_NOT,
    find_source,
    rows_held,
    states_seen,
    taxon_to_correct,
    why_not_from,
)

SOURCE_LENGTH = 200


@transaction.atomic
def account_correct(
    find_id: int,
    *,
    character_code: str,
    state_code: str,
    usual: str,
    by: Viewer,
    remarks: str = "",
    account_version: int | None = None,
    uuid: UUID | None = None,
) -> AccountCorrection:
    """Say, from a confirmed find, how usual a state is in the account of the species it stands for.

    ``usual`` is a code of ``Usual``. A state that the find does not show needs ``remarks``.
    ``account_version`` is the one the referee saw (0: none): when the account changed meanwhile the
    act is refused as a ``Conflict``. The same uuid from the same referee gives the stored one.
    Raises ``NotPermitted`` outside the referee's scope.
    """
    find = Find.objects.select_for_update().get(pk=find_id)
    stored = AccountCorrection.objects.filter(uuid=uuid).first() if uuid is not None else None
    if stored is not None:
        return _resent(stored, find, by)
    taxon = _taxon_checked(find, by)
    state = _state_checked(character_code, state_code)
    _evidence_checked(find, state, usual, remarks)
    account = _account_locked(taxon)
    _version_checked(account, account_version)
    held = _held(account, state.character.code)
    before = held.get(state.code, NOT_HELD)
    if before.usual == usual:
        raise Refused(_("The account says so already."), "said_already", field="usual")
    after = _HeldState(usual, _source_with(before.source, find))
    account = _account_set(taxon, state, {**held, state.code: after}, by)
    correction = AccountCorrection(
        find=find,
        taxon=taxon,
        character=state.character,
        state=state,
        usual_before=before.usual,
        usual_after=after.usual,
        source_before=before.source,
        source_after=after.source,
        remarks=remarks.strip(),
        by_id=writer_id(by),
        account_version=account.version,
        **({"uuid": uuid} if uuid is not None else {}),
    )
    correction.full_clean(exclude=["find"])
    correction.save(force_insert=True)
    change_record(
        "find.account_corrected", find, actor_id=by.person_id, fields=["account_corrections"]
    )
    return correction


@transaction.atomic
def account_correction_withdraw(correction_id: int, *, by: Viewer) -> AccountCorrection:
    """Put back what stood in the account before a correction, unless it was changed there since.

    For the referee who laid it, and keepers. Doing so twice changes nothing.
    """
    found = AccountCorrection.objects.select_related("taxon__accepted", "state__character")
    find_id = found.values_list("find_id", flat=True).get(pk=correction_id)
    find = Find.objects.select_for_update().get(pk=find_id)
    correction = found.get(pk=correction_id)
    if not may_withdraw_correction(by, correction.by_id):
        raise NotPermitted(_("Only the referee who laid it, or a keeper, may withdraw it."))
    if correction.withdrawn_at is not None:
        return correction
    taxon, state = correction.taxon.current, correction.state
    account = _account_locked(taxon)
    held = _held(account, state.character.code)
    said = _HeldState(correction.usual_after, correction.source_after)
    if held.get(state.code) != said:
        raise Refused(
            _("The account has been changed in this since. It stays as it is; change it by hand."),
            "changed_since",
        )
    before = _HeldState(correction.usual_before, correction.source_before)
    _account_set(taxon, state, {**held, state.code: before}, by)
    correction.withdrawn_at = timezone.now()
    correction.withdrawn_by_id = writer_id(by)
    correction.full_clean(exclude=["find"])
    correction.save(update_fields=["withdrawn_at", "withdrawn_by", "updated_at"])
    change_record(
        "find.account_put_back", find, actor_id=by.person_id, fields=["account_corrections"]
    )
    return correction


# --- the account ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _HeldState:
    """How usual a state is, and where that is from; both empty where it is not known."""

    usual: str
    source: str


NOT_HELD = _HeldState("", "")


def _account_locked(taxon: Taxon) -> Account | None:
    """Return the account, held in the order in which the names room holds it."""
    Taxon.objects.select_for_update().get(pk=taxon.pk)
    return Account.objects.select_for_update().filter(taxon=taxon).first()


def _held(account: Account | None, character_code: str) -> dict[str, _HeldState]:
    """Return what an account holds of a character, by the code of the state."""
    rows: Mapping[str, AccountState] = rows_held(account, character_code) if account else {}
    return {code: _HeldState(row.usual, row.source) for code, row in rows.items()}


def _account_set(
    taxon: Taxon, state: CharacterState, states: Mapping[str, _HeldState], by: Viewer
) -> Account:
    known = {code: row for code, row in states.items() if row.usual}
    return account_state_set(
        taxon_id=taxon.pk,
        character_code=state.character.code,
        states={code: row.usual for code, row in known.items()},
        source={code: row.source for code, row in known.items()},
        by=by,
    )


def _source_with(source: str, find: Find) -> str:
    """Return a state's source with the find added to it."""
    named = find_source(find)
    parts = source.split("; ") if source else []
    line = "; ".join(parts if named in parts else [*parts, named])
    if len(line) > SOURCE_LENGTH:
        raise Refused(
            _("The sources of this state leave no room for the find. A keeper can shorten them."),
            "source_full",
            field="state",
        )
    return line


# --- what is refused -----------------------------------------------------------------------------


def _resent(stored: AccountCorrection, find: Find, by: Viewer) -> AccountCorrection:
    if (stored.by_id, stored.find_id) != (by.person_id, find.pk):
        raise Refused(_("There is no such correction of yours."), "not_found")
    return stored


def _taxon_checked(find: Find, by: Viewer) -> Taxon:
    """Return the species the find is confirmed as, in the referee's scope."""
    taxon = taxon_to_correct(find)
    if by.person_id is None or not in_scope(by, taxon):
        raise NotPermitted(_("This name lies outside what you referee."), "outside_scope")
    code = why_not_from(find)
    if code or taxon is None:
        code = code or "not_confirmed"
        raise Refused(WHY_NOT[code], code)
    return taxon


def _state_checked(character_code: str, state_code: str) -> CharacterState:
    if not Character.objects.filter(code=character_code, never_asked=False).exists():
        raise Refused(
            _("The vocabulary holds no such character."), "no_such_character", field="character"
        )
    states = CharacterState.objects.select_related("character")
    state = states.filter(character__code=character_code, code=state_code).first()
    if state is None:
        raise Refused(
            _("The vocabulary holds no such state of this character."),
            "no_such_state",
            field="state",
        )
    return state


def _evidence_checked(find: Find, state: CharacterState, usual: str, remarks: str) -> None:
    """Refuse what the find does not bear out."""
    if usual not in Usual.values:
        raise Refused(_("Say how usual it is."), "no_usual", field="usual")
    is_seen = state.code in states_seen(find.pk).get(state.character.code, frozenset())
    if is_seen and usual == Usual.NEVER:
        raise Refused(
            _("This find shows it, so the account cannot say never."),
            "find_shows_it",
            field="usual",
        )
    if not is_seen and not remarks.strip():
        raise Refused(
            _("The find does not hold this among what was observed. Say where it is to be seen."),
            "not_observed",
            field="remarks",
        )


def _version_checked(account: Account | None, seen: int | None) -> None:
    version = account.version if account is not None else 0
    if seen is not None and seen != version:
        raise Conflict(
            _("The account was changed while you were looking. Look again, then decide."),
            {"account_version": version},
        )
