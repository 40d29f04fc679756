"""Pen, wash and paper: the few strokes every sketch is made of.

A sheet is 900 by 700 units whatever the size of the picture; strokes are drawn at twice the
size and reduced, which smooths them. Colours are ``#rrggbb``.
"""

import io
import math
import random
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from society.demo.sketches.paths import Path, Point, box, lobed, middle, scaled

WIDE, HIGH = 900, 700
PAPER = "#f7f3e8"
INK = "#2f2a26"
PENCIL = "#8d857a"
FINE = 2
TWICE = 2

RGB = tuple[int, int, int]


@lru_cache(maxsize=4096)
def rgb(colour: str) -> RGB:
    """``#rrggbb`` as three numbers."""
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


@lru_cache(maxsize=8192)
def mix(first: str, second: str, part: float) -> str:
    """``part`` of the second colour in the first (0 to 1)."""
    a, b = rgb(first), rgb(second)
    return "#" + "".join(f"{round(x + (y - x) * part):02x}" for x, y in zip(a, b, strict=True))


def darker(colour: str, part: float = 0.25) -> str:
    return mix(colour, "#241c18", part)


def lighter(colour: str, part: float = 0.35) -> str:
    return mix(colour, "#fffdf6", part)


class Sheet:
    """A sheet of paper, a pen and washes; every tremble of the hand comes from ``rng``."""

    def __init__(self, size: tuple[int, int], rng: random.Random) -> None:
        self.size = size
        self.rng = rng
        self.scale = TWICE * min(size[0] / WIDE, size[1] / HIGH)
        full = (size[0] * TWICE, size[1] * TWICE)
        self.left = (full[0] - WIDE * self.scale) / 2
        self.top = (full[1] - HIGH * self.scale) / 2
        self.image = Image.new("RGB", full, PAPER)
        self.pen = ImageDraw.Draw(self.image)
        self._grain()

    # --- paper

    def _grain(self) -> None:
        """A few fibres and specks, so that nobody takes the sheet for a photograph."""
        r = self.rng
        for _ in range(70):
            x, y = r.uniform(0, WIDE), r.uniform(0, HIGH)
            a = r.uniform(0, math.pi)
            d = r.uniform(2, 9)
            tone = mix(PAPER, "#b8a888", r.uniform(0.12, 0.3))
            self.line([(x, y), (x + d * math.cos(a), y + d * math.sin(a))], tone, 1)

    # --- places

    def at(self, path: Path) -> list[float]:
        """The path in pixels, flat, as Pillow likes it."""
        s, left, top = self.scale, self.left, self.top
        out = [0.0] * (2 * len(path))
        out[::2] = [left + x * s for x, _ in path]
        out[1::2] = [top + y * s for _, y in path]
        return out

    def px(self, width: float) -> int:
        return max(1, round(width * self.scale / TWICE))

    # --- strokes

    def fill(self, path: Path, colour: str) -> None:
        """A flat patch of colour."""
        if len(path) > 2:
            self.pen.polygon(self.at(path), fill=colour)

    def line(self, path: Path, colour: str = INK, width: float = FINE) -> None:
        """A plain line without tremble."""
        if len(path) > 1:
            self.pen.line(self.at(path), fill=colour, width=self.px(width), joint="curve")

    def wash(self, path: Path, colour: str, *, pooled: bool = True) -> None:
        """A wash of colour, a little off the ink and darker where it dried at its edge."""
        dx, dy = self.rng.uniform(-2.0, 2.0), self.rng.uniform(-1.5, 1.5)
        laid = [(x + dx, y + dy) for x, y in path]
        if pooled:
            self.fill(laid, mix(colour, INK, 0.12))
            self.fill(scaled(laid, 0.975, middle(laid)), colour)
        else:
            self.fill(laid, colour)

    def ink(
        self, path: Path, width: float = 3.4, colour: str = INK, *, closed: bool = False
    ) -> None:
        """A pen line: it trembles a little, and swells and thins as a nib does."""
        if len(path) < 2:
            return
        if closed:
            path = [*path, path[0]]
        r = self.rng
        p1, p2, p3 = r.uniform(0, 6.28), r.uniform(0, 6.28), r.uniform(0, 6.28)
        walked, last = 0.0, path[0]
        shaken: Path = []
        for x, y in path:
            walked += math.hypot(x - last[0], y - last[1])
            last = (x, y)
            shaken.append(
                (
                    x + 0.9 * math.sin(walked / 23 + p1) + 0.4 * math.sin(walked / 7.3 + p2),
                    y + 0.9 * math.sin(walked / 27 + p2) + 0.4 * math.sin(walked / 6.1 + p3),
                )
            )
        if closed:
            shaken[-1] = shaken[0]
        stride, pixels = 3, self.at(shaken)
        for i in range(0, len(shaken) - 1, stride):
            part = pixels[2 * i : 2 * (i + stride + 1)]
            swell = 1 + 0.3 * math.sin(i / 7 + p3) + 0.12 * math.sin(i / 2.1 + p1)
            self.pen.line(part, fill=colour, width=self.px(width * swell), joint="curve")

    def dot(self, x: float, y: float, radius: float, colour: str, rim: str | None = None) -> None:
        s = self.scale
        cx, cy, d = self.left + x * s, self.top + y * s, radius * s
        self.pen.ellipse((cx - d, cy - d, cx + d, cy + d), fill=colour)
        if rim:
            self.pen.ellipse((cx - d, cy - d, cx + d, cy + d), outline=rim, width=self.px(2))

    def drop(self, x: float, y: float, radius: float, colour: str) -> None:
        """A hanging drop, with its gleam."""
        body = [
            (x, y - radius * 1.9),
            (x + radius * 0.8, y - radius * 0.3),
            (x + radius, y + radius * 0.4),
            (x + radius * 0.6, y + radius),
            (x, y + radius * 1.2),
            (x - radius * 0.6, y + radius),
            (x - radius, y + radius * 0.4),
            (x - radius * 0.8, y - radius * 0.3),
        ]
        self.fill(body, colour)
        self.line([*body, body[0]], mix(INK, colour, 0.25), 2)
        self.dot(x - radius * 0.3, y, radius * 0.22, lighter(colour, 0.8))

    @contextmanager
    def within(self, path: Path) -> Iterator[None]:
        """What is drawn inside this block shows only within the closed path."""
        pixels = self.at(path)
        wide, high = self.image.size
        x0, y0 = max(0, int(min(pixels[::2]))), max(0, int(min(pixels[1::2])))
        x1 = min(wide, int(max(pixels[::2])) + 2)
        y1 = min(high, int(max(pixels[1::2])) + 2)
        if x1 <= x0 or y1 <= y0:
            yield
            return
        outer, pen, left, top = self.image, self.pen, self.left, self.top
        part = outer.crop((x0, y0, x1, y1))
        self.image, self.pen = part, ImageDraw.Draw(part)
        self.left, self.top = left - x0, top - y0
        try:
            yield
        finally:
            self.image, self.pen, self.left, self.top = outer, pen, left, top
        mask = Image.new("L", part.size, 0)
        shape = [v - (x0 if i % 2 == 0 else y0) for i, v in enumerate(pixels)]
        ImageDraw.Draw(mask).polygon(shape, fill=255)
        outer.paste(part, (x0, y0), mask)

    def backdrop(self, tone: str = "#a9b29c") -> None:
        """A thin uneven wash behind the subject, so that white flesh stands off the paper."""
        for grow, part in ((1.0, 0.13), (0.95, 0.24), (0.86, 0.27)):
            shape = lobed(self.rng, 450, 345, 400 * grow, 305 * grow, rough=0.035, lobes=6, n=96)
            self.fill(shape, mix(PAPER, tone, part))

    # --- what many sketches share

    def shade(self, path: Path, colour: str, *, side: float = 1.0) -> None:
        """A second, darker wash along the shaded flank of a closed shape (``side`` 1 is right)."""
        left, _, right, _ = box(path)
        push = (right - left) * 0.14
        with self.within(path):
            self.fill(path, mix(colour, "#3a2c28", 0.2))
            self.fill([(x - push * side, y - push * 0.13) for x, y in path], colour)

    def caption(self, unit_per_cm: float = 0, words: str = "drawing") -> None:
        """The word 'drawing', and a scale where the sketch has one."""
        font = _font(self.px(15 * TWICE))
        x, y = self.at([(34, 660)])
        self.pen.text((x, y), words, fill=PENCIL, font=font)
        if unit_per_cm > 0:
            self._scale_bar(unit_per_cm, font)

    def _scale_bar(self, unit_per_cm: float, font: "ImageFont.FreeTypeFont") -> None:
        cm, words = next((bar for bar in _BARS if bar[0] * unit_per_cm <= 190), _BARS[-1])
        length = cm * unit_per_cm
        right, y = 864.0, 664.0
        self.ink([(right - length, y), (right - length / 2, y), (right, y)], 2.4, PENCIL)
        for x in (right - length, right):
            self.line([(x, y - 6), (x, y + 6)], PENCIL, 2)
        tx, ty = self.at([(right - length - 10, y - 9)])
        wide = self.pen.textlength(words, font=font)
        self.pen.text((tx - wide, ty), words, fill=PENCIL, font=font)

    def jpeg(self) -> bytes:
        """The finished sheet as a JPEG picture."""
        out = io.BytesIO()
        self.image.reduce(TWICE).save(out, "JPEG", quality=86)
        return out.getvalue()


_BARS: tuple[tuple[float, str], ...] = (
    (20, "20 cm"),
    (10, "10 cm"),
    (5, "5 cm"),
    (2, "2 cm"),
    (1, "1 cm"),
    (0.5, "5 mm"),
    (0.2, "2 mm"),
    (0.1, "1 mm"),
    (0.05, "0.5 mm"),
)


@lru_cache(maxsize=8)
def _font(size: int) -> "ImageFont.FreeTypeFont":
    """Pillow's own embedded face: the same on every machine."""
    face = ImageFont.load_default(size)
    if not isinstance(face, ImageFont.FreeTypeFont):
        raise TypeError("Pillow was built without FreeType")
    return face


def ray(centre: Point, angle: float, inner: float, outer: float, squash: float = 1) -> Path:
    """A straight line outwards from a middle; ``angle`` in radians."""
    c, s = math.cos(angle), math.sin(angle) * squash
    return [
        (centre[0] + inner * c, centre[1] + inner * s),
        (centre[0] + outer * c, centre[1] + outer * s),
    ]
