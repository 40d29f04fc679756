"""Background work of the members room."""

from society.core.tasks import task
from society.members.services import PASSWORD_JOB
from society.members.services import password_mail as mail


@task(PASSWORD_JOB, limit_seconds=60, command="mail_password")
def password_mail(account_id: int | None) -> None:
    mail(account_id)
