"""Background work of the review room."""

from society.core.tasks import task
from society.review.services.notices import MAIL_JOB, notice_mail


@task(MAIL_JOB, limit_seconds=60, command="mail_notices")
def mail_notice(notice_id: int) -> None:
    notice_mail(notice_id)
