"""Clubs and corals, and the outline of a club that other builds share.

Every function draws one fruitbody with its foot at ``(x, foot)`` and ``tall`` units high,
whole or (``cut``) cut lengthwise.
"""

import math

from society.demo.sketches.caps import tuft
from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import (
    Path,
    curve,
    ellipse,
    lobed,
    scatter,
)
from society.demo.sketches.subject import Subject


def shape_of(sheet: Sheet, path: Path, colour: str, width: float = 3.2) -> None:
    sheet.wash(path, colour)
    sheet.shade(path, colour)
    sheet.ink(path, width, closed=True)


def finger(
    x: float, foot: float, tall: float, wide: float, lean: float, *, tip: float = 0.7
) -> Path:
    """A club's outline: narrow foot, swollen above, rounded or pointed at the tip."""
    low = min(0.35, tip * 0.5)
    right = [
        (x + wide * 0.45, foot),
        (x + wide * 0.6 + lean * 0.3, foot - tall * low),
        (x + wide + lean * 0.8, foot - tall * tip),
        (x + wide * 0.55 + lean, foot - tall * 0.95),
        (x + lean, foot - tall),
    ]
    left = [
        (x - wide * 0.55 + lean, foot - tall * 0.95),
        (x - wide + lean * 0.8, foot - tall * tip),
        (x - wide * 0.6 + lean * 0.3, foot - tall * low),
        (x - wide * 0.45, foot),
    ]
    return curve([*right, *left], steps=6)


def clubs(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    wide = max(9.0, tall * min(0.2, subject.across / subject.tall * 0.5))
    shape = finger(x, foot, tall, wide, sheet.rng.uniform(-0.08, 0.08) * tall)
    shape_of(sheet, shape, subject.colour("flesh" if cut else "cap"))
    if cut:
        sheet.ink(shape, 6, subject.colour("cap"), closed=True)
        sheet.ink(shape, 2.4, closed=True)
        return
    with sheet.within(shape):
        tone = darker(subject.colour("stem"), 0.05)
        sheet.fill(
            [
                (x - 80, foot - tall * 0.25),
                (x + 80, foot - tall * 0.25),
                (x + 80, foot),
                (x - 80, foot),
            ],
            tone,
        )
        if subject.has("hairy"):
            for px, py in scatter(sheet.rng, shape, 120):
                sheet.line([(px, py), (px + 3, py - 4)], "#6a6462", 1.5)
    if subject.figure["body"] == "wrinkled" or subject.figure["body"] == "tongue":
        for dx in (-0.4, 0.1, 0.5):
            line = [(x + dx * wide, foot - tall * 0.75), (x + dx * wide * 0.8, foot - tall * 0.4)]
            sheet.ink(line, 2, darker(subject.colour("cap"), 0.35))


def antlers(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    """Forked branches, or the white-tipped antlers of a flask fungus on a black foot."""
    tip, low = subject.colour("cap"), subject.colour("stem")
    _fork(sheet, subject, (x, foot), -90, tall, max(8.0, tall * 0.055), 0, (low, tip))
    if subject.has("root"):
        root = curve([(x, foot), (x + 6, foot + 26), (x - 4, foot + 52)])
        sheet.ink(root, 9, lighter(low, 0.3))
        sheet.ink(root, 2.4)


def _fork(
    sheet: Sheet,
    subject: Subject,
    start: tuple[float, float],
    angle: float,
    tall: float,
    wide: float,
    depth: int,
    tones: tuple[str, str],
) -> None:
    deepest = {"coral": 4, "antlers": 3}.get(subject.figure["body"], 3)
    share = (0.42, 0.3, 0.22, 0.18, 0.14)[depth]
    d = tall * share * sheet.rng.uniform(0.85, 1.15)
    a = math.radians(angle)
    end = (start[0] + d * math.cos(a), start[1] + d * math.sin(a))
    nx, ny = -math.sin(a) * wide, math.cos(a) * wide
    k = 0.72
    limb = [
        (start[0] + nx, start[1] + ny),
        (end[0] + nx * k, end[1] + ny * k),
        (end[0] + math.cos(a) * wide * k, end[1] + math.sin(a) * wide * k),
        (end[0] - nx * k, end[1] - ny * k),
        (start[0] - nx, start[1] - ny),
    ]
    sheet.fill(limb, mix(*tones, min(1.0, depth / max(1, deepest - 1))))
    sheet.ink([limb[0], limb[1]], 2.6)
    sheet.ink([limb[4], limb[3]], 2.6)
    if depth >= deepest - 1:
        sheet.ink(limb[1:4], 2.4)
        return
    spread = 16 if subject.has("upright") else 26
    ways = (-1, 1) if depth % 2 else (-1, 0.1, 1) if subject.figure["body"] == "coral" else (-1, 1)
    for way in ways:
        turn = angle + way * spread * sheet.rng.uniform(0.7, 1.25)
        _fork(sheet, subject, end, turn, tall, wide * k, depth + 1, tones)


def coral(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    for dx, part in ((-0.2, 0.86), (0.2, 0.9), (0.0, 1.0)):
        antlers(sheet, subject, x + dx * tall * 0.4, foot, tall * part, cut)
    if subject.has("crested"):
        for px, py in scatter(
            sheet.rng, ellipse(x, foot - tall * 0.86, tall * 0.36, tall * 0.13), 36
        ):
            tuft(sheet, px, py, -math.pi / 2, 9, subject.colour("cap"))


def cauliflower(
    sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool
) -> None:
    colour, edge = subject.colour("cap"), subject.colour("edge")
    mound = lobed(sheet.rng, x, foot - tall * 0.5, tall * 0.66, tall * 0.5, rough=0.05, lobes=9)
    shape_of(sheet, mound, darker(colour, 0.2))
    with sheet.within(mound):
        for row in range(8):
            y = foot - tall * (0.94 - 0.115 * row)
            for i in range(9):
                px = x + (i - 4 + 0.5 * (row % 2)) * tall * 0.16 + sheet.rng.uniform(-8, 8)
                size = tall * sheet.rng.uniform(0.07, 0.1)
                ribbon = lobed(sheet.rng, px, y, size * 1.2, size * 0.8, rough=0.16, lobes=4, n=40)
                sheet.fill(ribbon, mix(colour, edge, sheet.rng.uniform(0, 0.35)))
                sheet.ink(ribbon, 2.2, darker(edge, 0.4), closed=True)
    sheet.ink(mound, 3.4, closed=True)
