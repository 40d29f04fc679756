"""The fixed cast holds what the contract tests rely on."""

import io

from django.core.files.storage import default_storage
from PIL import Image

from society.finds.models import Standing
from society.names.models import Sensitivity
from society.places.models import Openness
from tests import make
from tests.cast import CANARY, PERSONAS, SECRET_PLACE, SENSITIVE_PLACE, Cast


def test_every_kind_of_reader_is_there(cast: Cast) -> None:
    assert [cast.account(persona) is None for persona in PERSONAS] == [True] + [False] * 7
    assert make.viewer(cast.bea).scopes == (("family", "Russulaceae"),)
    assert make.viewer(cast.carl).scopes == (("all", ""),)
    assert make.viewer(cast.olive).is_organiser
    assert make.viewer(cast.kay).is_keeper
    assert not make.viewer(cast.inactive).is_member
    assert cast.leaver.left_at is not None
    assert cast.leaver.display_name == "a former member"


def test_every_kind_of_find_is_there(cast: Cast) -> None:
    standings = {name: find.standing for name, find in cast.finds.items()}
    assert standings == {
        "plain": Standing.UNCONFIRMED,
        "confirmed": Standing.CONFIRMED,
        "disputed": Standing.DISPUTED,
        "withdrawn": Standing.UNCONFIRMED,
        "sensitive": Standing.CONFIRMED,
        "secret": Standing.CONFIRMED,
    }
    assert [name for name, find in cast.finds.items() if find.withdrawn_at] == ["withdrawn"]
    assert cast.sensitive.secrecy == Sensitivity.HIGH
    assert cast.secret.secrecy == Sensitivity.HIGH
    assert cast.secret.site == cast.kept_site
    assert cast.kept_site.openness == Openness.KEPT
    assert not cast.kept_site.may_lift_and_cut
    assert cast.sensitive.lat_e7 == SENSITIVE_PLACE.lat_e7
    assert cast.secret.lon_e7 == SECRET_PLACE.lon_e7


def test_the_photograph_names_a_place_which_no_rendition_does(cast: Cast) -> None:
    with default_storage.open(cast.photograph.original) as file:
        original = file.read()
    assert CANARY.encode() in original
    assert Image.open(io.BytesIO(original)).getexif().get_ifd(0x8825)[1] == "N"
    cast.photograph.refresh_from_db()
    assert cast.photograph.renditions
    for key in cast.photograph.renditions.values():
        with default_storage.open(key) as file:
            made = file.read()
        assert CANARY.encode() not in made
        assert not Image.open(io.BytesIO(made)).getexif()


def test_what_hangs_on_the_finds_is_there(cast: Cast) -> None:
    assert cast.comment.text.raw == "Was the milk <b>orange</b> at once?"
    assert cast.eating_note.text.on_eating
    assert cast.draft.owner == cast.ann
    assert cast.confirmed.companions.get() == cast.ben.person
    assert cast.disputed.slips.count() == 2
    assert cast.invitation.used_at is None
