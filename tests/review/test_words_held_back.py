"""Words that may tell a secret place are kept back with it, from pages as from files."""

import pytest
from django.test import Client

from society.finds.models import Find
from society.finds.services import SlipEntry
from society.review.services import comment_add
from tests.make import make_account, make_find, make_referee, make_site, viewer

pytestmark = pytest.mark.django_db

NOTES = "Under the third larch past the sheepfold."
HABITAT = "larches above the sheepfold"
REMARK = "Named beside the sheepfold wall."
COMMENT = "I will go back to the sheepfold on Sunday."


@pytest.fixture
def secret_find() -> Find:
    ann = make_account("Ann")
    find = make_find(
        ann,
        site=make_site("Fold Plantation"),
        made_secret=2,
        slip=SlipEntry(name_written="Lactarius", remarks=REMARK),
        plain={"notes": NOTES, "habitat": HABITAT},
    )
    comment_add(find.pk, text=COMMENT, by=viewer(ann))
    return find


def _page(client: Client, find: Find) -> str:
    return client.get(f"/finds/{find.year}/{find.number}/").content.decode()


def test_a_member_without_the_exact_place_reads_none_of_them(client, secret_find) -> None:
    client.force_login(make_account("Ben"))

    page = _page(client, secret_find)

    assert "sheepfold" not in page
    assert "held back with the place" in page


def test_finder_and_referee_in_scope_read_all_of_them(client, secret_find) -> None:
    for account in (secret_find.finder.account, make_referee("Carl")):
        client.force_login(account)
        page = _page(client, secret_find)
        for words in (NOTES, HABITAT, REMARK, COMMENT):
            assert words in page
        assert "held back with the place" not in page


def test_nothing_is_held_back_where_the_place_is_not_secret(client) -> None:
    find = make_find(site=make_site(), plain={"notes": NOTES})
    client.force_login(make_account("Ben"))

    assert NOTES in _page(client, find)
