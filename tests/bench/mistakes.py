"""Mistakes of stated kinds in written names, and lines that hold them, from a fixed seed."""

import random
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from society.science.names import fold

UNLISTED = 0.12  # share of lines that name one of them


@dataclass(frozen=True)
class Name:
    """A name of the checklist with the accepted name it leads to."""

    text: str
    kind: str
    accepted: str
    group: str
    rank: str
    dangerous: bool


@dataclass(frozen=True)
class Line:
    """A line as somebody might write it. ``meant``: the accepted name; ``listed``: it is held."""

    text: str
    mistake: str
    meant: str
    listed: bool
    dangerous: bool


Mistake = Callable[[str, random.Random], str]
LETTERS = "abcdefghilmnoprstuvxyz"


def _at(word: str, chance: random.Random) -> int:
    """A place in a name after its first letter, never a space."""
    return chance.choice([at for at in range(1, len(word)) if word[at].isalpha()])


def dropped(name: str, chance: random.Random) -> str:
    at = _at(name, chance)
    return name[:at] + name[at + 1 :]


def first_letter(name: str, chance: random.Random) -> str:
    return chance.choice(LETTERS).upper() + name[1:]


def doubled(name: str, chance: random.Random) -> str:
    at = _at(name, chance)
    return name[:at] + name[at] + name[at:]


def changed(name: str, chance: random.Random) -> str:
    at = _at(name, chance)
    return name[:at] + chance.choice(LETTERS) + name[at + 1 :]


def swapped(name: str, chance: random.Random) -> str:
    places = [at for at in range(1, len(name) - 1) if name[at : at + 2].isalpha()]
    at = chance.choice(places) if places else 0
    return name[:at] + name[at + 1 : at + 2] + name[at : at + 1] + name[at + 2 :]


SOUNDS = (
    *(("ph", "f"), ("f", "ph"), ("y", "i"), ("i", "y"), ("ae", "e"), ("oe", "e"), ("th", "t")),
    *(("ch", "c"), ("c", "k"), ("rh", "r"), ("ll", "l"), ("rr", "r"), ("tt", "t"), ("nn", "n")),
    *(("ss", "s"), ("mm", "m"), ("ii", "i"), ("h", ""), ("l", "ll"), ("t", "th")),
)


def sounded(name: str, chance: random.Random) -> str:
    ways = [(old, new) for old, new in SOUNDS if old in name[1:]]
    if not ways:
        return name
    old, new = chance.choice(ways)
    return name[0] + name[1:].replace(old, new, 1)


ENDINGS = ("us", "a", "um", "is", "e", "i", "ii", "ae", "ensis")


def ended(name: str, chance: random.Random) -> str:
    for ending in ("ensis", "ense", "us", "um", "is", "ii", "ae", "a", "e", "i"):
        if name.endswith(ending) and " " in name:
            others = [other for other in ENDINGS if other != ending]
            return name[: -len(ending)] + chance.choice(others)
    return name


OLD_GENERA = {
    "agaric": ("Agaricus", "Clitocybe", "Collybia", "Tricholoma", "Lepiota", "Mycena", "Omphalia"),
    "other": ("Boletus", "Polyporus", "Peziza", "Clavaria", "Lycoperdon", "Hydnum", "Sphaeria"),
}
OLD = [genus for genera in OLD_GENERA.values() for genus in genera]


def old_genus(name: str, chance: random.Random) -> str:
    """The epithet in an old wide genus, as books of long ago have it (at random among them)."""
    return f"{chance.choice(OLD)} {name.split(' ', 1)[1]}" if " " in name else name


def short_genus(name: str, chance: random.Random) -> str:
    genus, _, rest = name.partition(" ")
    return f"{genus[: chance.choice([1, 1, 1, 3])]}. {rest}" if rest else name


def abbreviated(name: str, chance: random.Random) -> str:
    genus, _, rest = name.partition(" ")
    if not rest:
        return name
    return f"{genus[: chance.choice([1, 1, 3])]}. {rest[: chance.choice([3, 4, 5])]}"


def genus_left_out(name: str, chance: random.Random) -> str:
    return name.split(" ", 1)[1] if " " in name else name


def dictated(name: str, chance: random.Random) -> str:
    """Small letters, two sounds heard otherwise, sometimes with a word of doubt or a remark."""
    heard = sounded(sounded(name, chance), chance).lower()
    return heard + chance.choice(["", "", "?", " sp" if " " not in heard else "", " under birch"])


def cut_off(name: str, chance: random.Random) -> str:
    least = name.find(" ") + 4 if " " in name else 5
    return name[: chance.randint(min(least, len(name) - 1), len(name) - 1)].strip()


def two_letters(name: str, chance: random.Random) -> str:
    ways = (dropped, doubled, changed, swapped)
    return chance.choice(ways)(chance.choice(ways)(name, chance), chance)


def remarked(name: str, chance: random.Random) -> str:
    remarks = (" 12/10/2019", " x3", " (3 caps)", " - on bank", ", under oak", " agg.", " det. AB")
    return name + chance.choice(remarks)


def shouted(name: str, chance: random.Random) -> str:
    return name.upper()


def as_written(name: str, chance: random.Random) -> str:
    return name


MISTAKES: dict[str, Mistake] = {
    "as written": as_written,
    "capitals": shouted,
    "remark after it": remarked,
    "letter dropped": dropped,
    "first letter": first_letter,
    "letter doubled": doubled,
    "letter changed": changed,
    "letters swapped": swapped,
    "two letters wrong": two_letters,
    "sounds alike": sounded,
    "wrong ending": ended,
    "wrong old genus": old_genus,
    "short genus": short_genus,
    "abbreviated": abbreviated,
    "genus left out": genus_left_out,
    "dictated": dictated,
    "cut off": cut_off,
}
SCIENTIFIC_ONLY = (
    *("wrong ending", "wrong old genus", "short genus", "abbreviated", "genus left out"),
)


def lines_of(
    names: list[Name], held: set[str], seed: int, how_many: int, *, only_dangerous: bool = False
) -> Iterator[Line]:
    """Yield lines with mistakes: a share of them of species that the index does not hold.

    ``only_dangerous``: names of dangerous species alone, which it always holds.
    """
    chance = random.Random(seed)
    pools = {True: [n for n in names if n.accepted in held]}
    pools[False] = [n for n in names if n.accepted not in held]
    dangers = [n for n in names if n.dangerous]
    texts: dict[str, set[str]] = defaultdict(set)
    for name in names:
        if name.kind != "misapplied":
            texts[fold(name.text)].add(name.accepted)
    made = 0
    kinds = list(MISTAKES)
    while made < how_many:
        listed = chance.random() >= UNLISTED or not pools[False]
        name, mistake = chance.choice(pools[listed]), chance.choice(kinds)
        if only_dangerous:
            name, listed = chance.choice(dangers), True
        if name.kind == "misapplied" or len(texts[fold(name.text)]) > 1:
            continue
        if mistake in SCIENTIFIC_ONLY and (name.kind == "english" or name.text.count(" ") != 1):
            continue
        text = MISTAKES[mistake](name.text, chance)
        if mistake not in ("as written", "capitals") and fold(text) == fold(name.text):
            continue
        meant = name.accepted
        if name.accepted not in texts.get(fold(text), {name.accepted}):
            (meant, *_) = texts[fold(text)]  # the mistake made another name of the checklist
            if len(texts[fold(text)]) > 1 or (meant in held) != listed:
                continue
        made += 1
        yield Line(text, mistake, meant, listed, name.dangerous)
