"""Rusts, smuts and mildews on a leaf, stem or flower of their host."""

import math

from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import Path, curve, ellipse, lobed, mirrored, scaled, scatter
from society.demo.sketches.subject import Subject

LEAF = "#8fa866"
BACK = "#bccaa2"


def draw_on_plant(sheet: Sheet, subject: Subject, view: str) -> float:
    """``cap``: the upper face; ``underside`` and ``section``: the lower."""
    sheet.backdrop()
    body = subject.figure["body"]
    if body == "smut":
        return _flower(sheet, subject)
    if body == "stem_swelling":
        return _swelling(sheet, subject)
    under = view in ("underside", "section")
    shape = _leaf(sheet, subject, BACK if under else LEAF)
    with sheet.within(shape):
        if body == "mildew":
            _mildew(sheet, subject, shape)
        elif body == "tarspot":
            _tar(sheet, subject, shape, under=under)
        else:
            _spots(sheet, subject, shape, under=under)
    sheet.ink(shape, 3.4, closed=True)
    if body == "horns" and under:
        for x, y in scatter(sheet.rng, scaled(shape, 0.7, (450, 330)), 8, apart=60):
            for k in range(7):
                a = -math.pi / 2 + (k - 3) * 0.2
                tip = (x + 40 * math.cos(a), y + 40 * math.sin(a))
                sheet.ink([(x + (k - 3) * 4, y), tip], 5, subject.colour("underside"))
    return 100.0


def _leaf(sheet: Sheet, subject: Subject, tone: str) -> Path:
    host = subject.hosts[0].split()[0] if subject.hosts else ""
    if host in ("Acer", "Tussilago"):
        outline: Path = []
        points = 5 if host == "Acer" else 8
        for i in range(120):
            a = math.tau * i / 120 - math.pi / 2
            reach = 225 + 62 * math.cos(points * (a + math.pi / 2)) + 9 * math.sin(23 * a)
            outline.append((450 + reach * 1.15 * math.cos(a), 335 + reach * math.sin(a)))
        shape = curve(outline, closed=True, steps=2)
    else:
        rough = 20 if host == "Quercus" else 5
        right = [
            (450 + 165 * math.sin(math.pi * t) ** 0.8 + rough * math.sin(t * 26), 70 + 520 * t)
            for t in [i / 40 for i in range(41)]
        ]
        shape = [*right, *reversed(mirrored(right, 450))]
    sheet.wash(shape, tone)
    sheet.shade(shape, tone)
    with sheet.within(shape):
        vein = darker(tone, 0.3)
        sheet.ink(curve([(450, 60), (453, 330), (450, 640)]), 4, vein)
        for i in range(7):
            y = 150 + 62 * i
            for side in (-1, 1):
                sheet.ink(
                    curve([(450, y + 40), (450 + side * 90, y + 6), (450 + side * 260, y - 40)]),
                    2.2,
                    vein,
                )
    sheet.ink([(450, 580), (448, 620), (456, 650)], 5, darker(tone, 0.2))
    return shape


def _spots(sheet: Sheet, subject: Subject, shape: Path, *, under: bool) -> None:
    for x, y in scatter(sheet.rng, scaled(shape, 0.88, (450, 330)), 34, apart=30):
        size = sheet.rng.uniform(9, 19)
        if under:
            sheet.fill(
                lobed(sheet.rng, x, y, size, size * 0.9, rough=0.1, n=24),
                subject.colour("underside"),
            )
            for px, py in scatter(sheet.rng, ellipse(x, y, size, size, n=20), 9):
                sheet.dot(px, py, 2.6, darker(subject.colour("underside"), 0.4))
        else:
            sheet.fill(
                lobed(sheet.rng, x, y, size * 1.2, size, rough=0.1, n=24), subject.colour("edge")
            )
            sheet.fill(
                lobed(sheet.rng, x, y, size * 0.7, size * 0.6, rough=0.1, n=24),
                subject.colour("cap"),
            )


def _mildew(sheet: Sheet, subject: Subject, shape: Path) -> None:
    for x, y in scatter(sheet.rng, shape, 26, apart=40):
        for k in (1.0, 0.7):
            patch = lobed(sheet.rng, x, y, 62 * k, 44 * k, rough=0.14, n=36)
            sheet.fill(patch, mix(LEAF, subject.colour("cap"), 0.95 - 0.35 * k))
    for x, y in scatter(sheet.rng, shape, 240):
        sheet.dot(x, y, 1.8, lighter(subject.colour("cap"), 0.6))


def _tar(sheet: Sheet, subject: Subject, shape: Path, *, under: bool) -> None:
    for x, y in scatter(sheet.rng, scaled(shape, 0.78, (450, 330)), 11, apart=80):
        size = sheet.rng.uniform(24, 42)
        spot = lobed(sheet.rng, x, y, size, size * 0.85, rough=0.06, n=40)
        sheet.fill(scaled(spot, 1.35, (x, y)), mix(LEAF, subject.colour("edge"), 0.9))
        sheet.fill(spot, "#6a5a44" if under else subject.colour("cap"))
        if not under:
            for k in (0.7, 0.4):
                sheet.ink(scaled(spot, k, (x, y))[:24], 1.8, "#6a6660")


def _flower(sheet: Sheet, subject: Subject) -> float:
    """A campion whose anthers are full of dark smut."""
    sheet.ink(curve([(450, 640), (440, 480), (450, 330)]), 9, "#7a8f5c")
    for i in range(5):
        a = math.tau * i / 5 - math.pi / 2
        x, y = 450 + 118 * math.cos(a), 310 + 118 * math.sin(a)
        petal = lobed(sheet.rng, x, y, 92, 84, rough=0.06, lobes=3)
        sheet.wash(petal, subject.colour("edge"))
        sheet.ink(petal, 3.2, closed=True)
    for x, y in scatter(sheet.rng, ellipse(450, 310, 96, 90), 120):
        sheet.dot(x, y, sheet.rng.uniform(2, 5), subject.colour("cap"))
    for i in range(10):
        a = math.tau * i / 10
        sheet.dot(
            450 + 42 * math.cos(a), 310 + 40 * math.sin(a), 13, subject.colour("cap"), "#1e1218"
        )
    return 110.0


def _swelling(sheet: Sheet, subject: Subject) -> float:
    """A stem twisted and swollen where the rust fruits, and a leaf with cups."""
    stem = curve(
        [
            (430, 640),
            (425, 480),
            (400, 400),
            (430, 330),
            (470, 260),
            (450, 60),
            (476, 60),
            (500, 260),
            (500, 340),
            (470, 420),
            (458, 490),
            (462, 640),
        ]
    )
    sheet.wash(stem, "#8fa866")
    gall = lobed(sheet.rng, 448, 350, 68, 100, rough=0.06, n=80)
    sheet.wash(gall, subject.colour("cap"))
    for x, y in scatter(sheet.rng, gall, 110, apart=10):
        sheet.dot(
            x, y, 4.4, lighter(subject.colour("cap"), 0.5), darker(subject.colour("edge"), 0.4)
        )
    sheet.ink(stem, 3.2)
    sheet.ink(gall, 3, closed=True)
    for side in (-1, 1):
        leaf = curve(
            [
                (450 + side * 30, 150),
                (450 + side * 140, 90),
                (450 + side * 300, 150),
                (450 + side * 150, 210),
            ],
            closed=True,
        )
        sheet.wash(leaf, LEAF)
        for x, y in scatter(sheet.rng, leaf, 14, apart=18):
            sheet.dot(x, y, 6, subject.colour("cap"))
        sheet.ink(leaf, 3, closed=True)
    return 90.0
