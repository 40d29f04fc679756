"""Jellies, cups and their kin, and flask fungi.

Every function draws one fruitbody with its foot at ``(x, foot)`` and ``tall`` units high,
whole or (``cut``) cut lengthwise.
"""

import math

from society.demo.sketches.clubs import clubs, finger, shape_of
from society.demo.sketches.ink import Sheet, darker, lighter
from society.demo.sketches.paths import (
    arc,
    curve,
    ellipse,
    lobed,
    scaled,
    scatter,
    sown,
)
from society.demo.sketches.subject import Subject

# --- jellies


def jelly(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    """Lobes and folds with a wet gleam."""
    colour = subject.colour("flesh" if cut else "cap")
    lobes = {"brain": 7, "lobes": 6, "buttons": 1}.get(subject.figure["body"], 5)
    for i in range(lobes):
        a = math.tau * i / max(1, lobes)
        px = x + (tall * 0.36 * math.cos(a) if lobes > 1 else 0)
        py = foot - tall * 0.5 + (tall * 0.22 * math.sin(a) if lobes > 1 else 0)
        size = tall * (0.36 if lobes > 1 else 0.5)
        fold = lobed(sheet.rng, px, py, size, size * 0.74, rough=0.07, lobes=4)
        shape_of(sheet, fold, colour)
        sheet.fill(
            ellipse(px - size * 0.34, py - size * 0.3, size * 0.16, size * 0.09, n=24),
            lighter(colour, 0.75),
        )
        if subject.figure["body"] == "brain":
            for k in (0.65, 0.35):
                sheet.ink(
                    scaled(fold, k, (px, py))[: 40 + i], 2, darker(subject.colour("edge"), 0.3)
                )
        if subject.has("dots"):
            for qx, qy in scatter(sheet.rng, fold, 18):
                sheet.dot(qx, qy, 2, "#6a6460")


def ear(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    colour, inside = subject.colour("cap"), subject.colour("underside")
    shape = curve(
        [
            (x - tall * 0.2, foot - tall),
            (x + tall * 0.4, foot - tall * 0.95),
            (x + tall * 0.62, foot - tall * 0.5),
            (x + tall * 0.3, foot - tall * 0.08),
            (x - tall * 0.1, foot),
            (x - tall * 0.38, foot - tall * 0.4),
        ],
        closed=True,
    )
    shape_of(sheet, shape, colour)
    hollow = scaled(shape, 0.74, (x + tall * 0.12, foot - tall * 0.5))
    shape_of(sheet, hollow, inside)
    with sheet.within(hollow):
        for bend in (0.1, 0.3, 0.5):
            vein = curve(
                [
                    (x - tall * 0.3, foot - tall * 0.5),
                    (x + tall * bend, foot - tall * (0.7 - bend * 0.5)),
                    (x + tall * 0.55, foot - tall * (0.9 - bend)),
                ]
            )
            sheet.ink(vein, 3, darker(inside, 0.35))
    sheet.fill(
        ellipse(x + tall * 0.3, foot - tall * 0.82, tall * 0.08, tall * 0.03), lighter(colour, 0.6)
    )


# --- cups and their kin


def cup(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    """A cup on a short stem or none, looked into from above; cut, its wall shows."""
    half = tall * 0.62
    wall = subject.colour("underside")
    rim_y = foot - tall * 0.72
    stemmed = subject.stem > 0
    bowl = [
        (x - half, rim_y),
        (x - half * 0.8, rim_y + tall * 0.4),
        (x - half * 0.22, foot - (tall * 0.14 if stemmed else 0)),
        (x + half * 0.22, foot - (tall * 0.14 if stemmed else 0)),
        (x + half * 0.8, rim_y + tall * 0.4),
        (x + half, rim_y),
    ]
    if stemmed:
        stalk = [
            (x - half * 0.16, foot - tall * 0.2),
            (x + half * 0.16, foot - tall * 0.2),
            (x + half * 0.12, foot + 22),
            (x - half * 0.12, foot + 22),
        ]
        shape_of(sheet, stalk, wall)
    shape = curve(bowl, steps=7)
    shape_of(sheet, shape, wall)
    if cut:
        inner = scaled(shape, 0.84, (x, rim_y))
        shape_of(sheet, inner, "#eef0e6", 2.4)
        sheet.ink(inner, 7, subject.colour("cap"))
        return
    mouth = lobed(
        sheet.rng, x, rim_y, half, half * 0.42, rough=0.05 if subject.has("wavy") else 0.015
    )
    shape_of(sheet, mouth, subject.colour("cap"))
    sheet.fill(
        lobed(sheet.rng, x + 4, rim_y + half * 0.05, half * 0.6, half * 0.22),
        darker(subject.colour("cap"), 0.16),
    )
    if subject.has("lashes"):
        for px, py in mouth:
            a = math.atan2(py - rim_y, px - x)
            sheet.line([(px, py), (px + 22 * math.cos(a), py + 18 * math.sin(a))], "#33241e", 2.4)


def button(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    half = tall * 0.6
    side = curve(
        [
            (x - half, foot - tall * 0.8),
            (x - half * 0.7, foot - tall * 0.2),
            (x, foot),
            (x + half * 0.7, foot - tall * 0.2),
            (x + half, foot - tall * 0.8),
        ]
    )
    shape_of(sheet, side, subject.colour("edge"))
    disc = lobed(sheet.rng, x, foot - tall * 0.8, half, half * 0.36, rough=0.02)
    shape_of(sheet, disc, subject.colour("flesh" if cut else "cap"))
    sheet.fill(
        ellipse(x - half * 0.3, foot - tall * 0.86, half * 0.2, half * 0.06),
        lighter(subject.colour("cap"), 0.5),
    )


def saddle(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    half = tall * 0.13
    stem = finger(x, foot, tall * 0.74, half, 0, tip=0.3)
    shape_of(sheet, stem, subject.colour("stem"))
    with sheet.within(stem):
        for dx in (-0.7, -0.3, 0.1, 0.5, 0.8):
            sheet.ink(
                curve(
                    [
                        (x + dx * half, foot - tall * 0.7),
                        (x + dx * half * 1.3, foot - tall * 0.35),
                        (x + dx * half * 0.9, foot),
                    ]
                ),
                4.6 if not cut else 7,
                darker(subject.colour("stem"), 0.4),
            )
    for side in (-1, 1):
        wing = curve(
            [
                (x, foot - tall * 0.8),
                (x + side * tall * 0.12, foot - tall),
                (x + side * tall * 0.36, foot - tall * 0.96),
                (x + side * tall * 0.3, foot - tall * 0.68),
                (x + side * tall * 0.1, foot - tall * 0.6),
                (x, foot - tall * 0.7),
            ],
            closed=True,
        )
        shape_of(sheet, wing, subject.colour("cap"))


def morel(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    half = tall * subject.across / subject.tall / 2
    stem = finger(x, foot, tall * 0.55, half * 0.5, 0, tip=0.2)
    shape_of(sheet, stem, subject.colour("stem"))
    head = lobed(sheet.rng, x, foot - tall * 0.66, half, tall * 0.34, rough=0.03)
    brain = subject.figure["body"] == "brain"
    shape_of(sheet, head, subject.colour("cap"))
    with sheet.within(head):
        for px, py in scatter(sheet.rng, head, 40 if brain else 46, apart=19 if brain else 22):
            if brain:
                worm = curve(
                    [(px - 20, py + 4), (px - 6, py - 10), (px + 8, py + 8), (px + 22, py - 5)]
                )
                sheet.ink(worm, 7, darker(subject.colour("edge"), 0.35))
                sheet.ink([(a, b - 4) for a, b in worm], 3, lighter(subject.colour("cap"), 0.2))
            else:
                pit = lobed(sheet.rng, px, py, 13, 17, rough=0.08, lobes=5, n=20)
                sheet.fill(pit, darker(subject.colour("edge"), 0.25))
                sheet.ink(pit, 2, lighter(subject.colour("cap"), 0.3), closed=True)
    sheet.ink(head, 3.4, closed=True)
    if cut:
        chambers = 5 if brain else 1
        for i in range(chambers):
            cy = foot - tall * (0.5 if chambers == 1 else 0.2 + 0.15 * i)
            shape_of(
                sheet,
                lobed(
                    sheet.rng,
                    x + (0 if chambers == 1 else (-1) ** i * half * 0.3),
                    cy,
                    half * (0.4 if chambers == 1 else 0.3),
                    tall * (0.4 if chambers == 1 else 0.06),
                    rough=0.03,
                ),
                subject.colour("flesh"),
            )


def jelly_baby(
    sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool
) -> None:
    half = tall * 0.12
    shape_of(sheet, finger(x, foot, tall * 0.85, half, 8, tip=0.5), subject.colour("stem"))
    head = lobed(sheet.rng, x + 8, foot - tall * 0.86, tall * 0.26, tall * 0.15, rough=0.05)
    shape_of(sheet, head, subject.colour("flesh" if cut else "cap"))
    sheet.fill(
        ellipse(x - tall * 0.06, foot - tall * 0.92, tall * 0.05, tall * 0.02),
        lighter(subject.colour("cap"), 0.7),
    )


# --- flask fungi
def flask_ball(
    sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool
) -> None:
    half = tall * 0.6
    shape = lobed(sheet.rng, x, foot - tall / 2, half, tall / 2, rough=0.03, lobes=4)
    shape_of(sheet, shape, subject.colour("cap"))
    if cut and subject.has("rings"):
        for i in range(7):
            ring = scaled(shape, 0.94 - 0.13 * i, (x, foot - tall * 0.1))
            sheet.fill(ring, "#a8a39a" if i % 2 else "#4a4440")
            sheet.ink(ring, 1.6, closed=True)
        return
    if cut:
        sheet.fill(scaled(shape, 0.84, (x, foot - tall / 2)), subject.colour("flesh"))
        return
    for px, py in sown(sheet.rng, shape[::2], max(9.0, tall * 0.06)):
        sheet.dot(px, py, 1.9, darker(subject.colour("edge"), 0.5))


def insect(sheet: Sheet, subject: Subject, x: float, foot: float, tall: float, cut: bool) -> None:
    """An orange club that rises from a buried pupa."""
    pupa = lobed(sheet.rng, x, foot + 26, 92, 36, rough=0.02)
    shape_of(sheet, pupa, "#7a4a30")
    for dx in (-50, -20, 10, 40):
        sheet.ink(arc(x + dx, foot + 26, 12, 34, 250, 470, n=12), 2.2)
    clubs(sheet, subject, x, foot, tall, cut)
    for px, py in scatter(sheet.rng, ellipse(x, foot - tall * 0.72, tall * 0.05, tall * 0.22), 40):
        sheet.dot(px, py, 2.4, darker(subject.colour("cap"), 0.4))
