"""The strip of habitat a find stood in, and a spore print on paper."""

import math

from society.demo.sketches.ink import Sheet, darker, lighter, mix
from society.demo.sketches.paths import Path, curve, lobed, sown
from society.demo.sketches.subject import Subject
from society.demo.sketches.undersides import GILLS
from society.demo.sketches.wood import BARK, OTHER_BARK

CONIFERS = ("Pinus", "Picea", "Larix", "Abies", "Taxus", "Pseudotsuga")
CROWN = {
    "Pinus": "#5f7a62",
    "Picea": "#46614f",
    "Larix": "#c2a552",
    "Betula": "#c9b458",
    "Fagus": "#b8763a",
    "Quercus": "#94803f",
    "Salix": "#a3ac78",
    "Alnus": "#6a7d54",
    "Corylus": "#a8a04f",
    "Fraxinus": "#9aa766",
    "Acer": "#c29a3e",
    "Ulmus": "#a59a4c",
}


def draw_habitat(sheet: Sheet, subject: Subject) -> float:
    """A strip of wood or grass with the host's trees, and the find small in front."""
    host = subject.hosts[0].split()[0] if subject.hosts else ""
    strip = lobed(sheet.rng, 450, 345, 405, 290, rough=0.02, lobes=6, n=120)
    sheet.fill(strip, "#e9ecdf")
    with sheet.within(strip):
        _hills(sheet)
        if host in CROWN or "broadleaf" in subject.habitats or "conifer" in subject.habitats:
            _trees(sheet, host or ("Pinus" if "conifer" in subject.habitats else "Quercus"))
        _ground(sheet, subject)
    _small_finds(sheet, subject)
    return 0.0


def _hills(sheet: Sheet) -> None:
    for y, tone in ((250, "#cdd6cc"), (300, "#b9c6b4")):
        ridge = curve([(20, y + 40), (220, y - 30), (420, y + 14), (640, y - 46), (900, y + 26)])
        sheet.fill([*ridge, (900, 700), (20, 700)], tone)
        sheet.ink(ridge, 2, "#98a596")


def _trees(sheet: Sheet, host: str) -> None:
    skin, furrow = BARK.get(host, OTHER_BARK)
    crown = CROWN.get(host, "#8f9a5c")
    for row, (count, base, tall) in enumerate(((9, 395, 190), (6, 450, 280), (3, 530, 420))):
        for i in range(count):
            x = 90 + (i + sheet.rng.uniform(0.1, 0.9)) * 760 / count
            if row == 2 and 300 < x < 600:
                continue
            tone = mix(crown, "#dfe5d8", 0.5 - 0.22 * row)
            _tree(sheet, host, x, base, tall * sheet.rng.uniform(0.85, 1.1), (tone, skin, furrow))


def _tree(
    sheet: Sheet, host: str, x: float, base: float, tall: float, tones: tuple[str, str, str]
) -> None:
    crown, skin, furrow = tones
    wide = tall * 0.045
    trunk = [
        (x - wide, base),
        (x - wide * 0.6, base - tall * 0.7),
        (x + wide * 0.6, base - tall * 0.7),
        (x + wide, base),
    ]
    sheet.fill(trunk, skin)
    sheet.ink([trunk[0], trunk[1]], 2.4)
    sheet.ink([trunk[3], trunk[2]], 2.4)
    if host == "Betula":
        for k in range(6):
            y = base - tall * (0.06 + 0.1 * k)
            sheet.line([(x - wide, y), (x + wide * 0.3, y)], furrow, 3)
    if host in CONIFERS and host != "Pinus":
        for k in range(5):
            y = base - tall * (0.2 + 0.16 * k)
            half = tall * (0.26 - 0.045 * k)
            tier = curve(
                [
                    (x - half, y + 14),
                    (x - half * 0.4, y - tall * 0.12),
                    (x, y - tall * 0.24),
                    (x + half * 0.4, y - tall * 0.12),
                    (x + half, y + 14),
                    (x, y),
                ],
                closed=True,
                steps=4,
            )
            sheet.fill(tier, mix(crown, "#24382c", 0.05 * (k % 2)))
            sheet.ink(tier, 2, closed=True)
        return
    puffs = ((0, 0.86, 0.2), (-0.14, 0.72, 0.17), (0.15, 0.74, 0.18))
    if host == "Pinus":
        puffs = ((0, 0.92, 0.14), (-0.13, 0.8, 0.12), (0.14, 0.82, 0.13))
    for dx, up, size in puffs:
        puff = lobed(
            sheet.rng,
            x + dx * tall,
            base - up * tall,
            size * tall,
            size * tall * 0.78,
            rough=0.06,
            lobes=8,
        )
        sheet.fill(puff, crown)
        sheet.ink(puff, 2.2, darker(crown, 0.5), closed=True)


def _ground(sheet: Sheet, subject: Subject) -> None:
    tone = {"grass": "#a9b97c", "dung": "#a9b97c", "litter": "#b99a6a", "moss": "#9aab68"}.get(
        subject.substrate, "#b5a67c"
    )
    line = curve([(20, 470), (240, 440), (480, 462), (700, 436), (900, 468)])
    floor: Path = [*line, (900, 700), (20, 700)]
    sheet.fill(floor, tone)
    sheet.ink(line, 2.4)
    for _ in range(120):
        x, y = sheet.rng.uniform(40, 860), sheet.rng.uniform(480, 640)
        if subject.substrate in ("grass", "dung", "moss"):
            blade = curve([(x, y), (x + 3, y - 14), (x + sheet.rng.uniform(-10, 12), y - 30)])
            sheet.ink(blade, 2, darker(tone, sheet.rng.uniform(0.15, 0.4)))
        else:
            leaf = lobed(sheet.rng, x, y, sheet.rng.uniform(7, 15), 5, rough=0.1, n=14)
            sheet.fill(leaf, mix(tone, "#a5683a", sheet.rng.uniform(0.1, 0.7)))


def _small_finds(sheet: Sheet, subject: Subject) -> None:
    """Where the find stood, as small marks in its colours with a pencil ring."""
    if subject.substrate == "wood":
        log = curve([(300, 560), (450, 546), (610, 556), (612, 590), (450, 584), (302, 594)])
        sheet.wash(log, OTHER_BARK[0])
        sheet.ink(log, 2.8, closed=True)
    for dx, size in ((-66, 0.8), (0, 1.15), (58, 0.9)):
        x, y = 450 + dx, 566.0
        if subject.form in ("agaric", "bolete"):
            sheet.fill(
                [
                    (x - 5 * size, y),
                    (x - 4 * size, y - 34 * size),
                    (x + 4 * size, y - 34 * size),
                    (x + 5 * size, y),
                ],
                subject.colour("stem"),
            )
            sheet.ink([(x - 5 * size, y), (x - 4 * size, y - 34 * size)], 2)
            sheet.ink([(x + 5 * size, y), (x + 4 * size, y - 34 * size)], 2)
            cap = curve(
                [
                    (x - 26 * size, y - 32 * size),
                    (x - 12 * size, y - 50 * size),
                    (x + 12 * size, y - 50 * size),
                    (x + 26 * size, y - 32 * size),
                ]
            )
            sheet.fill(cap, subject.colour("cap"))
            sheet.ink(cap, 2.4, closed=True)
        else:
            mark = lobed(sheet.rng, x, y - 14, 20 * size, 16 * size, rough=0.08, n=30)
            sheet.fill(mark, subject.colour("cap"))
            sheet.ink(mark, 2.4, closed=True)
    sheet.ink(lobed(sheet.rng, 450, 552, 128, 62, rough=0.02), 2, "#8d857a", closed=True)


def draw_spore_print(sheet: Sheet, subject: Subject) -> float:
    """A print on paper half white and half black, so that pale spores show."""
    white: Path = [(130.0, 80.0), (450.0, 80.0), (450.0, 610.0), (130.0, 610.0)]
    black: Path = [(450.0, 80.0), (770.0, 80.0), (770.0, 610.0), (450.0, 610.0)]
    sheet.fill(white, "#ffffff")
    sheet.fill(black, "#2b2b2d")
    sheet.ink([*white[:1], *black[1:3], white[3]], 2.6, closed=True)
    colour = subject.colour("spore_print", "#fdfbf4")
    if subject.figure.get("underside") == "pores" or subject.form == "bracket":
        disc = lobed(sheet.rng, 450, 340, 210, 204, rough=0.012)
        for x, y in sown(sheet.rng, disc[::2], 12):
            sheet.dot(
                x, y, sheet.rng.uniform(2.4, 4.6), mix(colour, "#ffffff", sheet.rng.uniform(0, 0.2))
            )
        return 0.0
    count = GILLS.get(subject.figure.get("spacing", "crowded"), 66)
    for i in range(count):
        a = math.tau * i / count
        far = 208 + sheet.rng.uniform(-4, 4)
        for turn, near, width in ((0.0, 44.0, 5.0), (0.5, 120.0, 4.0)):
            b = a + turn * math.tau / count
            line = [(450 + r * math.cos(b), 340 + r * math.sin(b)) for r in (near, far)]
            sheet.line(line, mix(colour, "#ffffff", 0.1), width)
            sheet.line(line, lighter(darker(colour, 0.12), 0.1), width * 0.4)
    return 0.0
