"""A fungus with cap and stem, cut lengthwise: at once, and half an hour later."""

from society.demo.sketches.build import Build, build_of, cap_top
from society.demo.sketches.ink import INK, Sheet, darker, mix
from society.demo.sketches.paths import Path, curve, lobed, mirrored, scatter
from society.demo.sketches.subject import Subject

SHOULDER = {"free": 1.55, "notched": 1.2, "attached": 1.0, "decurrent": 0.98}


def draw_section(sheet: Sheet, subject: Subject, *, later: bool = False) -> float:
    """The cut face; ``later`` shows it as it has changed after thirty minutes."""
    sheet.backdrop()
    build = build_of(subject, size=0.96)
    outline = build.stem(lean=0)
    flesh = subject.colour("flesh")
    _volva(sheet, subject, build)
    sheet.wash(outline, subject.colour("stem"))
    core = [(build.x + (x - build.x) * 0.9, y) for x, y in outline]
    sheet.fill(core, flesh)
    sheet.ink(outline, 3.6, closed=True)
    cap_flesh = _cap_flesh(build, subject)
    _gill_wings(sheet, subject, build)
    sheet.wash(cap_flesh, subject.colour("cap"))
    inner = _inner(build, subject, cap_flesh)
    sheet.fill(inner, flesh)
    sheet.ink(cap_flesh, 3.6, closed=True)
    _join(sheet, subject, build)
    _hollow(sheet, subject, build)
    _change(sheet, subject, build, inner, core, later=later)
    _ring_flaps(sheet, subject, build)
    return build.unit


def _cap_flesh(build: Build, subject: Subject) -> Path:
    """The cap cut through: its skin above, and below the line where the gills begin."""
    right = _flesh_line(build, subject)
    return [*cap_top(build, subject), *right[1:], *reversed(mirrored(right, build.x)[1:])]


def _flesh_line(build: Build, subject: Subject) -> Path:
    """Where flesh ends and gills begin, from the right edge in to the stem."""
    top = cap_top(build, subject)
    half = build.top_stem * 1.1
    thick = max(14.0, build.rise * 0.4)
    if subject.figure.get("cap") == "egg":
        thick = build.rise * 0.12
    near = max(_middle_y(top, build) + thick, _below(top, build, 0.3) + thick * 0.8)
    if subject.figure.get("cap") in ("funnel", "trumpet"):
        near = _middle_y(top, build) + thick * 0.5
    low = [
        top[-1],
        (build.x + build.half * 0.8, _below(top, build, 0.8) + thick * 0.32),
        (build.x + build.half * 0.5, _below(top, build, 0.5) + thick * 0.72),
        (build.x + half + build.half * 0.08, near),
        (build.x + half * 0.9, near + 8),
    ]
    return curve(low, steps=7)


def _middle_y(top: Path, build: Build) -> float:
    return min(top, key=lambda p: abs(p[0] - build.x))[1]


def _below(top: Path, build: Build, part: float) -> float:
    """The skin's height at a part of the half width."""
    x = build.x + build.half * part
    return min(top, key=lambda p: abs(p[0] - x))[1]


def _inner(build: Build, subject: Subject, cap_flesh: Path) -> Path:
    """The flesh within the skin: the outline drawn in by a few units from above."""
    skin = 5.0
    centre_y = sum(y for _, y in cap_flesh) / len(cap_flesh)
    out: Path = []
    for x, y in cap_flesh:
        nx = build.x + (x - build.x) * 0.982
        out.append((nx, y + skin if y < centre_y + build.rise * 0.3 else y - 1))
    return out


def _gill_wings(sheet: Sheet, subject: Subject, build: Build) -> None:
    """Gills, tubes or teeth cut through on either side of the stem."""
    colour = subject.colour("underside")
    kind = subject.figure.get("underside", "gills")
    if kind == "smooth":
        return
    roof = _flesh_line(build, subject)
    edge = roof[0]
    inner_x = build.x + SHOULDER.get(build.attached, 1.0) * build.top_stem
    hang = max(16.0, min(build.half * 0.24, build.length * 0.3))
    foot_y = {
        "decurrent": max(build.at(0.2), roof[-1][1] + hang),
        "free": roof[-1][1] + hang * 0.3,
        "notched": roof[-1][1] + hang * 0.35,
    }.get(build.attached, roof[-1][1] + hang * 0.8)
    lower = curve(
        [
            edge,
            (build.x + build.half * 0.72, edge[1] + hang * 0.45),
            (inner_x + build.half * 0.18, max(edge[1], roof[-1][1]) + hang * 0.7),
            (inner_x, foot_y),
        ],
        steps=7,
    )
    wing = [*lower, *reversed([p for p in roof if p[0] > inner_x])]
    for shape in (wing, mirrored(wing, build.x)):
        sheet.wash(shape, colour, pooled=False)
        with sheet.within(shape):
            _wing_lines(sheet, subject, shape, kind)
        sheet.ink(shape, 3, closed=True)


def _wing_lines(sheet: Sheet, subject: Subject, shape: Path, kind: str) -> None:
    dark = darker(subject.colour("underside"), 0.35)
    left, right = min(p[0] for p in shape), max(p[0] for p in shape)
    high, low = min(p[1] for p in shape), max(p[1] for p in shape)
    if kind in ("pores", "teeth"):
        x = left
        while x < right:
            sheet.line([(x, high), (x + sheet.rng.uniform(-1, 1), low)], dark, 2)
            x += 7 if kind == "pores" else 10
        return
    for i in range(4):
        y = high + (low - high) * (0.3 + 0.2 * i)
        sheet.line(
            curve([(left, y + 6), ((left + right) / 2, y - 3), (right, y)], steps=5), dark, 1.3
        )


def _join(sheet: Sheet, subject: Subject, build: Build) -> None:
    """Cap and stem are one flesh where they meet: the lines between them are painted out."""
    line = _flesh_line(build, subject)
    high, low = line[-1][1] - 14, build.hub[1] + 8
    half = build.top_stem * 0.93
    high = max(min(high, low - 10), _middle_y(cap_top(build, subject), build) + 8)
    neck = [(-half, high), (half, high), (half, low), (-half, low)]
    sheet.fill([(build.x + dx, y) for dx, y in neck], subject.colour("flesh"))
    for side in (-1, 1):
        x = build.x + side * build.top_stem
        sheet.ink([(x, line[-1][1] - 2), (x, (line[-1][1] + low) / 2), (x, low)], 3)


def _hollow(sheet: Sheet, subject: Subject, build: Build) -> None:
    """Slender even stems are hollow; stout ones are not."""
    if subject.form == "bolete" or build.base in ("club", "bulb", "rimmed", "scaly_bulb"):
        return
    if build.top_stem > 26 and not subject.colours.get("milk"):
        return
    half = build.top_stem * 0.34
    cave = [(build.x - half, build.at(0.16)), (build.x + half, build.at(0.14))]
    cave += [(build.x + half * 1.1, build.at(0.9)), (build.x - half, build.at(0.88))]
    shape = curve(cave, closed=True, steps=5)
    sheet.fill(shape, darker(subject.colour("flesh"), 0.28))
    sheet.ink(shape, 2, closed=True)


def _change(
    sheet: Sheet, subject: Subject, build: Build, inner: Path, core: Path, *, later: bool
) -> None:
    """What the cut shows: colour that spreads from the gills and edges, and drops of milk."""
    change, milk = subject.colours.get("change"), subject.colours.get("milk")
    if change and (later or subject.turns_at_once):
        colour = mix(subject.colour("flesh"), change, 0.95)
        _stain(sheet, subject, build, inner, core, colour, later=later)
    if milk:
        colour = (subject.colours.get("milk_later") if later else milk) or milk
        y = build.edge_y + build.tilt * 0.2
        for side in (-1, 1):
            for t in (0.34, 0.5, 0.68, 0.84):
                sheet.drop(
                    build.x + side * build.half * t,
                    y - (t - 0.5) * 18,
                    sheet.rng.uniform(6, 9.5),
                    colour,
                )


def _stain(
    sheet: Sheet,
    subject: Subject,
    build: Build,
    inner: Path,
    core: Path,
    colour: str,
    *,
    later: bool,
) -> None:
    wide = 1.5 if later else 1.0
    with sheet.within(inner):
        for side in (-1, 1):
            for t in (0.12, 0.28, 0.42, 0.56, 0.7, 0.82):
                x = build.x + side * build.half * t
                y = build.edge_y - build.rise * (0.62 - 0.5 * t)
                shape = lobed(
                    sheet.rng,
                    x,
                    y,
                    build.half * 0.13 * wide,
                    build.rise * 0.13 * wide,
                    rough=0.08,
                    lobes=3,
                    n=40,
                )
                sheet.fill(shape, mix(colour, subject.colour("flesh"), sheet.rng.uniform(0, 0.2)))
    with sheet.within(core):
        for x, y in scatter(sheet.rng, core, 14 if later else 10, apart=22):
            tone = mix(colour, subject.colour("flesh"), sheet.rng.uniform(0, 0.2))
            shape = lobed(
                sheet.rng,
                x,
                y,
                build.top_stem * 0.6 * wide,
                24 * wide,
                rough=0.08,
                lobes=3,
                n=40,
            )
            sheet.fill(shape, tone)
        if subject.name in ("Agaricus xanthodermus", "Amanita rubescens"):
            sheet.fill(build.stem(0.82, 1, 0), colour)


def _volva(sheet: Sheet, subject: Subject, build: Build) -> None:
    """The cut bag round the base."""
    if build.base != "sack":
        return
    half, tall = build.low_stem * 1.5, max(70.0, build.length * 0.22)
    x, y = build.x, build.base_y
    bag = curve(
        [
            (x - half * 1.15, y - tall),
            (x - half * 1.1, y - tall * 0.2),
            (x - half * 0.7, y + tall * 0.24),
            (x, y + tall * 0.34),
            (x + half * 0.7, y + tall * 0.24),
            (x + half * 1.1, y - tall * 0.2),
            (x + half * 1.15, y - tall),
        ]
    )
    inside = [(x + (px - x) * 0.86, py - 6) for px, py in reversed(bag)]
    sheet.wash([*bag, *inside], "#efe7d2", pooled=False)
    sheet.ink([*bag, *inside], 3, closed=True)


def _ring_flaps(sheet: Sheet, subject: Subject, build: Build) -> None:
    if not (subject.has("ring") or subject.has("ring_moving")):
        return
    p = 0.22
    for side in (-1, 1):
        x, y = build.x + side * build.stem_half(p), build.at(p)
        flap = curve(
            [
                (x, y),
                (x + side * 20, y + 12),
                (x + side * 26, y + 34),
                (x + side * 18, y + 30),
                (x, y + 9),
            ]
        )
        sheet.wash(flap, "#f6efdc", pooled=False)
        sheet.ink(flap, 2.6, INK, closed=True)
