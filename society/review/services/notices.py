"""Notices to people: on the site at once, by mail for those who wish it."""

from django.conf import settings
from django.core.mail import send_mail
from django.db.models import Q
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from society.core.services import job_add
from society.finds.models import Find
from society.members.models import Account, MailChoice, Person
from society.members.permissions import Viewer
from society.members.queries import society_settings
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


def notice_mail(notice_id: int) -> bool:
    """Mail a notice once; False when it was mailed, read, or is no longer wished for.

    The claim is written first and taken back when sending fails: a worker killed between the two
    loses one mail rather than sending two; the notice itself stays on the site.
    """
    notice = (
        PersonalNotice.objects.select_related("person", "find", "by").filter(pk=notice_id).first()
    )
    if notice is None or notice.mailed_at is not None or notice.read_at is not None:
        return False
    account = Account.objects.filter(person_id=notice.person_id, is_active=True).first()
    if account is None or account.mail_choice != MailChoice.AT_ONCE:
        return False
    claimed = PersonalNotice.objects.filter(pk=notice_id, mailed_at=None)
    if not claimed.update(mailed_at=timezone.now()):
        return False
    context = {
        "notice": notice,
        "society": society_settings(),
        "address": settings.SITE_URL
        + reverse("review:find", args=[notice.find.year, notice.find.number]),
        "me": settings.SITE_URL + reverse("members:me"),
    }
    try:
        send_mail(
            render_to_string("review/mail_notice_subject.txt", context).strip(),
            render_to_string("review/mail_notice.txt", context),
            None,
            [account.email],
        )
    except Exception:
        PersonalNotice.objects.filter(pk=notice_id).update(mailed_at=None)
        raise
    return True
