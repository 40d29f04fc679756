"""Notices to people: on the site at once, by mail for those who wish it."""

from django.conf import settings
from django.core.mail import send_mail
from django.db.models import Q, QuerySet
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from society.core.services import job_add
from society.finds.models import Find
from society.finds.permissions import writer_id
from society.members.models import MailChoice, Person
from society.members.permissions import Viewer
from society.members.queries import society_settings
from society.review.models import PersonalNotice, Verdict

MAIL_JOB = "review.mail_notice"


def notices_of_act(
    find: Find, kind: str, *, by: Viewer, key: str, verdict: Verdict | None = None
) -> None:
    """Tell the finder and everybody who wrote on the find of an act by somebody else.

    ``key`` names the act, so that one act never tells a person twice.
    """
    for person in _people_to_tell(find, by):
        wished = person.account.mail_choice == MailChoice.AT_ONCE
        notice, made = PersonalNotice.objects.get_or_create(
            key=f"{key}:{person.pk}",
            defaults={
                "person": person,
                "find": find,
                "kind": kind,
                "by_id": by.person_id,
                "verdict": verdict,
                "to_mail": wished,
            },
        )
        if made and wished:
            job_add(MAIL_JOB, {"notice_id": notice.pk}, key=f"{MAIL_JOB}:{notice.pk}")


def _people_to_tell(find: Find, by: Viewer) -> QuerySet[Person]:
    """Return those concerned who can sign in; who entered it stands in for a finder who cannot."""
    concerned = (
        Q(pk=find.finder_id)
        | Q(pk__in=find.slips.values("by_id"))
        | Q(pk__in=find.verdicts.values("by_id"))
        | Q(pk__in=find.comments.values("by_id"))
    )
    if not Person.objects.filter(pk=find.finder_id, account__is_active=True).exists():
        concerned |= Q(pk=find.entered_by_id)
    people = Person.objects.present().filter(concerned, account__is_active=True)
    return people.exclude(pk=writer_id(by)).select_related("account").order_by("pk")


def notices_read(*, by: Viewer, find_id: int | None = None) -> int:
    """Mark the person's notices (of one find, or all) as read; returns how many were new.

    Asks before it writes, since every page of a find passes here.
    """
    if by.person_id is None:
        return 0
    unread = PersonalNotice.objects.filter(person_id=by.person_id, read_at=None)
    if find_id is not None:
        unread = unread.filter(find_id=find_id)
    if not unread.exists():
        return 0
    return unread.update(read_at=timezone.now(), to_mail=False)


def notices_to_mail() -> list[int]:
    """Return the notices whose mail is still due."""
    return list(PersonalNotice.objects.filter(to_mail=True).values_list("pk", flat=True))


def notice_mail(notice_id: int) -> bool:
    """Mail a notice once; False when it was mailed, read, or is no longer wished for.

    The claim is written first and taken back when sending fails: a worker killed between the two
    loses one mail rather than sending two; the notice itself stays on the site.
    """
    if not PersonalNotice.objects.filter(pk=notice_id, to_mail=True).update(to_mail=False):
        return False
    notice = PersonalNotice.objects.select_related("person__account", "find", "by", "verdict").get(
        pk=notice_id
    )
    account = getattr(notice.person, "account", None)
    if account is None or not account.is_active or account.mail_choice != MailChoice.AT_ONCE:
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
            " ".join(render_to_string("review/mail_notice_subject.txt", context).split()),
            render_to_string("review/mail_notice.txt", context),
            None,
            [account.email],
        )
    except Exception:
        PersonalNotice.objects.filter(pk=notice_id, read_at=None).update(to_mail=True)
        raise
    PersonalNotice.objects.filter(pk=notice_id).update(mailed_at=timezone.now())
    return True
