"""Plain makers of rows with readable defaults; every one takes overrides by name."""

import datetime as dt
import itertools
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from society.finds.models import Find
from society.finds.services import FindEntry, PlaceEntry, SlipEntry, find_post
from society.forays.models import Visit
from society.members.models import Account, Person, Society
from society.members.permissions import Viewer
from society.names.models import Account as SpeciesAccount
from society.names.models import (
    AccountReading,
    AccountState,
    Character,
    CharacterState,
    Taxon,
    VernacularName,
)
from society.names.services import stamp_raise
from society.places.models import Site
from society.review.models import Scope
from society.review.queries import viewer_for
from society.science.names import fold

_counter = itertools.count(1)
PASSWORD = "wet wood and lamplight"
TODAY = dt.date(2026, 10, 18)


def make_society(**over: Any) -> Society:
    values = {"name": "Caldermoss Fungus Group", "region_name": "Caldermoss", **over}
    return Society.objects.update_or_create(pk=1, defaults=values)[0]


def make_person(name: str = "", **over: Any) -> Person:
    return Person.objects.create(display_name=name or f"Person {next(_counter)}", **over)


def make_account(name: str = "", **over: Any) -> Account:
    person = over.pop("person", None) or make_person(name)
    email = over.pop("email", f"member{person.pk}@caldermoss.example")
    return Account.objects.create_user(email, PASSWORD, person=person, **over)


def make_referee(name: str = "", rank: str = "all", scope: str = "", **over: Any) -> Account:
    account = make_account(name, **over)
    make_scope(account.person, rank, scope)
    return account


def make_scope(person: Person, rank: str = "all", name: str = "", **over: Any) -> Scope:
    over.setdefault("created_at", dt.datetime(2020, 1, 1, tzinfo=dt.UTC))
    return Scope.objects.create(person=person, rank=rank, name=name, **over)


def viewer(account: Account) -> Viewer:
    return viewer_for(account)


def make_taxon(name: str = "", **over: Any) -> Taxon:
    """Make a name; ``english`` and ``accepted`` may be given."""
    name = name or f"Lactarius inventus{next(_counter)}"
    english = over.pop("english", "")
    values = {
        "scientific_name": name,
        "folded": fold(name),
        "genus": name.split(" ")[0],
        "family": "Russulaceae",
        "order": "Russulales",
        "form": "agaric",
        **over,
    }
    taxon = Taxon.objects.create(**values)
    if english:
        VernacularName.objects.create(
            taxon=taxon, name=english, folded=fold(english), is_preferred=True
        )
    stamp_raise()
    return taxon


def make_character(code: str, *states: str, **over: Any) -> Character:
    """Make a character with its states; their names are their codes in words."""
    values = {"part": "cap", "name": code.replace("_", " "), "forms": ["agaric"], **over}
    character = Character.objects.get_or_create(code=code, defaults=values)[0]
    for position, state in enumerate(states):
        CharacterState.objects.get_or_create(
            character=character,
            code=state,
            defaults={"name": state.replace("_", " "), "position": position},
        )
    stamp_raise()
    return character


def make_species_account(
    taxon: Taxon, states: dict[str, dict[str, str]], readings: Iterable[tuple[Any, ...]] = ()
) -> SpeciesAccount:
    """Make an account; ``readings`` are (exposed, from, to, colour, how usual)."""
    account = SpeciesAccount.objects.create(taxon=taxon)
    for code, usual in states.items():
        character = make_character(code, *usual)
        for state in character.states.filter(code__in=usual):
            AccountState.objects.create(
                account=account, character=character, state=state, usual=usual[state.code]
            )
    for exposed, start, end, colour, how in readings:
        AccountReading.objects.create(
            account=account,
            exposed=exposed,
            minute_from=start,
            minute_to=end,
            colour=colour,
            usual=how,
        )
    stamp_raise()
    return account


def make_host(name: str = "Picea abies", group: str = "tree", **over: Any) -> Taxon:
    return make_taxon(name, group=group, form="", family="", order="", **over)


def make_site(name: str = "", **over: Any) -> Site:
    name = name or f"Wood {next(_counter)}"
    values = {
        "name": name,
        "folded": fold(name),
        "slug": fold(name).replace(" ", "-"),
        "lat_e7": 552_000_000,
        "lon_e7": -26_000_000,
        "extent_m": 900,
        **over,
    }
    return Site.objects.create(**values)


def make_visit(site: Site | None = None, **over: Any) -> Visit:
    return Visit.objects.create(site=site or make_site(), **{"date": TODAY, **over})


def make_entry(finder: Person, **over: Any) -> FindEntry:
    """Make a plain entry; ``name`` lays a slip with that name, ``taxon`` one that points at it."""
    taxon = over.pop("taxon", None)
    name = over.pop("name", taxon.scientific_name if taxon else "")
    site = over.pop("site", None)
    date = over.pop("date", TODAY)
    values: dict[str, Any] = {
        "finder_id": finder.pk,
        "date_start": date,
        "date_end": date,
        "site_id": site.pk if site else None,
        "place": PlaceEntry(552_031_415, -26_027_182, 20, "typed", "" if site else "by the stream"),
        **over,
    }
    if name and "slip" not in values:
        values["slip"] = SlipEntry(name_written=name, taxon_id=taxon.pk if taxon else None)
    return FindEntry(**values)


def make_find(account: Account | None = None, **over: Any) -> Find:
    """Post a find through the service, as ``account`` (a new member by default)."""
    account = account or make_account()
    find = find_post(make_entry(account.person, **over), by=viewer_for(account))
    find.refresh_from_db()
    return find


def minutes(value: float) -> Decimal:
    return Decimal(str(value))


def short(value: object) -> str:
    """Name a case of a parametrised test whose value may be 10,000 characters long."""
    return ascii(value)[:24]
