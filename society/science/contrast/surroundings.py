"""Hosts, substrate, month and spores: evidence of modest weight.

Method. The trees written down are read as 'the host is one of these', a tree named as host with
more weight than a probable one or one nearby; the chance under an account is one share for each
genus it holds, less HOST_ERROR for a tree it does not hold. The log of the ratio against the
background is multiplied by an exponent below one (a nearby tree's is small) and cut off on both
sides: roots reach far, accounts name the usual hosts only, and dates move with the weather.
Neighbouring substrates (soil, litter, grass and moss; wood and bark) count as half right, and so
does a month next to the account's. An account without hosts, substrate, months or spores is not
known there. Spores: see `background.spore_density`.

Source: field practice as in any guide (every tree within some 10-20 m is noted, the host is an
inference); exponents and caps are the society's.

Worked example. An account with *Picea* only, *Picea* named as host, in a background where the host
is *Picea* in 0.25 of cases: ratio 0.9 / 0.25 = 3.6, to the power 0.7 about 2.45.
"""

from __future__ import annotations

from math import log
from typing import Final

from society.science.contrast.background import Background, months_of, spore_density
from society.science.contrast.distributions import error_for
from society.science.contrast.facts import (
    GREATEST_GAIN,
    HOST_CAP,
    HOST_ERROR,
    HOST_POWER,
    MONTH_CAP,
    MONTH_POWER,
    SPORES_POWER,
    SUBSTRATE_CAP,
    SUBSTRATE_POWER,
    AccountFacts,
    Bearing,
    Expected,
    MeasuredSpores,
    Observed,
)

_NEAR: Final = (
    frozenset({"soil", "litter", "grass", "moss"}),
    frozenset({"wood", "bark"}),
    frozenset({"litter", "cone"}),
)
_WRONG_SUBSTRATE: Final = 0.10
_OUT_OF_SEASON: Final = 0.10
# Micrometres beyond an account's limits that still fit.
_SPORE_TOLERANCE: Final = 0.5


def surroundings(
    observed: Observed, account: AccountFacts | None, background: Background
) -> list[Bearing]:
    """Bearings of hosts, substrate, month and spores; the account None: nothing is known of it."""
    return [
        _hosts(observed, account, background),
        _substrate(observed, account, background),
        _month(observed, account, background),
        _spores(observed, account, background),
    ]


def host_chance(genus: str, account: AccountFacts, background: Background) -> float:
    """The chance that the host of a find of this account is of this genus."""
    elsewhere = HOST_ERROR / len(background.hosts())
    if genus in account.hosts:
        return (1 - HOST_ERROR) / len(account.hosts) + elsewhere
    return elsewhere


def substrate_chance(substrate: str, account: AccountFacts, background: Background) -> float:
    """The chance that a find of this account is written to grow on this."""
    held = account.substrates
    elsewhere = _WRONG_SUBSTRATE / len(background.substrates())
    if substrate in held:
        return (1 - _WRONG_SUBSTRATE) / len(held) + elsewhere
    if any(substrate in near and held & near for near in _NEAR):
        return (1 - _WRONG_SUBSTRATE) / len(held) / 2 + elsewhere
    return elsewhere


def _hosts(observed: Observed, account: AccountFacts | None, background: Background) -> Bearing:
    expects: tuple[Expected, ...] = ()
    if account is not None:
        expects = tuple((genus, "") for genus in sorted(account.hosts))
    seen = tuple(sorted(observed.hosts))
    if not seen:
        return Bearing("hosts", "hosts", "not_seen", expects=expects)
    if account is None or not account.hosts:
        return Bearing("hosts", "hosts", "not_known", seen)
    rates = background.hosts()
    parts = {genus: HOST_POWER[observed.hosts[genus]] for genus in seen}
    total = sum(parts.values())
    chance = sum(parts[genus] * host_chance(genus, account, background) for genus in seen)
    usual = sum(parts[genus] * rates.get(genus, rates[""]) for genus in seen)
    weight = _tempered((chance / total) / (usual / total), max(parts.values()), HOST_CAP)
    fits = bool(account.hosts & set(seen))
    return Bearing("hosts", "hosts", "fits" if fits else "speaks_against", seen, expects, weight)


def _substrate(observed: Observed, account: AccountFacts | None, background: Background) -> Bearing:
    expects: tuple[Expected, ...] = ()
    if account is not None:
        expects = tuple((substrate, "") for substrate in sorted(account.substrates))
    if not observed.substrate:
        return Bearing("substrate", "substrate", "not_seen", expects=expects)
    seen = (observed.substrate,)
    if account is None or not account.substrates:
        return Bearing("substrate", "substrate", "not_known", seen)
    rates = background.substrates()
    usual = rates.get(observed.substrate, rates[""])
    chance = substrate_chance(observed.substrate, account, background)
    weight = _tempered(chance / usual, SUBSTRATE_POWER, SUBSTRATE_CAP)
    named = observed.substrate in account.substrates
    near = {
        code for near in _NEAR if observed.substrate in near for code in account.substrates & near
    }
    return Bearing(
        "substrate",
        "substrate",
        "fits" if named or near else "speaks_against",
        seen,
        expects,
        weight,
        near_to=() if named else tuple(sorted(near)),
    )


def _month(observed: Observed, account: AccountFacts | None, background: Background) -> Bearing:
    expects: tuple[Expected, ...] = ()
    if account is not None and account.months:
        expects = tuple((str(month), "") for month in account.months)
    if observed.month is None:
        return Bearing("month", "month", "not_seen", expects=expects)
    seen = (str(observed.month),)
    if account is None or not account.months:
        return Bearing("month", "month", "not_known", seen)
    held = months_of(account.months)
    beside = {observed.month % 12 + 1, (observed.month - 2) % 12 + 1}
    chance = _OUT_OF_SEASON / 12
    if observed.month in held:
        chance += (1 - _OUT_OF_SEASON) / len(held)
    elif held & beside:
        chance += (1 - _OUT_OF_SEASON) / len(held) / 2
    near = () if observed.month in held else tuple(str(month) for month in sorted(held & beside))
    fits = observed.month in held or bool(near)
    weight = _tempered(chance / background.months()[observed.month], MONTH_POWER, MONTH_CAP)
    return Bearing(
        "month",
        "month",
        "fits" if fits else "speaks_against",
        seen,
        expects,
        weight,
        near_to=near,
    )


def _spores(observed: Observed, account: AccountFacts | None, background: Background) -> Bearing:
    limits = account.spores if account is not None else None
    expects: tuple[Expected, ...] = ()
    if limits is not None:
        expects = (
            (f"{limits.length_from:g}-{limits.length_to:g}", "length"),
            (f"{limits.width_from:g}-{limits.width_to:g}", "width"),
        )
    measured = observed.spores
    if measured is None:
        return Bearing("spores", "spores", "not_seen", expects=expects)
    seen = (
        f"{measured.length_from:g}-{measured.length_to:g}",
        f"{measured.width_from:g}-{measured.width_to:g}",
    )
    if account is None or limits is None:
        return Bearing("spores", "spores", "not_known", seen)
    error = error_for(account)
    ratio = spore_density(limits, measured) / background.spores(measured)
    ratio = min((1 - error) * ratio + error, GREATEST_GAIN)
    verdict = "fits" if _within(limits.length_from, limits.length_to, _middle(measured, 0)) else ""
    if not _within(limits.width_from, limits.width_to, _middle(measured, 1)):
        verdict = ""
    return Bearing(
        "spores",
        "spores",
        "fits" if verdict else "speaks_against",
        seen,
        expects,
        SPORES_POWER * log(ratio),
    )


def _middle(measured: MeasuredSpores, side: int) -> float:
    if side == 0:
        return (measured.length_from + measured.length_to) / 2
    return (measured.width_from + measured.width_to) / 2


def _within(low: float, high: float, value: float) -> bool:
    return low - _SPORE_TOLERANCE <= value <= high + _SPORE_TOLERANCE


def _tempered(ratio: float, power: float, cap: float) -> float:
    return max(-log(cap), min(log(cap), power * log(ratio)))
