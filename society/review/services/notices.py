"""Notices to people: on the site at once, by mail for those who wish it."""

from django.db.models import Q
from django.utils import timezone

from society.core.services import job_add
from society.finds.models import Find
from society.members.models import MailChoice, Person
from society.members.permissions import Viewer
from society.review.models import PersonalNotice

MAIL_JOB = "review.mail_notice"


def notices_of_act(find: Find, kind: str, *, by: Viewer, key: str) -> None:
    """Tell the finder and everybody who wrote on the find of an act by somebody else.

    ``key`` names the act, so that one act never tells a person twice.
    """
    people = (
        Person.objects.present()
        .filter(account__is_active=True)
        .filter(
            Q(pk=find.finder_id)
            | Q(pk__in=find.verdicts.values("by_id"))
            | Q(pk__in=find.comments.values("by_id"))
        )
        .exclude(pk=by.person_id)
        .select_related("account")
        .distinct()
    )
    for person in people:
        notice, made = PersonalNotice.objects.get_or_create(
            key=f"{key}:{person.pk}",
            defaults={"person": person, "find": find, "kind": kind, "by_id": by.person_id},
        )
        if made and person.account.mail_choice == MailChoice.AT_ONCE:
            _mail_later(notice)


def notices_read(*, by: Viewer, find_id: int | None = None) -> int:
    """Mark the person's notices (of one find, or all) as read; returns how many were new."""
    unread = PersonalNotice.objects.filter(person_id=by.person_id, read_at=None)
    if find_id is not None:
        unread = unread.filter(find_id=find_id)
    return unread.update(read_at=timezone.now())


def _mail_later(notice: PersonalNotice) -> None:
    job_add(MAIL_JOB, {"notice_id": notice.pk}, key=f"{MAIL_JOB}:{notice.pk}")
