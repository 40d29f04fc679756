"""Background work of the safety room."""

from society.core.tasks import task
from society.safety.services import STATEMENTS_JOB, statements_recompute


@task(STATEMENTS_JOB, limit_seconds=3600, command="recompute_statements", at_start=True)
def recompute_statements() -> None:
    statements_recompute()
