"""Background work of the review room."""

from society.core.tasks import task
from society.review.services import names_read_anew, notice_mail
from society.review.services.notices import MAIL_JOB
from society.review.services.standing import NAMES_JOB


@task(MAIL_JOB, limit_seconds=60, command="mail_notices")
def mail_notice(notice_id: int) -> None:
    notice_mail(notice_id)


@task(NAMES_JOB, limit_seconds=600, command="recompute_standing")
def read_names_anew(taxon_ids: list[int]) -> None:
    names_read_anew(taxon_ids)
