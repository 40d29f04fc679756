"""Background work of the finds room. Each has a command twin and may run twice."""

from society.core.tasks import task
from society.finds.services import files_sweep, renditions_make
from society.finds.services.photographs import RENDITIONS_JOB
from society.finds.services.sweeping import SWEEP_JOB


@task(RENDITIONS_JOB, limit_seconds=120, command="make_renditions")
def make_renditions(photograph_id: int) -> None:
    renditions_make(photograph_id)


@task(SWEEP_JOB, limit_seconds=600, command="sweep_files", at_start=True)
def sweep_files() -> None:
    files_sweep()
