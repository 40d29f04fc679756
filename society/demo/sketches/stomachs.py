"""Puffballs, earthballs, earthstars, stinkhorns and nests.

Every function draws one fruitbody with its foot at ``(x, foot)`` and ``tall`` units high,
whole or (``cut``) cut lengthwise.
"""

import math

from society.demo.sketches.clubs import finger, shape_of
from society.demo.sketches.ink import Sheet, darker, lighter
from society.demo.sketches.paths import (
    Path,
    curve,
    ellipse,
    lobed,
    mirrored,
    scaled,
    scatter,
    sown,
)
from society.demo.sketches.subject import Subject


def ball(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    """Puffballs and earthballs, round or with a foot."""
    half = tall * subject.across / subject.tall / 2
    if subject.figure["body"] == "pear":
        neck = max(0.3, subject.stem / subject.across)
        side = [
            (x, foot - tall),
            (x + half * 0.72, foot - tall * 0.92),
            (x + half, foot - tall * 0.64),
            (x + half * 0.78, foot - tall * 0.36),
            (x + half * neck, foot - tall * 0.14),
            (x + half * neck * 0.9, foot),
        ]
        right = curve(side, steps=7)
        shape = [*right, *reversed(mirrored(right, x))]
    else:
        shape = lobed(sheet.rng, x, foot - tall / 2, half, tall / 2, rough=0.018)
    if cut:
        _ball_cut(sheet, subject, shape, x, foot, tall)
        return
    shape_of(sheet, shape, subject.colour("cap"), 3.6)
    with sheet.within(shape):
        _ball_skin(sheet, subject, shape)
    if subject.has("pore") and subject.colours.get("change"):
        hole = lobed(sheet.rng, x, foot - tall * 0.955, half * 0.13, tall * 0.035, rough=0.1, n=24)
        sheet.fill(hole, subject.colour("change"))
        sheet.ink(hole, 2.4, closed=True)
    if subject.has("cords") or subject.has("cord"):
        for dx in (-0.5, 0.1, 0.5):
            sheet.ink(
                curve(
                    [
                        (x + dx * half * 0.5, foot - 3),
                        (x + dx * half, foot + 18),
                        (x + dx * half * 1.6, foot + 28),
                    ]
                ),
                4,
                "#cbbf9c",
            )


def _ball_skin(sheet: Sheet, subject: Subject, shape: Path) -> None:
    dark = darker(subject.colour("edge"), 0.15)
    if subject.has("spines"):
        for px, py in sown(sheet.rng, shape[::2], 15.0):
            sheet.fill(
                [(px - 4, py + 3), (px, py - 7), (px + 4, py + 3)],
                lighter(subject.colour("cap"), 0.5),
            )
            sheet.line([(px - 4, py + 3), (px, py - 7), (px + 4, py + 3)], dark, 1.6)
    elif subject.has("scales_coarse"):
        for px, py in scatter(sheet.rng, shape, 60, apart=24):
            scale = lobed(sheet.rng, px, py, 13, 10, rough=0.14, lobes=3, n=16)
            sheet.fill(scale, dark)
            sheet.ink(scale, 1.8, closed=True)
    else:
        for px, py in scatter(sheet.rng, shape, 70):
            sheet.dot(px, py, sheet.rng.uniform(1.2, 2.6), dark)


def _ball_cut(
    sheet: Sheet, subject: Subject, shape: Path, x: float, foot: float, tall: float
) -> None:
    """Cut lengthwise: an even inside, with no outline of cap and gills in it."""
    rind = 0.86 if subject.has("rind") else 0.95
    centre = (x, foot - tall / 2)
    shape_of(
        sheet,
        shape,
        lighter(subject.colour("cap"), 0.5) if subject.has("rind") else subject.colour("cap"),
    )
    inner = scaled(shape, rind, centre)
    sheet.fill(inner, subject.colour("flesh"))
    with sheet.within(inner):
        grain = darker(subject.colour("flesh"), 0.16) if not subject.has("rind") else "#cfc8b4"
        for px, py in scatter(sheet.rng, inner, 90):
            sheet.dot(px, py, 2.4, grain)
        if subject.figure["body"] == "pear":
            y = foot - tall * 0.34
            for px, py in scatter(
                sheet.rng, [(x - tall, y), (x + tall, y), (x + tall, foot), (x - tall, foot)], 60
            ):
                sheet.dot(px, py, 4, darker(subject.colour("flesh"), 0.22))
    sheet.ink(inner, 2.4, closed=True)


def stinkhorn(
    sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool
) -> None:
    half = max(15.0, tall * subject.stem / subject.tall * 0.5)
    stem = finger(x, foot - 20, tall * 0.86, half, 12, tip=0.55)
    shape_of(sheet, stem, subject.colour("stem"))
    with sheet.within(stem):
        for px, py in sown(sheet.rng, stem[::2], max(9.0, tall * 0.024)):
            sheet.dot(px, py, 2.6, darker(subject.colour("stem"), 0.2))
        if cut:
            sheet.fill(
                scaled(stem, 0.55, (x + 6, foot - tall * 0.4)), darker(subject.colour("stem"), 0.3)
            )
    head_half = half * (1.55 if not subject.has("slim") else 0.95)
    top = foot - tall
    head = curve(
        [
            (x + 12 - head_half, top + tall * 0.22),
            (x + 12 - head_half * 0.7, top + tall * 0.05),
            (x + 12, top),
            (x + 12 + head_half * 0.7, top + tall * 0.05),
            (x + 12 + head_half, top + tall * 0.22),
            (x + 12, top + tall * 0.19),
        ],
        closed=True,
        steps=6,
    )
    shape_of(
        sheet, head, subject.colour("cap") if not subject.has("slim") else subject.colour("edge")
    )
    with sheet.within(head):
        for px, py in scatter(sheet.rng, head, 34, apart=12):
            sheet.ink(
                lobed(sheet.rng, px, py, 8, 7, n=14),
                1.8,
                darker(subject.colour("cap"), 0.5),
                closed=True,
            )
        if subject.has("slim"):
            sheet.fill(
                ellipse(x + 12, top + tall * 0.1, head_half, tall * 0.05), subject.colour("cap")
            )
    egg = [
        (x - half * 2, foot - 62),
        (x - half * 1.2, foot - 44),
        (x - half * 0.4, foot - 70),
        (x + half * 0.6, foot - 46),
        (x + half * 1.9, foot - 66),
        (x + half * 2.1, foot - 14),
        (x + half, foot + 20),
        (x - half, foot + 20),
        (x - half * 2.1, foot - 14),
    ]
    shape_of(sheet, curve(egg, closed=True, steps=4), "#efe6d6")
    sheet.ink(curve([(x, foot + 18), (x + 8, foot + 34), (x - 6, foot + 48)]), 4.6, "#d8ccb4")


def star(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    cy = foot - tall * 0.45
    reach = tall * 0.72
    for i in range(6):
        a = math.tau * i / 6 + 0.3
        tip = (x + reach * math.cos(a), cy + reach * 0.62 * math.sin(a) + tall * 0.14)
        s, c = math.sin(a) * reach * 0.3, math.cos(a) * reach * 0.3
        ray = curve(
            [
                (x - s, cy + c * 0.62),
                (x + (tip[0] - x) * 0.6 - s * 0.7, cy + (tip[1] - cy) * 0.5 + c * 0.5),
                tip,
                (x + (tip[0] - x) * 0.6 + s * 0.7, cy + (tip[1] - cy) * 0.5 - c * 0.5),
                (x + s, cy - c * 0.62),
            ],
            steps=5,
        )
        shape_of(sheet, ray, subject.colour("edge"))
        sheet.ink(
            [
                (x + (tip[0] - x) * 0.5, cy + (tip[1] - cy) * 0.5),
                (x + (tip[0] - x) * 0.62, cy + (tip[1] - cy) * 0.62 + 6),
            ],
            2,
        )
    if subject.has("collar"):
        shape_of(
            sheet,
            lobed(sheet.rng, x, cy + 14, tall * 0.4, tall * 0.2, rough=0.05),
            lighter(subject.colour("edge"), 0.25),
        )
    head = lobed(sheet.rng, x, cy - tall * 0.1, tall * 0.3, tall * 0.28, rough=0.02)
    shape_of(sheet, head, subject.colour("flesh") if not cut else "#8a6a4c")
    if cut:
        for px, py in scatter(sheet.rng, head, 80):
            sheet.dot(px, py, 2.4, "#4f3a2a")
    beak = [(x - 16, cy - tall * 0.36), (x, cy - tall * 0.46), (x + 16, cy - tall * 0.36)]
    sheet.fill(beak, darker(subject.colour("flesh"), 0.2))
    sheet.ink(beak, 2.6)


def nest(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    half = tall * 0.36
    cup_shape = curve(
        [
            (x - half, foot - tall),
            (x - half * 0.8, foot - tall * 0.4),
            (x - half * 0.4, foot),
            (x + half * 0.4, foot),
            (x + half * 0.8, foot - tall * 0.4),
            (x + half, foot - tall),
        ],
        steps=6,
    )
    shape_of(sheet, cup_shape, subject.colour("cap"))
    mouth = ellipse(x, foot - tall, half, half * 0.34)
    shape_of(sheet, mouth, subject.colour("edge"))
    with sheet.within(cup_shape if cut else mouth):
        for i in range(9):
            a = math.pi * (i + 0.5) / 9
            sheet.line(
                [
                    (x - half * math.cos(a), foot - tall - 20),
                    (x - half * math.cos(a) * 0.8, foot - tall * 0.4),
                ],
                darker(subject.colour("edge"), 0.25),
                1.8,
            )
    for dx, dy in ((-0.45, 0.05), (0.05, 0.12), (0.5, 0.04)):
        egg = ellipse(x + dx * half, foot - tall + dy * tall, half * 0.26, half * 0.15, n=30)
        shape_of(sheet, egg, "#b8b0a4", 2.4)
    for px, py in scatter(sheet.rng, cup_shape, 60):
        sheet.line([(px, py), (px + 2, py + 8)], darker(subject.colour("cap"), 0.4), 1.5)
