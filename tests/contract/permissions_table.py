"""Who may ask for what: every address of the site with the answer each persona gets.

The columns are those of COLUMNS; somebody whose sign-in was closed is a guest everywhere. An answer
is a status, ``in`` for being led to the sign-in page, or ``->`` for being led to the row's ``to``.
An outsider gets 404, a reader without the right 403. This table is the promise; the views keep it.
"""

from dataclasses import dataclass, field
from typing import Any

from society.finds.models import DraftPhotograph, Photograph
from society.names.models import (
    AccountReading,
    CharacterState,
    ChecklistFile,
    ListedStatus,
    TaxonSplit,
)
from society.review.models import AccountCorrection, Scope, Verdict
from tests.cast import Cast

COLUMNS = ("guest", "ann", "ben", "bea", "carl", "olive", "kay")

EVERYBODY = "200 200 200 200 200 200 200"
MEMBERS = "in 200 200 200 200 200 200"
KEEPER = "in 403 403 403 403 403 200"
ORGANISERS = "in 403 403 403 403 200 200"
REFEREES = "in 403 403 200 200 403 403"
POSTED_ONLY = "in 405 405 405 405 405 405"
# A page of Ann's find: Ann and the keeper may, other members may not.
HERS = "in 200 403 403 403 403 200"
# The same where what is asked for does not exist to anybody else.
HERS_ALONE = "in 200 404 404 404 404 404"
NOT_FOR_GUESTS = "404 200 200 200 200 200 200"
WITHDRAWN = "404 200 404 404 404 404 200"

UUID = "6f2b7f0e-0d7e-4c07-9a30-7f8d3f0a9b01"
SLIP = {
    "slip-name": "Lactarius deterrimus",
    "slip-basis": "eye",
    "slip-uuid": UUID,
    "slip-evidence_version": "{plain_evidence}",
}
VERDICT = {
    "kind": "leave_open",
    "slip": "{plain_slip}",
    "evidence_version": "{plain_evidence}",
    "uuid": UUID,
}
CORRECTION = {
    "uuid": UUID,
    "state": "hanging",
    "usual": "rarely",
    "remarks": "A faint line round the stem.",
}
ENTRY = {
    "kind": "red_list",
    "area": "Caldermoss",
    "edition": "Invented List",
    "year": "2021",
    "says": "scarce",
}
SITE = {"name": "Gorse Bank", "openness": "open", "extent_m": "400", "middle": "55.16, -2.59"}


@dataclass(frozen=True)
class Row:
    """One address, asked for by GET, and by POST where that means something.

    ``path`` and the values of ``data`` are filled from ``addresses``; ``query`` lists further
    addresses of the same page that the walks ask for too; ``to`` is where ``->`` leads.
    """

    name: str
    path: str
    get: str
    post: str = ""
    data: dict[str, str] = field(default_factory=dict)
    to: str = ""
    query: tuple[str, ...] = ()
    is_file: bool = False

    @property
    def id(self) -> str:
        return f"{self.name} {self.path}"

    def expected(self, method: str) -> dict[str, str]:
        return dict(zip(COLUMNS, getattr(self, method).split(), strict=True))


def addresses(cast: Cast) -> dict[str, Any]:
    """Return what the paths of the table name."""
    finds = {name: find.spoken_number for name, find in cast.finds.items()}
    slip = cast.plain.slips.earliest("pk")
    return finds | {
        "plain_slip": slip.pk,
        "plain_evidence": cast.plain.evidence_version,
        "withdrawn_evidence": cast.withdrawn.evidence_version,
        "photograph": cast.photograph.uuid,
        "removed": Photograph.objects.exclude(removed_at=None).get().uuid,
        "draft": cast.draft.uuid,
        "draft_photograph": DraftPhotograph.objects.get().uuid,
        "verdict": Verdict.objects.filter(kind="dispute").earliest("pk").uuid,
        "correction": AccountCorrection.objects.earliest("pk").uuid,
        "scope": Scope.objects.get(person=cast.bea.person).pk,
        "invitation": cast.invitation.pk,
        "token": cast.invitation_token,
        "person": cast.ann.person_id,
        "paper": cast.paper.pk,
        "milkcap": cast.milkcap.pk,
        "rarity": cast.rarity.pk,
        "open_site": cast.open_site.slug,
        "open_site_pk": cast.open_site.pk,
        "kept_site": cast.kept_site.slug,
        "kept_site_pk": cast.kept_site.pk,
        "ann_pk": cast.ann.person_id,
        "brittlegill": cast.brittlegill.pk,
        "split": TaxonSplit.objects.get().pk,
        "list_entry": ListedStatus.objects.get().pk,
        "names_file": ChecklistFile.objects.get().pk,
        "account_reading": AccountReading.objects.get().pk,
        "state_pk": CharacterState.objects.earliest("pk").pk,
    }


CORE = (Row("core:alive", "/alive/", EVERYBODY),)

MEMBERS_ROOM = (
    Row("members:signin", "/signin/", "200 -> -> -> -> -> ->", to="/"),
    Row(
        "members:signout",
        "/signout/",
        "405 405 405 405 405 405 405",
        post="-> -> -> -> -> -> ->",
        to="/",
    ),
    Row("members:join", "/join/{token}/", EVERYBODY, post=EVERYBODY),
    Row("members:join", "/join/no-such-token/", "410 410 410 410 410 410 410"),
    Row(
        "members:me",
        "/me/",
        MEMBERS,
        post="in -> -> -> -> -> ->",
        data={"which": "mail", "choice": "none"},
        to="/me/",
    ),
    Row("members:password_change", "/password/", MEMBERS, post=MEMBERS),
    Row(
        "members:password_reset",
        "/password/forgotten/",
        EVERYBODY,
        post="-> -> -> -> -> -> ->",
        data={"email": "nobody@caldermoss.example"},
        to="/password/forgotten/sent/",
    ),
    Row("members:password_reset_sent", "/password/forgotten/sent/", EVERYBODY),
    Row("members:password_reset_confirm", "/password/new/NQ/no-such-token/", EVERYBODY),
    Row("members:keeper", "/keeper/", KEEPER),
    Row(
        "members:people",
        "/keeper/people/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"which": "add", "name": "Nan Garth", "initials": "NG"},
        to="/keeper/people/",
        query=("?q=an",),
    ),
    Row(
        "members:person",
        "/keeper/people/{paper}/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"which": "person", "name": "Edith Fell", "initials": "E"},
        to="/keeper/people/{paper}/",
    ),
    Row("members:person", "/keeper/people/{person}/", KEEPER),
    Row("members:invitations", "/keeper/invitations/", KEEPER, post=KEEPER, data={"which": "make"}),
    Row(
        "members:invitation_revoke",
        "/keeper/invitations/{invitation}/revoke/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/invitations/",
    ),
    Row("members:society", "/keeper/society/", KEEPER, post=KEEPER),
)

NAMES = (
    Row("names:lookup", "/names/lookup/", EVERYBODY, query=("?q=lact", "?q=pic&groups=hosts")),
    Row("names:lookup", "/names/lookup/?groups=stones", "400 400 400 400 400 400 400"),
    Row("names:characters", "/characters/", EVERYBODY, query=("?form=agaric",)),
    Row("names:character", "/characters/ring/", EVERYBODY, query=("?brief",)),
    Row("names:character", "/characters/no-such-word/", "404 404 404 404 404 404 404"),
    Row("names:checklist", "/keeper/names/", KEEPER, query=("?q=lact",)),
    Row("names:add", "/keeper/names/new/", KEEPER, post=KEEPER),
    Row("names:edit", "/keeper/names/{milkcap}/", KEEPER, post=KEEPER),
    Row(
        "names:merge",
        "/keeper/names/{milkcap}/merge/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"into": "Russula ochroleuca", "into_key": "{brittlegill}"},
        to="/keeper/names/{milkcap}/",
        query=("?into=Russula+ochroleuca",),
    ),
    Row(
        "names:part",
        "/keeper/names/{milkcap}/part/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/{milkcap}/",
    ),
    Row(
        "names:move",
        "/keeper/names/{milkcap}/move/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"scientific_name": "Lactifluus novus"},
        to="/keeper/names/{milkcap}/",
    ),
    Row(
        "names:split",
        "/keeper/names/{milkcap}/split/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"day": "2020-05-01", "source": "a revision", "into": "Russula ochroleuca"},
        to="/keeper/names/{milkcap}/split/",
    ),
    Row(
        "names:split_end",
        "/keeper/names/splits/{split}/end/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/{milkcap}/split/",
    ),
    Row(
        "names:lists",
        "/keeper/names/{milkcap}/lists/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data=ENTRY,
        to="/keeper/names/{milkcap}/lists/",
    ),
    Row(
        "names:listed",
        "/keeper/names/lists/{list_entry}/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data=ENTRY,
        to="/keeper/names/{milkcap}/lists/",
    ),
    Row(
        "names:listed_remove",
        "/keeper/names/lists/{list_entry}/remove/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/{milkcap}/lists/",
    ),
    Row(
        "names:look_alikes",
        "/keeper/names/{milkcap}/look-alikes/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"other": "Russula ochroleuca", "source": "from memory"},
        to="/keeper/names/{milkcap}/look-alikes/",
    ),
    Row(
        "names:look_alike_remove",
        "/keeper/names/look-alikes/999999/remove/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 404",
    ),
    Row("names:files", "/keeper/names/files/", KEEPER, post=KEEPER, data={"kind": "taxa"}),
    Row("names:file", "/keeper/names/files/{names_file}/", KEEPER),
    Row(
        "names:file_take",
        "/keeper/names/files/{names_file}/take/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/files/{names_file}/",
    ),
    Row(
        "names:file_drop",
        "/keeper/names/files/{names_file}/drop/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/files/",
    ),
    Row(
        "names:account",
        "/keeper/names/{milkcap}/account/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"sources": "a book"},
        to="/keeper/names/{milkcap}/account/",
    ),
    Row(
        "names:account_states",
        "/keeper/names/{milkcap}/account/characters/ring/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"usual-hanging": "usually", "source": "a book"},
        to="/keeper/names/{milkcap}/account/",
    ),
    Row(
        "names:account_reading_add",
        "/keeper/names/{milkcap}/account/readings/new/",
        KEEPER,
        post=KEEPER,
    ),
    Row(
        "names:account_reading",
        "/keeper/names/{milkcap}/account/readings/{account_reading}/",
        KEEPER,
        post=KEEPER,
    ),
    Row("names:account_spores", "/keeper/names/{milkcap}/account/spores/", KEEPER, post=KEEPER),
    Row(
        "names:account_spores_drop",
        "/keeper/names/{milkcap}/account/spores/drop/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/names/{milkcap}/account/",
    ),
    Row("names:kept_characters", "/keeper/characters/", KEEPER),
    Row("names:character_add", "/keeper/characters/new/", KEEPER, post=KEEPER),
    Row(
        "names:kept_character",
        "/keeper/characters/ring/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"name": "cap colour"},
        to="/keeper/characters/ring/",
    ),
    Row(
        "names:state_add",
        "/keeper/characters/ring/states/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"state-name": "spotted all over"},
        to="/keeper/characters/ring/",
    ),
    Row(
        "names:kept_state",
        "/keeper/characters/states/{state_pk}/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"state-name": "streaked all over"},
        to="/keeper/characters/ring/",
    ),
)

SAFETY = (
    Row("safety:poisoning", "/poisoning/", EVERYBODY),
    Row("safety:cautions", "/about-safety/", EVERYBODY),
)

PLACES = (
    Row(
        "places:add",
        "/sites/new/",
        ORGANISERS,
        post="in 403 403 403 403 -> ->",
        data=SITE,
        to="/sites/gorse-bank/",
    ),
    Row(
        "places:edit",
        "/sites/{open_site}/edit/",
        ORGANISERS,
        post="in 403 403 403 403 -> ->",
        data=SITE,
        to="/sites/{open_site}/",
    ),
    Row("places:boundaries", "/sites/boundaries.json", EVERYBODY),
    Row("places:read", "/place/read/", MEMBERS, query=("?text=NT+123+456",)),
)

FINDS = (
    Row(
        "finds:post",
        "/finds/new/",
        MEMBERS,
        post="in 422 422 422 422 422 422",
        data={"uuid": UUID, "name": "Lactarius deterrimus"},
        query=("?site={open_site}",),
    ),
    # To go on from a spot is for who may change the find there.
    Row("finds:post", "/finds/new/?like={sensitive}", "in 200 200 200 200 200 200"),
    Row("finds:post", "/finds/new/?draft={draft}", HERS_ALONE),
    Row(
        "finds:edit",
        "/finds/{plain}/edit/",
        HERS,
        post="in 422 403 403 403 403 422",
        data={"uuid": UUID, "name": "Lactarius deterrimus"},
    ),
    Row("finds:edit", "/finds/{sensitive}/edit/", HERS),
    Row("finds:edit", "/finds/{withdrawn}/edit/", "in 403 404 404 404 404 403"),
    Row(
        "finds:withdraw",
        "/finds/{plain}/withdraw/",
        POSTED_ONLY,
        post="in -> 403 403 403 403 ->",
        to="/finds/{plain}/",
    ),
    Row(
        "finds:put_back",
        "/finds/{withdrawn}/put-back/",
        POSTED_ONLY,
        post="in -> 404 404 404 404 ->",
        to="/finds/{withdrawn}/",
    ),
    # Without a file there is nothing to add; with one only the writer may (see test_leaks).
    Row(
        "finds:photograph_add",
        "/finds/{plain}/photographs/",
        POSTED_ONLY,
        post="in 404 404 404 404 404 404",
    ),
    Row("finds:original", "/photographs/{photograph}/original/", HERS, is_file=True),
    Row("finds:rendition", "/photographs/{photograph}/320/", EVERYBODY, is_file=True),
    Row("finds:rendition", "/photographs/{photograph}/1024/", EVERYBODY, is_file=True),
    Row("finds:rendition", "/photographs/{photograph}/2048/", EVERYBODY, is_file=True),
    Row("finds:rendition", "/photographs/{photograph}/4096/", "404 404 404 404 404 404 404"),
    Row("finds:rendition", "/photographs/{removed}/320/", WITHDRAWN, is_file=True),
    Row(
        "finds:draft",
        "/drafts/{draft}/",
        "in -> -> -> -> -> ->",
        post="in 204 404 404 404 404 404",
        data={"name": "Lactarius"},
        to="/finds/new/?draft={draft}",
    ),
    Row(
        "finds:draft_drop",
        "/drafts/{draft}/drop/",
        POSTED_ONLY,
        post="in -> 404 404 404 404 404",
        to="/finds/new/",
    ),
    Row(
        "finds:draft_photograph_add",
        "/drafts/{draft}/photographs/",
        POSTED_ONLY,
        post="in 404 404 404 404 404 404",
    ),
    # Told the same whoever asks: what is not there, or not one's own, is gone.
    Row(
        "finds:draft_photograph_drop",
        "/drafts/{draft}/photographs/drop/",
        POSTED_ONLY,
        post="in 204 204 204 204 204 204",
        data={"uuid": UUID},
    ),
    Row(
        "finds:draft_photograph",
        "/drafts/photographs/{draft_photograph}/",
        HERS_ALONE,
        is_file=True,
    ),
)

REVIEW = (
    Row("review:find", "/finds/{plain}/", NOT_FOR_GUESTS),
    Row("review:find", "/finds/{confirmed}/", EVERYBODY, query=("?desk=1",)),
    Row("review:find", "/finds/{disputed}/", NOT_FOR_GUESTS),
    Row("review:find", "/finds/{withdrawn}/", WITHDRAWN),
    Row("review:find", "/finds/{sensitive}/", EVERYBODY, query=("?desk=1",)),
    Row("review:find", "/finds/{secret}/", EVERYBODY, query=("?desk=1",)),
    Row("review:find", "/finds/1901/1/", "404 404 404 404 404 404 404"),
    Row("review:contrast", "/finds/{plain}/contrast/", NOT_FOR_GUESTS),
    Row(
        "review:contrast",
        "/finds/{confirmed}/contrast/",
        EVERYBODY,
        query=("?corrected={correction}", "?corrected=nonsense"),
    ),
    Row("review:contrast", "/finds/{withdrawn}/contrast/", WITHDRAWN),
    Row("review:contrast", "/finds/{sensitive}/contrast/", EVERYBODY),
    Row("review:contrast", "/finds/{secret}/contrast/", EVERYBODY),
    Row(
        "review:contrast_typed",
        "/contrast/",
        EVERYBODY,
        query=("?form=agaric", "?form=nonsense"),
    ),
    Row(
        "review:side_by_side",
        "/side-by-side/",
        EVERYBODY,
        query=("?with={sensitive}&with={secret}&with={plain}&with={withdrawn}",),
    ),
    Row(
        "review:slip",
        "/finds/{plain}/slips/",
        POSTED_ONLY,
        post="in -> -> -> -> -> ->",
        data=SLIP,
        to="/finds/{plain}/",
    ),
    Row(
        "review:slip",
        "/finds/{withdrawn}/slips/",
        POSTED_ONLY,
        post="in 403 404 404 404 404 403",
        data=SLIP | {"slip-evidence_version": "{withdrawn_evidence}"},
    ),
    # Ann found it, Ben and Olive are no referees, and the keeper is none either.
    Row(
        "review:verdict",
        "/finds/{plain}/verdicts/",
        POSTED_ONLY,
        post="in 403 403 -> -> 403 403",
        data=VERDICT,
        to="/finds/{plain}/",
    ),
    # Bea's scope is another family.
    Row(
        "review:verdict",
        "/finds/{sensitive}/verdicts/",
        POSTED_ONLY,
        post="in 403 403 403 422 403 403",
    ),
    # Bea and Carl referee this name; to a find that is not confirmed they are told why not.
    Row(
        "review:account_correct",
        "/finds/{confirmed}/account/",
        REFEREES,
        query=("?character=ring", "?character=ring&state=hanging", "?character=no-such-word"),
    ),
    Row(
        "review:account_correct",
        "/finds/{confirmed}/account/?character=ring",
        REFEREES,
        post="in 403 403 -> -> 403 403",
        data=CORRECTION,
        to="/finds/{confirmed}/contrast/?corrected=" + UUID,
    ),
    Row(
        "review:account_correct",
        "/finds/{plain}/account/",
        REFEREES,
        post="in 403 403 422 422 403 403",
        data=CORRECTION,
    ),
    Row("review:account_correct", "/finds/{sensitive}/account/", "in 403 403 403 200 403 403"),
    # Withdrawn finds are there for their finder and the keeper, neither of them a referee.
    Row("review:account_correct", "/finds/{withdrawn}/account/", "in 403 404 404 404 404 403"),
    # Bea laid it; a keeper may undo it too.
    Row(
        "review:correction_withdraw",
        "/corrections/{correction}/withdraw/",
        POSTED_ONLY,
        post="in 403 403 -> 403 403 ->",
        to="/finds/{confirmed}/contrast/#corrections",
    ),
    Row(
        "review:comment",
        "/finds/{plain}/comments/",
        POSTED_ONLY,
        post="in -> -> -> -> -> ->",
        data={"comment-text": "It grew by a spruce.", "comment-uuid": UUID},
        to="/finds/{plain}/#thread",
    ),
    Row(
        "review:undo",
        "/verdicts/{verdict}/withdraw/",
        POSTED_ONLY,
        post="in 403 403 -> 403 403 403",
        to="/finds/{disputed}/",
    ),
    Row(
        "review:desk",
        "/desk/",
        REFEREES,
        query=(
            "?whose=mine",
            "?whose=all&order=name",
            "?site={open_site_pk}",
            "?site={kept_site_pk}",
            "?finder={ann_pk}&order=newest",
            "?genus=Hericium",
        ),
    ),
    Row("review:notices", "/notices/", MEMBERS, post="in -> -> -> -> -> ->", to="/notices/"),
    Row(
        "review:scopes",
        "/keeper/referees/",
        KEEPER,
        post="in 403 403 403 403 403 ->",
        data={"person": "{person}", "rank": "genus", "name": "Russula"},
        to="/keeper/referees/",
    ),
    Row(
        "review:scope_end",
        "/keeper/referees/{scope}/end/",
        POSTED_ONLY,
        post="in 403 403 403 403 403 ->",
        to="/keeper/referees/",
    ),
)

# What narrows a list, by every name a reader may choose it by.
NARROWED = (
    "?site={open_site}",
    "?season=2026&sort=finds",
    "?from=2026-10-01&to=2026-10-31&counted=with_unconfirmed",
    "?family=Hericiaceae",
    "?form=club&by_family=on",
)
# An address to a site that a guest may not know of is no list, as is one to no site at all.
UNKNOWN_SITE = "422 200 200 200 200 200 200"

LISTS = (
    Row("lists:home", "/", EVERYBODY),
    Row(
        "lists:search",
        "/search/",
        EVERYBODY,
        query=(
            *("?q=lact", "?q=hericium", "?q=lion", "?q=hagg", "?q=winterfold"),
            *("?q={plain}", "?q={withdrawn}", "?q={secret}", "?q={sensitive}"),
        ),
    ),
    Row("lists:logbook", "/logbook/", MEMBERS),
    Row("lists:logbook_names", "/logbook/names/", MEMBERS),
    Row("lists:lists", "/lists/", EVERYBODY),
    Row("lists:species_list", "/lists/species/", EVERYBODY, query=NARROWED),
    Row("lists:species_list", "/lists/species/?site={kept_site}", UNKNOWN_SITE),
    Row(
        "lists:species_list",
        "/lists/species/?site=no-such-site",
        "422 422 422 422 422 422 422",
    ),
    Row("lists:finds", "/lists/finds/", EVERYBODY, query=(*NARROWED, "?taxon={rarity}")),
    Row("lists:finds", "/lists/finds/?site={kept_site}", UNKNOWN_SITE),
    Row("lists:sites", "/sites/", EVERYBODY),
    Row("lists:site", "/sites/{open_site}/", EVERYBODY),
    Row("lists:site", "/sites/{kept_site}/", NOT_FOR_GUESTS),
    Row("lists:species", "/species/{milkcap}/", EVERYBODY),
    Row("lists:species", "/species/{rarity}/", EVERYBODY),
)

EXCHANGE = (
    Row("exchange:list_csv", "/lists/species.csv", EVERYBODY, query=NARROWED, is_file=True),
    Row("exchange:list_xlsx", "/lists/species.xlsx", EVERYBODY, query=NARROWED, is_file=True),
    Row(
        "exchange:finds_csv",
        "/finds.csv",
        EVERYBODY,
        query=(*NARROWED, "?taxon={rarity}"),
        is_file=True,
    ),
    Row(
        "exchange:list_csv",
        "/lists/species.csv?site={kept_site}",
        "-> 200 200 200 200 200 200",
        to="/lists/species/?site={kept_site}",
        is_file=True,
    ),
    Row("exchange:checklist_csv", "/keeper/names/checklist.csv", KEEPER, is_file=True),
    Row("exchange:my_records", "/logbook/records.csv", MEMBERS, is_file=True),
)

TABLE: tuple[Row, ...] = (
    *CORE,
    *MEMBERS_ROOM,
    *NAMES,
    *SAFETY,
    *PLACES,
    *FINDS,
    *REVIEW,
    *LISTS,
    *EXCHANGE,
)
