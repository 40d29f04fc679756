"""A society that grows row by row in every list at once, for counting what its pages ask."""

import datetime as dt
import uuid

from django.db import connection
from django.utils import timezone

from society.finds.models import Find, Photograph, PhotographState
from society.finds.services import (
    EatingNoteEntry,
    OrganismEntry,
    PlaceEntry,
    ReadingEntry,
    SlipEntry,
    draft_keep,
)
from society.members.models import Account
from society.members.services import invitation_make
from society.names.models import LookAlike, Taxon
from society.places.models import Site
from society.review.models import ScopeRank, VerdictKind
from society.review.services import comment_add, slip_lay, verdict_lay
from tests import make

SQUARE = [[-2.6, 55.1], [-2.5, 55.1], [-2.5, 55.2], [-2.6, 55.1]]


class Growing:
    """Each step adds one row of every kind, each with rows of its own to hang on it."""

    def __init__(self) -> None:
        make.make_society(name="Growing Group")
        self.ann = make.make_account("Ann Brierley", email="ann@growing.example")
        self.carl = make.make_referee("Carl Lumb", email="carl@growing.example")
        self.kay = make.make_account("Kay Thorpe", email="kay@growing.example", is_keeper=True)
        self.deadly = make.make_taxon("Amanita lethalis", danger="deadly", family="Amanitaceae")
        self.whole = make.make_site("Whole District", extent_m=30_000)
        self.taxon = make.make_taxon("Lactarius profundus", english="Deep Milkcap")
        self.deep = self._posted(self.ann, 0, self.taxon, self.whole)
        self._settled(self.deep)
        self.rows = 0

    def grow_to(self, rows: int) -> None:
        while self.rows < rows:
            self.rows += 1
            self._step(self.rows)
        if connection.vendor == "postgresql":
            # Its own housekeeping would do this, but sees no rows of an open transaction.
            with connection.cursor() as cursor:
                cursor.execute("ANALYZE")

    def _step(self, number: int) -> None:
        site = make.make_site(
            f"Grown Wood {number}",
            parent=self.whole,
            boundary={"type": "Polygon", "coordinates": [SQUARE]},
        )
        taxon = self._name(number)
        member = make.make_account(f"Member {number}", email=f"m{number}@growing.example")
        make.make_person(f"Paper {number}")
        make.make_scope(member.person, ScopeRank.GENUS, f"Alienus{number}")
        # One more name for the whole district's list, one more site for the one species' page.
        stands = self._posted(self.ann, number, taxon, self.whole)
        self._settled(stands)
        self._settled(self._posted(self.ann, number, self.taxon, site))
        waits = self._posted(member, number, taxon, site)
        asked = self._posted(self.ann, number, taxon, site)
        verdict_lay(
            asked.pk,
            by=make.viewer(self.carl),
            kind=VerdictKind.ASK,
            slip_id=asked.slips.get().pk,
            wanted="habitat",
        )
        comment_add(stands.pk, text="Which trees?", by=make.viewer(member))
        comment_add(waits.pk, text="Under birch.", by=make.viewer(self.carl))
        self._asides(number, site)
        self._deepen(number, member, taxon)

    def _asides(self, number: int, site: Site) -> None:
        make.make_visit(site, title=f"Foray {number}", leader=self.ann.person)
        draft_keep(uuid.uuid4(), {"name": [f"Draft {number}"]}, by=make.viewer(self.ann))
        invitation_make(by=make.viewer(self.kay), note=f"Newcomer {number}")

    def _name(self, number: int) -> Taxon:
        genus = f"Crescentia{number}"
        taxon = make.make_taxon(f"{genus} crescens", english=f"Growing Cap {number}")
        make.make_taxon(f"{genus} antiquus", accepted=taxon)
        LookAlike.objects.create(
            taxon=taxon, other=self.deadly, separated_by="The ring.", source="a book"
        )
        return taxon

    def _deepen(self, number: int, member: Account, taxon: Taxon) -> None:
        """Add a slip, a comment, a verdict and a photograph to the one find that holds many."""
        by = make.viewer(member)
        slip_lay(
            self.deep.pk,
            SlipEntry(taxon.scientific_name, taxon_id=taxon.pk, remarks="By the gills."),
            by=by,
        )
        comment_add(self.deep.pk, text=f"Remark {number}: delicious, they say.", by=by)
        kind, slip = VerdictKind.DISPUTE, self.deep.slips.first()
        verdict_lay(
            self.deep.pk,
            by=make.viewer(self.carl),
            kind=kind,
            slip_id=slip.pk if slip else None,
            reason=f"Reason {number}.",
        )
        self._photographed(self.deep, self.ann)

    def _posted(self, by: Account, number: int, taxon: Taxon, site: Site) -> Find:
        host = make.make_host(f"Arbor crescens{next(_hosts)}")
        organisms = (OrganismEntry(host.scientific_name, host.pk, "host"), OrganismEntry("moss"))
        readings = tuple(ReadingEntry("milk", make.minutes(at), "white") for at in (0, 5, 30))
        find = make.make_find(
            by,
            taxon=taxon,
            site=site,
            date=timezone.localdate() - dt.timedelta(days=number % 6),
            place=PlaceEntry(551_000_000 + number, -25_500_000 - number, 10, "phone"),
            organisms=organisms,
            readings=readings,
            eating_notes=(EatingNoteEntry("a walker", "Eaten by some."),),
        )
        self._photographed(find, by)
        return find

    def _settled(self, find: Find) -> None:
        verdict_lay(
            find.pk,
            by=make.viewer(self.carl),
            kind=VerdictKind.CONFIRM,
            slip_id=find.slips.get().pk,
        )

    def _photographed(self, find: Find, by: Account) -> None:
        """Put a row there as the service would; no page opens the file."""
        key = uuid.uuid4().hex
        Photograph.objects.create(
            find=find,
            author=by.person,
            view="cap",
            caption="From above.",
            state=PhotographState.READY,
            original=f"originals/{key}",
            sha256=key,
            byte_size=900_000,
            width=4000,
            height=3000,
            renditions={"320": f"renditions/{key}.jpg"},
        )


_hosts = iter(range(10**6))
