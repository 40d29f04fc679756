"""The order in which the demo society is built. Rows of finds go in by batches, not one by one,
with the days they were planned for; what stands is then worked out by the review room itself."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from django.conf import settings
from django.db import connection, transaction
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.demo.rules import demo_plan, load_world, up_to
from society.demo.services.finds import BATCH, finds_add, names_forgotten, standing_settle
from society.demo.services.people import people_add, society_settle
from society.demo.services.pictures import Drawings, drawings_make
from society.demo.services.places import forays_add, sites_add
from society.finds.models import Find

PASSWORDS_FILE = "demo_passwords.txt"

Told = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class DemoReport:
    """What was built, and the sign-ins with their passwords: name, roles, address, password."""

    people: int
    sites: int
    forays: int
    finds: int
    drawings: int
    signins: list[tuple[str, str, str, str]]


def demo_build(*, today: dt.date, tell: Told = lambda words: None) -> DemoReport:
    """Build the demo society into an empty logbook.

    Each step is a transaction of its own and the last one marks the whole as built, so that a
    build cut short is seen and can be begun again on a new database. Finds after ``today`` are
    left out. Raises ``Refused`` when the logbook holds finds already.
    """
    if Find.objects.exists():
        raise Refused(
            _("This logbook holds finds; the demo is built into an empty one."), "not_empty"
        )
    world = load_world()
    plan = up_to(demo_plan(), today)
    with transaction.atomic():
        society_settle(world)
        people, signins = people_add(world)
        sites = sites_add(world, by=people.keeper)
        forays = forays_add(plan, sites, people)
    tell(_("People, sites and forays are there; drawing what was found …"))
    names_forgotten()
    drawings: Drawings = drawings_make(world, plan)
    tell(_("Laying the finds …"))
    for start in range(0, len(plan.finds), BATCH):
        batch = plan.finds[start : start + BATCH]
        with transaction.atomic():
            finds = finds_add(batch, world, people, sites, forays, drawings)
            standing_settle(finds)
        tell(
            _("%(done)d of %(all)d finds")
            % {"done": min(start + BATCH, len(plan.finds)), "all": len(plan.finds)}
        )
    # The planner has seen none of these rows yet; what it takes for an empty table it reads whole.
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    _passwords_keep(signins)
    return DemoReport(
        people=len(world.people),
        sites=len(world.sites),
        forays=len(plan.forays),
        finds=len(plan.finds),
        drawings=len(drawings),
        signins=signins,
    )


def _passwords_keep(signins: list[tuple[str, str, str, str]]) -> None:
    """Keep the generated passwords where only the owner of the installation reads them."""
    file = settings.DATA_DIR / PASSWORDS_FILE
    file.touch(mode=0o600)
    file.chmod(0o600)
    lines = ["Name · roles · mail address · password", ""]
    lines += [" · ".join(row) for row in signins]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
