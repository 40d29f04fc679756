"""Mail the notices that wait to be mailed."""

from typing import Any

from django.core.management.base import BaseCommand

from society.review.services import notice_mail, notices_to_mail


class Command(BaseCommand):
    help = "Mails every notice whose mail is due: unread, wished for, and not mailed yet."

    def handle(self, *args: Any, **options: Any) -> None:
        sent = sum(notice_mail(pk) for pk in notices_to_mail())
        self.stdout.write(f"{sent} notices mailed.")
