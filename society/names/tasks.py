"""Background work of the names room. Each has a command twin and may run twice."""

from society.core.tasks import report_progress, task
from society.names.services import checklist_take_over
from society.names.services.files import TAKE_JOB


@task(TAKE_JOB, limit_seconds=1800, command="take_over_names")
def take_over(file_id: int) -> None:
    checklist_take_over(file_id, progress=report_progress)
