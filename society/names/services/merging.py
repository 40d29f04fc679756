"""Having one name lead to another, and parting them again."""

import json
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record
from society.core.models import FieldVersion
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Account, Danger, LookAlike, Taxon, VernacularName
from society.names.permissions import keeper_demanded
from society.names.queries.keeping import MOVED, moved_record
from society.names.services.stamp import stamp_raise

LOOK_ALIKE = "look_alike."
DANGERS = [Danger.NONE_HELD, Danger.ILLNESS, Danger.SERIOUS, Danger.DEADLY]


@transaction.atomic
def taxon_merge(taxon_id: int, *, into_id: int, by: Viewer) -> Taxon:
    """Make an accepted name a synonym of another. Returns the row that is a synonym now.

    Its synonyms, English names, look-alikes and, where the other has none, its account go along.
    What is needed to part the two again is kept in the history. Refused where a danger, the
    sensitivity of places or a ban on lifting would be lost.
    """
    taxon = _held_to_merge(taxon_id, into_id, by)
    return merged(taxon, into_id, verb="name.merged", actor_id=by.person_id)


@transaction.atomic
def taxon_merge_check(taxon_id: int, *, into_id: int, by: Viewer) -> None:
    """Refuse what ``taxon_merge`` would refuse, in the same words. Writes nothing."""
    taxon = _held_to_merge(taxon_id, into_id, by)
    taxon.accepted_id = into_id
    leading_checked(taxon)


def _held_to_merge(taxon_id: int, into_id: int, by: Viewer) -> Taxon:
    """Return an accepted name, held with the one it is to lead to."""
    keeper_demanded(by)
    rows_held(taxon_id, into_id)
    taxon = Taxon.objects.get(pk=taxon_id)
    if taxon.accepted_id is not None:
        raise Refused(
            _("%(name)s leads to another name already. Merge that one, or edit where it leads.")
            % {"name": taxon},
            "is_synonym",
            field="into",
        )
    return taxon


def rows_held(*taxon_ids: int) -> None:
    """Hold rows until the transaction ends, in one order whoever asks: two opposite mergings must
    wait for each other, not each for what the other holds."""
    list(Taxon.objects.select_for_update().filter(pk__in=sorted(set(taxon_ids))).order_by("pk"))


def merged(taxon: Taxon, into_id: int, *, verb: str, actor_id: int | None) -> Taxon:
    """Do what ``taxon_merge`` says with an accepted row, held by the caller's transaction."""
    taxon.accepted_id = into_id
    accepted = leading_checked(taxon)
    assert accepted is not None
    moved, kept = absorbed(taxon, accepted)
    taxon.full_clean()
    taxon.save()
    change_record(verb, taxon, actor_id=actor_id, prior={"accepted": None, **kept})
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk, accepted.pk, *moved])
    return taxon


@transaction.atomic
def taxon_part(taxon_id: int, *, by: Viewer) -> Taxon:
    """Undo a merging: the name is accepted again and gets back what had moved with it.

    What a keeper has since taken away or moved elsewhere stays so.
    """
    keeper_demanded(by)
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    version, accepted_id = moved_record(taxon), taxon.accepted_id
    if version is None or accepted_id is None:
        raise Refused(_("This name was not merged with another."), "not_merged")
    record = json.loads(version.prior)
    homes = {accepted_id, record["into"]}
    taxon.accepted = None
    taxon.full_clean()
    taxon.save()
    back = Taxon.objects.filter(pk__in=record["synonyms"], accepted_id__in=homes)
    synonyms = list(back.values_list("pk", flat=True))
    back.update(accepted=taxon)
    _english_back(taxon, record, homes)
    _look_alikes_back(taxon, record, version, homes)
    Account.objects.filter(pk=record["account"], taxon_id__in=homes).update(taxon=taxon)
    change_record("name.parted", taxon, actor_id=by.person_id, prior={"accepted": accepted_id})
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=sorted({taxon.pk, *homes, *synonyms}))
    return taxon


def leading_checked(taxon: Taxon) -> Taxon | None:
    """Return the accepted name that a row leads to, None for an accepted one; refuse what it may
    not lead to."""
    if taxon.accepted_id is None:
        return None
    accepted = Taxon.objects.select_for_update().get(pk=taxon.accepted_id)
    if accepted.pk == taxon.pk:
        raise Refused(_("A name is no synonym of itself."), "own_synonym", field="accepted")
    if accepted.accepted is not None:
        raise Refused(
            _("%(name)s is itself a synonym. Choose the name it leads to: %(accepted)s.")
            % {"name": accepted, "accepted": accepted.accepted},
            "not_one_hop",
            field="accepted",
        )
    if accepted.group != taxon.group:
        raise Refused(
            _("That name is of another group of organisms."), "other_group", field="accepted"
        )
    if danger_lost(taxon, accepted):
        raise Refused(
            _("%(name)s is held as less dangerous than this name. Raise its danger first.")
            % {"name": accepted},
            "danger_lost",
            field="accepted",
        )
    if not taxon._state.adding and condition_lost(taxon, accepted):
        raise Refused(
            _("%(name)s lacks the condition of this name's danger: %(condition)s. Write it there.")
            % {"name": accepted, "condition": taxon.danger_note},
            "condition_lost",
            field="accepted",
        )
    if not taxon._state.adding and sensitivity_lost(taxon, accepted):
        raise Refused(
            _("%(name)s is held as less sensitive than this name. Raise its sensitivity first.")
            % {"name": accepted},
            "sensitivity_lost",
            field="accepted",
        )
    if not taxon._state.adding and lifting_freed(taxon, accepted):
        raise Refused(
            _("This name is never to be lifted or cut, and %(name)s may be. Say so there first.")
            % {"name": accepted},
            "no_lifting_lost",
            field="accepted",
        )
    return accepted


def condition_lost(before: Taxon, after: Taxon) -> bool:
    """Whether two names of one danger would leave only the condition of the other."""
    return (
        before.danger == after.danger
        and before.danger_note.casefold() not in after.danger_note.casefold()
    )


def danger_lost(before: Taxon, after: Taxon) -> bool:
    """Whether what was read as one row, and then as the other, would be held less dangerous."""
    return DANGERS.index(Danger(before.danger)) > DANGERS.index(Danger(after.danger))


def sensitivity_lost(before: Taxon, after: Taxon) -> bool:
    """Whether its places would be less secret: the smaller the category the more secret."""
    if before.sensitivity is None:
        return False
    return after.sensitivity is None or after.sensitivity > before.sensitivity


def lifting_freed(before: Taxon, after: Taxon) -> bool:
    """Whether what must never be lifted or cut could be, read as the other row."""
    return before.no_lifting and not after.no_lifting


def absorbed(taxon: Taxon, accepted: Taxon) -> tuple[list[int], dict[str, Any]]:
    """Move what hangs on a row that becomes a synonym to its accepted name.

    Returns the ids of its synonyms, and what the history keeps so that it can be undone.
    """
    synonyms = Taxon.objects.filter(accepted_id=taxon.pk)
    moved = list(synonyms.order_by("pk").values_list("pk", flat=True))
    synonyms.update(accepted=accepted)
    record: dict[str, Any] = {"into": accepted.pk, "synonyms": moved}
    record |= _english_moved(taxon, accepted)
    look_alikes, words = _look_alikes_moved(taxon, accepted)
    record |= look_alikes
    account = Account.objects.filter(taxon=taxon).first()
    goes = account is not None and not Account.objects.filter(taxon=accepted).exists()
    if account is not None and goes:
        account.taxon = accepted
        # No longer as the files brought it: a load must not mix it with what they hold of the
        # other name.
        account.version += 1
        account.save(update_fields=["taxon", "version", "updated_at"])
    record["account"] = account.pk if account is not None and goes else None
    return moved, {MOVED: record, **words}


def _english_moved(taxon: Taxon, accepted: Taxon) -> dict[str, Any]:
    """Move the vernacular names; one that the accepted name has too is dropped, not lost."""
    rows = list(VernacularName.objects.filter(taxon=accepted))
    held = {(row.language, row.folded) for row in rows}
    shown = {row.language for row in rows if row.is_preferred}
    moved, dropped = [], []
    for row in VernacularName.objects.filter(taxon=taxon):
        if (row.language, row.folded) in held:
            dropped.append([row.name, row.folded, row.language, row.is_preferred])
            row.delete()
            continue
        moved.append([row.pk, row.is_preferred])
        row.taxon = accepted
        row.is_preferred = row.is_preferred and row.language not in shown
        row.save(update_fields=["taxon", "is_preferred", "updated_at"])
    return {"english": moved, "english_dropped": dropped}


def _english_back(taxon: Taxon, record: dict[str, Any], homes: set[int]) -> None:
    held = list(VernacularName.objects.filter(taxon=taxon))
    have = {(row.language, row.folded) for row in held}
    shown = {row.language for row in held if row.is_preferred}
    preferred = dict(record["english"])
    for row in VernacularName.objects.filter(pk__in=preferred, taxon_id__in=homes):
        if (row.language, row.folded) in have:
            # The name got it anew by hand; the row that had moved goes, as it would have left.
            row.delete()
            continue
        row.taxon, row.is_preferred = taxon, preferred[row.pk] and row.language not in shown
        row.save(update_fields=["taxon", "is_preferred", "updated_at"])
    for name, folded, language, is_preferred in record["english_dropped"]:
        VernacularName.objects.get_or_create(
            taxon=taxon,
            folded=folded,
            language=language,
            defaults={"name": name, "is_preferred": is_preferred and language not in shown},
        )


def _look_alikes_moved(taxon: Taxon, accepted: Taxon) -> tuple[dict[str, Any], dict[str, Any]]:
    """Write the look-alikes of one name on another; where that has the pair already, drop it.

    Returns what was moved, dropped and met, and the words of those dropped, by field of the
    history.
    """
    moved, dropped, met, words = [], [], [], {}
    rows = LookAlike.objects.filter(Q(taxon=taxon) | Q(other=taxon))
    for row in rows.order_by("pk"):
        sides = [row.taxon_id, row.other_id]
        if row.taxon_id == taxon.pk:
            row.taxon = accepted
        else:
            row.other = accepted
        kept = _pair(row.taxon_id, row.other_id).exclude(pk=row.pk).first()
        if row.taxon_id == row.other_id or kept is not None:
            dropped.append([row.pk, *sides, row.source, row.is_verified, row.in_poisonings])
            words[f"{LOOK_ALIKE}{row.pk}"] = row.separated_by
            if kept is not None:
                met.append(_pair_raised(kept, row))
            row.delete()
        else:
            moved.append([row.pk, *sides])
            row.save(update_fields=["taxon", "other", "updated_at"])
    record = {"look_alikes": moved, "look_alikes_dropped": dropped, "look_alikes_met": met}
    return record, words


def _pair(one: int, other: int) -> QuerySet[LookAlike]:
    """Return the row of a pair, from whichever side it is written."""
    return LookAlike.objects.filter(
        Q(taxon_id=one, other_id=other) | Q(taxon_id=other, other_id=one)
    ).order_by("pk")


def _pair_raised(kept: LookAlike, row: LookAlike) -> list[Any]:
    """Let a kept row say what a dropped one of the same pair said: known from poisonings, read in
    its source where both name one source.

    Returns for the record: the kept row, what it said, what the dropped one adds.
    """
    before = [kept.is_verified, kept.in_poisonings]
    adds = [row.is_verified and row.source == kept.source, row.in_poisonings]
    kept.is_verified, kept.in_poisonings = kept.is_verified or adds[0], before[1] or adds[1]
    kept.save(update_fields=["is_verified", "in_poisonings", "updated_at"])
    return [kept.pk, before, adds]


def _pairs_lowered(taxon: Taxon, record: dict[str, Any], homes: set[int]) -> None:
    """Let the rows that met a dropped one say again what they said, save what another name that
    is merged still adds."""
    met = record.get("look_alikes_met", [])
    if not met:
        return
    others = FieldVersion.objects.filter(
        change__object_kind=Taxon._meta.label_lower,
        change__object_id__in=Taxon.objects.filter(accepted_id__in=homes).exclude(pk=taxon.pk),
        field=MOVED,
    )
    added: dict[int, list[list[bool]]] = {}
    for prior in others.values_list("prior", flat=True):
        for pk, _before, adds in json.loads(prior).get("look_alikes_met", []):
            added.setdefault(pk, []).append(adds)
    for pk, before, _adds in met:
        is_verified, in_poisonings = (
            any(said) for said in zip(before, *added.get(pk, []), strict=True)
        )
        LookAlike.objects.filter(pk=pk).update(is_verified=is_verified, in_poisonings=in_poisonings)


def _look_alikes_back(
    taxon: Taxon, record: dict[str, Any], version: FieldVersion, homes: set[int]
) -> None:
    for pk, one, other in record["look_alikes"]:
        rows = LookAlike.objects.filter(pk=pk)
        if one == taxon.pk:
            rows.filter(taxon_id__in=homes).update(taxon_id=one)
        else:
            rows.filter(other_id__in=homes).update(other_id=other)
    _pairs_lowered(taxon, record, homes)
    versions = FieldVersion.objects.filter(
        change_id=version.change_id, field__startswith=LOOK_ALIKE
    )
    words = {row.field: row.prior for row in versions}
    came_back = [pk for pk, _one, _other in record["look_alikes"]]
    for pk, one, other, source, is_verified, in_poisonings in record["look_alikes_dropped"]:
        # The other side may have been merged since; its pair is on the name it leads to.
        one, other = (_led_to(side, taxon) for side in (one, other))
        if one == other:
            continue
        row = LookAlike(
            taxon_id=one,
            other_id=other,
            separated_by=words.get(f"{LOOK_ALIKE}{pk}", ""),
            source=source,
            is_verified=is_verified,
            in_poisonings=in_poisonings,
        )
        # A row that came back itself is the same pair from its other side: then both had stood.
        held = _pair(one, other).exclude(pk__in=came_back, taxon_id=other).first()
        if held is None:
            row.save()
        else:
            _pair_raised(held, row)


def _led_to(taxon_id: int, taxon: Taxon) -> int:
    if taxon_id == taxon.pk:
        return taxon_id
    return Taxon.objects.get(pk=taxon_id).current.pk
