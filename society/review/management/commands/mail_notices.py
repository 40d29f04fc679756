"""Mail the notices that wait to be mailed."""

from typing import Any

from django.core.management.base import BaseCommand

from society.members.models import MailChoice
from society.review.models import PersonalNotice
from society.review.services.notices import notice_mail


class Command(BaseCommand):
    help = "Mails every unread notice whose person wishes mail and which was not mailed yet."

    def handle(self, *args: Any, **options: Any) -> None:
        waiting = PersonalNotice.objects.filter(
            mailed_at=None, read_at=None, person__account__mail_choice=MailChoice.AT_ONCE
        )
        sent = sum(notice_mail(pk) for pk in list(waiting.values_list("pk", flat=True)))
        self.stdout.write(f"{sent} notices mailed.")
