"""Whether a name that stands reads as *s.l.*, because its species was taken apart since.

Method. A name written before a species was split may mean any of the species it was split into.
Nobody can tell which from the name, so it reads in the wide sense (*sensu lato*, 's.l.') until
somebody looks at the find again and says so by a slip or a confirmation. What was said wide or in
doubt already (a qualifier of its own, an aggregate, a section, a genus) is left as it was said.

Source: *sensu lato* for the sense before a split is common practice of the trade; the rule of days
is the society's own. 'Looked at again' is an act on the day of the split or later.

Worked example. *Lactarius deterrimus*, slip of 3 October 2018, confirmed on 9 October 2018; the
species is split on 1 March 2024. It reads *s.l.*, since 1 March 2024 lies after 9 October 2018.
Confirmed again on 2 May 2024 it reads as written; split again on 7 June 2025 it reads *s.l.* anew.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from society.science.standing.opinions import SPECIES, width


def reads_wide(
    *, rank: str | None, qualifier: str, acts: Iterable[dt.date], splits: Iterable[dt.date]
) -> bool:
    """Say whether a name reads as 's.l.'.

    `rank` and `qualifier` ('' for none) are those it stands with; `acts` the days of the slip and
    the confirmations that carry it; `splits` the days from which its species holds in a narrower
    sense. Without a rank no name stands; without acts nobody has looked since any split.
    """
    if rank is None or qualifier or width(rank) > SPECIES:
        return False
    looked = max(acts, default=dt.date.min)
    return any(day > looked for day in splits)
