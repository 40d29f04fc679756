"""A fungus with cap and stem from the side, seen a little from below, with its whole base."""

import math
from collections.abc import Callable
from dataclasses import replace

from society.demo.sketches.build import Build, build_of, cap_top
from society.demo.sketches.caps import GREEN, blot, tuft
from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import (
    Path,
    arc,
    box,
    curve,
    ellipse,
    lobed,
    scatter,
    shifted,
)
from society.demo.sketches.stems import stem
from society.demo.sketches.subject import Subject
from society.demo.sketches.undersides import GILLS


def draw_side(sheet: Sheet, subject: Subject) -> float:
    """One whole fungus (and its neighbours where it grows in tufts)."""
    sheet.backdrop()
    build = build_of(subject, size=0.94)
    ground_line(sheet, build)
    if subject.has("tufted"):
        for x, size, lean in ((300, 0.62, 96), (610, 0.7, -104)):
            small = build_of(subject, x=x, size=size)
            stem(sheet, subject, small, lean)
            cap(sheet, subject, small)
    stem(sheet, subject, build, 10)
    cap(sheet, subject, build)
    for mark, stroke in AFTER_CAP:
        if subject.has(mark):
            stroke(sheet, subject, build)
    return build.unit


def draw_stem_base(sheet: Sheet, subject: Subject) -> float:
    """The lower half of the stem, larger, with all that belongs to the base."""
    sheet.backdrop()
    whole = build_of(subject)
    size = min(2.6, 190 / max(whole.low_stem, 12))
    build = replace(
        build_of(subject, size=size, foot=590),
        edge_y=590 - 520 * size,
    )
    frame = ellipse(450, 352, 330, 290, n=96)
    with sheet.within(frame):
        sheet.fill(frame, "#eceadd")
        ground_line(sheet, build)
        stem(sheet, subject, build, 10)
    sheet.ink(frame, 2.4, "#8d857a", closed=True)
    return build.unit


def ground_line(sheet: Sheet, build: Build) -> None:
    """A few strokes of soil level, broken behind the base."""
    y = build.base_y - (build.length * 0.3 if build.base == "root" else build.low_stem * 0.5)
    for _ in range(16):
        x = sheet.rng.uniform(150, 750)
        if abs(x - build.x) < build.low_stem + 26:
            continue
        d = sheet.rng.uniform(14, 44)
        dy = sheet.rng.uniform(-5, 7)
        sheet.ink([(x, y + dy), (x + d / 2, y + dy - 2), (x + d, y + dy)], 2, "#a2957f")


# --- cap


def cap(sheet: Sheet, subject: Subject, build: Build) -> None:
    """Underside as a flat ellipse, then the cap above it."""
    top = cap_top(build, subject)
    left, right = top[0], top[-1]
    funnel = subject.figure.get("cap") in ("funnel", "trumpet")
    under = _under_outline(build, left, right, funnel=funnel)
    _under_face(sheet, subject, build, under)
    near = arc(build.x, left[1], build.half, build.tilt * 0.55, 0, -180, n=30)
    whole = [*top, *near[1:-1]]
    colour = subject.colour("cap")
    sheet.wash(whole, colour)
    sheet.shade(whole, colour)
    with sheet.within(whole):
        _edge_colour(sheet, subject, whole, top)
        _top_marks(sheet, subject, build, whole)
    sheet.ink(whole, 3.8, closed=True)
    if subject.has("woolly_edge"):
        for x, y in near[::1]:
            for _ in range(4):
                dx = sheet.rng.uniform(-9, 9)
                sheet.line(
                    [(x, y), (x + dx, y + sheet.rng.uniform(8, 20))],
                    darker(subject.colour("edge"), 0.15),
                    1.8,
                )


def _under_outline(
    build: Build, left: tuple[float, float], right: tuple[float, float], *, funnel: bool
) -> Path:
    """The face seen from below; gills that run down draw it out along the stem."""
    far = build.tilt
    if not funnel and build.attached != "decurrent":
        return ellipse(build.x, left[1], build.half, far, n=60)
    deep = far + (build.length * (0.42 if funnel else 0.2))
    half = build.stem_half(0.2)
    curve_right = curve(
        [
            right,
            (build.x + build.half * 0.55, left[1] + far * 0.95),
            (build.x + half * 1.25, left[1] + deep * 0.75),
            (build.x + half, left[1] + deep),
        ]
    )
    curve_left = [(2 * build.x - x, y) for x, y in reversed(curve_right)]
    upper = arc(build.x, left[1], build.half, far * 0.55, 180, 360, n=24)
    return [*curve_right, *curve_left, *upper[1:-1]]


def _under_face(sheet: Sheet, subject: Subject, build: Build, under: Path) -> None:
    colour = subject.colour("underside")
    sheet.wash(under, colour, pooled=False)
    dark = darker(colour, 0.4)
    kind = subject.figure.get("underside", "gills")
    half = build.stem_half(0)
    with sheet.within(under):
        if kind == "pores":
            for x, y in scatter(sheet.rng, under, 240):
                sheet.dot(x, y, 1.9, dark)
        elif kind != "smooth":
            _gill_lines(sheet, subject, build, under, dark)
        if subject.has("greening"):
            for x, y in scatter(sheet.rng, under, 4, apart=50):
                blot(sheet, x, y, sheet.rng.uniform(5, 11), mix(colour, GREEN, 0.7))
    sheet.ink(under, 3.2, closed=True)
    # the stem passes in front of the far half of the face
    if build.attached != "decurrent":
        neck = [
            (build.x - half, build.hub[1]),
            (build.x + half, build.hub[1]),
            (build.axis(0.12) + build.stem_half(0.12), build.at(0.12)),
            (build.axis(0.12) - build.stem_half(0.12), build.at(0.12)),
        ]
        sheet.fill(neck, subject.colour("stem"))
        sheet.ink([neck[0], neck[3]], 3.4)
        sheet.ink([neck[1], neck[2]], 3.4)
        if build.attached == "free":
            sheet.ink(arc(build.x, build.hub[1], half * 1.5, build.tilt * 0.3, 0, 180), 2, dark)


def _gill_lines(sheet: Sheet, subject: Subject, build: Build, under: Path, dark: str) -> None:
    count = GILLS.get(subject.figure.get("spacing", "crowded"), 66) * 2 // 3
    hub_x, hub_y = build.hub
    run_down = build.attached == "decurrent"
    low = box(under)[3]
    for i in range(count):
        side = -1 + 2 * (i + 0.5) / count
        a = math.asin(max(-1.0, min(1.0, side)))
        x = build.x + build.half * math.sin(a)
        edge_up = (x, build.edge_y - build.tilt * 0.5 * math.cos(a))
        if run_down:
            foot = (build.x + side * build.stem_half(0.1), low)
            line = curve(
                [edge_up, (build.x + (x - build.x) * 0.45, build.edge_y + build.tilt * 0.7), foot],
                steps=5,
            )
            sheet.line(line, dark, 2)
            continue
        sheet.line([edge_up, (hub_x + side * build.top_stem, hub_y)], dark, 2)
        edge_low = (x, build.edge_y + build.tilt * math.cos(a))
        sheet.line([edge_low, (hub_x + side * build.top_stem, hub_y + 3)], dark, 2)


def _edge_colour(sheet: Sheet, subject: Subject, whole: Path, top: Path) -> None:
    """A band of the edge's colour, fading upwards."""
    edge, colour = subject.colour("edge"), subject.colour("cap")
    if edge == colour:
        return
    x = (top[0][0] + top[-1][0]) / 2
    foot = top[0][1]
    _, high, _, _ = box(whole)
    for i in range(6):
        part = i / 6
        shape = [
            (x + (px - x) * (1 - 0.045 * i), py - (foot - high) * 0.07 * i) for px, py in whole
        ]
        sheet.fill(shape, mix(edge, colour, part))
    sheet.fill([(x + (px - x) * 0.72, py - (foot - high) * 0.42) for px, py in whole], colour)


def _top_marks(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    for mark, stroke in TOP_MARKS:
        if subject.has(mark):
            stroke(sheet, subject, build, whole)


TopStroke = Callable[[Sheet, Subject, Build, Path], None]


def _top_zones(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    tone = darker(subject.colour("edge"), 0.22)
    for k in (0.06, 0.22, 0.4, 0.58):
        y = build.edge_y - build.rise * k - build.tilt * 0.4
        half = build.half * (1 - 0.5 * k * k)
        sheet.ink(arc(build.x, y, half, build.tilt * 0.75, 188, 352), 7, tone)


def _top_warts(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    pale = "#f3ead6" if subject.name != "Amanita rubescens" else "#d9c2b2"
    for x, y in scatter(sheet.rng, whole, 30, apart=26):
        wart = lobed(
            sheet.rng, x, y, sheet.rng.uniform(6, 13), sheet.rng.uniform(5, 9), rough=0.14, n=12
        )
        sheet.fill(shifted(wart, 2, 3), darker(subject.colour("cap"), 0.3))
        sheet.fill(wart, pale)
        sheet.ink(wart, 2, closed=True)


def _top_scales(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    tone = (
        subject.colour("edge")
        if subject.colour("edge") != subject.colour("cap")
        else darker(subject.colour("cap"))
    )
    sheet.fill(whole, lighter(subject.colour("cap"), 0.06))
    for x, y in scatter(sheet.rng, whole, 60, apart=20):
        a = math.pi / 2 + (build.x - x) / build.half * 0.8
        tuft(sheet, x, y, a, sheet.rng.uniform(8, 14), tone)
    top = build.edge_y - build.rise
    sheet.fill(
        ellipse(build.x, top + build.rise * 0.08, build.half * 0.22, build.rise * 0.16), tone
    )


def _top_fibres(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    dark = darker(subject.colour("cap"), 0.28)
    for i in range(46):
        side = -0.98 + 1.96 * i / 45
        a, b = sheet.rng.uniform(0.1, 0.4), sheet.rng.uniform(0.5, 0.85)
        x0, x1 = (
            build.x + build.half * side * (1 - 0.55 * a),
            build.x + build.half * side * (1 - 0.55 * b),
        )
        sheet.line(
            [(x0, build.edge_y - build.rise * a), (x1, build.edge_y - build.rise * b)], dark, 1.8
        )


def _top_lines(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    dark = darker(subject.colour("edge"), 0.3)
    for i in range(44):
        a = math.pi * (i + 0.5) / 44
        x = build.x + build.half * math.cos(a)
        y = build.edge_y - build.tilt * 0.55 * math.sin(a)
        up = (build.x + (x - build.x) * 0.9, y - build.rise * 0.22)
        sheet.line([(x, y), up], dark, 1.8)


def _top_green(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    for x, y in scatter(sheet.rng, whole, 5, apart=50):
        blot(sheet, x, y, sheet.rng.uniform(8, 18), mix(subject.colour("cap"), GREEN, 0.7))


def _top_gleam(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    bright = lighter(subject.colour("cap"), 0.7)
    spot = ellipse(
        build.x - build.half * 0.42,
        build.edge_y - build.rise * 0.68,
        build.half * 0.15,
        build.rise * 0.1,
    )
    sheet.fill(spot, bright)


def _top_glitter(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    for x, y in scatter(sheet.rng, whole, 60):
        sheet.dot(x, y, sheet.rng.uniform(1.4, 2.8), "#f7f0e2")


def _top_black(sheet: Sheet, subject: Subject, build: Build, whole: Path) -> None:
    for i in range(4):
        y = build.edge_y - build.rise * 0.06 * (3 - i)
        band = [(px, max(py, y)) for px, py in whole]
        sheet.fill(band, mix(subject.colour("edge"), "#1a1818", 0.3 + 0.2 * i))


TOP_MARKS: tuple[tuple[str, TopStroke], ...] = (
    ("zoned", _top_zones),
    ("fibres", _top_fibres),
    ("scales", _top_scales),
    ("lined", _top_lines),
    ("inky", _top_black),
    ("greening", _top_green),
    ("slimy", _top_gleam),
    ("glitter", _top_glitter),
    ("warts", _top_warts),
)


def _milk_drops(sheet: Sheet, subject: Subject, build: Build) -> None:
    milk = subject.colours.get("milk")
    if not milk:
        return
    for t in (0.32, 0.45, 0.62):
        sheet.drop(build.x + build.half * t, build.edge_y + build.tilt * (1 - t) + 14, 7, milk)


AFTER_CAP: tuple[tuple[str, Callable[[Sheet, Subject, Build], None]], ...] = (
    ("milk", _milk_drops),
    ("milk_red", _milk_drops),
)
