"""Views of fungi that have no cap on a stem: alone, in company, cut, and close at hand."""

import math
from collections.abc import Callable

from society.demo.sketches.bodies import BODIES
from society.demo.sketches.clubs import antlers
from society.demo.sketches.cups import morel
from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import Path, arc, curve, ellipse, lobed, scaled, scatter
from society.demo.sketches.subject import Subject
from society.demo.sketches.wood import branch

MANY = {
    "balls": 7,
    "buttons": 9,
    "button": 6,
    "disc": 6,
    "stalked": 8,
    "clubs": 5,
    "spindles": 6,
    "wrinkled": 4,
    "tongue": 4,
}


def draw_body(sheet: Sheet, subject: Subject, view: str) -> float:
    """``cap``: from nearby; ``side``: the company; ``section``: cut; ``underside``: turned over."""
    sheet.backdrop()
    kind = subject.figure["body"]
    body = BODIES[kind]
    if kind == "brain" and subject.form == "cup":
        body = morel
    on_wood = subject.substrate == "wood"
    low = kind in (
        "balls",
        "buttons",
        "button",
        "disc",
        "stalked",
        "round",
        "brain",
        "lobes",
        "cup",
        "ear",
    )
    foot = 520.0 if low else 590.0
    if view == "side" and on_wood:
        branch(sheet, subject, 560, 130)
        foot = 505.0
    elif view != "section" and not on_wood:
        soil(sheet, foot)
    largest = 300.0 if low else 500.0
    wide = subject.across / max(subject.tall, 0.01)
    tall = min(largest, 620 / max(wide, 0.5))
    if view == "section":
        body(sheet, subject, 450, foot + 20, tall, True)
        return tall / subject.tall
    if view in ("cap", "detail"):
        body(sheet, subject, 450, foot + 20, tall, False)
        return tall / subject.tall
    count = MANY.get(kind, 3)
    places = [
        (450 + (i - (count - 1) / 2) * 620 / count, sheet.rng.uniform(0.5, 0.8))
        for i in range(count)
    ]
    share = min(1.0, 620 / count / (max(wide, 0.4) * tall) * 1.5)
    if view == "underside":
        share, places = 0.9, [(330, 0.9), (600, 0.7)]
    for x, size in places:
        body(
            sheet,
            subject,
            x,
            foot + sheet.rng.uniform(-6, 14),
            tall * size * share,
            view == "underside",
        )
    return tall * 0.7 * share / subject.tall


def soil(sheet: Sheet, y: float) -> None:
    """Ground, with crumbs and blades."""
    for _ in range(22):
        x = sheet.rng.uniform(120, 760)
        d = sheet.rng.uniform(16, 60)
        dy = sheet.rng.uniform(0, 26)
        sheet.ink([(x, y + dy), (x + d / 2, y + dy - 3), (x + d, y + dy)], 2.2, "#9c8f78")
    for _ in range(9):
        x = sheet.rng.uniform(140, 760)
        blade = curve([(x, y + 16), (x + 4, y - 16), (x + sheet.rng.uniform(-18, 22), y - 44)])
        sheet.ink(blade, 2.6, "#7f9468")


# --- forms that cover a surface


def draw_sheeted(sheet: Sheet, subject: Subject, view: str) -> float:
    """Flask fungi that lie on wood as a crust or as pinheads."""
    sheet.backdrop()
    close = view in ("detail", "section", "underside")
    shape = branch(sheet, subject, 380, 330 if close else 220)
    colour, edge = subject.colour("cap"), subject.colour("edge")
    if subject.figure["body"] == "crusty":
        patch = lobed(sheet.rng, 440, 370, 260, 100, rough=0.06, lobes=7, n=110)
        sheet.wash(patch, edge)
        for cx, cy in scatter(sheet.rng, patch, 7, apart=80):
            sheet.fill(lobed(sheet.rng, cx, cy, 60, 30, rough=0.08), colour)
        sheet.ink(patch, 3.4, closed=True)
    inner = scaled(shape, 0.86, (450, 380))
    size = 10.0 if close else 6.5
    if subject.figure["body"] != "crusty":
        for x, y in scatter(sheet.rng, inner, 60 if close else 120, apart=size * 2.6):
            tone = mix(colour, edge, 1.0 if sheet.rng.random() < 0.4 else 0.0)
            sheet.dot(x + 2, y + 3, size, darker(tone, 0.5))
            sheet.dot(x, y, size, tone)
            sheet.dot(x - size * 0.3, y - size * 0.3, size * 0.25, lighter(tone, 0.6))
    return (20 if close else 13) / max(subject.across, 0.1) if subject.across < 1 else 52


# --- lichens


def draw_lichen(sheet: Sheet, subject: Subject, view: str) -> float:
    """Leafy, shrubby or cup-bearing, each on what it grows on."""
    sheet.backdrop()
    body = subject.figure["body"]
    if body == "leafy":
        return _leafy(sheet, subject, under=view in ("underside", "section"))
    if body == "matchstick":
        return _matchsticks(sheet, subject)
    return _shrubby(sheet, subject, dense=body == "cushion")


def _leafy(sheet: Sheet, subject: Subject, *, under: bool) -> float:
    branch(sheet, subject, 380, 420)
    colour = subject.colour("underside" if under else "cap")
    edge = subject.colour("edge")
    rosette: list[tuple[Path, float, float]] = []
    for ring, (count, reach) in enumerate(((15, 205.0), (11, 140.0), (7, 72.0))):
        for i in range(count):
            a = math.tau * (i + ring * 0.37) / count
            x, y = 450 + reach * math.cos(a), 370 + reach * 0.8 * math.sin(a)
            size = 52 - ring * 5
            rosette.append(
                (lobed(sheet.rng, x, y, size, size * 0.76, rough=0.13, lobes=4, n=48), x, y)
            )
    for lobe, x, y in rosette:
        sheet.wash(lobe, colour)
        sheet.fill(scaled(lobe, 0.7, (x, y)), mix(colour, edge, 0.3))
        if subject.has("netted"):
            for k in (0.75, 0.45):
                sheet.ink(scaled(lobe, k, (x, y))[::4], 1.6, darker(edge, 0.25))
        if subject.has("powdery_tips"):
            sheet.dot(x, y, 9, lighter(colour, 0.6))
        sheet.ink(lobe, 2.4, closed=True)
    if subject.has("discs") and not under:
        for x, y in scatter(sheet.rng, ellipse(450, 370, 150, 120), 26, apart=24):
            sheet.dot(x, y, 11, lighter(colour, 0.4), "#7a5a1a")
            sheet.dot(x, y, 7, "#d9861a")
    return 500 / subject.across


def _shrubby(sheet: Sheet, subject: Subject, *, dense: bool) -> float:
    if not dense:
        branch(sheet, subject, 560, 110)
    tone = Subject(
        name=subject.name,
        form="club",
        across=subject.across,
        tall=subject.tall,
        stem=0.3,
        figure={"body": "coral"},
        marks=frozenset(),
        hosts=(),
        substrate="",
        habitats=(),
        colours={"cap": subject.colour("cap"), "stem": subject.colour("edge")},
    )
    count = 11 if dense else 6
    for i in range(count):
        x = 450 + (i - (count - 1) / 2) * (46 if dense else 62)
        antlers(
            sheet, tone, x, 545 + sheet.rng.uniform(-14, 14), sheet.rng.uniform(260, 380), False
        )
    return 380 / max(subject.tall, 1)


def _matchsticks(sheet: Sheet, subject: Subject) -> float:
    soil(sheet, 560)
    for i in range(9):
        x, tall = 190 + i * 64 + sheet.rng.uniform(-12, 12), sheet.rng.uniform(170, 360)
        stalk = curve(
            [
                (x - 9, 570),
                (x - 8, 570 - tall * 0.5),
                (x - 12, 570 - tall),
                (x + 12, 570 - tall),
                (x + 8, 570 - tall * 0.5),
                (x + 9, 570),
            ]
        )
        sheet.wash(stalk, subject.colour("stem"))
        for px, py in scatter(sheet.rng, stalk, 30):
            sheet.dot(px, py, 2.6, darker(subject.colour("stem"), 0.2))
        sheet.ink(stalk, 2.6)
        head = lobed(sheet.rng, x, 566 - tall, 22, 17, rough=0.09, n=36)
        sheet.wash(head, subject.colour("cap"))
        sheet.ink(head, 2.8, closed=True)
    return 360 / subject.tall


# --- slime moulds


def draw_slime(sheet: Sheet, subject: Subject, view: str) -> float:
    """A creeping mass, cushions, balls, a brush of sticks, or a frosting of fine pillars."""
    sheet.backdrop()
    branch(sheet, subject, 520, 230)
    stroke = _SLIMES[subject.figure["body"]]
    return stroke(sheet, subject, view in ("section", "underside"))


def _mound(sheet: Sheet, subject: Subject, cut: bool) -> float:
    colour, edge = subject.colour("cap"), subject.colour("edge")
    high = 120 if subject.figure["body"] == "mass" else 150
    mound = lobed(sheet.rng, 450, 380, 250, high, rough=0.05, lobes=8, n=110)
    sheet.wash(mound, colour)
    sheet.shade(mound, colour)
    with sheet.within(mound):
        for x, y in scatter(sheet.rng, mound, 90):
            tone = mix(colour, edge, sheet.rng.random())
            sheet.dot(x, y, sheet.rng.uniform(3, 9), tone)
        if cut:
            sheet.fill(scaled(mound, 0.82, (450, 390)), subject.colour("flesh", "#3a3230"))
    sheet.ink(mound, 3.2, closed=True)
    return 500 / subject.across


def _pearls(sheet: Sheet, subject: Subject, cut: bool) -> float:
    colour, edge = subject.colour("cap"), subject.colour("edge")
    for i in range(9):
        x, y = 180 + 68 * i, 410 + sheet.rng.uniform(-24, 24)
        ball = lobed(sheet.rng, x, y, 40, 38, rough=0.03)
        sheet.wash(ball, subject.colour("flesh", edge) if cut else (colour if i % 3 else edge))
        sheet.fill(ellipse(x - 13, y - 14, 8, 5, n=20), lighter(colour, 0.6))
        sheet.ink(ball, 3, closed=True)
    return 78 / subject.across


def _brush(sheet: Sheet, subject: Subject, cut: bool) -> float:
    colour = subject.colour("cap")
    for i in range(26):
        x, tall = 190 + 21 * i, sheet.rng.uniform(200, 300)
        tip = (x + sheet.rng.uniform(-26, 26), 450 - tall)
        sheet.ink(curve([(x, 450), (x + 3, 450 - tall * 0.3), tip]), 2.4, "#1e1818")
        body = [(x + 2, 450 - tall * 0.24), (x + 3, 450 - tall * 0.6), tip]
        sheet.ink(curve(body), 15, colour)
        sheet.ink(curve([(x - 3, 450 - tall * 0.3), tip]), 3, darker(colour, 0.5))
    return 300 / subject.tall


def _frost(sheet: Sheet, subject: Subject, cut: bool) -> float:
    for _ in range(150):
        x, y = sheet.rng.uniform(130, 770), 400 + sheet.rng.uniform(0, 170)
        tall = sheet.rng.uniform(16, 42)
        sheet.ink([(x, y), (x + 1, y - tall)], 6, "#c9ccc6")
        sheet.ink([(x, y), (x, y - tall)], 4, subject.colour("cap"))
        sheet.ink(arc(x, y - tall, 5, 5, 180, 360, n=6), 3, subject.colour("edge"))
    return 90.0


_SLIMES: dict[str, Callable[[Sheet, Subject, bool], float]] = {
    "mass": _mound,
    "cushion": _mound,
    "balls": _pearls,
    "bottle_brush": _brush,
    "frost": _frost,
}
