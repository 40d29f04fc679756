"""Mail a member the link for a new password, as the page does."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from society.members.models import Account
from society.members.services import password_mail


class Command(BaseCommand):
    help = "Mails the link for a new password to the member with this mail address."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email", help="the address the member signs in with")

    def handle(self, *args: Any, email: str, **options: Any) -> None:
        account = Account.objects.filter(email=email.strip().lower()).first()
        if account is None or not password_mail(account.pk):
            raise CommandError("No member who may sign in has this mail address.")
        self.stdout.write("The link is mailed.")
