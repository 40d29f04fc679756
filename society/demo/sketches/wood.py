"""The branch or trunk a fungus grows from."""

from society.demo.sketches.ink import Sheet, darker
from society.demo.sketches.paths import Path, curve, lobed, scaled, shifted
from society.demo.sketches.subject import Subject

BARK = {
    "Betula": ("#e6e0d6", "#6b625a"),
    "Fagus": ("#a9a59a", "#8a867c"),
    "Pinus": ("#a5714f", "#6f4a34"),
    "Picea": ("#8f7460", "#5f4a3c"),
    "Quercus": ("#857a6a", "#4f473c"),
}
OTHER_BARK = ("#968a78", "#5e5446")


def bark(subject: Subject) -> tuple[str, str]:
    """The colours of bark and its furrows for the first host."""
    genus = subject.hosts[0].split()[0] if subject.hosts else ""
    return BARK.get(genus, OTHER_BARK)


def trunk(sheet: Sheet, subject: Subject, x: float, width: float) -> None:
    """Part of an upright trunk."""
    skin, furrow = bark(subject)
    left = curve([(x, 40), (x + 6, 220), (x - 5, 430), (x + 3, 640)])
    right = curve([(x + width, 40), (x + width - 8, 230), (x + width + 5, 440), (x + width, 640)])
    shape = [*left, *reversed(right)]
    sheet.wash(shape, skin)
    sheet.shade(shape, skin, side=-1)
    with sheet.within(shape):
        for _ in range(44):
            px, py = sheet.rng.uniform(x, x + width), sheet.rng.uniform(40, 640)
            if skin == BARK["Betula"][0]:
                d = sheet.rng.uniform(8, 46)
                sheet.ink([(px, py), (px + d / 2, py + 2), (px + d, py)], 4, furrow)
            else:
                d = sheet.rng.uniform(14, 60)
                sheet.ink([(px, py), (px + 3, py + d / 2), (px - 1, py + d)], 2.2, furrow)
    sheet.ink(left, 3.4)
    sheet.ink(right, 3.4)


def branch(sheet: Sheet, subject: Subject, y: float = 400, thick: float = 150) -> Path:
    """A fallen branch lying across the sheet; returns its outline."""
    skin, furrow = bark(subject)
    upper = curve(
        [
            (50, y - thick * 0.5),
            (260, y - thick * 0.6),
            (520, y - thick * 0.5),
            (850, y - thick * 0.56),
        ]
    )
    lower = curve(
        [
            (850, y + thick * 0.4),
            (560, y + thick * 0.52),
            (280, y + thick * 0.44),
            (50, y + thick * 0.54),
        ]
    )
    shape = [*upper, *lower]
    sheet.wash(shape, skin)
    with sheet.within(shape):
        sheet.fill(shifted(shape, 0, thick * 0.66), darker(skin, 0.22))
        for _ in range(46):
            px, py = (
                sheet.rng.uniform(50, 850),
                sheet.rng.uniform(y - thick * 0.6, y + thick * 0.55),
            )
            d = sheet.rng.uniform(18, 80)
            sheet.ink([(px, py), (px + d / 2, py + 2), (px + d, py - 1)], 2, furrow)
    end = lobed(sheet.rng, 850, y - thick * 0.06, 22, thick * 0.48, rough=0.03, n=40)
    sheet.wash(end, "#dcc49a")
    for k in (0.75, 0.5, 0.26):
        sheet.ink(scaled(end, k, (850, y - thick * 0.06)), 1.6, "#a98a5c", closed=True)
    sheet.ink(upper, 3.4)
    sheet.ink(lower, 3.4)
    sheet.ink(end, 3, closed=True)
    return shape
