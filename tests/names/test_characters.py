"""The vocabulary's pages: every word has a drawing and one sentence, and opens them."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from django.db import connection
from django.template import Context, Template
from django.template.loader import render_to_string
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.names.models import Account, AccountState, Character, CharacterState
from society.names.queries.characters import (
    PART_WORDS,
    drawing_address,
    drawn_states,
    states_shown,
)
from society.names.services import DATA, checklist_load
from society.names.services.loading import _rows
from tests.make import make_society, make_taxon

DRAWINGS = Path(__file__).resolve().parents[2] / "static" / "drawings"
SVG = "{http://www.w3.org/2000/svg}"
# What an ink drawing needs; no words, scripts, styles, pictures or links.
ELEMENTS = {"svg", "symbol", "g", "path", "circle", "ellipse"}
ATTRIBUTES = {
    *("id", "viewBox", "fill", "fill-opacity", "stroke", "stroke-width", "stroke-linecap"),
    *("stroke-linejoin", "stroke-dasharray", "stroke-opacity", "transform", "d"),
    *("cx", "cy", "r", "rx", "ry"),
}
COLOUR = re.compile(r"none|currentColor|#[0-9A-Fa-f]{6}")


def states_of_the_file() -> dict[str, list[str]]:
    """The codes of the states, by character, as the vocabulary's file has them."""
    return {
        row["character"]: [state.partition("=")[0].strip() for state in row["states"].split("|")]
        for row in _rows(DATA / "characters.csv")
    }


VOCABULARY = states_of_the_file()


def sentences() -> list[tuple[str, str, str]]:
    return [(row["character"], row["state"], row["sentence"]) for row in _rows(DATA / "states.csv")]


@pytest.fixture
def ring(db: None) -> Character:
    """A character of the real vocabulary, with two of its states."""
    made = Character.objects.create(
        code="ring",
        part="stem",
        name="ring",
        sentence="What goes round the stem.",
        forms=["agaric"],
    )
    for position, (code, name) in enumerate((("none", "none"), ("hanging", "hanging"))):
        CharacterState.objects.create(
            character=made, code=code, name=name, position=position, sentence=f"It is {name}."
        )
    return made


def account_with(state: CharacterState, name: str, usual: str, danger: str = "") -> Account:
    account = Account.objects.create(taxon=make_taxon(name, danger=danger))
    AccountState.objects.create(
        account=account, character=state.character, state=state, usual=usual
    )
    return account


def test_the_vocabulary_is_the_whole_one():
    assert len(VOCABULARY) >= 93
    assert sum(map(len, VOCABULARY.values())) >= 640


@pytest.mark.parametrize("character", VOCABULARY)
def test_every_state_has_its_own_drawing_and_nothing_else_is_drawn(character: str):
    root = ET.parse(DRAWINGS / f"{character}.svg").getroot()
    drawn = [symbol.get("id") for symbol in root.findall(f"{SVG}symbol")]
    assert drawn == VOCABULARY[character]
    for symbol in root:
        assert symbol.get("viewBox") == "0 0 64 64"
        assert len(list(symbol.iter())) > 1, symbol.get("id")


@pytest.mark.parametrize("character", VOCABULARY)
def test_no_drawing_of_a_character_stands_for_two_states(character: str):
    root = ET.parse(DRAWINGS / f"{character}.svg").getroot()
    drawings = ["".join(ET.tostring(part, "unicode") for part in symbol) for symbol in root]
    # A taste cannot be drawn: its drawing is the slip on which somebody wrote it.
    assert len(set(drawings)) == (1 if character == "taste" else len(drawings))


@pytest.mark.parametrize("file", sorted(DRAWINGS.iterdir()), ids=lambda path: path.stem)
def test_a_drawing_holds_ink_and_colour_only(file: Path):
    assert file.stem in VOCABULARY
    for element in ET.parse(file).getroot().iter():
        assert element.tag.removeprefix(SVG) in ELEMENTS
        assert set(element.attrib) <= ATTRIBUTES, element.attrib
        assert not (element.text or "").strip()
        assert not (element.tail or "").strip()
        for name in ("fill", "stroke"):
            assert COLOUR.fullmatch(element.get(name, "none")), element.attrib


def test_every_state_has_one_sentence_of_its_own():
    told = sentences()
    assert [(character, state) for character, state, _sentence in told] == [
        (character, state) for character, states in VOCABULARY.items() for state in states
    ]
    assert len({(character, sentence) for character, _state, sentence in told}) == len(told)
    for _character, _state, sentence in told:
        assert re.fullmatch(r"[A-Z][^.!?<>]{15,230}\.", sentence), sentence


def test_no_sentence_proposes_to_taste_or_speaks_of_eating():
    for character, _state, sentence in sentences():
        words = set(re.findall(r"[a-z]+", sentence.lower()))
        assert not words & {"eat", "eaten", "edible", "eating", "delicious", "safe"}, sentence
        if words & {"taste", "tasted", "tasting"}:
            assert character == "taste"
            assert "nobody is asked to taste" in sentence
            assert "nothing about poison" in sentence


@pytest.mark.django_db
def test_loading_gives_every_state_its_sentence_and_leaves_a_keepers_own():
    first = checklist_load()
    assert first.leading_nowhere == ()
    assert not CharacterState.objects.filter(sentence="").exists()
    # States held from before there were sentences get theirs.
    CharacterState.objects.filter(character__code="ring").update(sentence="")
    assert checklist_load().new_rows == len(VOCABULARY["ring"])
    assert not CharacterState.objects.filter(sentence="").exists()
    state = CharacterState.objects.get(character__code="cap_shape", code="flat")
    state.sentence = "Flat as a plate."
    state.save()
    assert checklist_load().new_rows == 0
    state.refresh_from_db()
    assert state.sentence == "Flat as a plate."


def test_the_page_of_a_character_shows_each_state_and_who_shows_it(client: Client, ring: Character):
    make_society()
    hanging = ring.states.get(code="hanging")
    deadly = account_with(hanging, "Amanita phalloides", "always", danger="deadly")
    account_with(hanging, "Agaricus rarus", "sometimes")
    page = client.get("/characters/ring/")
    body = page.content.decode()
    assert page.status_code == 200
    assert "What goes round the stem." in body
    assert 'id="hanging"' in body
    assert "It is hanging." in body
    assert re.search(r'<use href="/static/drawings/ring(\.\w+)?\.svg#hanging"', body)
    assert f'href="/species/{deadly.taxon_id}/"' in body
    assert '<span class="danger">deadly</span>' in body
    assert "rarus" not in body
    brief = client.get("/characters/ring/?brief").content.decode()
    assert "It is hanging." in brief
    assert "phalloides" not in brief


def test_the_species_of_a_state_are_those_always_or_usually_so(ring: Character):
    hanging = ring.states.get(code="hanging")
    for name, usual in (("Zea usualis", "usually"), ("Alba semper", "always")):
        account_with(hanging, name, usual)
    for name, usual in (("Non unquam", "never"), ("Vix visa", "rarely")):
        account_with(hanging, name, usual)
    none, shown = states_shown(ring)
    assert none.species == ()
    assert [(row.parts[0][0], row.usual) for row in shown.species] == [
        ("Alba semper", "always"),
        ("Zea usualis", "usually"),
    ]


def test_pages_ask_as_often_for_many_as_for_few(client: Client, ring: Character):
    make_society()
    hanging = ring.states.get(code="hanging")

    def asked() -> list[int]:
        counts = []
        for address in ("/characters/", "/characters/?form=agaric", "/characters/ring/"):
            client.get(address)
            with CaptureQueriesContext(connection) as queries:
                assert client.get(address).status_code == 200
            counts.append(len(queries))
        return counts

    account_with(hanging, "Amanita prima", "always")
    few = asked()
    for number in range(20):
        letters = chr(ord("a") + number)
        account_with(hanging, f"Amanita plura{letters}", "usually")
        other = Character.objects.create(
            code=f"other_{letters}", part="cap", name=letters, forms=["agaric"]
        )
        CharacterState.objects.create(character=other, code="x", name="x")
        CharacterState.objects.create(character=ring, code=f"s{letters}", name=letters)
    assert asked() == few
    assert max(few) <= 5


def test_the_index_is_filtered_by_form_and_shows_its_drawings(client: Client, ring: Character):
    make_society()
    Character.objects.create(code="uv", part="lichen", name="under UV", forms=["lichen"])
    Character.objects.create(code="smell", part="smell", name="smell", forms=["all"])
    names = re.compile(r'class="characters-name"\s+href="/characters/(\w+)/"')
    everything = client.get("/characters/").content.decode()
    assert set(names.findall(everything)) == {"ring", "uv", "smell"}
    assert "<use" not in everything
    agarics = client.get("/characters/?form=agaric").content.decode()
    assert set(names.findall(agarics)) == {"ring", "smell"}
    assert "drawings/ring" in agarics
    unknown = client.get("/characters/?form=pebble").content.decode()
    assert set(names.findall(unknown)) == {"ring", "uv", "smell"}


def test_a_character_that_nobody_drew_still_has_its_page(client: Client, db: None):
    make_society()
    made = Character.objects.create(code="sheen", part="lustre", name="sheen", forms=["agaric"])
    CharacterState.objects.create(character=made, code="dull", name="dull")
    assert drawn_states("sheen") == ()
    assert drawing_address("sheen", "dull") == ""
    assert drawing_address("ring", "no-such-state") == ""
    for address in ("/characters/sheen/", "/characters/?form=agaric"):
        page = client.get(address)
        assert page.status_code == 200
        assert "<use" not in page.content.decode()
    assert client.get("/characters/no-such/").status_code == 404


def test_a_taste_is_never_asked_for_and_says_so(client: Client, db: None):
    make_society()
    Character.objects.create(
        code="taste", part="taste", name="taste", forms=["all"], never_asked=True
    )
    body = client.get("/characters/taste/").content.decode()
    assert "never asked for" in body
    assert "Tasting is never proposed here" in body


def test_pages_stay_in_the_readers_own_browser(client: Client, ring: Character):
    make_society()
    for address in ("/characters/", "/characters/ring/"):
        kept = client.get(address)["Cache-Control"]
        assert set(kept.split(", ")) == {"max-age=60", "private"}


def test_a_word_links_to_its_state_and_escapes_what_it_says():
    html = render_to_string(
        "names/_character_word.html",
        {
            "character_code": "ring",
            "character_name": "ring <b>",
            "state_code": 'x"><script>',
            "state_name": "<i>hanging</i>",
        },
    )
    assert "<script>" not in html
    assert "<b>" not in html
    assert "<i>" not in html
    assert "&lt;i&gt;hanging&lt;/i&gt;" in html
    assert 'href="/characters/ring/#x%22%3E%3Cscript%3E"' in html


def test_a_word_without_a_state_is_the_characters_own():
    html = render_to_string(
        "names/_character_word.html", {"character_code": "ring", "character_name": "ring"}
    )
    assert re.search(r'href="/characters/ring/"[^>]*>ring</a>', html)


def test_the_drawing_tag_shows_a_drawing_or_nothing():
    template = Template("{% load characters %}{% drawing code state %}")
    shown = template.render(Context({"code": "ring", "state": "hanging"}))
    assert "#hanging" in shown
    assert 'aria-hidden="true"' in shown
    assert template.render(Context({"code": "ring", "state": "<b>"})).strip() == ""


def test_what_boletes_and_brackets_have_is_no_part_of_the_gills():
    rows = list(_rows(DATA / "characters.csv"))
    of_gills = [row for row in rows if row["part"] == "gills"]
    assert of_gills
    of_others = [row for row in of_gills if {"bolete", "bracket"} & set(row["form"].split("|"))]
    assert of_others == []
    assert {row["part"] for row in rows} <= set(PART_WORDS)
