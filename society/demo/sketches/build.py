"""The proportions of a fungus with cap and stem, worked out once for side view and section."""

import math
from dataclasses import dataclass

from society.demo.sketches.paths import Path, Point, arc, curve, mirrored
from society.demo.sketches.subject import Subject

# Height of the cap as a part of its width, and the outline of its right half from the middle of
# the top to the edge: (part of the half width, part of the height; 0 is the edge, 1 the top).
OUTLINES: dict[str, tuple[float, tuple[Point, ...]]] = {
    "convex": (0.36, ((0, 1), (0.35, 0.96), (0.7, 0.72), (0.92, 0.36), (1, 0.02))),
    "flat": (0.2, ((0, 1), (0.4, 0.97), (0.75, 0.8), (0.95, 0.42), (1, 0.02))),
    "bell": (0.62, ((0, 1), (0.3, 0.94), (0.55, 0.68), (0.78, 0.3), (1, 0))),
    "cone": (0.72, ((0, 1), (0.16, 0.9), (0.45, 0.54), (0.76, 0.22), (1, 0))),
    "umbo": (0.32, ((0, 1), (0.14, 0.97), (0.3, 0.76), (0.6, 0.6), (0.88, 0.32), (1, 0.02))),
    "dimpled": (0.28, ((0, 0.55), (0.22, 0.66), (0.52, 0.98), (0.82, 0.8), (1, 0.1))),
    "funnel": (0.34, ((0, 0.1), (0.2, 0.3), (0.5, 0.78), (0.85, 1), (1, 0.78))),
    "trumpet": (0.3, ((0, 0.1), (0.2, 0.3), (0.5, 0.78), (0.85, 1), (1, 0.72))),
    "egg": (2.1, ((0, 1), (0.42, 0.95), (0.82, 0.68), (0.98, 0.3), (1, 0))),
    "shell": (0.3, ((0, 1), (0.4, 0.95), (0.75, 0.75), (0.95, 0.35), (1, 0.02))),
    "kidney": (0.34, ((0, 1), (0.4, 0.95), (0.75, 0.75), (0.95, 0.35), (1, 0.02))),
}
BASE_WIDTH = {
    "club": 1.75,
    "bulb": 1.85,
    "rimmed": 2.0,
    "scaly_bulb": 2.0,
    "sack": 1.35,
    "narrow": 0.62,
}


@dataclass(frozen=True)
class Build:
    """Sheet units; ``y`` grows downwards."""

    unit: float
    x: float
    half: float
    rise: float
    edge_y: float
    tilt: float
    base_y: float
    top_stem: float
    low_stem: float
    base: str
    attached: str

    @property
    def hub(self) -> Point:
        return (self.x, self.edge_y + self.tilt * 0.15)

    @property
    def length(self) -> float:
        return self.base_y - self.edge_y

    def stem_half(self, part: float) -> float:
        """Half the stem's width at a part of its length (0 at the cap, 1 at the base)."""
        top, low = self.top_stem, self.low_stem
        if self.base in ("bulb", "rimmed", "scaly_bulb"):
            swell = max(0.0, 1 - ((part - 0.9) / 0.15) ** 2) if part > 0.75 else 0.0
            return top * 1.08 + (low - top * 1.08) * math.pow(swell, 0.7)
        if self.base == "club":
            return top + (low - top) * math.pow(part, 2.2) * (1 - max(0.0, part - 0.9) * 2.2)
        if self.base == "root" and part > 0.62:
            return max(3.0, top * (1 - math.pow((part - 0.62) / 0.38, 1.3)) + 2)
        return top + (low - top) * math.pow(part, 1.5)

    def stem(self, start: float = 0.0, end: float = 1.0, lean: float = 10) -> Path:
        """The outline of the stem between two parts of its length, closed."""
        right: Path = []
        for i in range(25):
            part = start + (end - start) * i / 24
            right.append((self.axis(part, lean) + self.stem_half(part), self.at(part)))
        left = [
            (2 * self.axis((y - self.hub[1]) / (self.base_y - self.hub[1]), lean) - x, y)
            for x, y in reversed(right)
        ]
        end_half = self.stem_half(end)
        bottom: Path = []
        if self.base != "root":
            cx, cy = self.axis(end, lean), right[-1][1]
            bottom = arc(cx, cy, end_half, end_half * 0.42, 0, 180, n=14)[1:-1]
        return [*right, *bottom, *left]

    def axis(self, part: float, lean: float = 10) -> float:
        return self.x + lean * part * part

    def at(self, part: float) -> float:
        return self.hub[1] + (self.base_y - self.hub[1]) * part


def build_of(subject: Subject, *, x: float = 450, size: float = 1.0, foot: float = 606) -> Build:
    """Fits the fungus to the sheet: as tall as 520 units or as wide as 560, whichever binds."""
    shape = subject.figure.get("cap", "convex")
    rise = OUTLINES[shape][0]
    across, tall = subject.across, subject.tall
    if shape == "egg":
        rise = min(rise, 0.62 * tall / across)
    height = tall + across * (rise * 0.35 if shape != "egg" else 0.04)
    unit = min(520 / height, 560 / across) * size
    half = across * unit / 2
    stem = max(6.0 * size, subject.stem * unit / 2)
    top_y = foot - height * unit
    edge_y = top_y + rise * across * unit
    if shape in ("funnel", "trumpet"):
        edge_y = top_y + 0.16 * across * unit
    base = subject.figure.get("base", "even")
    tilt = half * (0.1 if shape in ("egg", "cone", "bell") else 0.2)
    return Build(
        unit=unit,
        x=x,
        half=half,
        rise=rise * across * unit,
        edge_y=min(edge_y, foot - 60 * size),
        tilt=tilt,
        base_y=foot - stem * (0.4 if base != "root" else 0),
        top_stem=stem,
        low_stem=stem * BASE_WIDTH.get(base, 1.08),
        base=base,
        attached=subject.figure.get("attached", "attached"),
    )


def cap_top(build: Build, subject: Subject) -> Path:
    """The upper outline from the left edge over the top to the right edge."""
    shape = subject.figure.get("cap", "convex")
    points = OUTLINES[shape][1]
    right = [(build.x + px * build.half, build.edge_y - py * build.rise) for px, py in points]
    if shape in ("funnel", "trumpet"):
        right = [(px, py + 0.75 * build.rise) for px, py in right]
    line = curve(right, steps=7)
    return [*reversed(mirrored(line, build.x)), *line[1:]]
