"""A cap seen from above, with the marks its surface bears."""

import math
from collections.abc import Callable

from society.demo.sketches.ink import INK, Sheet, darker, lighter, mix, ray
from society.demo.sketches.paths import (
    Path,
    Point,
    arc,
    curve,
    lobed,
    scaled,
    scatter,
    shifted,
)
from society.demo.sketches.subject import Subject

MIDDLE: Point = (450, 330)
REACH = 268.0
GREEN = "#5d8f72"


def draw_cap(sheet: Sheet, subject: Subject) -> float:
    """The cap from above; returns sheet units to the centimetre."""
    sheet.backdrop()
    outline = cap_outline(sheet, subject)
    ground(sheet, subject, outline)
    with sheet.within(outline):
        for mark, stroke in SURFACE:
            if subject.has(mark):
                stroke(sheet, subject, outline)
        _form(sheet, subject)
    sheet.ink(outline, 4.2, closed=True)
    for mark, stroke in OVER_THE_EDGE:
        if subject.has(mark):
            stroke(sheet, subject, outline)
    return REACH * 2 / subject.across


def cap_outline(sheet: Sheet, subject: Subject) -> Path:
    shape = subject.figure.get("cap", "convex")
    rough = 0.05 if subject.has("wavy") else 0.01
    if shape in ("shell", "kidney"):
        half = arc(MIDDLE[0], MIDDLE[1] + 110, REACH, REACH * 1.18, 180, 360, n=44)
        back = [
            (MIDDLE[0] + 150, MIDDLE[1] + 165),
            (MIDDLE[0], MIDDLE[1] + 150),
            (MIDDLE[0] - 150, MIDDLE[1] + 165),
        ]
        return [*half, *curve([half[-1], *back, half[0]])[1:-1]]
    across = REACH * (0.62 if shape == "egg" else 1.0)
    return lobed(sheet.rng, *MIDDLE, across, across * 0.94, rough=rough, lobes=5, n=120)


def ground(sheet: Sheet, subject: Subject, outline: Path) -> None:
    """Washes from the colour of the edge to that of the middle."""
    edge, middle = subject.colour("edge"), subject.colour("cap")
    sheet.wash(outline, edge)
    sheet.shade(outline, edge)
    steps = 14
    for i in range(1, steps + 1):
        part = i / steps
        lift = (-16 * part - 6, -14 * part - 5)
        inner = shifted(scaled(outline, 0.95 - 0.06 * i, MIDDLE), *lift)
        sheet.fill(inner, mix(edge, middle, part))


def _form(sheet: Sheet, subject: Subject) -> None:
    """The dip or the boss in the middle, as a few curved strokes."""
    x, y = MIDDLE
    shape = subject.figure.get("cap", "convex")
    dark = darker(subject.colour("cap"), 0.3)
    if shape in ("dimpled", "funnel", "trumpet"):
        deep = 0.5 if shape == "dimpled" else 0.8
        for i in range(5):
            tone = mix(subject.colour("cap"), dark, deep * (i + 1) / 6)
            sheet.fill(lobed(sheet.rng, x, y, 74 - 14 * i, 62 - 12 * i, rough=0.04), tone)
        sheet.ink(arc(x, y, 78, 64, 190, 330), 2.2, dark)
    elif shape in ("umbo", "cone", "bell", "egg"):
        sheet.fill(lobed(sheet.rng, x, y, 52, 44), mix(subject.colour("cap"), dark, 0.35))
        sheet.fill(
            shifted(lobed(sheet.rng, x, y, 40, 32), -6, -7), lighter(subject.colour("cap"), 0.12)
        )
        sheet.ink(arc(x, y, 54, 46, 10, 150), 2.2, dark)
    else:
        gleam = lighter(subject.colour("cap"), 0.3)
        sheet.ink(arc(x - 20, y - 20, 150, 120, 205, 255), 5, gleam)


def _zones(sheet: Sheet, subject: Subject, outline: Path) -> None:
    """Rings of darker spots that run together, uneven and broken."""
    edge, middle = subject.colour("edge"), subject.colour("cap")
    dark = darker(edge, 0.24)
    for factor in (0.9, 0.74, 0.58, 0.43):
        base = mix(edge, middle, 1 - factor)
        phase = sheet.rng.uniform(0, math.tau)
        for i in range(150):
            if math.sin(i * 0.21 + phase) > 0.93:
                continue
            a = math.tau * i / 150
            x, y = _on(outline, a, factor + sheet.rng.uniform(-0.022, 0.022))
            sheet.dot(x, y, sheet.rng.uniform(5, 9), mix(dark, base, sheet.rng.uniform(0, 0.35)))


def _on(outline: Path, angle: float, factor: float) -> Point:
    """A point at ``factor`` of the way from the middle to the edge."""
    px, py = outline[round(angle / math.tau * len(outline)) % len(outline)]
    return (MIDDLE[0] + (px - MIDDLE[0]) * factor, MIDDLE[1] + (py - MIDDLE[1]) * factor)


def _greening(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for x, y in scatter(sheet.rng, scaled(outline, 0.9, MIDDLE), 9, apart=60):
        blot(sheet, x, y, sheet.rng.uniform(13, 34), mix(subject.colour("cap"), GREEN, 0.72))


def blot(sheet: Sheet, x: float, y: float, radius: float, colour: str) -> None:
    """A stain with a paler rim."""
    rough = sheet.rng.uniform(0.1, 0.2)
    shape = lobed(sheet.rng, x, y, radius, radius * 0.72, rough=rough, lobes=3, n=40)
    sheet.fill(scaled(shape, 1.14, (x, y)), mix(colour, "#d8b98a", 0.4))
    sheet.fill(shape, colour)


def _warts(sheet: Sheet, subject: Subject, outline: Path) -> None:
    pale = "#f3ead6" if subject.name != "Amanita rubescens" else "#d9c2b2"
    for x, y in scatter(sheet.rng, scaled(outline, 0.92, MIDDLE), 46, apart=36):
        size = sheet.rng.uniform(7, 17)
        wart = lobed(sheet.rng, x, y, size, size * 0.8, rough=0.16, lobes=3, n=12)
        sheet.fill(shifted(wart, 3, 4), darker(subject.colour("cap"), 0.3))
        sheet.fill(wart, pale)
        sheet.ink(wart, 2.2, closed=True)


def _scales(sheet: Sheet, subject: Subject, outline: Path) -> None:
    dark = subject.colour("edge")
    if subject.colour("edge") == subject.colour("cap"):
        dark = darker(dark)
    sheet.fill(scaled(outline, 1.0, MIDDLE), lighter(subject.colour("cap"), 0.05))
    for row, factor in enumerate((0.9, 0.76, 0.62, 0.48, 0.35)):
        count = 26 - 4 * row
        for i in range(count):
            a = math.tau * (i + 0.5 * (row % 2) + sheet.rng.uniform(-0.2, 0.2)) / count
            x, y = _on(outline, a, factor + sheet.rng.uniform(-0.03, 0.03))
            tuft(sheet, x, y, a, sheet.rng.uniform(11, 19), dark)
    sheet.fill(lobed(sheet.rng, *MIDDLE, 60, 52, rough=0.06), dark)
    sheet.ink(lobed(sheet.rng, *MIDDLE, 60, 52, rough=0.06), 2.4, darker(dark, 0.4), closed=True)


def tuft(sheet: Sheet, x: float, y: float, angle: float, size: float, colour: str) -> None:
    """A scale pointing outwards along ``angle``."""
    c, s = math.cos(angle), math.sin(angle)
    scale = [
        (x - s * size * 0.6, y + c * size * 0.6),
        (x + c * size, y + s * size),
        (x + s * size * 0.6, y - c * size * 0.6),
        (x - c * size * 0.3, y - s * size * 0.3),
    ]
    sheet.fill(scale, colour)
    sheet.line(scale[:3], darker(colour, 0.45), 2)


def _fibres(sheet: Sheet, subject: Subject, outline: Path) -> None:
    dark = darker(subject.colour("cap"), 0.28)
    if subject.name == "Tricholomopsis rutilans":
        dark = subject.colour("cap")
    for i in range(120):
        a = math.tau * i / 120 + sheet.rng.uniform(-0.02, 0.02)
        inner = sheet.rng.uniform(0.2, 0.7)
        outer = min(0.97, inner + sheet.rng.uniform(0.14, 0.35))
        sheet.line([_on(outline, a, inner), _on(outline, a, outer)], dark, 1.6)


def _lined(sheet: Sheet, subject: Subject, outline: Path) -> None:
    dark = darker(subject.colour("edge"), 0.3)
    for i in range(96):
        a = math.tau * i / 96
        sheet.line(
            [_on(outline, a, 0.995), _on(outline, a, sheet.rng.uniform(0.76, 0.86))], dark, 2
        )


def _wrinkled(sheet: Sheet, subject: Subject, outline: Path) -> None:
    dark = darker(subject.colour("cap"), 0.25)
    for i in range(34):
        a = math.tau * i / 34 + sheet.rng.uniform(-0.06, 0.06)
        bend = sheet.rng.uniform(-0.09, 0.09)
        line = [_on(outline, a + bend * t, 0.3 + 0.6 * t) for t in (0, 0.3, 0.6, 1)]
        sheet.ink(curve(line, steps=4), 2.4, dark)


def _patchy(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for x, y in scatter(sheet.rng, outline, 16, apart=50):
        tone = mix(subject.colour("cap"), subject.colour("edge"), sheet.rng.uniform(0.5, 0.95))
        sheet.fill(lobed(sheet.rng, x, y, 44, 32, rough=0.16, n=26), tone)


def _cracked(sheet: Sheet, subject: Subject, outline: Path) -> None:
    points = scatter(sheet.rng, scaled(outline, 0.95, MIDDLE), 80, apart=34)
    for x, y in points:
        near = sorted(points, key=lambda p: (p[0] - x) ** 2 + (p[1] - y) ** 2)[1:3]
        for a, b in near:
            line = curve([(x, y), ((x + a) / 2 + 5, (y + b) / 2 - 4), (a, b)], steps=4)
            sheet.line(line, "#ead9a6", 5)
            sheet.line(line, subject.colour("edge"), 2.4)


def _gleam(sheet: Sheet, subject: Subject, outline: Path) -> None:
    """A slimy cap catches the light of a window."""
    x, y = MIDDLE
    bright = lighter(subject.colour("cap"), 0.72)
    pane = [(x - 128, y - 112), (x - 84, y - 142), (x - 62, y - 112), (x - 110, y - 80)]
    sheet.fill(curve(pane, closed=True, steps=4), bright)
    sheet.ink(arc(x, y, REACH * 0.8, REACH * 0.74, 200, 245), 5, bright)
    sheet.ink(arc(x, y, REACH * 0.86, REACH * 0.8, 30, 70), 4, bright)


def _hairs(sheet: Sheet, subject: Subject, outline: Path) -> None:
    dark = darker(subject.colour("cap"), 0.3)
    for x, y in scatter(sheet.rng, outline, 150):
        a = math.atan2(y - MIDDLE[1], x - MIDDLE[0]) + sheet.rng.uniform(-0.4, 0.4)
        sheet.line(ray((x, y), a, 0, sheet.rng.uniform(7, 15)), dark, 1.6)


def _inky(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for i, tone in enumerate((0.3, 0.6, 0.85)):
        for k in range(0, 72, 2):
            a = math.tau * k / 72
            x, y = _on(outline, a, 1.0 - 0.02 * i)
            if sheet.rng.random() < 0.8:
                sheet.dot(x, y, 14 - 4 * i, mix(subject.colour("edge"), "#1a1818", tone))


def _glitter(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for x, y in scatter(sheet.rng, scaled(outline, 0.8, MIDDLE), 110):
        sheet.dot(x, y, sheet.rng.uniform(1.6, 3.4), "#f7f0e2")


def _radial_splits(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for i in range(9):
        a = math.tau * i / 9 + sheet.rng.uniform(-0.2, 0.2)
        wedge = [
            _on(outline, a - 0.05, 1.06),
            _on(outline, a, sheet.rng.uniform(0.62, 0.8)),
            _on(outline, a + 0.05, 1.06),
        ]
        sheet.fill(wedge, subject.colour("underside"))
        sheet.line(wedge, INK, 2.4)


def _woolly(sheet: Sheet, subject: Subject, outline: Path) -> None:
    tone = darker(subject.colour("edge"), 0.18)
    for x, y in outline:
        for _ in range(4):
            a = math.atan2(y - MIDDLE[1], x - MIDDLE[0]) + sheet.rng.uniform(-0.7, 0.7)
            start = (x + sheet.rng.uniform(-9, 9), y + sheet.rng.uniform(-9, 9))
            sheet.line(ray(start, a, -6, sheet.rng.uniform(7, 20)), tone, 2)


def _toothed(sheet: Sheet, subject: Subject, outline: Path) -> None:
    for x, y in outline[::2]:
        a = math.atan2(y - MIDDLE[1], x - MIDDLE[0])
        tuft(sheet, x, y, a, 9, lighter(subject.colour("cap"), 0.6))


Stroke = Callable[[Sheet, Subject, Path], None]
SURFACE: tuple[tuple[str, Stroke], ...] = (
    ("patchy", _patchy),
    ("zoned", _zones),
    ("fibres", _fibres),
    ("wrinkled", _wrinkled),
    ("cracked", _cracked),
    ("hairy", _hairs),
    ("scales", _scales),
    ("lined", _lined),
    ("greening", _greening),
    ("inky", _inky),
    ("glitter", _glitter),
    ("split_edge", _radial_splits),
    ("slimy", _gleam),
    ("warts", _warts),
)
OVER_THE_EDGE: tuple[tuple[str, Stroke], ...] = (
    ("woolly_edge", _woolly),
    ("toothed_edge", _toothed),
)
