"""The drawings: repeatable, different by view and species, showing what a referee looks for."""

import io
from collections.abc import Callable

import pytest
from PIL import Image, ImageChops

from society.demo.rules import Species, load_world
from society.demo.sketches import VIEWS, draw, views_of
from society.science.evidence import FORMS, VIEWS_BY_FORM

POOL = load_world().species


def named(name: str) -> Species:
    return load_world().named(name)


def picture(name: str, view: str, variant: int = 0) -> Image.Image:
    return Image.open(io.BytesIO(draw(named(name).row, view, variant=variant))).convert("RGB")


def share_of(image: Image.Image, wanted: Callable[[int, int, int], bool]) -> float:
    """The share of pixels for which a test on red, green, blue holds."""
    small = image.resize((180, 140))
    pixels = [small.getpixel((x, y)) for x in range(180) for y in range(140)]
    return sum(wanted(*p) for p in pixels if isinstance(p, tuple)) / len(pixels)


@pytest.mark.parametrize("species", POOL[::9], ids=lambda s: s.name)
def test_the_same_species_and_view_give_the_same_bytes(species: Species) -> None:
    for view in views_of(species.row):
        assert draw(species.row, view) == draw(species.row, view)


@pytest.mark.parametrize("form", FORMS)
def test_every_view_of_every_form_is_a_picture_of_its_own(form: str) -> None:
    species = next(s for s in POOL if s.form == form)
    views = views_of(species.row)
    assert set(views) <= set(VIEWS_BY_FORM[form])
    assert len(views) >= 3
    assert len({draw(species.row, view) for view in views}) == len(views)


def test_every_species_of_the_pool_can_be_drawn_from_the_side() -> None:
    drawn = {draw(s.row, "side", size=(300, 233)) for s in POOL}
    assert len(drawn) == len(POOL)


def test_any_view_of_the_list_is_drawn_for_any_form() -> None:
    for form in FORMS:
        species = next(s for s in POOL if s.form == form)
        for view in VIEWS:
            assert draw(species.row, view, size=(180, 140))[:2] == b"\xff\xd8"


def test_a_picture_has_the_size_asked_for_and_carries_no_device_data() -> None:
    image = Image.open(io.BytesIO(draw(named("Boletus edulis").row, "cap", size=(640, 480))))
    assert image.size == (640, 480)
    assert image.format == "JPEG"
    assert not image.getexif()


def test_another_variant_moves_the_hand_and_leaves_the_subject() -> None:
    one, two = picture("Amanita muscaria", "cap"), picture("Amanita muscaria", "cap", variant=1)
    assert ImageChops.difference(one, two).getbbox() is not None

    def red(r: int, g: int, b: int) -> bool:
        return r > 180 and g < 90 and b < 80

    assert share_of(one, red) == pytest.approx(share_of(two, red), abs=0.05)
    assert share_of(one, red) > 0.15


def test_an_unknown_view_is_refused() -> None:
    with pytest.raises(ValueError, match="no such view"):
        draw(named("Boletus edulis").row, "spores")


def without(name: str, mark: str) -> dict[str, object]:
    row = dict(named(name).row)
    row["marks"] = [m for m in row["marks"] if m != mark]
    return row


@pytest.mark.parametrize(
    ("name", "mark", "view"),
    [
        ("Lactarius deliciosus", "zoned", "cap"),
        ("Lactarius deliciosus", "greening", "cap"),
        ("Lactarius deliciosus", "pits", "side"),
        ("Amanita muscaria", "ring", "side"),
        ("Amanita muscaria", "warts", "cap"),
        ("Lactarius torminosus", "woolly_edge", "cap"),
        ("Boletus edulis", "stem_net", "side"),
        ("Leccinum scabrum", "stem_scabs", "side"),
        ("Neoboletus luridiformis", "bruises", "underside"),
        ("Cortinarius rubellus", "cobweb", "side"),
        ("Galerina marginata", "ring_low", "side"),
        ("Daldinia concentrica", "rings", "section"),
    ],
)
def test_a_mark_of_the_species_is_seen_in_the_view_that_shows_it(
    name: str, mark: str, view: str
) -> None:
    assert mark in named(name).row["marks"]
    bare = Image.open(io.BytesIO(draw(without(name, mark), view))).convert("RGB")
    difference = ImageChops.difference(picture(name, view), bare).convert("L")
    changed = sum(difference.histogram()[40:]) / (900 * 700)
    assert changed > 0.0005


def test_a_volva_is_drawn_at_the_base() -> None:
    row = dict(named("Amanita phalloides").row)
    row["figure"] = {**row["figure"], "base": "even"}
    bare = Image.open(io.BytesIO(draw(row, "stem_base"))).convert("RGB")
    difference = ImageChops.difference(picture("Amanita phalloides", "stem_base"), bare)
    assert sum(difference.convert("L").histogram()[40:]) / (900 * 700) > 0.02


def test_greening_shows_green_on_an_orange_cap() -> None:
    def green(r: int, g: int, b: int) -> bool:
        return g > r + 8 and g > b + 8 and g < 170

    assert share_of(picture("Lactarius deliciosus", "cap"), green) > 0.01
    bare = Image.open(io.BytesIO(draw(without("Lactarius deliciosus", "greening"), "cap")))
    assert share_of(bare.convert("RGB"), green) < 0.002


def test_half_an_hour_turns_the_cut_of_deterrimus_wine_red_but_not_that_of_deliciosus() -> None:
    def wine(r: int, g: int, b: int) -> bool:
        return 100 < r < 190 and g < 100 and b < 110 and r > g + 40 and b > g - 20

    assert share_of(picture("Lactarius deterrimus", "detail"), wine) > 0.02
    assert share_of(picture("Lactarius deterrimus", "section"), wine) < 0.005
    assert share_of(picture("Lactarius deliciosus", "detail"), wine) < 0.005


def test_a_bolete_that_blues_shows_blue_on_the_cut() -> None:
    def blue(r: int, g: int, b: int) -> bool:
        return b > r + 20 and b < 170

    assert share_of(picture("Neoboletus luridiformis", "section"), blue) > 0.01
    assert share_of(picture("Boletus edulis", "section"), blue) < 0.001


def test_pale_spores_show_on_black_and_dark_ones_on_white() -> None:
    for name in ("Amanita citrina", "Agaricus campestris"):
        image = picture(name, "spore_print")
        halves = [image.crop(box) for box in ((250, 150, 440, 530), (460, 150, 650, 530))]
        spread: list[int] = []
        for half in halves:
            low, high = half.convert("L").getextrema()
            assert isinstance(low, int)
            assert isinstance(high, int)
            spread.append(high - low)
        assert max(spread) > 120, name
