"""The fixed cast: one small society in which every kind of reader and every kind of find occurs.

Contract tests walk it: each address by each persona, each protected place against each answer.
Names, positions and words are fixed, so that a test can look for them where they must not be.
"""

import datetime as dt
import io
import uuid
from dataclasses import dataclass

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from society.finds.models import EatingNote, Find, FindDraft, Photograph
from society.finds.services import (
    EatingNoteEntry,
    PlaceEntry,
    SlipEntry,
    draft_keep,
    find_withdraw,
    photograph_add,
    renditions_make,
)
from society.members.models import Account, Invitation, Person, Society
from society.members.services import invitation_make, member_leave
from society.names import models as names
from society.names.models import Character, CharacterState, Sensitivity, Taxon
from society.places.models import Openness, Picking, Site
from society.review.models import Comment
from society.review.services import account_correct, comment_add, verdict_lay
from tests import make

PERSONAS = ("guest", "ann", "ben", "bea", "carl", "olive", "kay", "inactive")

# Positions at 1e-7 degree whose digits stand nowhere else; each must stay with those who may know.
SENSITIVE_PLACE = PlaceEntry(551_738_251, -25_917_463, 6, "phone", "the split oak by gate seven")
SECRET_PLACE = PlaceEntry(550_926_817, -24_863_719, 9, "phone", "behind the old sheep wash")
# Stands in the photograph's own data: no rendition may hold it.
CANARY = "caldermoss-canary-58213"
DRAFT_UUID = uuid.UUID("5f1a3a52-7f0e-4f43-9d0c-2f7c9f6c2d11")


@dataclass(frozen=True)
class Cast:
    """Accounts by first name, what they posted, and what hangs on it."""

    society: Society
    ann: Account  # finder
    ben: Account  # companion at every find of Ann's
    bea: Account  # referee for Russulaceae
    carl: Account  # referee for everything
    olive: Account  # organiser
    kay: Account  # keeper
    inactive: Account
    leaver: Person
    paper: Person  # of the records, without a sign-in
    open_site: Site
    kept_site: Site
    milkcap: Taxon
    brittlegill: Taxon
    rarity: Taxon
    plain: Find
    confirmed: Find
    disputed: Find
    withdrawn: Find
    sensitive: Find
    secret: Find
    photograph: Photograph
    eating_note: EatingNote
    comment: Comment
    draft: FindDraft
    invitation: Invitation
    invitation_token: str

    @property
    def finds(self) -> dict[str, Find]:
        names = ("plain", "confirmed", "disputed", "withdrawn", "sensitive", "secret")
        return {name: getattr(self, name) for name in names}

    def account(self, persona: str) -> Account | None:
        """Return who signs in as a persona; None for a guest."""
        account: Account | None = None if persona == "guest" else getattr(self, persona)
        return account


def cast_make() -> Cast:
    """Build the cast through the services, as its people would."""
    society = make.make_society()
    people = _people()
    sites = _sites()
    taxa = _taxa()
    _vocabulary()
    _kept_names(taxa["milkcap"], taxa["brittlegill"])
    finds = _finds(people, sites, taxa)
    return Cast(
        society=society,
        **people,
        leaver=_leaver(people["kay"]),
        paper=make.make_person("Edith Fell", initials="EF"),
        **sites,
        **taxa,
        **finds,
        photograph=Photograph.objects.get(find=finds["confirmed"]),
        eating_note=EatingNote.objects.get(find=finds["confirmed"]),
        comment=Comment.objects.get(find=finds["plain"]),
        draft=_draft(people["ann"]),
        **_invitation(people["kay"]),
    )


def jpeg_with_position(shade: int = 120) -> bytes:
    """Return a small JPEG whose EXIF names a place, a device and the canary."""
    exif = Image.Exif()
    exif[0x010E] = CANARY  # ImageDescription
    exif[0x010F] = "Caldermoss Instruments"  # Make
    exif[0x8825] = {
        1: "N",
        2: (55.0, 10.0, 25.77),
        3: "W",
        4: (2.0, 35.0, 30.29),
    }
    kept = io.BytesIO()
    picture = Image.new("RGB", (640, 480), (shade, 90, 40))
    picture.save(kept, "JPEG", exif=exif, comment=CANARY.encode())
    return kept.getvalue()


def _people() -> dict[str, Account]:
    return {
        "ann": make.make_account("Ann Brierley", email="ann@caldermoss.example"),
        "ben": make.make_account("Ben Ogden", email="ben@caldermoss.example"),
        "bea": make.make_referee(
            "Bea Oakes", "family", "Russulaceae", email="bea@caldermoss.example"
        ),
        "carl": make.make_referee("Carl Lumb", email="carl@caldermoss.example"),
        "olive": make.make_account(
            "Olive Sykes", email="olive@caldermoss.example", is_organiser=True
        ),
        "kay": make.make_account("Kay Thorpe", email="kay@caldermoss.example", is_keeper=True),
        "inactive": make.make_account(
            "Ivor Dale", email="ivor@caldermoss.example", is_active=False
        ),
    }


def _leaver(keeper: Account) -> Person:
    account = make.make_account("Lena Moss", email="lena@caldermoss.example")
    return member_leave(account.pk, kept_name="a former member", by=make.viewer(keeper))


def _sites() -> dict[str, Site]:
    return {
        "open_site": make.make_site("Hagg Wood", lat_e7=551_700_000, lon_e7=-25_900_000),
        "kept_site": make.make_site(
            "Winterfold Clough",
            openness=Openness.KEPT,
            picking=Picking.NOTHING,
            lat_e7=550_900_000,
            lon_e7=-24_860_000,
        ),
    }


def _taxa() -> dict[str, Taxon]:
    return {
        "milkcap": make.make_taxon("Lactarius deterrimus", english="False Saffron Milkcap"),
        "brittlegill": make.make_taxon("Russula ochroleuca", english="Ochre Brittlegill"),
        "rarity": make.make_taxon(
            "Hericium erinaceus",
            english="Lion's Mane",
            family="Hericiaceae",
            form="club",
            sensitivity=Sensitivity.HIGH,
        ),
    }


def _vocabulary() -> None:
    """One character, for its own page."""
    ring = Character.objects.create(
        code="ring", part="stem", name="ring", sentence="A collar round the stem.", forms=["agaric"]
    )
    for code, name in (("none", "none"), ("hanging", "hanging")):
        CharacterState.objects.create(
            character=ring, code=code, name=name, sentence=f"The ring: {name}."
        )


def _kept_names(milkcap: Taxon, brittlegill: Taxon) -> None:
    """What keepers hold of a name: an account, an entry of a list, an old split, a waiting file."""
    account = names.Account.objects.create(taxon=milkcap, sources="from memory", version=2)
    names.AccountReading.objects.create(
        account=account,
        exposed="milk",
        minute_from=0,
        minute_to=10,
        colour="orange",
        usual="usually",
        source="from memory",
    )
    names.ListedStatus.objects.create(
        taxon=milkcap,
        kind="regional",
        area="Caldermoss",
        edition="Invented List, 1st edition",
        year=2019,
        says="frequent",
    )
    # Before any slip: it changes how no find reads.
    split = names.TaxonSplit.objects.create(
        taxon=milkcap, day=dt.date(1900, 1, 1), source="an invented revision"
    )
    split.into.add(brittlegill)
    stored = default_storage.save(
        "checklists/cast.csv", ContentFile(b"scientificName\nRussula betularum Hora\n")
    )
    names.ChecklistFile.objects.create(
        kind="taxa",
        name="larger.csv",
        stored=stored,
        report={"counts": {"new": 1, "changed": 0, "held": 0, "kept": 0, "left": 0}},
    )


def _finds(
    people: dict[str, Account], sites: dict[str, Site], taxa: dict[str, Taxon]
) -> dict[str, Find]:
    ann, open_site = people["ann"], sites["open_site"]
    with_ben = {"companion_ids": (people["ben"].person_id,)}

    def posted(taxon: Taxon, site: Site = open_site, **over: object) -> Find:
        return make.make_find(ann, taxon=taxon, site=site, **with_ben, **over)

    said = EatingNoteEntry("a walker at the gate", "Delicious fried in butter, they say.")
    finds = {
        "plain": posted(taxa["milkcap"]),
        "confirmed": posted(taxa["milkcap"], eating_notes=(said,)),
        "disputed": posted(taxa["brittlegill"]),
        "withdrawn": posted(taxa["brittlegill"]),
        "sensitive": posted(taxa["rarity"], place=SENSITIVE_PLACE),
        "secret": posted(
            taxa["brittlegill"],
            sites["kept_site"],
            place=SECRET_PLACE,
            made_secret=Sensitivity.HIGH,
        ),
    }
    _photographed(finds["confirmed"], ann)
    comment_add(
        finds["plain"].pk, text="Was the milk <b>orange</b> at once?", by=make.viewer(people["ben"])
    )
    _refereed(finds, people)
    find_withdraw(finds["withdrawn"].pk, by=make.viewer(ann))
    for find in finds.values():
        find.refresh_from_db()
    return finds


def _photographed(find: Find, by: Account) -> None:
    photograph = photograph_add(
        find.pk,
        ContentFile(jpeg_with_position(), "IMG_2291.JPG"),
        by=make.viewer(by),
        view="cap",
        caption="Cap from above, fresh.",
    )
    renditions_make(photograph.pk)


def _refereed(finds: dict[str, Find], people: dict[str, Account]) -> None:
    bea, carl = make.viewer(people["bea"]), make.viewer(people["carl"])
    for name, referee in (("confirmed", bea), ("sensitive", carl), ("secret", carl)):
        find = finds[name]
        verdict_lay(find.pk, by=referee, kind="confirm", slip_id=find.slips.get().pk)
    find = finds["disputed"]
    verdict_lay(
        find.pk,
        by=bea,
        kind="dispute",
        slip_id=find.slips.get().pk,
        reason="The stem greys with age; the photographs show a taller cap.",
        other_name=SlipEntry("Russula claroflava"),
    )
    account_correct(
        finds["confirmed"].pk,
        by=bea,
        character_code="ring",
        state_code="none",
        usual="usually",
        remarks="The photograph of the cap shows the stem as well.",
    )


def _draft(by: Account) -> FindDraft:
    fields = {"name": ["Lactarius on a bank?"], "notes": ["Milk orange, then green."]}
    draft = draft_keep(DRAFT_UUID, fields, by=make.viewer(by))
    assert draft is not None
    return draft


def _invitation(keeper: Account) -> dict[str, object]:
    invitation, token = invitation_make(by=make.viewer(keeper), note="Nell from the field centre")
    return {"invitation": invitation, "invitation_token": token}
