"""The demo's people, their sign-ins and what they referee."""

import datetime as dt
import secrets
from dataclasses import dataclass

from django.contrib.auth.hashers import make_password
from django.utils import timezone
from django.utils.text import slugify

from society.demo.rules import Member, World
from society.members.models import Account, Person
from society.members.permissions import Viewer
from society.members.queries import viewer_of
from society.members.services import society_write
from society.review.models import Scope

# Letters and figures that cannot be taken for each other when read aloud.
SIGNS = "abcdefghjkmnpqrstuvwxyz23456789"
BEFORE_ALL_FINDS = dt.datetime(2020, 3, 1, tzinfo=dt.UTC)


@dataclass(frozen=True, slots=True)
class People:
    """Ids of people by key, scopes by person id, and a keeper to build as."""

    ids: dict[str, int]
    scopes: dict[int, list[Scope]]
    keeper: Viewer


def society_settle(world: World) -> None:
    society_write(
        {
            "name": world.society["name"],
            "region_name": world.society["region"],
            "season_start_month": world.society["season_starts_in_month"],
            "earliest_year": world.society["earliest_year"],
            "welcome": (
                "We walk the woods and pastures of Caldermoss from March to December, write down "
                "what we meet, and have it looked at by people who know their genera. "
                "The society, its woods and its people are invented, to try the logbook with."
            ),
        },
        actor_id=None,
    )


def people_add(world: World) -> tuple[People, list[tuple[str, str, str, str]]]:
    """Add everybody; return them with the sign-ins made."""
    ids: dict[str, int] = {}
    scopes: dict[int, list[Scope]] = {}
    signins = []
    keeper = None
    for member in world.people:
        person = Person.objects.create(
            display_name=member.name, initials=member.initials, created_at=BEFORE_ALL_FINDS
        )
        ids[member.key] = person.pk
        if member.sign_in:
            account, password = _account(member, person)
            signins.append((member.name, ", ".join(_roles(member)), account.email, password))
            if account.is_keeper and keeper is None:
                keeper = viewer_of(account)
        scopes[person.pk] = Scope.objects.bulk_create(
            Scope(
                person=person,
                rank=scope.rank,
                name=scope.name,
                created_at=BEFORE_ALL_FINDS,
            )
            for scope in member.scope
        )
    assert keeper is not None, "the demo's people hold a keeper"
    return People(ids, scopes, keeper), signins


def _account(member: Member, person: Person) -> tuple[Account, str]:
    password = password_made()
    account = Account.objects.create(
        email=f"{slugify(member.name)}@caldermoss.example",
        person=person,
        password=make_password(password),
        is_keeper="keeper" in member.roles,
        is_organiser="organiser" in member.roles,
        joined_at=timezone.now(),
    )
    return account, password


def password_made() -> str:
    """Return a password of four groups of four signs: 79 bits, easy to type from paper."""
    return "-".join("".join(secrets.choice(SIGNS) for _ in range(4)) for _ in range(4))


def _roles(member: Member) -> list[str]:
    """Return the roles, with what a referee referees."""
    scopes = ", ".join(scope.name or "everything" for scope in member.scope)
    return [
        f"referee for {scopes}" if role == "referee" else role
        for role in member.roles
        if role != "member" or len(member.roles) == 1
    ]
