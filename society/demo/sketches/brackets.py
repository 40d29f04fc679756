"""Brackets: above, below, from the side, and cut through."""

import math
from collections.abc import Callable

from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import Path, arc, curve, lobed, scaled, scatter, shifted, sown
from society.demo.sketches.subject import Subject
from society.demo.sketches.wood import trunk


def fan(sheet: Sheet, cx: float, cy: float, reach: float, deep: float) -> Path:
    """A half round shape seen from above, its back to the wood above it."""
    rim = arc(cx, cy, reach, deep, 0, 180, n=40)
    out = []
    phase = sheet.rng.uniform(0, 6)
    for i, (x, y) in enumerate(rim):
        k = 1 + 0.025 * math.sin(i * 0.55 + phase)
        out.append((cx + (x - cx) * k, cy + (y - cy) * k))
    return [*out, (cx - reach * 0.6, cy - 16), (cx, cy - 22), (cx + reach * 0.6, cy - 16)]


def bracket_above(sheet: Sheet, subject: Subject) -> float:
    """The upper face, with its zones, hair, scales or crust."""
    sheet.backdrop()
    body = subject.figure.get("body", "shelf")
    if body in ("tiers", "rosette"):
        for cx, cy, size in ((300, 190, 0.56), (620, 220, 0.62), (420, 330, 0.74), (640, 420, 0.5)):
            upper_face(sheet, subject, fan(sheet, cx, cy, 250 * size, 245 * size), (cx, cy - 6))
        return 250 * 0.74 * 2 / subject.across * (2.4 if body == "rosette" else 1)
    shape = fan(sheet, 450, 190, 300, 330)
    if body == "fan":
        _side_stem(sheet, subject)
    upper_face(sheet, subject, shape, (450, 180))
    return 600 / subject.across


def _side_stem(sheet: Sheet, subject: Subject) -> None:
    foot = curve([(400, 200), (410, 120), (420, 84), (480, 84), (492, 120), (500, 200)])
    sheet.wash(foot, subject.colour("stem", darker(subject.colour("cap"), 0.3)))
    sheet.ink(foot, 3.4)


def upper_face(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    edge, colour = subject.colour("edge"), subject.colour("cap")
    sheet.wash(shape, edge)
    sheet.shade(shape, edge)
    with sheet.within(shape):
        for i in range(1, 10):
            sheet.fill(scaled(shape, 1 - 0.075 * i, back), mix(edge, colour, min(1.0, i / 5)))
        if subject.has("zoned"):
            _bands(sheet, subject, shape, back)
        if subject.has("greened"):
            sheet.fill(scaled(shape, 0.55, back), "#8fa070")
        for mark, stroke in _FACE_MARKS:
            if subject.has(mark):
                stroke(sheet, subject, shape, back)
    sheet.ink(shape, 4, closed=True)


def _bands(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    colour = subject.colour("cap")
    tones = [colour, darker(colour, 0.4), lighter(colour, 0.25)]
    if subject.has("many_zones"):
        tones = ["#5a5560", "#8a6a4c", "#3a3634", "#b09a78", "#6a5a4a", "#8f8a80"]
    factors = [0.93, 0.84, 0.76, 0.69, 0.6, 0.52, 0.43, 0.35, 0.26, 0.17]
    for i, factor in enumerate(factors):
        tone = tones[i % len(tones)]
        sheet.fill(scaled(shape, factor, back), tone)
        sheet.ink(scaled(shape, factor, back)[:41], 1.8, darker(tone, 0.35))


def _pelt(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    dark = darker(subject.colour("cap"), 0.3)
    for x, y in scatter(sheet.rng, shape, 170):
        a = math.atan2(y - back[1], x - back[0]) + sheet.rng.uniform(-0.3, 0.3)
        d = sheet.rng.uniform(6, 13)
        sheet.line([(x, y), (x + d * math.cos(a), y + d * math.sin(a))], dark, 1.5)


def _scales(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    edge = subject.colour("edge")
    for x, y in scatter(sheet.rng, scaled(shape, 0.92, back), 54, apart=30):
        a = math.degrees(math.atan2(y - back[1], x - back[0]))
        mark = arc(x, y, 15, 9, a - 80, a + 80, n=8)
        sheet.fill(mark, edge)
        sheet.line(mark, darker(edge, 0.4), 2)


def _wrinkles(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    for i in range(24):
        a = math.pi * (i + 0.5) / 24
        far = 300 * sheet.rng.uniform(0.5, 0.85)
        line = [
            (back[0] + math.cos(a) * r, back[1] + math.sin(a) * r) for r in (60, far / 2 + 30, far)
        ]
        sheet.ink(line, 2, darker(subject.colour("cap"), 0.3))


def _drops(sheet: Sheet, subject: Subject, shape: Path, back: tuple[float, float]) -> None:
    for x, y in scatter(sheet.rng, scaled(shape, 0.85, back), 9, apart=60):
        sheet.drop(x, y, 8, "#8a1c1c")


_FACE_MARKS: tuple[tuple[str, Callable[[Sheet, Subject, Path, tuple[float, float]], None]], ...] = (
    ("scales", _scales),
    ("hairy", _pelt),
    ("wrinkled", _wrinkles),
    ("drops", _drops),
)


def bracket_under(sheet: Sheet, subject: Subject) -> float:
    """The fertile face, seen from below."""
    sheet.backdrop()
    shape = fan(sheet, 450, 190, 300, 330)
    sheet.wash(shape, subject.colour("edge"))
    face = scaled(shape, 0.95, (450, 180))
    sheet.fill(face, subject.colour("underside"))
    with sheet.within(face):
        fertile(sheet, subject, face, (450.0, 150.0))
        change = subject.colours.get("change")
        if change and subject.has("bruises"):
            mark = curve([(330, 330), (400, 362), (470, 352), (560, 392)])
            sheet.ink(mark, 20, mix(subject.colour("underside"), change, 0.85))
    sheet.ink(shape, 4, closed=True)
    sheet.ink(face[:41], 2)
    return 600 / subject.across


def fertile(sheet: Sheet, subject: Subject, face: Path, back: tuple[float, float]) -> None:
    """Pores, maze, gills, teeth or a smooth fertile face."""
    kind = subject.figure.get("underside", "pores")
    dark = darker(subject.colour("underside"), 0.42)
    if kind == "maze":
        for x, y in sown(sheet.rng, face[::2], 19):
            a = math.atan2(y - back[1], x - back[0])
            d = sheet.rng.uniform(7, 22)
            c, s = math.cos(a), math.sin(a)
            line = [(x - d * c, y - d * s), (x + 4 * s, y - 4 * c), (x + d * c, y + d * s)]
            sheet.line(curve(line, steps=3), dark, 4)
    elif kind == "gills":
        for i in range(52):
            a = math.pi * (i + 0.5) / 52
            sheet.line(
                [(back[0] + r * math.cos(a), back[1] + r * math.sin(a)) for r in (70, 420)], dark, 3
            )
    elif kind == "pores":
        step = 22.0 if subject.name == "Cerioporus squamosus" else 12.5
        for x, y in sown(sheet.rng, face[::2], step):
            sheet.dot(x, y, 2.6 if subject.name != "Cerioporus squamosus" else 6, dark)


def bracket_side(sheet: Sheet, subject: Subject) -> float:
    """The bracket on its trunk, from the side."""
    sheet.backdrop()
    trunk(sheet, subject, 90, 190)
    body = subject.figure.get("body", "shelf")
    if body in ("tiers", "rosette"):
        for y, reach in ((150.0, 250.0), (270.0, 330.0), (390.0, 290.0), (510.0, 220.0)):
            _profile(sheet, subject, y, reach, 46)
        return 330 / subject.across * (2 if body == "rosette" else 1)
    reach = 380.0
    thick = max(34.0, min(400.0, reach * subject.tall / subject.across))
    _profile(sheet, subject, 330 - thick * 0.5, reach, thick)
    return reach / subject.across


def _profile(sheet: Sheet, subject: Subject, y: float, reach: float, thick: float) -> None:
    """One cap from the side, its back in the bark at the left."""
    x = 268.0
    hoof = subject.figure.get("body") == "hoof"
    top = [
        (x, y - thick * (0.2 if hoof else 0.12)),
        (x + reach * 0.35, y),
        (x + reach * 0.75, y + thick * (0.42 if hoof else 0.22)),
        (x + reach, y + thick * (0.92 if hoof else 0.5)),
    ]
    low = [
        (x + reach, y + thick * (0.96 if hoof else 0.6)),
        (x + reach * 0.6, y + thick * 0.92),
        (x, y + thick),
    ]
    upper = curve(top, steps=8)
    under = curve(low, steps=8)
    shape = [*upper, *under]
    sheet.wash(shape, subject.colour("cap"))
    with sheet.within(shape):
        if subject.has("zoned"):
            for i in range(1, 7):
                bend = [(px - 6 * i, py + thick * 0.13 * i) for px, py in upper]
                tone = subject.colour("edge") if i % 2 else darker(subject.colour("cap"), 0.25)
                sheet.ink(bend, max(3, thick * 0.045), tone)
        rim = [(px, py - thick * 0.14) for px, py in under]
        sheet.fill([*rim, *reversed(under)], subject.colour("edge"))
        tubes = [(px, py - thick * 0.06) for px, py in under]
        sheet.fill([*tubes, *reversed(under)], subject.colour("underside"))
    sheet.ink(shape, 3.8, closed=True)


def bracket_section(sheet: Sheet, subject: Subject, *, later: bool = False) -> float:
    """Cut through from the wood to the edge: crust, flesh and layers of tubes."""
    sheet.backdrop()
    reach = 560.0
    thick = max(70.0, min(430.0, reach * subject.tall / subject.across))
    x, y = 150.0, 330 - thick / 2
    upper = curve(
        [
            (x, y),
            (x + reach * 0.4, y + thick * 0.06),
            (x + reach * 0.8, y + thick * 0.34),
            (x + reach, y + thick * 0.7),
        ]
    )
    lower = curve(
        [(x + reach, y + thick * 0.78), (x + reach * 0.55, y + thick * 0.95), (x, y + thick)]
    )
    shape = [*upper, *lower]
    sheet.wash(shape, subject.colour("cap"))
    flesh = [*shifted(upper, 0, 12), *lower]
    sheet.fill(flesh, subject.colour("flesh"))
    with sheet.within(shape):
        for _ in range(60):
            px, py = sheet.rng.uniform(x, x + reach), sheet.rng.uniform(y, y + thick)
            d = sheet.rng.uniform(20, 70)
            sheet.line(
                curve([(px, py), (px + d / 2, py - 4), (px + d, py + 4)], steps=3),
                darker(subject.colour("flesh"), 0.14),
                1.8,
            )
        if subject.has("marbled"):
            for px, py in scatter(sheet.rng, shape, 22):
                sheet.ink(
                    curve([(px, py), (px + 60, py - 14), (px + 110, py + 8)]),
                    6,
                    lighter(subject.colour("flesh"), 0.4),
                )
        layers = 3 if subject.has("zoned") and thick > 150 else 1
        deep = thick * (0.14 if layers > 1 else 0.24)
        for k in range(layers):
            tubes = [*shifted(lower, 0, -deep * (k + 1)), *reversed(shifted(lower, 0, -deep * k))]
            sheet.fill(tubes, mix(subject.colour("underside"), subject.colour("flesh"), 0.25 * k))
            for i in range(110):
                px = x + reach * i / 110
                base = min(lower, key=lambda p, px=px: abs(p[0] - px))[1]  # type: ignore[misc]
                sheet.line(
                    [(px, base - deep * (k + 0.96)), (px, base - deep * k - 2)],
                    darker(subject.colour("underside"), 0.3),
                    1.6,
                )
        change = subject.colours.get("change")
        if change and later:
            for px, py in scatter(sheet.rng, shape, 8, apart=60):
                sheet.fill(lobed(sheet.rng, px, py, 50, 30, rough=0.1, lobes=3, n=36), change)
    sheet.ink(shape, 3.8, closed=True)
    return reach / subject.across
