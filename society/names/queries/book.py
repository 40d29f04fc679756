"""The species accounts as the contrast of look-alikes takes them, kept in memory.

Every process keeps one book and reads it anew when the stamp of the checklist has moved, as it
does with the index of names: every change of a name, an account or the vocabulary raises it.
"""

import threading
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from django.db.models import Q

from society.names.models import HOST_GROUPS, Character, Danger, LookAlike, Rank, Taxon
from society.names.queries.accounts import AccountShown, accounts_of, vocabulary
from society.names.queries.checklist import checklist_version, english_names, name_index
from society.science import contrast as science
from society.science.reagents import read_reagent

SPECIES_RANKS = (Rank.SPECIES, Rank.VARIETY)
_lock = threading.Lock()
_kept: "tuple[int, AccountBook] | None" = None


@dataclass(frozen=True, slots=True)
class CharacterWords:
    """A character as it is shown: its name, its part, and the names of its states by code."""

    code: str
    name: str
    part: str
    states: Mapping[str, str]


@dataclass(frozen=True)
class AccountBook:
    """Every account of an accepted species, by the id of its name.

    ``taxa`` are more: dangerous species and look-alikes without an account stand in it too, so that
    none of them leaves a contrast; ``facts`` hold those with an account.

    ``look_alikes`` are the pairs entered by hand, both ways round. ``backgrounds`` say how usual
    each state is in a form ('' for all).
    """

    taxa: Mapping[int, Taxon]
    english: Mapping[int, str]
    facts: Mapping[int, science.AccountFacts]
    characters: Mapping[str, science.CharacterFacts]
    words: Mapping[str, CharacterWords]
    backgrounds: Mapping[str, science.Background]
    look_alikes: Mapping[int, frozenset[int]]
    _likeness: science.Likeness
    _alike: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def background(self, form: str) -> science.Background:
        """How usual each state is in a form; over all where none of its accounts is held."""
        return self.backgrounds.get(form) or self.backgrounds[""]

    def of_form(self, form: str) -> list[int]:
        """The ids of accounts of a form; of every form where it is not known."""
        return [pk for pk, facts in self.facts.items() if not form or facts.form == form]

    def of_genus(self, genus: str) -> list[int]:
        return [pk for pk, facts in self.facts.items() if facts.genus == genus]

    def alike(self, pk: int) -> tuple[int, ...]:
        """The ids of accounts like one of them, computed when first asked for, nearest first."""
        if pk not in self._alike:
            pairs = self._likeness.of(pk)
            self._alike[pk] = tuple(pair.other if pair.one == pk else pair.one for pair in pairs)
        return self._alike[pk]

    def dangerous(self, form: str) -> list[int]:
        """The ids of dangerous species of a form, with an account or without one."""
        return [
            pk
            for pk, taxon in self.taxa.items()
            if taxon.is_dangerous
            and taxon.rank in SPECIES_RANKS
            and (not form or taxon.form == form)
        ]


def account_book() -> AccountBook:
    """Return the book, read anew when the stamp has moved (eight queries more); one query else."""
    global _kept
    version = checklist_version()
    if _kept is not None and _kept[0] == version:
        return _kept[1]
    with _lock:
        if _kept is None or _kept[0] != version:
            _kept = (version, _book_read())
        return _kept[1]


def host_genus(written: str) -> str:
    """Return the genus of the tree or plant that words name; empty where they name none. Two
    queries at most."""
    match = name_index().resolve(written, groups=HOST_GROUPS).match
    if match is None:
        return ""
    return Taxon.objects.values_list("genus", flat=True).get(pk=match.accepted_key)


def facts_of(taxon: Taxon, account: AccountShown | None = None) -> science.AccountFacts:
    """Return what the checklist and an account say of a name; without one, the checklist alone."""
    months = None
    if taxon.month_from is not None and taxon.month_to is not None:
        months = (taxon.month_from, taxon.month_to)
    facts = science.AccountFacts(
        key=taxon.pk,
        form=taxon.form,
        genus=taxon.genus,
        is_dangerous=taxon.is_dangerous,
        hosts=frozenset(taxon.hosts),
        substrates=frozenset(taxon.substrates),
        months=months,
    )
    if account is None:
        return facts
    return replace(
        facts,
        states=account.states,
        readings=tuple(
            science.ExpectedReading(
                row.exposed,
                read_reagent(row.reagent),
                float(row.minute_from),
                float(row.minute_to),
                row.colour,
                row.usual,
            )
            for row in account.readings
        ),
        spores=_spore_limits(account),
    )


def _spore_limits(account: AccountShown) -> science.SporeLimits | None:
    spores = account.spores
    if spores is None:
        return None
    return science.SporeLimits(
        float(spores.length_from),
        float(spores.length_to),
        float(spores.width_from),
        float(spores.width_to),
        None if spores.q_from is None else float(spores.q_from),
        None if spores.q_to is None else float(spores.q_to),
    )


def _book_read() -> AccountBook:
    stands = Q(account__isnull=False) | Q(
        danger__in=(Danger.DEADLY, Danger.SERIOUS), rank__in=SPECIES_RANKS
    )
    paired = Q(look_alikes__isnull=False) | Q(look_alike_of__isnull=False)
    rows = Taxon.objects.fungi().accepted().filter(stands | paired).distinct()
    taxa = {taxon.pk: taxon for taxon in rows}
    accounts = accounts_of(taxa)
    facts = {pk: facts_of(taxa[pk], account) for pk, account in accounts.items()}
    characters = vocabulary()
    vocabulary_facts = {code: _character_facts(row) for code, row in characters.items()}
    return AccountBook(
        taxa=taxa,
        english=english_names(set(taxa)),
        facts=facts,
        characters=vocabulary_facts,
        words={code: _character_words(row) for code, row in characters.items()},
        backgrounds=_backgrounds(facts.values(), vocabulary_facts),
        look_alikes=_look_alikes(),
        _likeness=science.Likeness(list(facts.values()), vocabulary_facts.values()),
    )


def _character_facts(row: Character) -> science.CharacterFacts:
    return science.CharacterFacts(
        code=row.code,
        states=tuple(state.code for state in row.states.all()),
        cost=row.cost,  # type: ignore[arg-type]
        wait_minutes=row.wait_minutes,
        cuts=row.cuts,
        never_asked=row.never_asked,
        forms=frozenset(row.forms),
    )


def _character_words(row: Character) -> CharacterWords:
    states = {state.code: state.name for state in row.states.all()}
    return CharacterWords(row.code, row.name, row.part, states)


def _backgrounds(
    accounts: Iterable[science.AccountFacts], characters: Mapping[str, science.CharacterFacts]
) -> dict[str, science.Background]:
    by_form: dict[str, list[science.AccountFacts]] = {"": []}
    for facts in accounts:
        by_form[""].append(facts)
        by_form.setdefault(facts.form, []).append(facts)
    return {
        form: science.background_of(held, characters.values()) for form, held in by_form.items()
    }


def _look_alikes() -> dict[int, frozenset[int]]:
    pairs: dict[int, set[int]] = defaultdict(set)
    for one, other in LookAlike.objects.values_list("taxon_id", "other_id"):
        pairs[one].add(other)
        pairs[other].add(one)
    return {pk: frozenset(others) for pk, others in pairs.items()}
