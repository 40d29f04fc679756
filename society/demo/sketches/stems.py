"""The stem from the side: its marks, its base and its ring."""

import math
from collections.abc import Callable

from society.demo.sketches.build import Build
from society.demo.sketches.caps import GREEN, blot, tuft
from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import arc, curve, ellipse, lobed, scaled
from society.demo.sketches.subject import Subject

# --- stem


def stem(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    outline = build.stem(lean=lean)
    colour = subject.colour("stem")
    if build.base == "cords":
        _cords(sheet, build, lean)
    sheet.wash(outline, colour)
    sheet.shade(outline, colour)
    with sheet.within(outline):
        for mark, stroke in STEM_MARKS:
            if subject.has(mark):
                stroke(sheet, subject, build, lean)
        _length_strokes(sheet, subject, build, lean)
    sheet.ink(outline, 3.6, closed=True)
    foot = BASES.get(build.base)
    if foot:
        foot(sheet, subject, build, lean)
    _crumbs(sheet, build, lean)
    for mark, ring in RINGS:
        if subject.has(mark):
            ring(sheet, subject, build, lean)
            break


def _length_strokes(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    dark = darker(subject.colour("stem"), 0.25)
    for _ in range(9):
        a = sheet.rng.uniform(0.08, 0.7)
        b = min(0.96, a + sheet.rng.uniform(0.1, 0.3))
        side = sheet.rng.uniform(-0.8, 0.9)
        line = [
            (build.axis(p, lean) + side * build.stem_half(p), build.at(p))
            for p in (a, (a + b) / 2, b)
        ]
        sheet.line(line, dark, 1.4)


def _spots(
    sheet: Sheet, build: Build, lean: float, count: int, start: float, end: float
) -> list[tuple[float, float, float]]:
    """Chance places on the stem: x, y and how far round it they lie (-1 to 1)."""
    out = []
    for _ in range(count):
        p = sheet.rng.uniform(start, end)
        side = sheet.rng.uniform(-0.86, 0.86)
        out.append((build.axis(p, lean) + side * build.stem_half(p), build.at(p), side))
    return out


def _pits(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    dark = darker(mix(subject.colour("stem"), "#c4621e", 0.7), 0.1)
    taken: list[tuple[float, float]] = []
    for x, y, side in _spots(sheet, build, lean, 60, 0.14, 0.92):
        if any((x - a) ** 2 + (y - b) ** 2 < 26**2 for a, b in taken):
            continue
        taken.append((x, y))
        wide = 10 * (1 - abs(side) * 0.5)
        pit = lobed(sheet.rng, x, y, wide, 8, rough=0.06, n=20)
        sheet.fill(pit, dark)
        sheet.ink(arc(x, y, wide, 8, 170, 350, n=12), 2.2, darker(dark, 0.5))


def _net(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """Meshes drawn out lengthwise: white on a darker stem, or dark on a pale one."""
    tone, thick = darker(subject.colour("underside"), 0.25), 2.4
    if subject.name == "Boletus edulis":
        tone, thick = "#fbf6e6", 3.4
        for i in range(5):
            upper = build.stem(0, 0.68 - 0.05 * i, lean)
            sheet.fill(upper, darker(subject.colour("stem"), 0.05 + 0.035 * i))
    end = 0.6
    for k in range(-4, 13):
        for turn in (1, -1):
            line = []
            for i in range(13):
                p = 0.04 + (end - 0.04) * i / 12
                side = (-1.4 + 0.28 * k) * turn + turn * i / 12 * 1.1
                if abs(side) < 1:
                    line.append((build.axis(p, lean) + side * build.stem_half(p), build.at(p)))
            sheet.line(line, tone, thick)


def _dots(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    tone = "#b8301f" if subject.form == "bolete" else lighter(subject.colour("stem"), 0.6)
    for x, y, _ in _spots(sheet, build, lean, 260, 0.03, 0.9):
        sheet.dot(x, y, sheet.rng.uniform(1.3, 2.6), tone)


def _scabs(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    for x, y, _ in _spots(sheet, build, lean, 150, 0.05, 0.97):
        a = math.pi / 2 + sheet.rng.uniform(-0.5, 0.5)
        tuft(sheet, x, y, a, sheet.rng.uniform(4, 8), "#4a4440")


def _bands(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    tone = {
        "Cortinarius armillatus": "#c0402c",
        "Cortinarius rubellus": "#e0b23e",
        "Macrolepiota procera": "#8a6a48",
    }.get(subject.name, darker(subject.colour("stem"), 0.25))
    for p in (0.3, 0.4, 0.5, 0.6, 0.7, 0.8):
        line = []
        for i in range(13):
            side = -1 + i / 6
            q = p + (0.012 if i % 2 else -0.012) + 0.02 * (1 - side * side)
            line.append((build.axis(q, lean) + side * build.stem_half(q), build.at(q)))
        sheet.line(line, tone, 6 if subject.name == "Cortinarius armillatus" else 3.6)


def _stem_scales(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    dark = darker(subject.colour("edge"), 0.15)
    if subject.name == "Amanita virosa":
        dark = darker(subject.colour("stem"), 0.2)
    for x, y, _ in _spots(sheet, build, lean, 60, 0.34, 0.95):
        tuft(
            sheet, x, y, -math.pi / 2 + sheet.rng.uniform(-0.6, 0.6), sheet.rng.uniform(6, 11), dark
        )


def _stem_fibres(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    dark = darker(subject.colour("cap"), 0.1)
    for x, y, _ in _spots(sheet, build, lean, 40, 0.1, 0.85):
        sheet.line([(x, y), (x + 2, y + sheet.rng.uniform(14, 34))], dark, 1.8)


def _low_colour(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    for i in range(5):
        sheet.fill(
            build.stem(0.7 + 0.05 * i, 1, lean),
            mix(subject.colour("stem"), "#e8c02c", 0.2 * (i + 1)),
        )


def _handled(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    change = subject.colours.get("change")
    if not change or subject.colours.get("milk"):
        return
    at = 0.88 if subject.name in ("Agaricus xanthodermus", "Amanita rubescens") else 0.55
    x, y = build.axis(at, lean) - build.stem_half(at) * 0.3, build.at(at)
    spot = lobed(sheet.rng, x, y, build.stem_half(at) * 0.62, 34, rough=0.07, lobes=3, n=48)
    sheet.fill(scaled(spot, 1.15, (x, y)), mix(subject.colour("stem"), change, 0.4))
    sheet.fill(spot, mix(subject.colour("stem"), change, 0.85))


def _green_spots(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    for x, y, _ in _spots(sheet, build, lean, 3, 0.1, 0.8):
        blot(sheet, x, y, sheet.rng.uniform(6, 13), mix(subject.colour("stem"), GREEN, 0.7))


def _two_tone(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    sheet.fill(build.stem(0.26, 1, lean), darker(subject.colour("stem"), 0.3))


StemStroke = Callable[[Sheet, Subject, Build, float], None]
STEM_MARKS: tuple[tuple[str, StemStroke], ...] = (
    ("twotone", _two_tone),
    ("yellow_base", _low_colour),
    ("bruises", _handled),
    ("greening", _green_spots),
    ("stem_net", _net),
    ("stem_dots", _dots),
    ("stem_scabs", _scabs),
    ("stem_bands", _bands),
    ("stem_scales", _stem_scales),
    ("stem_fibres", _stem_fibres),
    ("pits", _pits),
)


# --- base


def _sack(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """A volva: a torn bag from which the stem rises."""
    x, y = build.axis(1, lean), build.base_y
    half = build.low_stem * 1.5
    tall = max(70.0, build.length * 0.22)
    rim = [
        (x - half * 1.12, y - tall),
        (x - half * 0.7, y - tall * 0.72),
        (x - half * 0.3, y - tall * 1.06),
        (x + half * 0.2, y - tall * 0.7),
        (x + half * 0.62, y - tall * 1.12),
        (x + half * 1.1, y - tall * 0.84),
    ]
    foot = [
        (x + half * 1.12, y - tall * 0.3),
        (x + half * 0.7, y + tall * 0.22),
        (x, y + tall * 0.32),
        (x - half * 0.75, y + tall * 0.2),
        (x - half * 1.12, y - tall * 0.35),
    ]
    bag = [*rim, *curve([rim[-1], *foot, rim[0]])[1:-1]]
    pale = "#f4eedc" if subject.name != "Amanita fulva" else "#ead9c2"
    sheet.wash(bag, pale)
    sheet.shade(bag, pale)
    sheet.ink(bag, 3.4, closed=True)
    for dx in (-0.6, 0.1, 0.6):
        fold = [
            (x + dx * half, y - tall * 0.5),
            (x + dx * half * 0.9, y),
            (x + dx * half * 0.6, y + tall * 0.18),
        ]
        sheet.ink(curve(fold), 1.8, "#a89c84")


def _rimmed(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """A bulb with a gutter round its upper edge."""
    p = 0.84
    x, y = build.axis(p, lean), build.at(p)
    half = build.low_stem * 1.02
    rim = ellipse(x, y, half, half * 0.26, n=40)
    sheet.fill(rim, lighter(subject.colour("stem"), 0.3))
    sheet.ink(rim, 3, closed=True)
    neck = build.stem_half(0.72)
    sheet.fill(
        [(x - neck, y - 30), (x + neck, y - 30), (x + neck, y + 3), (x - neck, y + 3)],
        subject.colour("stem"),
    )
    sheet.line([(x - neck, y - 30), (x - neck, y + 2)], width=3)
    sheet.line([(x + neck, y - 30), (x + neck, y + 2)], width=3)


def _scaly_bulb(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    for row, p in enumerate((0.8, 0.855, 0.91)):
        half = build.stem_half(p)
        for i in range(8):
            side = -0.9 + i * 0.257
            x = build.axis(p, lean) + side * half
            y = build.at(p) + 9 * (1 - side * side)
            wart = lobed(sheet.rng, x, y, half * 0.13, 6.5 - row, rough=0.12, n=12)
            sheet.fill(wart, "#faf5e6")
            sheet.ink(wart, 2, closed=True)


def _root(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    x, y = build.axis(1, lean), build.base_y
    sheet.ink(curve([(x, y - 4), (x + 4, y + 12), (x - 2, y + 24)]), 2.4)


def _cords(sheet: Sheet, build: Build, lean: float) -> None:
    x, y = build.axis(1, lean), build.base_y
    for dx, dy in ((-190, 22), (-110, 34), (130, 30), (210, 14), (60, 40)):
        cord = curve(
            [
                (x, y - 8),
                (x + dx * 0.3, y + dy * 0.9),
                (x + dx * 0.7, y + dy * 0.5),
                (x + dx, y + dy),
            ]
        )
        sheet.ink(cord, 6, "#8d8270")
        sheet.ink(cord, 3.4, "#f7f1e2")


def _crumbs(sheet: Sheet, build: Build, lean: float) -> None:
    """Soil and threads that came up with the base."""
    x, y = build.axis(1, lean), build.base_y + build.low_stem * 0.3
    for _ in range(10):
        dx = sheet.rng.uniform(-1.2, 1.2) * (build.low_stem + 8)
        sheet.dot(x + dx, y + sheet.rng.uniform(-6, 14), sheet.rng.uniform(1.5, 4), "#8a7a62")


BASES: dict[str, StemStroke] = {
    "sack": _sack,
    "rimmed": _rimmed,
    "scaly_bulb": _scaly_bulb,
    "root": _root,
}


# --- ring


def _skirt(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """A hanging ring, grooved."""
    p = 0.2
    x, y, half = build.axis(p, lean), build.at(p), build.stem_half(p)
    low = max(24.0, build.length * 0.1)
    wide = half * 1.55 + 8
    hem = [
        (x - wide, y + low * 0.9),
        (x - wide * 0.5, y + low * 1.18),
        (x, y + low * 1.08),
        (x + wide * 0.45, y + low * 1.22),
        (x + wide, y + low * 0.86),
    ]
    skirt = [(x - half * 1.02, y), *curve(hem), (x + half * 1.02, y)]
    pale = lighter(subject.colour("stem"), 0.5)
    if subject.name == "Suillus luteus":
        pale = "#efe6d2"
    sheet.wash(skirt, pale)
    for i in range(9):
        t = -0.9 + i * 0.225
        sheet.line([(x + t * half, y + 3), (x + t * wide * 0.96, y + low)], darker(pale, 0.22), 1.8)
    sheet.ink(skirt, 3.2, closed=True)


def _collar(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """A double ring that slides on the stem."""
    p = 0.27
    x, y, half = build.axis(p, lean), build.at(p), build.stem_half(p)
    for dy, grow in ((0, 2.1), (12, 2.4), (24, 2.0)):
        band = ellipse(x, y + dy, half * grow + 8, 10, n=40)
        sheet.wash(band, "#efe6d4", pooled=False)
        sheet.ink(band, 3, closed=True)


def _zone(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """A thin ring or ring zone, dusted with the spores' colour."""
    p = 0.3
    x, y, half = build.axis(p, lean), build.at(p), build.stem_half(p)
    dust = mix(subject.colour("spore_print"), subject.colour("stem"), 0.35)
    band = ellipse(x, y, half * 1.28 + 4, max(6, half * 0.26), n=40)
    sheet.wash(band, dust, pooled=False)
    sheet.ink(band, 2.8, closed=True)
    sheet.ink(arc(x, y + 4, half * 1.2, 8, 20, 160), 1.8, darker(dust, 0.4))


def _web(sheet: Sheet, subject: Subject, build: Build, lean: float) -> None:
    """Threads of a cobweb veil between edge and stem, and its rusty trace."""
    trace = mix(subject.colour("spore_print"), subject.colour("stem"), 0.3)
    p = 0.2
    x, y, half = build.axis(p, lean), build.at(p), build.stem_half(p)
    for i in range(5):
        sheet.ink(arc(x, y + i * 6, half, 5, 10, 170), 2.2, trace)
    for side in (-1, 1):
        for i in range(13):
            t = 0.35 + 0.05 * i
            line = [
                (build.x + side * build.half * t, build.edge_y + build.tilt * (1 - t) + 4),
                (x + side * (half + build.half * t * 0.2), y - 14),
                (x + side * half * 0.9, y + i * 1.5),
            ]
            sheet.line(curve(line, steps=4), "#b8ab98", 1.4)


RINGS: tuple[tuple[str, StemStroke], ...] = (
    ("ring_moving", _collar),
    ("ring_low", _zone),
    ("ring", _skirt),
    ("cobweb", _web),
)
