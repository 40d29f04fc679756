"""The plan of the invented society: repeatable, complete, and true to its own rules."""

import csv
import datetime as dt
import random
from collections import Counter
from pathlib import Path

import pytest

from society.demo.rules import (
    LAST_DAY,
    SEASONS,
    Plan,
    PlannedFind,
    World,
    demo_plan,
    host_matches,
    load_world,
    month_weight,
    plan,
    season_of,
    suits,
    up_to,
)
from society.demo.rules.characters import Noticeable, characters_seen
from society.science.evidence import VIEWS_BY_FORM

ROOT = Path(__file__).resolve().parents[2]
NAMES = ROOT / "society" / "names" / "data"
OUTCOMES = {
    "confirmed",
    "unconfirmed",
    "disputed",
    "asked",
    "left_open",
    "by_its_referee",
    "from_the_books",
}


@pytest.fixture(scope="module")
def world() -> World:
    return load_world()


@pytest.fixture(scope="module")
def whole() -> Plan:
    return demo_plan()


def field_finds(whole: Plan) -> list[PlannedFind]:
    return [f for f in whole.finds if f.outcome != "from_the_books"]


def inside_by_winding(ring: list[list[float]], lon: float, lat: float) -> bool:
    """Winding number: another way to it than the rules' own counting of crossings."""
    turns = 0
    for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
        side = (x2 - x1) * (lat - y1) - (lon - x1) * (y2 - y1)
        if y1 <= lat < y2 and side > 0:
            turns += 1
        elif y2 <= lat < y1 and side < 0:
            turns -= 1
    return turns != 0


def test_the_same_seed_gives_the_same_plan_and_another_seed_another(
    whole: Plan, world: World
) -> None:
    assert demo_plan() == whole
    other = plan(random.Random(7), world)
    assert other != whole
    assert len(other.finds) == len(whole.finds)


def test_the_society_has_its_stated_size(whole: Plan, world: World) -> None:
    assert len(world.sites) == 12
    assert len(world.people) == 25
    assert len(whole.forays) == 40
    assert 1150 <= len(whole.finds) <= 1250
    assert len({f.key for f in whole.finds}) == len(whole.finds)
    assert len({f.uuid for f in whole.finds}) == len(whole.finds)
    assert sum(not p.sign_in for p in world.people) == 4
    assert sum("keeper" in p.roles for p in world.people) == 2
    assert sum("organiser" in p.roles for p in world.people) == 2
    assert 5 <= sum(bool(p.scope) for p in world.people) <= 8


def test_finds_and_forays_lie_in_the_three_seasons_but_for_the_old_notebooks(whole: Plan) -> None:
    days = [f.day for f in field_finds(whole)] + [f.day for f in whole.forays]
    assert {season_of(day) for day in days} == set(SEASONS)
    assert max(days) <= LAST_DAY
    books = [f for f in whole.finds if f.outcome == "from_the_books"]
    assert books
    assert all(1971 <= f.day.year <= 1995 for f in books)


def test_each_find_keeps_the_months_of_its_species(whole: Plan, world: World) -> None:
    for find in whole.finds:
        species = world.named(find.species)
        first, last = species.months
        months = {(first - 1 + i) % 12 + 1 for i in range((last - first) % 12 + 1)}
        assert find.day.month in months, find


def test_most_finds_of_an_autumn_species_come_near_its_peak(whole: Plan, world: World) -> None:
    finds = [f for f in whole.finds if world.named(f.species).months == (8, 11)]
    by_month = Counter(f.day.month for f in finds)
    assert by_month[9] + by_month[10] > 3 * (by_month[8] + by_month[11])


def test_a_bell_has_its_top_at_the_peak_and_nothing_outside(world: World) -> None:
    cap = world.named("Calocybe gambosa")
    assert month_weight(cap, dt.date(2025, 5, 4)) > month_weight(cap, dt.date(2025, 4, 4)) > 0
    assert month_weight(cap, dt.date(2025, 3, 31)) == 0
    winter = world.named("Flammulina velutipes")
    assert month_weight(winter, dt.date(2025, 1, 10)) > 0
    assert month_weight(winter, dt.date(2025, 7, 1)) == 0


def test_each_find_stands_where_soil_habitat_and_host_of_its_species_are(
    whole: Plan, world: World
) -> None:
    for find in whole.finds:
        species, site = world.named(find.species), world.site(find.site)
        assert suits(species, site), find
        if not species.hosts:
            continue
        played = [o.name for o in find.organisms if o.part in ("host", "probable_host")]
        assert played, find
        for name in played:
            assert any(host_matches(h, name) for h in species.hosts), find


def test_every_organism_named_grows_at_the_site(whole: Plan, world: World) -> None:
    for find in whole.finds:
        there = world.site(find.site).hosts
        for organism in find.organisms:
            assert any(t == organism.name or t.startswith(organism.name + " ") for t in there)


def test_points_lie_inside_the_boundary_of_their_site(whole: Plan, world: World) -> None:
    rings = {s.key: s.boundary["coordinates"][0] for s in world.sites}
    pointed = [f for f in whole.finds if f.point]
    assert len(pointed) > 800
    for find in pointed:
        assert find.point is not None
        lat, lon = find.point
        assert inside_by_winding(rings[find.site], lon, lat), find


def test_boundaries_are_closed_and_of_the_size_they_state(world: World) -> None:
    shapely = pytest.importorskip("shapely.geometry")
    pyproj = pytest.importorskip("pyproj")
    geod = pyproj.Geod(ellps="WGS84")
    shapes = []
    for site in world.sites:
        ring = site.boundary["coordinates"][0]
        assert ring[0] == ring[-1]
        assert 8 <= len(ring) - 1 <= 20
        shape = shapely.Polygon(ring)
        assert shape.is_valid
        hectares = abs(geod.geometry_area_perimeter(shape)[0]) / 10_000
        assert hectares == pytest.approx(site.hectares, rel=0.01)
        assert 10 <= hectares <= 120
        shapes.append(shape)
    for i, one in enumerate(shapes):
        assert not any(one.intersects(two) for two in shapes[i + 1 :])


def test_every_outcome_is_there_in_about_its_share(whole: Plan) -> None:
    shares = Counter(f.outcome for f in whole.finds)
    assert set(shares) == OUTCOMES
    assert 0.54 <= shares["confirmed"] / len(whole.finds) <= 0.66
    assert 0.15 <= shares["unconfirmed"] / len(whole.finds) <= 0.25
    assert min(shares.values()) >= 10


def test_nobody_settles_their_own_find_and_every_verdict_is_in_scope(
    whole: Plan, world: World
) -> None:
    for find in whole.finds:
        species = world.named(find.species)
        for verdict in find.verdicts:
            assert verdict.by != find.finder
            assert world.person(verdict.by).referees(species)
            assert verdict.slip is not None
            assert verdict.slip < len(find.slips)
            assert find.day <= verdict.day <= LAST_DAY
        if find.outcome == "by_its_referee":
            assert world.person(find.finder).referees(species)


def test_what_the_verdicts_say_fits_the_outcome(whole: Plan, world: World) -> None:
    kind = {
        "confirmed": "confirm",
        "disputed": "dispute",
        "asked": "ask",
        "left_open": "leave_open",
    }
    for find in whole.finds:
        expected = [kind[find.outcome]] if find.outcome in kind else []
        assert [v.kind for v in find.verdicts] == expected
        if find.outcome == "confirmed":
            slip = find.slips[find.verdicts[0].slip or 0]
            species = world.named(find.species)
            assert slip.written in (species.name, *species.older)
        if find.outcome == "disputed":
            assert find.slips[0].written != find.species
            assert find.verdicts[0].reason


def test_nothing_is_lifted_cut_or_asked_for_where_the_site_forbids_it(
    whole: Plan, world: World
) -> None:
    strict = [f for f in whole.finds if world.site(f.site).picking == "nothing"]
    assert len(strict) > 30
    for find in strict:
        assert not {"section", "stem_base", "detail"} & set(find.views)
        assert find.base in ("", "not_seen")
        assert find.readings == ()
        assert find.spore_print == ""
        assert not find.specimen_kept
        assert {v.wanted for v in find.verdicts} <= {"", "hosts", "habitat"}


def test_views_are_those_the_form_allows(whole: Plan) -> None:
    for find in whole.finds:
        assert set(find.views) <= set(VIEWS_BY_FORM[find.form])


def milk_at(find: PlannedFind, minute: int) -> set[str]:
    return {
        s.seen for r in find.readings if r.exposed == "milk" for s in r.steps
        if s.minute == minute and s.looked
    }  # fmt: skip


def test_milk_after_half_an_hour_tells_deliciosus_from_deterrimus(whole: Plan) -> None:
    seen: dict[str, set[str]] = {}
    for find in whole.finds:
        if find.species in ("Lactarius deliciosus", "Lactarius deterrimus"):
            seen.setdefault(find.species, set()).update(milk_at(find, 30))
            assert milk_at(find, 0) <= {"carrot orange"}
    assert seen["Lactarius deliciosus"] == {"carrot orange"}
    assert seen["Lactarius deterrimus"] == {"wine red"}


def test_a_missed_minute_says_nothing(whole: Plan) -> None:
    steps = [s for f in whole.finds for r in f.readings for s in r.steps]
    missed = [s for s in steps if not s.looked]
    assert missed
    assert all(s.seen == "" for s in missed)
    assert all(s.seen for s in steps if s.looked)
    assert {s.minute for s in steps} == {0, 5, 10, 30}


def test_readings_cover_milk_bruising_and_reagents(whole: Plan) -> None:
    exposed = {r.exposed for f in whole.finds for r in f.readings}
    assert {"milk", "flesh", "pores", "stem", "reagent"} <= exposed
    reagents = {r.reagent for f in whole.finds for r in f.readings if r.exposed == "reagent"}
    assert "iron salts on stem" in reagents
    assert "KOH on cap" in reagents


def test_an_unsettled_milk_cap_has_both_trees_and_no_later_look(whole: Plan) -> None:
    wanted = {"Picea abies", "Pinus sylvestris"}
    finds = [
        f for f in whole.finds
        if f.species == "Lactarius deterrimus" and f.outcome == "left_open"
        and {o.name for o in f.organisms} == wanted
    ]  # fmt: skip
    assert finds
    assert any(not s.looked for r in finds[0].readings for s in r.steps if s.minute == 30)


def test_names_are_written_as_people_write_them(whole: Plan, world: World) -> None:
    accepted = {s.name for s in world.species}
    older = {o for s in world.species for o in s.older}
    first = [f.slips[0].written for f in whole.finds if f.slips]
    assert any(not f.slips for f in whole.finds)
    assert any(w in older for w in first)
    assert any(" cf. " in w for w in first)
    assert any(w.endswith(" sp.") for w in first)
    odd = {w for w in first if w not in accepted | older and ". " not in w and "sp." not in w}
    assert len(odd) > 20


def test_statements_on_eating_are_of_every_kind_and_in_every_place(whole: Plan) -> None:
    said = [e for f in whole.finds for e in f.eating]
    assert {e.kind for e in said} == {"praise", "warning", "question", "report"}
    assert {e.where for e in said} >= {"note", "comment", "notes"}
    assert not any("safe to eat" in e.text.lower() for e in said)
    for find in whole.finds:
        for e in find.eating:
            texts = [c.text for c in find.comments] + [find.notes]
            texts += [s.remarks for s in find.slips]
            assert e.where == "note" or any(e.text in t for t in texts)


def test_people_without_a_sign_in_write_no_comment_and_have_their_finds_entered(
    whole: Plan, world: World
) -> None:
    paper = {p.key for p in world.people if not p.sign_in}
    assert any(f.finder in paper for f in whole.finds)
    for find in whole.finds:
        assert find.entered_by not in paper
        assert not paper & {c.by for c in find.comments}
        assert not paper & {v.by for v in find.verdicts}


def test_finds_of_a_foray_share_its_day_site_and_people(whole: Plan) -> None:
    forays = {f.key: f for f in whole.forays}
    joined = [f for f in whole.finds if f.foray]
    assert len(joined) > 500
    for find in joined:
        foray = forays[find.foray or ""]
        assert (find.day, find.site) == (foray.day, foray.site)
        assert {find.finder, *find.companions} <= set(foray.people)


def test_a_plan_cut_at_a_day_holds_nothing_later(whole: Plan) -> None:
    day = dt.date(2025, 10, 1)
    part = up_to(whole, day)
    assert 0 < len(part.finds) < len(whole.finds)
    dated = [f.day for f in part.finds] + [f.day for f in part.forays]
    for find in part.finds:
        dated += [slip.day for slip in find.slips]
        dated += [verdict.day for verdict in find.verdicts]
        dated += [comment.day for comment in find.comments]
    assert max(dated) <= day


def test_every_species_is_found_and_stands_in_the_checklist_with_its_form_and_family(
    whole: Plan, world: World
) -> None:
    assert {f.species for f in whole.finds} == {s.name for s in world.species}
    checklist = {}
    for file in sorted(NAMES.glob("fungi_*.csv")):
        with file.open(encoding="utf-8", newline="") as lines:
            checklist.update({r["scientific_name"]: r for r in csv.DictReader(lines)})
    for species in world.species:
        row = checklist[species.name]
        assert (row["form"], row["family"]) == (species.form, species.family), species.name


def test_every_host_of_the_sites_and_every_older_name_stands_in_the_checklist(world: World) -> None:
    with (NAMES / "hosts.csv").open(encoding="utf-8", newline="") as lines:
        hosts = {r["scientific_name"] for r in csv.DictReader(lines)}
    assert {h for s in world.sites for h in s.hosts} <= hosts
    with (NAMES / "synonyms.csv").open(encoding="utf-8", newline="") as lines:
        leads_to = {r["synonym"]: r["accepted"] for r in csv.DictReader(lines)}
    for species in world.species:
        for name in species.older:
            assert leads_to[name] == species.name


ACCOUNT = {
    "cap_zones": {"clear": "always", "none": "never"},
    "stem_base": {"plain": "usually", "bulb": "sometimes"},
    "taste": {"bitter": "always"},
    "print_colour": {"white": "always"},
}
VOCABULARY = {
    "cap_zones": Noticeable(("none", "clear"), "at_once", cuts=False, never_asked=False),
    "stem_base": Noticeable(("plain", "bulb"), "at_once", cuts=True, never_asked=False),
    "taste": Noticeable(("bitter",), "at_once", cuts=False, never_asked=True),
    "print_colour": Noticeable(("white",), "overnight", cuts=False, never_asked=False),
}


def test_characters_are_written_by_what_the_account_holds_and_the_find_allows() -> None:
    rows = [characters_seen(seed, ACCOUNT, VOCABULARY, may_take=True) for seed in range(4000)]
    assert rows[7] == characters_seen(7, ACCOUNT, VOCABULARY, may_take=True)
    assert 0.15 < sum(map(bool, rows)) / len(rows) < 0.45
    written = Counter(state for row in rows for state in row)
    assert {code for code, _state in written} == {"cap_zones", "stem_base"}
    assert written["cap_zones", "clear"] > 20 * written["cap_zones", "none"] > 0
    assert written["stem_base", "plain"] > 2 * written["stem_base", "bulb"] > 0


def test_what_needs_lifting_is_not_written_where_nothing_was_lifted() -> None:
    rows = [characters_seen(seed, ACCOUNT, VOCABULARY, may_take=False) for seed in range(2000)]
    assert {code for row in rows for code, _state in row} == {"cap_zones"}
