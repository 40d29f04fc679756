"""Grid references against the survey's own points, public texts and a general library.

Each row names its source and a mark: VERIFIED (read in a public text of the kind named),
COMPUTED (made with a general coordinate library or by arithmetic, no publication).
Sources: OSGUIDE = Ordnance Survey, "A guide to coordinate systems in Great Britain";
OSTN15 = Ordnance Survey, OSTN15 developer test points; GN7-2 = EPSG Guidance Note 7-2;
MMCG = Ordnance Survey Ireland and OSNI (1999), "Making maps compatible with GPS";
ENC = public encyclopedia article on the Irish grid; MGRSDOC = public descriptions of MGRS.
"""

import math

import mgrs
import pytest

from society.science.positions import (
    Position,
    Refusal,
    format_british_grid,
    format_irish_grid,
    format_military,
    read_position,
    square_corner,
)
from society.science.positions.lettered import (
    TETRAD_LETTERS,
    british_letters,
    irish_letters,
    reference_at,
)
from society.science.positions.projections import (
    AIRY_1830,
    BRITISH_GRID,
    IRISH_GRID,
    IRISH_SHIFT,
    OSGB36_SHIFT,
    WGS84,
    TransverseMercator,
    grid_to_wgs84,
    utm,
    wgs84_to_grid,
)

CAISTER_LAT = 52 + 39 / 60 + 27.2531 / 3600
CAISTER_LON = 1 + 43 / 60 + 4.5177 / 3600
CAISTER_EAST, CAISTER_NORTH = 651409.903, 313177.270


def apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return math.dist(one, other)


def arc_seconds(one: float, other: float) -> float:
    return abs(one - other) * 3600


def metres_between(lat: float, lon: float, other_lat: float, other_lon: float) -> float:
    one, other = WGS84.to_geocentric(lat, lon), WGS84.to_geocentric(other_lat, other_lon)
    return math.dist(one, other)


# --- the British projection -------------------------------------------------------------


def test_the_surveys_worked_example_goes_from_degrees_to_metres() -> None:
    # OS-1, OSGUIDE, VERIFIED
    found = BRITISH_GRID.forward(CAISTER_LAT, CAISTER_LON)
    assert apart(found, (CAISTER_EAST, CAISTER_NORTH)) < 0.001


def test_the_surveys_worked_example_goes_from_metres_to_degrees() -> None:
    # OS-2, OSGUIDE, VERIFIED, 0.0001 arc second
    lat, lon = BRITISH_GRID.inverse(CAISTER_EAST, CAISTER_NORTH)
    assert arc_seconds(lat, CAISTER_LAT) < 0.0001
    assert arc_seconds(lon, CAISTER_LON) < 0.0001


def test_the_worked_example_moves_to_wgs84() -> None:
    # OS-3, OSGUIDE parameters, VERIFIED, 0.001 arc second
    lat, lon = grid_to_wgs84(BRITISH_GRID, OSGB36_SHIFT, CAISTER_EAST, CAISTER_NORTH)
    assert arc_seconds(lat, 52 + 39 / 60 + 28.723 / 3600) < 0.001
    assert arc_seconds(lon, 1 + 42 / 60 + 57.787 / 3600) < 0.001


def test_the_registrys_transverse_mercator_example() -> None:
    # EPSG-1, GN7-2, VERIFIED, 0.02 m (printed with rounded constants)
    assert apart(BRITISH_GRID.forward(50.5, 0.5), (577274.99, 69740.50)) < 0.02
    assert AIRY_1830.a == 6377563.396


OSTN15_POINTS = [
    # OSTN15, VERIFIED: latitude, longitude (ETRS89), easting, northing, reference;
    # last: by how much the Helmert shift misses, COMPUTED with PROJ 9.5.1
    (49.92226393730, -6.29977752014, 91492.146, 11318.804, "SV 91492 11318", 4.74),  # TP01
    (51.37447025550, 1.44454730409, 639821.835, 169565.858, "TR 39821 69565", 1.92),  # TP07
    (51.48936564950, -0.11992557180, 530624.974, 178388.464, "TQ 30624 78388", 1.74),  # TP09
    (53.80021520, -1.66379168, 422242.186, 433818.701, "SE 22242 33818", 1.74),  # TP20
    (54.32919541, -4.38849118, 244780.636, 495254.887, "SC 44780 95254", 1.35),  # TP23
    (55.85399953, -4.29649016, 256340.925, 664697.269, "NS 56340 64697", 1.06),  # TP26
    (55.92478266, -3.29479219, 319188.434, 670947.534, "NT 19188 70947", 0.57),  # TP27
    (57.48625001, -4.21926399, 267056.768, 846176.972, "NH 67056 46176", 1.79),  # TP30
    (57.81351838, -8.57854456, 9587.909, 899448.996, "NF 09587 99448", 4.94),  # TP31
    (59.85409914, -1.27486910, 440725.073, 1107878.448, "HU 40725 07878", 0.66),  # TP39
    (60.13308092, -2.07382823, 395999.668, 1138728.951, "HT 95999 38728", 1.21),  # TP40
]


@pytest.mark.parametrize(("lat", "lon", "east", "north", "ref", "miss"), OSTN15_POINTS)
def test_the_surveys_own_points_are_met_within_five_metres(
    lat: float, lon: float, east: float, north: float, ref: str, miss: float
) -> None:
    found = apart(wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, lat, lon), (east, north))
    assert found < 5.0
    assert found == pytest.approx(miss, abs=0.02)
    assert reference_at(british_letters(east, north) or "", east, north, 1) == ref
    place = read_position(ref)
    assert isinstance(place, Position)
    off = metres_between(place.lat, place.lon, lat, lon)
    assert off < 5.0 + math.sqrt(2)  # the reference itself was cut to a metre
    assert off <= place.uncertainty_m + 0.5


# --- British letters --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "reference"),
    [
        # OS-4, arithmetic on the OSGUIDE point, COMPUTED: cut, not rounded
        (1, "TG 51409 13177"),
        (10, "TG 5140 1317"),
        (100, "TG 514 131"),
        (1_000, "TG 51 13"),
        (10_000, "TG 5 1"),  # row OS-4 leaves this step out
        (100_000, "TG"),
        (2_000, "TG51B"),  # TET-2, arithmetic, COMPUTED
    ],
)
def test_the_worked_example_is_lettered_at_every_precision(side: int, reference: str) -> None:
    assert british_letters(CAISTER_EAST, CAISTER_NORTH) == "TG"
    assert reference_at("TG", CAISTER_EAST, CAISTER_NORTH, side) == reference
    lat, lon = grid_to_wgs84(BRITISH_GRID, OSGB36_SHIFT, CAISTER_EAST, CAISTER_NORTH)
    assert format_british_grid(lat, lon, side) == reference  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "centre", "side", "uncertainty"),
    [
        # OS-5, OS-6, arithmetic, COMPUTED; radius: half diagonal rounded up + 5 m for Helmert
        ("TG 51409 13177", (651409.5, 313177.5), 1, 1 + 5),
        ("TG 514 131", (651450.0, 313150.0), 100, 71 + 5),
        # OS-7, OSTN15 TP31 cut, VERIFIED: the leading zero must stay
        ("NF 095 994", (9550.0, 899450.0), 100, 71 + 5),
    ],
)
def test_a_reference_names_a_square_and_gives_its_centre(
    text: str, centre: tuple[float, float], side: int, uncertainty: int
) -> None:
    place = read_position(text)
    assert isinstance(place, Position)
    found = wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, place.lat, place.lon)
    assert apart(found, centre) < 0.01
    assert (place.side_m, place.uncertainty_m) == (side, uncertainty)
    assert place.grid_reference == text


def test_corners_of_lettered_squares() -> None:
    assert square_corner("TG") == (600_000, 300_000)  # OSGUIDE point, COMPUTED
    assert square_corner("NF") == (0, 800_000)  # OSTN15 TP31, VERIFIED
    assert square_corner("SV") == (0, 0)  # OSTN15 TP01 lies in it, VERIFIED


@pytest.mark.parametrize(
    ("text", "code"),
    [
        # BAD-1, rules of the lettering, COMPUTED
        ("NY 12345", "odd_figures"),
        ("IY 123 456", "unknown_square"),
        ("NI 123 456", "unknown_square"),
        ("NY 12a 456", "stray_letter"),
        ("ZZ 123 456", "unknown_square"),
    ],
)
def test_faulty_references_are_refused_with_a_reason(text: str, code: str) -> None:
    answer = read_position(text)
    assert isinstance(answer, Refusal)
    assert answer.code == code


@pytest.mark.parametrize("text", ["ny123456", " NY  123   456 ", "Ny 123456", "ny 123 456"])
def test_lower_case_and_extra_blanks_are_accepted(text: str) -> None:
    # BAD-1's note, COMPUTED
    place = read_position(text)
    assert isinstance(place, Position)
    assert place.grid_reference == "NY 123 456"


# --- tetrads ----------------------------------------------------------------------------


def test_the_25_tetrad_letters_stand_as_printed() -> None:
    # TET-1, public encyclopedia article on tetrads, VERIFIED; rows from the north
    rows = ["EJPUZ", "DINTY", "CHMSX", "BGLRW", "AFKQV"]
    found = [
        "".join(reference_at("TQ", 2_000 * x + 1, 2_000 * y + 1, 2_000)[-1] for x in range(5))
        for y in reversed(range(5))
    ]
    assert found == rows
    assert "O" not in TETRAD_LETTERS
    assert len(set(TETRAD_LETTERS)) == 25


@pytest.mark.parametrize(
    ("east", "north", "tetrad"),
    [
        # TET-2, arithmetic on the points above, COMPUTED
        (256340.925, 664697.269, "NS56S"),
        (530624.974, 178388.464, "TQ37E"),
        (651409.903, 313177.270, "TG51B"),
        (9587.909, 899448.996, "NF09Z"),
    ],
)
def test_points_lie_in_their_tetrads(east: float, north: float, tetrad: str) -> None:
    assert reference_at(british_letters(east, north) or "", east, north, 2_000) == tetrad
    place = read_position(tetrad)
    assert isinstance(place, Position)
    found = wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, place.lat, place.lon)
    centre = (east // 2_000 * 2_000 + 1_000, north // 2_000 * 2_000 + 1_000)
    assert apart(found, centre) < 0.01
    assert place.side_m == 2_000
    assert place.uncertainty_m == 1_415 + 5


# --- Ireland ----------------------------------------------------------------------------


def test_the_irish_true_origin() -> None:
    # IG-1, ENC and MMCG, VERIFIED: by definition
    assert apart(IRISH_GRID.forward(53.5, -8.0), (200000.0, 250000.0)) < 0.001
    assert irish_letters(200000.0, 250000.0) == "N"
    assert reference_at("N", 200000.0, 250000.0, 100) == "N 000 500"


def test_the_newer_irish_projection_at_its_origin() -> None:
    # IG-2, public description of ITM, VERIFIED: by definition (the drawing only; not read)
    itm = TransverseMercator(WGS84, 53.5, -8.0, 0.99982, 600_000.0, 750_000.0)
    assert apart(itm.forward(53.5, -8.0), (600000.0, 750000.0)) < 0.001


def test_the_irish_datum_shift_is_not_left_out() -> None:
    # IG-3, PROJ with MMCG Helmert, COMPUTED, 1.5 m
    assert apart(wgs84_to_grid(IRISH_GRID, IRISH_SHIFT, 53.5, -8.0), (200049.0, 249976.4)) < 1.5


def test_the_spire_of_dublin() -> None:
    # IG-4, ENC, VERIFIED; IG-5, PROJ with MMCG Helmert, COMPUTED, 2 m
    assert irish_letters(315904, 234671) == "O"
    assert reference_at("O", 315904, 234671, 1) == "O 15904 34671"
    assert reference_at("O", 315904, 234671, 100) == "O 159 346"
    lat, lon = grid_to_wgs84(IRISH_GRID, IRISH_SHIFT, 315904, 234671)
    assert metres_between(lat, lon, 53.349796, -6.260249) < 2.0
    assert format_irish_grid(lat, lon, 100) == "O 159 346"
    place = read_position("O 15904 34671")
    assert isinstance(place, Position)
    assert place.system == "irish_grid"
    assert metres_between(place.lat, place.lon, 53.349796, -6.260249) < 2.0


def test_the_25_irish_letters_run_from_the_north_west() -> None:
    # IG-4, ENC, VERIFIED
    assert square_corner("A") == (0, 400_000)
    assert square_corner("V") == (0, 0)
    assert square_corner("Z") == (400_000, 0)
    assert square_corner("I") is None


def test_an_irish_square_of_a_kilometre() -> None:
    # IG-6, ENC, VERIFIED: south-west corner 103000, 305000
    place = read_position("G 03 05")
    assert isinstance(place, Position)
    found = wgs84_to_grid(IRISH_GRID, IRISH_SHIFT, place.lat, place.lon)
    assert apart(found, (103500.0, 305500.0)) < 0.01
    assert place.side_m == 1_000


# --- UTM and MGRS -----------------------------------------------------------------------


def test_utm_points() -> None:
    # UTM-1, PROJ, COMPUTED, 1 m (Chapman & Wieczorek 2020 print a value 2.8 m off it)
    found = utm(30, south=False).forward(51.500721, -0.124430)
    assert apart(found, (699579.0, 5709430.0)) < 1.0
    assert apart(found, (699582.0, 5709431.0)) < 5.0
    # UTM-2, PROJ, COMPUTED, 1 m
    lat, lon = 43 + 38 / 60 + 33.24 / 3600, -(79 + 23 / 60 + 13.7 / 3600)
    assert apart(utm(17, south=False).forward(lat, lon), (630084.0, 4833438.0)) < 1.0


MILITARY_POINTS = [
    # MGRS-1 to MGRS-6, general MGRS library, COMPUTED
    (51.500721, -0.124430, "30U XC 99579 09430"),
    (43.642566667, -79.387138889, "17T PJ 30084 33438"),
    (60.39, 5.32, "32V KN 97230 00510"),  # Norway: zone 32, not 31
    (78.22, 15.65, "33X WG 14813 83004"),  # Svalbard
    (21.309444, -157.916861, "04Q FJ 12340 56781"),  # square 4Q FJ: MGRSDOC, VERIFIED
    (-33.857, 151.215, "56H LH 34873 52266"),  # southern half
]


@pytest.mark.parametrize(("lat", "lon", "reference"), MILITARY_POINTS)
def test_military_references_both_ways(lat: float, lon: float, reference: str) -> None:
    assert format_military(lat, lon, 1) == reference
    place = read_position(reference)
    assert isinstance(place, Position)
    assert (place.system, place.side_m, place.uncertainty_m) == ("mgrs", 1, 1)
    assert metres_between(place.lat, place.lon, lat, lon) < 0.75


@pytest.mark.parametrize(("lat", "lon", "reference"), MILITARY_POINTS)
def test_military_references_agree_with_a_general_library(
    lat: float, lon: float, reference: str
) -> None:
    library = mgrs.MGRS()
    assert library.toMGRS(lat, lon, True, 5) == reference.replace(" ", "")


def test_military_references_are_cut_not_rounded() -> None:
    # MGRS-7, MGRSDOC, VERIFIED
    fine, cut = read_position("4Q FJ 12345 67890"), read_position("4Q FJ 123 678")
    assert isinstance(fine, Position)
    assert isinstance(cut, Position)
    assert format_military(fine.lat, fine.lon, 100) == "04Q FJ 123 678"
    assert cut.side_m == 100


@pytest.mark.parametrize("zone", [32, 34, 36])
def test_zones_left_out_over_svalbard_do_not_exist(zone: int) -> None:
    # MGRS-4's note, COMPUTED
    columns = {32: "JKLMNPQR", 34: "ABCDEFGH", 36: "STUVWXYZ"}[zone]
    answers = [read_position(f"{zone}X {column}G 12 34") for column in columns]
    assert all(isinstance(a, Refusal) and a.code == "unknown_square" for a in answers)
