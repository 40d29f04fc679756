"""What stands for a find: one pure function over its slips and verdicts.

The rule, in plain words (the page says it again from the codes given back)

1.  An act counts only when its author was a referee in scope and is not a finder of this find.
    Acts out of scope, and a finder's acts on the find itself, stay on the page and count nothing.
    What was withdrawn by its own author counts as never laid; withdrawing a withdrawal brings
    the act back.
2.  Each referee holds one opinion: what they said last. Confirming a slip, or laying a slip of
    one's own on another's find, stands *for* that name, as far as the evidence was said to go
    (species, aggregate, section, genus). Disputing a slip stands *against* its name, and for
    another only where one was given. Leaving open says that what was kept cannot settle it.
    Saying the same again changes nothing. Asking for evidence is no opinion.
3.  A name **stands confirmed** when a referee is for it and none is against it: for another
    name, or objecting to it. A wider name does not conflict with a narrower one within it:
    'genus Lactarius' and 'Lactarius deterrimus' agree as far as the genus. Where referees go
    to different lengths the latest decides how far; a find that needs two takes what two hold.
4.  Where referees differ the find is **disputed**. It is settled by one of them coming round
    (or withdrawing), or by a third in scope, coming after the others, whose side then has more
    referees than stand against it. A dispute by one referee of the name its finder gives is a
    dispute too, until the finder gives another name or a referee settles it.
5.  With `needs_two` one referee's confirmation waits: unconfirmed, 'one_referee_agrees'.
6.  A finder who is the referee for the name has it **determined by its referee** as long as no
    other referee has acted. A second referee who asks, disputes, leaves open or reopens ends
    that; one who agrees confirms it, or, where two are needed, leaves it standing as it is.
7.  **Left open** stands where a referee left it open and none has named it since; at the rank
    given with the act, else at the wider rank already confirmed, else at none. It also settles
    a dispute that began without its author. One referee leaving open what another has
    confirmed as a species makes a dispute.
8.  A find **from the books** stands as such until a referee in scope reopens it; acts on its
    name wait for that. A slip copied from the books is nobody's verdict. A referee who is no
    finder may also reopen what was left open; reopening never un-confirms.
9.  A finder's new slip after confirmation stands beside it, flagged; the find stays confirmed.
10. Otherwise the find is **unconfirmed**, under the finder's latest slip (else the latest).

Source: the society's own rule; that a referee settles and a slip is never removed is common
practice in herbaria and fungaria.

Worked example. Ann finds and lays slip 1, *Lactarius deterrimus* (order 1). Bea, referee for
*Lactarius*, confirms slip 1 (order 2): confirmed, by Bea. Carl, referee too, lays slip 2,
*L. deliciosus* (order 3): disputed, by Bea and Carl. Bea confirms slip 2 (order 4): she has come
round, so it is confirmed as *L. deliciosus* by both. Ann lays slip 3, *L. torminosus*
(order 5): still confirmed, with 'finder_slip_after_confirmation'.
"""

from society.science.standing.facts import (
    CODES,
    KINDS,
    RANKS,
    REASONS,
    Code,
    FindFacts,
    SlipFacts,
    Standing,
    VerdictFacts,
    VerdictKind,
)
from society.science.standing.narrowing import reads_wide
from society.science.standing.rule import what_stands

__all__ = [
    "CODES",
    "KINDS",
    "RANKS",
    "REASONS",
    "Code",
    "FindFacts",
    "SlipFacts",
    "Standing",
    "VerdictFacts",
    "VerdictKind",
    "reads_wide",
    "what_stands",
]
