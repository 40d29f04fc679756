"""Measure the server's time and query count of the pages people use most, and print a table.

    python -m tests.bench.pages --finds 20000

builds the demo society in a throwaway folder (SQLite), or in the empty database that
``DATABASE_URL`` names, measures at the demo's own size, grows it and measures again. Times are of
Django's test client: middleware, view, template and database, without the network.
"""

import argparse
import datetime as dt
import io
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from typing import Any
from uuid import uuid4

Call = Callable[[], Any]


def measured(call: Call, rounds: int) -> tuple[float, float, int]:
    """Return median and 95th percentile in milliseconds, and the queries of one call."""
    from django.db import connection, reset_queries
    from django.test.utils import CaptureQueriesContext

    call()
    with CaptureQueriesContext(connection) as captured:
        call()
    queries = len(captured)
    reset_queries()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append((time.perf_counter() - start) * 1000)
    times.sort()
    return statistics.median(times), times[max(0, round(0.95 * len(times)) - 1)], queries


def calls() -> dict[str, Call]:
    """Return what is measured, each as a member or referee would do it."""
    from django.test import Client

    from society.finds.models import Find
    from society.members.models import Account, Society
    from society.names.models import Taxon
    from society.places.models import Site
    from society.review.models import Scope
    from society.science.dates import season_of

    member = Account.objects.filter(is_keeper=False, is_organiser=False).order_by("pk").last()
    referee = Account.objects.get(
        person=Scope.objects.filter(rank="family", name="Russulaceae").first().person  # type: ignore[union-attr]
    )
    assert member is not None
    clients = {}
    for name, account in (("member", member), ("referee", referee), ("guest", None)):
        clients[name] = Client()
        if account is not None:
            clients[name].force_login(account)
    society = Society.objects.get(pk=1)
    newest = Find.objects.order_by("-date_start").first()
    assert newest is not None
    season = season_of(newest.date_start, society.season_start_month)
    site = Site.objects.filter(finds__isnull=False, openness="open").distinct().first()
    confirmed = Find.objects.filter(standing="confirmed")
    find = confirmed.filter(photographs__isnull=False).first() or confirmed.first()
    taxon = Taxon.objects.filter(finds_standing__isnull=False).first()
    assert site is not None
    assert find is not None
    assert taxon is not None

    def page(who: str, address: str) -> Call:
        def get() -> None:
            response = clients[who].get(address)
            if response.status_code != 200:
                raise SystemExit(f"{address} answered {response.status_code}")
            if response.streaming:
                for _chunk in response.streaming_content:  # type: ignore[attr-defined]
                    pass

        return get

    def post() -> None:
        response = clients["member"].post(
            "/finds/new/",
            {
                "uuid": str(uuid4()),
                "finder": member.person_id,
                "name": "Lactarius deterrimus",
                "site": site.pk,
                "place_text": "NY 623 854",
                "date": dt.date(2026, 10, 18).isoformat(),
                "organisms-TOTAL_FORMS": "2",
                "organisms-INITIAL_FORMS": "0",
                "organisms-0-as_written": "Picea abies",
                "organisms-0-part": "probable_host",
                "organisms-1-as_written": "Betula pendula",
                "organisms-1-part": "nearby",
            },
        )
        if response.status_code != 302:
            raise SystemExit(f"posting answered {response.status_code}")

    season_list = f"/lists/species/?site={site.slug}&season={season}"
    return {
        "home, member": page("member", "/"),
        "home, guest": page("guest", "/"),
        "site's season list, member": page("member", season_list),
        "site's season list, guest": page("guest", season_list),
        "whole season's list, member": page("member", f"/lists/species/?season={season}"),
        "site's page, member": page("member", f"/sites/{site.slug}/"),
        "species' page, member": page("member", f"/species/{taxon.pk}/"),
        "queue, referee": page("referee", "/desk/"),
        "find, referee": page("referee", f"/finds/{find.year}/{find.number}/"),
        "find from the desk, referee": page("referee", f"/finds/{find.year}/{find.number}/?desk=1"),
        "contrast of a find, member": page("member", f"/finds/{find.year}/{find.number}/contrast/"),
        "characters typed, guest": page("guest", "/contrast/?form=agaric&seen=cap_shape.convex"),
        "side by side, member": page(
            "member",
            f"/side-by-side/?with=find-{find.year}-{find.number}&with=account-{taxon.pk}",
        ),
        "find, guest": page("guest", f"/finds/{find.year}/{find.number}/"),
        "logbook, member": page("member", "/logbook/"),
        "search": page("member", "/search/?q=lactarius"),
        "name look-up": page("member", "/names/lookup/?q=lact+det"),
        "form of a new find": page("member", "/finds/new/"),
        "posting a find": post,
        "site's season list as CSV": page(
            "member", season_list.replace("/species/?", "/species.csv?")
        ),
    }


def table(rounds: int) -> dict[str, tuple[float, float, int]]:
    return {name: measured(call, rounds) for name, call in calls().items()}


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--finds", type=int, default=20_000)
    parser.add_argument("--rounds", type=int, default=40)
    wanted = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory(prefix="logbook-bench-") as folder:
        os.environ["DATA_DIR"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "society.settings"
        import django

        django.setup()
        from django.conf import settings
        from django.core.management import call_command
        from django.db import connection

        settings.ALLOWED_HOSTS = ["testserver"]
        settings.STORAGES["staticfiles"] = {
            "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        }
        call_command("migrate", verbosity=0)
        unheard = io.StringIO()
        call_command("load_checklist", stdout=unheard)
        start = time.perf_counter()
        call_command("build_demo", stdout=unheard)
        print(f"demo built in {time.perf_counter() - start:.1f} s on {connection.vendor}")
        report(wanted.finds, wanted.rounds)


def report(finds: int, rounds: int, out: Any = sys.stdout) -> None:
    """Measure at the present size, grow to ``finds``, measure again, print both."""
    from django.db import connection

    from society.finds.models import Find
    from tests.bench.growing import grow

    small, few = table(rounds), Find.objects.count()
    grow(finds)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    large, many = table(rounds), Find.objects.count()
    print(f"{'':34}{few:>8} finds{'':18}{many:>8} finds", file=out)
    print(
        f"{'':34}{'median':>8}{'p95':>8}{'queries':>9}{'':7}{'median':>8}{'p95':>8}{'queries':>9}",
        file=out,
    )
    for name, (median, p95, queries) in small.items():
        more_median, more_p95, more_queries = large[name]
        print(
            f"{name:34}{median:8.1f}{p95:8.1f}{queries:9d}{'':7}"
            f"{more_median:8.1f}{more_p95:8.1f}{more_queries:9d}",
            file=out,
        )


if __name__ == "__main__":
    main()
