"""Writing accounts, the vocabulary they are written in, and entries of lists."""

from decimal import Decimal
from pathlib import Path

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.members.permissions import Viewer
from society.names.models import (
    Account,
    AccountSpores,
    AccountState,
    Character,
    CharacterState,
    ListedStatus,
    Taxon,
)
from society.names.queries import accounts_of, checklist_version
from society.names.services import (
    ListEntry,
    account_reading_set,
    account_set_sources,
    account_spores_set,
    account_state_set,
    character_add,
    character_edit,
    character_state_add,
    character_state_edit,
    checklist_load,
    listed_status_add,
    listed_status_edit,
    listed_status_remove,
    listed_statuses_take,
    taxon_merge,
    taxon_part,
)
from society.names.services.account_files import accounts_load
from society.names.services.vocabulary import needs_tasting
from tests.make import make_account, make_host, make_referee, make_taxon, viewer

pytestmark = pytest.mark.django_db
ENTRY = ListEntry("red_list", "Great Britain", "Invented List, 2nd edition", 2021, "vulnerable")
SIZES = {
    "length_from": Decimal("7.5"),
    "length_to": Decimal("9"),
    "width_from": Decimal("6"),
    "width_to": Decimal("7"),
    "q_from": None,
    "q_to": None,
}


@pytest.fixture
def keeper() -> Viewer:
    return viewer(make_account("Ida Keeper", is_keeper=True))


@pytest.fixture
def milk() -> Character:
    made = Character.objects.create(
        code="milk_colour", part="milk", name="milk", forms=["agaric"], position=1
    )
    for number, state in enumerate(("white", "orange", "buff")):
        CharacterState.objects.create(character=made, code=state, name=state, position=number)
    return made


def prior_of(change: Change | None) -> dict[str, str]:
    assert change is not None
    return dict(FieldVersion.objects.filter(change=change).values_list("field", "prior"))


def last() -> Change | None:
    return Change.objects.first()


def test_the_states_of_a_character_are_set_raised_and_kept_as_they_were(
    keeper: Viewer, milk: Character
) -> None:
    taxon = make_taxon()
    stamp = checklist_version()

    def set_to(**states: str) -> Account:
        return account_state_set(
            taxon_id=taxon.pk,
            character_code="milk_colour",
            states=states,
            source=" from  memory ",
            by=keeper,
        )

    # Version 1 is what the files brought; a hand's work is never that.
    assert set_to(orange="usually", buff="sometimes").version == 2
    assert checklist_version() > stamp
    assert prior_of(last()) == {"state.milk_colour": "", "source.milk_colour": ""}
    assert set_to(buff="sometimes", orange="usually").version == 2
    assert set_to(orange="always").version == 3
    assert prior_of(last()) == {
        "state.milk_colour": "orange=usually|buff=sometimes",
        "source.milk_colour": "from memory",
    }
    assert accounts_of([taxon.pk])[taxon.pk].states == {"milk_colour": {"orange": "always"}}
    assert set_to().version == 4
    assert accounts_of([taxon.pk])[taxon.pk].states == {}


def test_a_referee_corrects_accounts_in_scope_and_no_others(milk: Character) -> None:
    taxon, other = make_taxon(family="Russulaceae"), make_taxon(family="Amanitaceae")
    by = viewer(make_referee("Bea", "family", "russulaceae"))

    def correct(row: Taxon, who: Viewer) -> Account:
        return account_state_set(
            taxon_id=row.pk,
            character_code="milk_colour",
            states={"white": "rarely"},
            source="find 2026/12",
            by=who,
        )

    assert correct(taxon, by).version == 2
    for row, who in ((other, by), (taxon, viewer(make_account(is_organiser=True)))):
        with pytest.raises(NotPermitted):
            correct(row, who)
    assert correct(other, viewer(make_referee("Carl"))).version == 2
    assert Account.objects.count() == 2


def test_an_account_takes_only_words_of_the_vocabulary_and_belongs_to_an_accepted_fungus(
    keeper: Viewer, milk: Character
) -> None:
    taxon = make_taxon()
    for row, character, state, code in (
        (taxon, "milk_color", "white", "no_such_character"),
        (taxon, "milk_colour", "pink", "no_such_state"),
        (make_taxon(accepted=taxon), "milk_colour", "white", "is_synonym"),
        (make_host(), "milk_colour", "white", "no_fungus"),
    ):
        with pytest.raises(Refused) as refused:
            account_state_set(
                taxon_id=row.pk,
                character_code=character,
                states={state: "usually"},
                source="",
                by=keeper,
            )
        assert refused.value.code == code
    with pytest.raises(ValidationError):
        account_state_set(
            taxon_id=taxon.pk,
            character_code="milk_colour",
            states={"white": "mostly"},
            source="",
            by=keeper,
        )
    assert not Account.objects.exists()


def test_a_reading_is_set_changed_and_taken_out(keeper: Viewer) -> None:
    taxon = make_taxon()

    def set_to(**colours: str) -> Account:
        return account_reading_set(
            taxon_id=taxon.pk,
            exposed="milk",
            minute_from=Decimal("5.0"),
            minute_to=Decimal("30"),
            colours=colours,
            source="a book",
            by=keeper,
        )

    set_to(wine="usually", orange="sometimes")
    (orange, wine) = accounts_of([taxon.pk])[taxon.pk].readings
    assert (orange.colour, wine.usual, wine.minute_to) == ("orange", "usually", Decimal("30"))
    assert set_to(wine="usually", orange="sometimes").version == 2
    assert set_to(wine="always").version == 3
    assert prior_of(last()) == {
        "reading.milk.5": "orange=sometimes to 30.0 (a book)|wine=usually to 30.0 (a book)"
    }
    set_to()
    assert accounts_of([taxon.pk])[taxon.pk].readings == ()
    with pytest.raises(ValidationError):
        account_reading_set(
            taxon_id=taxon.pk,
            exposed="milk",
            minute_from=Decimal(5),
            minute_to=Decimal(5),
            colours={"wine": "usually"},
            source="",
            by=keeper,
        )
    with pytest.raises(Refused):
        account_reading_set(
            taxon_id=taxon.pk,
            exposed="reagent",
            minute_from=Decimal(0),
            minute_to=Decimal(5),
            colours={"wine": "usually"},
            source="",
            by=keeper,
        )


def test_the_spores_are_set_and_taken_out(keeper: Viewer) -> None:
    taxon = make_taxon()

    def set_to(sizes: dict[str, Decimal | None] | None) -> Account:
        return account_spores_set(taxon_id=taxon.pk, sizes=sizes, source="a book", by=keeper)

    set_to(SIZES)
    assert set_to(SIZES).version == 2
    assert set_to({**SIZES, "q_from": Decimal("1.1"), "q_to": Decimal("1.3")}).version == 3
    assert prior_of(last())["spores.length_from"] == "7.50"
    with pytest.raises(Refused):
        set_to({**SIZES, "q_from": Decimal("1.1")})
    with pytest.raises(Refused):
        set_to({**SIZES, "q_from": Decimal("1.3"), "q_to": Decimal("1.1")})
    with pytest.raises(ValidationError):
        set_to({**SIZES, "length_to": Decimal(7)})
    set_to(None)
    assert accounts_of([taxon.pk])[taxon.pk].spores is None


def test_sources_and_doubt_are_set(keeper: Viewer) -> None:
    taxon = make_taxon()
    account_set_sources(taxon_id=taxon.pk, sources="a book", is_doubtful=True, by=keeper)
    shown = accounts_of([taxon.pk])[taxon.pk]
    assert (shown.sources, shown.is_doubtful, shown.version) == ("a book", True, 2)


def test_a_character_is_added_with_states_and_its_words_are_changed(keeper: Viewer) -> None:
    stamp = checklist_version()
    values = {
        "name": "Gill  veins",
        "sentence": "Whether low veins join the gills.",
        "part": "gills",
        "forms": ["agaric"],
        "cost": "at_once",
    }
    made = character_add(values, states=["None to see", "", "Joined by veins"], by=keeper)
    assert (made.code, made.name, made.never_asked) == ("gill_veins", "Gill veins", False)
    assert [row.code for row in made.states.all()] == ["none_to_see", "joined_by_veins"]
    assert checklist_version() > stamp
    character_edit("gill_veins", name="veins of the gills", sentence="", by=keeper)
    assert prior_of(last()) == {"name": "Gill veins", "sentence": values["sentence"]}
    state = character_state_add("gill_veins", name="forked", by=keeper)
    assert state.position == 2
    character_state_edit(state.pk, name="forked ones", sentence="Each in two.", by=keeper)
    state.refresh_from_db()
    assert (state.code, state.name, state.sentence) == ("forked", "forked ones", "Each in two.")
    made.refresh_from_db()
    assert (made.code, made.name) == ("gill_veins", "veins of the gills")
    for states, code in ((["one"], "too_few_states"), (["a", "A"], "held_already")):
        with pytest.raises(Refused) as refused:
            character_add({**values, "name": "another"}, states=states, by=keeper)
        assert refused.value.code == code
    with pytest.raises(Refused):
        character_add(values | {"name": "gill veins"}, states=["a", "b"], by=keeper)
    with pytest.raises(Refused):
        character_state_add("gill_veins", name="Forked!", by=keeper)


def test_a_character_of_taste_is_never_one_that_is_asked_for(keeper: Viewer) -> None:
    values = {"name": "After-taste", "part": "taste", "forms": ["all"], "never_asked": False}
    assert character_add(values, states=["mild", "sharp"], by=keeper).never_asked


def test_only_keepers_change_the_vocabulary_and_what_lists_say(milk: Character) -> None:
    by, taxon = viewer(make_referee("Carl")), make_taxon()
    for act in (
        lambda: character_edit("milk_colour", name="x", sentence="", by=by),
        lambda: character_state_add("milk_colour", name="x", by=by),
        lambda: character_add({"name": "x"}, states=[], by=by),
        lambda: listed_status_add(taxon.pk, ENTRY, by=by),
        lambda: listed_statuses_take([], by=by),
    ):
        with pytest.raises(NotPermitted):
            act()


def test_an_entry_of_a_list_is_added_changed_and_removed(keeper: Viewer) -> None:
    taxon = make_taxon()
    row = listed_status_add(taxon.pk, ENTRY, by=keeper)
    with pytest.raises(ValidationError):
        listed_status_add(taxon.pk, ENTRY, by=keeper)
    changed = ListEntry("red_list", "Great Britain", ENTRY.edition, 2021, "endangered")
    listed_status_edit(row.pk, changed, by=keeper)
    assert prior_of(last()) == {"says": "vulnerable"}
    listed_status_edit(row.pk, changed, by=keeper)
    assert Change.objects.count() == 2
    listed_status_remove(row.pk, by=keeper)
    assert prior_of(last())["says"] == "endangered"
    assert not ListedStatus.objects.exists()


def test_taking_entries_over_twice_enters_them_once_and_leaves_a_keepers_words(
    keeper: Viewer,
) -> None:
    one, other = make_taxon(), make_taxon()
    kept = ListEntry(ENTRY.kind, ENTRY.area, ENTRY.edition, ENTRY.year, "near threatened")
    listed_status_add(one.pk, kept, by=keeper)
    entries = [(one.pk, ENTRY), (other.pk, ENTRY), (other.pk, ENTRY)]
    assert listed_statuses_take(entries, by=keeper) == 1
    assert listed_statuses_take(entries, by=keeper) == 0
    assert one.listed_statuses.get().says == "near threatened"


@pytest.mark.parametrize(
    ("q_from", "q_to"), [("1.2", None), (None, "1.2"), ("1.4", "1.2")], ids=str
)
def test_the_database_holds_both_limits_of_q_or_neither_the_smaller_first(
    q_from: str | None, q_to: str | None
) -> None:
    account = Account.objects.create(taxon=make_taxon())
    row = AccountSpores(account=account, **{**SIZES, "q_from": q_from, "q_to": q_to})
    with pytest.raises(ValidationError):
        row.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save(force_insert=True)
    row.q_from = row.q_to = Decimal("1.2")
    row.save(force_insert=True)


def account_files(folder: Path, *rows: str) -> Path:
    """A folder of account files that says how the milk is coloured."""
    lines = ["name,character,states,source", *rows]
    (folder / "characters_milkcaps.csv").write_text("\n".join(lines), encoding="utf-8")
    (folder / "sources.csv").write_text("name,sources,doubt\n", encoding="utf-8")
    return folder


def told(taxon: Taxon) -> dict[str, str]:
    rows = AccountState.objects.filter(account__taxon=taxon)
    return dict(rows.values_list("state__code", "usual"))


@pytest.mark.parametrize("is_loaded_before", [False, True])
def test_after_a_merging_no_load_mixes_two_accounts_of_the_files(
    keeper: Viewer, milk: Character, tmp_path: Path, is_loaded_before: bool
) -> None:
    one, other = make_taxon("Lactarius primus"), make_taxon("Lactarius alter")
    rows = [
        f"{taxon},milk_colour,{state}=usually,a book"
        for taxon, state in ((one, "white"), (other, "orange"))
    ]
    if is_loaded_before:
        accounts_load(account_files(tmp_path, *rows))
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    rows[0] = rows[0].replace("=usually", "=usually|buff=rarely")
    accounts_load(account_files(tmp_path, *rows))
    assert told(other) == {"orange": "usually"}
    assert accounts_load(tmp_path).new_rows == 0


def test_an_account_that_went_along_with_its_name_is_left_alone_by_the_files(
    keeper: Viewer, milk: Character, tmp_path: Path
) -> None:
    one, other = make_taxon("Lactarius primus"), make_taxon("Lactarius alter")
    accounts_load(account_files(tmp_path, "Lactarius primus,milk_colour,white=usually,a book"))
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    assert Account.objects.get().version == 2
    accounts_load(account_files(tmp_path, "Lactarius alter,milk_colour,orange=usually,a book"))
    assert told(other) == {"white": "usually"}
    taxon_part(one.pk, by=keeper)
    assert told(one) == {"white": "usually"}


def test_a_name_of_the_files_that_is_a_synonym_still_tells_of_the_name_it_leads_to(
    milk: Character, tmp_path: Path
) -> None:
    other = make_taxon("Lactarius alter")
    make_taxon("Lactarius primus", accepted=other)
    accounts_load(account_files(tmp_path, "Lactarius primus,milk_colour,white=usually,a book"))
    assert told(other) == {"white": "usually"}


def test_a_load_of_accounts_that_changes_nothing_asks_eleven_times(
    milk: Character, tmp_path: Path
) -> None:
    make_taxon("Lactarius primus")
    account_files(tmp_path, "Lactarius primus,milk_colour,white=usually,a book")
    accounts_load(tmp_path)
    with CaptureQueriesContext(connection) as queries:
        accounts_load(tmp_path)
    assert len(queries) == 11


def test_nothing_said_makes_no_account(keeper: Viewer, milk: Character) -> None:
    taxon = make_taxon()
    stamp = checklist_version()
    account_state_set(
        taxon_id=taxon.pk, character_code="milk_colour", states={}, source="", by=keeper
    )
    account_reading_set(
        taxon_id=taxon.pk,
        exposed="milk",
        minute_from=Decimal(0),
        minute_to=Decimal(10),
        colours={},
        source="",
        by=keeper,
    )
    account_spores_set(taxon_id=taxon.pk, sizes=None, source="", by=keeper)
    account_set_sources(taxon_id=taxon.pk, sources=" ", is_doubtful=False, by=keeper)
    assert not Account.objects.exists()
    assert not Change.objects.exists()
    assert checklist_version() == stamp


TASTED = [
    ("burn", "How it feels on the tongue."),
    ("sharpness", "Chew a crumb and wait."),
    ("sharpness", "Nibble the edge, then spit it out."),
    ("sharpness", "Put a piece into your mouth."),
    ("milk", "Peppery or not."),
    ("milk", "Hot to the tongue after a minute."),
    ("bitterness", ""),
    ("tasting of the cap", ""),
    ("milk", "Lick the cut gills."),
    ("flesh", "Bite into it."),
    ("flesh", "Acrid at once."),
]
NOT_TASTED = [
    ("gill join", "A small tongue of the gill runs down the stem."),
    ("tubes", "The mouths of the tubes, in spite of their size."),
    ("opening", "It opens by a mouth; the mouth of the flask is black."),
    ("smell", "Of bitter almonds, mild or strong."),
    ("shape", "Tongue-shaped, with a tasselled edge and insect bites."),
]


@pytest.mark.parametrize(("name", "sentence"), TASTED)
def test_no_words_of_a_character_have_anybody_asked_to_taste(
    keeper: Viewer, milk: Character, name: str, sentence: str
) -> None:
    values = {"name": name, "sentence": sentence, "part": "milk", "forms": ["agaric"]}
    made = character_add(values, states=["one", "two"], by=keeper)
    assert made.never_asked
    edited = character_edit("milk_colour", name=name, sentence=sentence, by=keeper)
    assert edited.never_asked
    assert prior_of(last())["never_asked"] == "False"
    assert character_edit("milk_colour", name="milk", sentence="", by=keeper).never_asked


@pytest.mark.parametrize(("name", "sentence"), NOT_TASTED)
def test_words_that_only_look_like_a_tasting_leave_a_character_asked_for(
    keeper: Viewer, milk: Character, name: str, sentence: str
) -> None:
    values = {"name": name, "sentence": sentence, "part": "milk", "forms": ["agaric"]}
    assert not character_add(values, states=["mild", "strong"], by=keeper).never_asked
    assert not character_edit("milk_colour", name=name, sentence=sentence, by=keeper).never_asked


@pytest.mark.parametrize("words", ["bitter", "acrid", "peppery", "hot", "mild or hot", "tasteless"])
def test_no_state_that_is_added_or_reworded_has_anybody_asked_to_taste(
    keeper: Viewer, milk: Character, words: str
) -> None:
    other = Character.objects.create(code="flesh", part="flesh", name="flesh", forms=["agaric"])
    character_state_add("milk_colour", name=words, by=keeper)
    milk.refresh_from_db()
    assert milk.never_asked
    state = character_state_add("flesh", name="firm", by=keeper)
    other.refresh_from_db()
    assert not other.never_asked
    character_state_edit(state.pk, name="firm", sentence=f"It is {words}.", by=keeper)
    other.refresh_from_db()
    assert other.never_asked == (words not in {"hot"})
    character_state_edit(state.pk, name=words, sentence="", by=keeper)
    other.refresh_from_db()
    assert other.never_asked
    character_state_edit(state.pk, name="firm", sentence="", by=keeper)
    other.refresh_from_db()
    assert other.never_asked


def test_of_the_vocabulary_brought_along_only_the_taste_needs_tasting() -> None:
    checklist_load()
    found = {
        row.code
        for row in Character.objects.prefetch_related("states")
        if needs_tasting(
            row.name, row.sentence, [(state.name, state.sentence) for state in row.states.all()]
        )
    }
    assert found == {"taste"} == {row.code for row in Character.objects.filter(never_asked=True)}
