"""Finds, in an answer, what its reader must not learn. Written from the design, not from the code.

A place leaks when an answer holds a pair of numbers nearer the true point than the reader's cell
permits, or its digits, or a grid reference finer than the cell, or the words it was described by.
"""

import html
import re
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote, urlsplit

from society.finds.models import Find
from society.places.models import Openness
from society.science.positions import format_british_grid
from tests.cast import CANARY, DRAFT_UUID, PERSONAS, Cast

E7 = 10_000_000
# Steps in degrees, by category of the find; None for the region's name only.
GIVEN: dict[str, dict[int | None, float | None]] = {
    "guest": {None: 0.01, 4: 0.01, 3: 0.1, 2: 1.0, 1: None},
    "member": {None: 0.001, 4: 0.001, 3: 0.01, 2: 0.1, 1: 1.0},
}
GUESTS = frozenset({"guest", "inactive"})
# Finder, companion, referee for everything, keeper. Bea referees a family, Olive nothing.
EXACT = frozenset({"ann", "ben", "carl", "kay"})
FAMILY_OF_BEA = "Russulaceae"
# Side of a grid square in metres that is no finer than the step.
COARSE_SIDE = {0.001: 100, 0.01: 1_000, 0.1: 10_000, 1.0: 100_000, None: 100_000}
# A position that the form of a find gives as an example of how to write one.
EXAMPLE = (55.163, 2.594)
SIDES = (1, 10, 100, 1_000, 10_000)

_DECIMAL = re.compile(r"(?<![\d.])\d{1,3}\.\d+(?![\d.])")
_INTEGER = re.compile(r"(?<![\d.])\d{7,10}(?![\d.])")
_SEXAGESIMAL = re.compile(r"(\d{1,3})\s*°\s*(\d{1,2})\s*['′]\s*(\d{1,2}(?:\.\d+)?)?")
# Digits that are drawn by chance or by the clock, and would now and then look like a place: an
# instant with its fraction of a second, a uuid, the token of a form.
_BY_CHANCE = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d\.\d+"
    r"|[\da-f]{8}(?:-[\da-f]{4}){3}-[\da-f]{12}"
    r"|(?<=csrfmiddlewaretoken\" value=\")\w+"
)
# How many numbers may stand between the two of a pair, as where a radius or a step is told too.
_APART = 3
# What is printed to five decimals is off by half of the last.
_SAME = 6e-6


@dataclass(frozen=True)
class Secret:
    """A find's true place and its words, and the step that this reader gets (0 for exact)."""

    name: str
    lat: float
    lon: float
    step: float | None
    words: tuple[str, ...]

    @property
    def given(self) -> tuple[float, float] | None:
        """The point this reader may have."""
        if self.step is None:
            return None
        if self.step == 0:
            return self.lat, abs(self.lon)
        steps = self.step
        # Halves go up, that is north and east; no place of the cast lies on a half.
        return round(self.lat / steps) * steps, abs(round(self.lon / steps) * steps)


@dataclass(frozen=True)
class Reader:
    """One persona: what places it gets how coarsely, and the words it must never read."""

    persona: str
    secrets: tuple[Secret, ...]
    allowed: tuple[tuple[float, float], ...]
    words: tuple[tuple[str, str], ...]
    hidden_finds: tuple[str, ...]

    @cached_property
    def guarded(self) -> list[Secret]:
        return [secret for secret in self.secrets if secret.step != 0]


def reader_of(cast: Cast, persona: str) -> Reader:
    secrets = tuple(_secret(cast, name, find, persona) for name, find in cast.finds.items())
    allowed = [EXAMPLE, *(secret.given for secret in secrets if secret.given is not None)]
    allowed += [
        (site.lat_e7 / E7, abs(site.lon_e7 / E7))
        for site in (cast.open_site, cast.kept_site)
        if site.openness == Openness.OPEN or persona not in GUESTS
    ]
    return Reader(
        persona=persona,
        secrets=secrets,
        allowed=tuple(allowed),
        words=tuple(_words_kept_from(cast, persona)),
        hidden_finds=tuple(_hidden_finds(cast, persona)),
    )


def _secret(cast: Cast, name: str, find: Find, persona: str) -> Secret:
    family = find.slips.first().taxon.family
    is_exact = persona in EXACT or (persona == "bea" and family == FAMILY_OF_BEA)
    row = GIVEN["guest" if persona in GUESTS else "member"]
    stored = Find.objects.get(pk=find.pk)
    return Secret(
        name=name,
        lat=stored.lat_e7 / E7,
        lon=stored.lon_e7 / E7,
        step=0 if is_exact else row[stored.secrecy],
        words=tuple(filter(None, (stored.place_verbatim.raw, stored.position_verbatim))),
    )


def _words_kept_from(cast: Cast, persona: str) -> list[tuple[str, str]]:
    """Return (what it is, the words) of everything else that this persona must not read."""
    kept = [("what a leaver was called", "Lena Moss"), ("a leaver's mail address", "lena@")]
    if persona != "ann":
        kept += [("another's draft", "Lactarius on a bank?")]
        kept += [("another's draft", "Milk orange, then green."), ("a draft", str(DRAFT_UUID))]
    if persona not in ("ann", "kay"):
        kept += [("a picture's own data", CANARY), ("a picture's device", "Caldermoss Instrum")]
    if persona != "kay":
        kept += [("a keeper's note", "Nell from the field centre")]
        others = [who for who in PERSONAS if who not in ("guest", persona)]
        kept += [("another's mail address", cast.account(who).email) for who in others]  # type: ignore[union-attr]
    if persona in GUESTS:
        kept += [("the kept site", cast.kept_site.name), ("the kept site", cast.kept_site.slug)]
        kept += [("an unpublished find", "Was the milk"), ("an unpublished find", "greys with age")]
    return kept


def _hidden_finds(cast: Cast, persona: str) -> list[str]:
    """Return the numbers of finds that are not there for this persona."""
    hidden = [] if persona in ("ann", "kay") else [cast.withdrawn]
    if persona in GUESTS:
        hidden += [cast.plain, cast.disputed]
    return [find.spoken_number for find in hidden]


def leaks(reader: Reader, text: str, address: str = "") -> list[str]:
    """Return what ``text``, the answer to ``address``, tells this reader that it must not.

    What the reader wrote in the address is no news, and may stand in the answer.
    """
    told = html.unescape(text)
    asked = urlsplit(address)
    for own in (asked.path, quote(asked.path), asked.query, quote(asked.query)):
        if len(own) > 1:
            told = told.replace(own, "")
    found = [what for what, words in reader.words if words in told and words not in address]
    for number in reader.hidden_finds:
        bare = re.search(rf"(?<![\d/]){number}(?!\d)", told) and number not in address
        if bare or f"/finds/{number}/" in told:
            found.append(f"find {number}")
    told = _BY_CHANCE.sub("", told)
    for secret in reader.guarded:
        found += _place_leaks(reader, secret, told)
    return found


def _place_leaks(reader: Reader, secret: Secret, text: str) -> list[str]:
    found = [f"{secret.name}: {words!r}" for words in secret.words if words in text]
    if _pair_too_near(reader, secret, _numbers(text)):
        found.append(f"{secret.name}: a pair of numbers too near")
    if _digits_too_fine(secret, text):
        found.append(f"{secret.name}: its digits")
    squares = _squares(secret)
    if any(square in re.sub(r"(?<=[A-Z\d])\s(?=\d)", "", text) for square in squares):
        found.append(f"{secret.name}: a grid reference too fine")
    return found


def _numbers(text: str) -> list[float]:
    """Return what may be a latitude or longitude, without its sign, in the order of the text."""
    found = [(match.start(), float(match[0])) for match in _DECIMAL.finditer(text)]
    found += [(match.start(), int(match[0]) / E7) for match in _INTEGER.finditer(text)]
    found += [
        (match.start(), int(match[1]) + int(match[2]) / 60 + float(match[3] or 0) / 3600)
        for match in _SEXAGESIMAL.finditer(text)
    ]
    return [number for _, number in sorted(found)]


def _pair_too_near(reader: Reader, secret: Secret, numbers: list[float]) -> bool:
    half = (secret.step or 1.0) / 2
    for at, lat in enumerate(numbers):
        if abs(lat - secret.lat) > half:
            continue
        around = numbers[max(0, at - _APART) : at + _APART + 1]
        for lon in around:
            is_near = abs(lon - abs(secret.lon)) <= half
            if is_near and not _is_allowed(reader, lat, lon):
                return True
    return False


def _is_allowed(reader: Reader, lat: float, lon: float) -> bool:
    """Whether both numbers are ones this reader may have; in a list they may be of two rows."""
    return any(abs(lat - known) <= _SAME for known, _ in reader.allowed) and any(
        abs(lon - known) <= _SAME for _, known in reader.allowed
    )


def _digits_too_fine(secret: Secret, text: str) -> bool:
    """Whether either coordinate stands there with more decimals than the step has.

    From four on: with fewer, something else may share the digits of one axis by chance.
    """
    held = 0 if secret.step in (None, 1.0) else len(f"{secret.step:g}") - 2
    for value in (secret.lat, abs(secret.lon)):
        exact = f"{value:.7f}"
        finer = [f"{value:.{places}f}" for places in range(max(held + 1, 4), 8)]
        finer += [exact[: exact.index(".") + 1 + places] for places in range(max(held + 1, 4), 8)]
        if any(re.search(rf"(?<![\d.]){re.escape(digits)}", text) for digits in finer):
            return True
        if exact.replace(".", "").lstrip("0") in text:
            return True
    return False


def _squares(secret: Secret) -> list[str]:
    coarse = COARSE_SIDE[secret.step]
    squares = (
        format_british_grid(secret.lat, secret.lon, side)  # type: ignore[arg-type]
        for side in SIDES
        if side < coarse
    )
    return [square.replace(" ", "") for square in squares if square]
