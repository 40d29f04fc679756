"""Curves and outlines for the sketches: plain geometry on lists of points.

A point is ``(x, y)`` in sheet units (a sheet is 900 by 700, y downwards).
"""

import math
import random

Point = tuple[float, float]
Path = list[Point]


def curve(points: Path, *, closed: bool = False, steps: int = 8) -> Path:
    """A smooth line through the points (Catmull-Rom), ``steps`` points to each span."""
    n = len(points)
    if n < 3:
        return list(points)
    spans = n if closed else n - 1
    out: Path = []
    for i in range(spans):
        p0 = points[(i - 1) % n] if closed or i > 0 else points[0]
        p1, p2 = points[i], points[(i + 1) % n]
        p3 = points[(i + 2) % n] if closed or i + 2 < n else points[-1]
        for s in range(steps):
            t = s / steps
            out.append(
                (_spline(t, p0[0], p1[0], p2[0], p3[0]), _spline(t, p0[1], p1[1], p2[1], p3[1]))
            )
    if not closed:
        out.append(points[-1])
    return out


def _spline(t: float, a: float, b: float, c: float, d: float) -> float:
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t**3
    )


def ellipse(cx: float, cy: float, rx: float, ry: float, *, n: int = 72) -> Path:
    """A closed ellipse of ``n`` points."""
    return arc(cx, cy, rx, ry, 0, 360, n=n)[:-1]


def arc(
    cx: float, cy: float, rx: float, ry: float, start: float, end: float, *, n: int = 36
) -> Path:
    """Part of an ellipse between two angles in degrees (0 to the right, 90 downwards)."""
    a, b = math.radians(start), math.radians(end)
    return [
        (
            cx + rx * math.cos(a + (b - a) * i / n),
            cy + ry * math.sin(a + (b - a) * i / n),
        )
        for i in range(n + 1)
    ]


def lobed(
    rng: random.Random,
    cx: float,
    cy: float,
    rx: float,
    ry: float,
    *,
    rough: float = 0.03,
    lobes: int = 5,
    n: int = 72,
) -> Path:
    """A closed outline round a middle, uneven as a living thing is; ``rough`` is relative."""
    phases = [rng.uniform(0, math.tau) for _ in range(3)]
    out: Path = []
    for i in range(n):
        a = math.tau * i / n
        r = 1 + rough * (
            math.sin(2 * a + phases[0]) * 0.6
            + math.sin(lobes * a + phases[1])
            + math.sin((lobes * 2 + 1) * a + phases[2]) * 0.35
        )
        out.append((cx + rx * r * math.cos(a), cy + ry * r * math.sin(a)))
    return out


def scaled(path: Path, factor: float, centre: Point) -> Path:
    """The path drawn in (or blown up) towards a point."""
    cx, cy = centre
    return [(cx + (x - cx) * factor, cy + (y - cy) * factor) for x, y in path]


def shifted(path: Path, dx: float, dy: float) -> Path:
    return [(x + dx, y + dy) for x, y in path]


def mirrored(path: Path, x: float) -> Path:
    """The path's mirror image in an upright line."""
    return [(2 * x - px, py) for px, py in path]


def middle(path: Path) -> Point:
    return (sum(p[0] for p in path) / len(path), sum(p[1] for p in path) / len(path))


def box(path: Path) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in path], [p[1] for p in path]
    return min(xs), min(ys), max(xs), max(ys)


def inside(path: Path, x: float, y: float) -> bool:
    """Whether a point lies within a closed path."""
    found = False
    x1, y1 = path[-1]
    for x2, y2 in path:
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            found = not found
        x1, y1 = x2, y2
    return found


def scatter(rng: random.Random, path: Path, count: int, *, apart: float = 0) -> Path:
    """Up to ``count`` chance points within a closed path, at least ``apart`` from each other."""
    left, top, right, bottom = box(path)
    out: Path = []
    for _ in range(count * 12):
        if len(out) == count:
            break
        x, y = rng.uniform(left, right), rng.uniform(top, bottom)
        if any((x - a) ** 2 + (y - b) ** 2 < apart * apart for a, b in out):
            continue
        if inside(path, x, y):
            out.append((x, y))
    return out


def sown(rng: random.Random, path: Path, step: float) -> Path:
    """Points in shaken rows ``step`` apart within a closed path: quick where many are wanted."""
    left, top, right, bottom = box(path)
    out: Path = []
    row, y = 0, top + step / 2
    while y < bottom:
        x = left + (step / 2 if row % 2 else 0)
        while x < right:
            px, py = x + rng.uniform(-0.22, 0.22) * step, y + rng.uniform(-0.22, 0.22) * step
            if inside(path, px, py):
                out.append((px, py))
            x += step
        row += 1
        y += step * 0.87
    return out
