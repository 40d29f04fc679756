"""Crusts on a branch, and cut across."""

import math

from society.demo.sketches.brackets import fan
from society.demo.sketches.ink import INK, Sheet, darker, lighter
from society.demo.sketches.paths import Path, arc, curve, lobed, scaled, scatter, sown
from society.demo.sketches.subject import Subject
from society.demo.sketches.wood import bark, branch


def crust_face(sheet: Sheet, subject: Subject, *, close: bool = False) -> float:
    """Patches spread on a branch; with turned-up edges where the crust makes them."""
    sheet.backdrop()
    branch(sheet, subject, 350, 320 if close else 210)
    colour, edge = subject.colour("cap"), subject.colour("edge")
    reach = 1.7 if close else 1.0
    places = (
        ((450.0, 330.0, 190.0, 90.0),)
        if close
        else ((270.0, 330.0, 130.0, 62.0), (480.0, 370.0, 150.0, 66.0), (690.0, 330.0, 110.0, 60.0))
    )
    for cx, cy, rx, ry in places:
        shape = lobed(sheet.rng, cx, cy, rx * reach, ry * reach, rough=0.09, lobes=7, n=110)
        sheet.wash(shape, lighter(edge, 0.4))
        inner = scaled(shape, 0.94, (cx, cy))
        sheet.fill(inner, colour)
        with sheet.within(inner):
            _crust_marks(sheet, subject, inner, (cx, cy))
        sheet.ink(shape, 2.8, closed=True)
        if subject.figure.get("body") == "reflexed":
            _turned_edge(sheet, subject, cx, cy - ry * reach * 0.8, rx * reach)
        if subject.has("curling"):
            for x, y in shape[::6]:
                sheet.ink(arc(x, y, 13, 8, 180, 340, n=8), 5, darker(edge, 0.2))
    return 150 * 2 * reach / subject.across


def _crust_marks(sheet: Sheet, subject: Subject, inner: Path, centre: tuple[float, float]) -> None:
    dark = darker(subject.colour("cap"), 0.3)
    kind = subject.figure.get("underside", "smooth")
    if kind == "radial":
        for i in range(60):
            a = math.tau * i / 60 + sheet.rng.uniform(-0.05, 0.05)
            far = sheet.rng.uniform(60, 230)
            line = [
                (centre[0] + r * math.cos(a + w), centre[1] + r * 0.5 * math.sin(a + w))
                for r, w in ((14, 0), (far / 2, 0.06), (far, -0.04))
            ]
            sheet.ink(curve(line, steps=4), 3.4, dark)
    elif kind == "maze":
        for x, y in sown(sheet.rng, inner[::2], 16):
            sheet.line([(x - 5, y), (x + 5, y + sheet.rng.uniform(-4, 4))], dark, 3)
    else:
        for x, y in scatter(sheet.rng, inner, 40):
            sheet.ink(arc(x, y, 12, 6, 180, 330, n=6), 1.8, dark)
    change = subject.colours.get("change")
    if change and subject.has("bruises"):
        x, y = centre
        sheet.ink(curve([(x - 60, y - 8), (x - 10, y + 6), (x + 60, y - 4)]), 14, change)


def _turned_edge(sheet: Sheet, subject: Subject, cx: float, cy: float, rx: float) -> None:
    """The upper margin stands out from the bark as a small shelf, showing its back."""
    tone = subject.colour("edge")
    for i in range(5):
        x = cx - rx * 0.8 + rx * 0.4 * i
        shelf = fan(sheet, x, cy, rx * 0.26, rx * 0.24)
        sheet.wash(shelf, tone)
        for k in (0.8, 0.58, 0.36):
            sheet.ink(scaled(shelf, k, (x, cy))[:41], 2.2, darker(tone, 0.32))
        if subject.has("hairy"):
            for px, py in scatter(sheet.rng, shelf, 26):
                sheet.line([(px, py), (px + 1, py + 7)], darker(tone, 0.4), 1.3)
        sheet.ink(shelf, 2.8, INK, closed=True)


def crust_section(sheet: Sheet, subject: Subject, *, later: bool = False) -> float:
    """Cut across: bark, wood and the thin layer on it."""
    sheet.backdrop()
    skin, furrow = bark(subject)
    wood = [(120.0, 300.0), (780.0, 280.0), (790.0, 560.0), (110.0, 570.0)]
    sheet.wash(wood, "#e2cba0")
    for i in range(9):
        y = 360 + 22 * i
        sheet.ink(curve([(120, y), (340, y - 8), (560, y + 6), (784, y - 6)]), 1.8, "#b89a68")
    rind = [(120.0, 300.0), (780.0, 280.0), (782.0, 330.0), (118.0, 352.0)]
    sheet.wash(rind, skin)
    sheet.ink(rind, 2.8, furrow, closed=True)
    layer = [
        *curve([(200, 294), (360, 276), (560, 272), (720, 280)]),
        *curve([(720, 256), (560, 240), (360, 242), (200, 290)]),
    ]
    colour = subject.colour("flesh")
    if later and subject.colours.get("change"):
        colour = subject.colour("change")
    sheet.wash(layer, colour)
    sheet.ink(curve([(200, 290), (360, 242), (560, 240), (720, 256)]), 7, subject.colour("cap"))
    if subject.figure.get("body") == "reflexed":
        lip = curve([(720, 262), (780, 240), (826, 208), (816, 236), (780, 262), (720, 280)])
        sheet.wash(lip, subject.colour("edge"))
        sheet.ink(lip, 3)
    sheet.ink(wood, 3.2, closed=True)
    sheet.ink(layer, 2.6, closed=True)
    return 40 / max(0.05, min(subject.tall, 0.3))
