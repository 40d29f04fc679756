"""An underside: gills, folds, pores, mazes, teeth, or a smooth face."""

import math

from society.demo.sketches.caps import GREEN, MIDDLE, REACH, blot, cap_outline
from society.demo.sketches.ink import Sheet, darker, lighter, mix, ray
from society.demo.sketches.paths import Path, arc, curve, lobed, scaled, scatter
from society.demo.sketches.subject import Subject

GILLS = {"crowded": 108, "spaced": 66, "distant": 34}


def draw_underside(sheet: Sheet, subject: Subject) -> float:
    """A cap turned over; returns sheet units to the centimetre."""
    sheet.backdrop()
    outline = cap_outline(sheet, subject)
    sheet.wash(outline, subject.colour("edge"))
    face = scaled(outline, 0.965, MIDDLE)
    sheet.fill(face, subject.colour("underside"))
    unit = REACH * 2 / subject.across
    stem = max(13.0, min(95.0, subject.stem * unit / 2))
    lateral = subject.figure.get("cap") in ("shell", "kidney")
    hub = (MIDDLE[0], MIDDLE[1] + 130) if lateral else MIDDLE
    with sheet.within(face):
        _face(sheet, subject, face, hub, stem)
        if subject.has("greening"):
            for x, y in scatter(sheet.rng, scaled(face, 0.85, MIDDLE), 8, apart=60):
                blot(
                    sheet,
                    x,
                    y,
                    sheet.rng.uniform(8, 20),
                    mix(subject.colour("underside"), GREEN, 0.7),
                )
    sheet.ink(outline, 4.2, closed=True)
    sheet.ink(face, 2, closed=True)
    _stem_stump(sheet, subject, hub, stem)
    _changes(sheet, subject, hub, stem)
    return unit


def _face(
    sheet: Sheet, subject: Subject, face: Path, hub: tuple[float, float], stem: float
) -> None:
    kind = subject.figure.get("underside", "gills")
    if kind in ("gills", "folds"):
        gills(sheet, subject, face, hub, stem)
    elif kind == "pores":
        pores(sheet, subject, face, hub)
    elif kind == "teeth":
        teeth(sheet, subject, face, hub)
    elif kind == "smooth":
        for i in range(40):
            a = math.tau * i / 40
            line = ray(hub, a + sheet.rng.uniform(-0.05, 0.05), 60, 240)
            sheet.line(line, darker(subject.colour("underside"), 0.1), 2)


def gills(
    sheet: Sheet, subject: Subject, face: Path, hub: tuple[float, float], stem: float
) -> None:
    """Gills from the stem to the edge, with shorter ones between."""
    colour = subject.colour("underside")
    dark, light = darker(colour, 0.42), lighter(colour, 0.3)
    count = GILLS.get(subject.figure.get("spacing", "crowded"), 66)
    start = {"free": stem + 20, "notched": stem + 9}.get(subject.figure.get("attached", ""), stem)
    folds = subject.figure.get("underside") == "folds" or subject.has("forked")
    for i in range(count):
        a = math.tau * i / count
        end = _edge(face, hub, a)
        bend = sheet.rng.uniform(-0.015, 0.015)
        line = [ray(hub, a + bend * t, 0, start + (end - start) * t)[1] for t in (0, 0.35, 0.7, 1)]
        sheet.line([(x + 2.4, y + 1) for x, y in line], light, 2.4)
        sheet.line(line, dark, 4.4 if folds else 2.4)
        if folds:
            _fork(sheet, hub, a, start, end, math.tau / count, dark)
            continue
        for k, part in ((0.25, 0.78), (0.5, 0.5), (0.75, 0.84)):
            if count > 90 and k != 0.5:
                continue
            b = a + math.tau / count * k
            begin = start + (end - start) * (part + sheet.rng.uniform(-0.08, 0.06))
            sheet.line(ray(hub, b, begin, _edge(face, hub, b)), dark, 1.8)
    if start > stem + 4:
        sheet.fill(lobed(sheet.rng, *hub, start, start, rough=0.02), subject.colour("flesh"))


def _fork(
    sheet: Sheet,
    hub: tuple[float, float],
    a: float,
    start: float,
    end: float,
    step: float,
    dark: str,
) -> None:
    at = start + (end - start) * sheet.rng.uniform(0.35, 0.65)
    root = ray(hub, a, 0, at)[1]
    for side in (-0.34, 0.34):
        tip = ray(hub, a + step * side, 0, end)[1]
        knee = ray(hub, a + step * side * 0.8, 0, at + (end - at) * 0.35)[1]
        sheet.line(curve([root, knee, tip], steps=4), dark, 3.6)
    cross = start + (end - start) * sheet.rng.uniform(0.5, 0.9)
    sheet.line([ray(hub, a, 0, cross)[1], ray(hub, a + step, 0, cross + 8)[1]], dark, 2)


def _edge(face: Path, hub: tuple[float, float], angle: float) -> float:
    """How far the edge lies from the hub in a direction."""
    if hub == MIDDLE:
        x, y = face[round(angle / math.tau * len(face)) % len(face)]
        return math.hypot(x - hub[0], y - hub[1])
    return 480.0


def pores(sheet: Sheet, subject: Subject, face: Path, hub: tuple[float, float]) -> None:
    """Rows of pores, smaller towards the edge; wide ones where they are spaced."""
    colour = subject.colour("underside")
    dark = darker(colour, 0.42)
    wide = subject.figure.get("spacing") == "spaced"
    step = 17.0 if wide else 11.5
    row = 0
    y = MIDDLE[1] - REACH
    while y < MIDDLE[1] + REACH:
        x = MIDDLE[0] - REACH + (row % 2) * step / 2
        while x < MIDDLE[0] + REACH:
            a, b = x + sheet.rng.uniform(-2, 2), y + sheet.rng.uniform(-2, 2)
            size = (5.2 if wide else 3.1) * sheet.rng.uniform(0.8, 1.15)
            sheet.dot(a, b, size, dark)
            x += step
        y += step * 0.87
        row += 1


def teeth(sheet: Sheet, subject: Subject, face: Path, hub: tuple[float, float]) -> None:
    """Spines pointing at the reader, leaning outwards."""
    colour = subject.colour("underside")
    dark, light = darker(colour, 0.45), lighter(colour, 0.3)
    for ring in range(1, 13):
        count = 10 + ring * 9
        for i in range(count):
            a = math.tau * (i + 0.5 * (ring % 2)) / count
            x, y = ray(hub, a, 0, 40 + ring * 17.5)[1]
            tip = ray((x, y), a, 0, sheet.rng.uniform(13, 19))[1]
            s, c = math.sin(a) * 4.6, math.cos(a) * 4.6
            sheet.fill([(x - s, y + c), tip, (x + s, y - c)], light)
            sheet.line([(x - s, y + c), tip, (x + s, y - c)], dark, 1.8)


def _stem_stump(sheet: Sheet, subject: Subject, hub: tuple[float, float], stem: float) -> None:
    """The stem, cut short: its cut face towards the reader."""
    if subject.figure.get("cap") in ("shell", "kidney"):
        stem *= 0.8
    side = lobed(sheet.rng, hub[0] + 5, hub[1] + 9, stem * 1.06, stem * 1.02, rough=0.02)
    sheet.wash(side, darker(subject.colour("stem"), 0.12))
    sheet.ink(side, 3, closed=True)
    cut = lobed(sheet.rng, *hub, stem * 0.94, stem * 0.9, rough=0.02)
    sheet.wash(cut, subject.colour("flesh"))
    sheet.ink(cut, 3, closed=True)
    if subject.has("ring") and not subject.has("ring_low"):
        for d in (18, 13):
            sheet.ink(
                arc(hub[0], hub[1] + 3, stem + d, stem + d - 2, 20, 165),
                2.6,
                darker(subject.colour("stem"), 0.3),
            )
    if subject.figure.get("base") in ("even", "narrow") and stem < 60:
        sheet.dot(*hub, stem * 0.36, darker(subject.colour("flesh"), 0.32))


def _changes(sheet: Sheet, subject: Subject, hub: tuple[float, float], stem: float) -> None:
    """Milk at a cut across the gills; a pressed place where pores or gills bruise."""
    milk = subject.colours.get("milk")
    if milk:
        slash = arc(hub[0], hub[1], 178, 170, 18, 62, n=14)
        sheet.line(slash, darker(subject.colour("underside"), 0.6), 4)
        for x, y in slash[1::3]:
            sheet.drop(x, y + 9, sheet.rng.uniform(6.5, 10), milk)
    change = subject.colours.get("change")
    if change and subject.has("bruises") and not milk:
        spot = lobed(sheet.rng, hub[0] + 140, hub[1] + 70, 66, 40, rough=0.07, lobes=3, n=48)
        with sheet.within(spot):
            sheet.fill(spot, mix(subject.colour("underside"), change, 0.8))
            for x, y in scatter(sheet.rng, spot, 60, apart=8):
                sheet.dot(x, y, 2.6, darker(change, 0.35))
