"""How the evidence recorded bears on a name and on everything it could be mistaken for.

In plain words. Every candidate's account, and the background that stands for 'something not in
these accounts', is asked how well it fits each thing that was seen: characters, timed readings,
trees, substrate, month, spores. What an account does not hold, and what nobody has looked at, says
nothing. Each look may be mistaken, so none decides alone, and a dangerous candidate sinks by less
than any other. The rows come in order of support and none is ever left out: this tells how the
evidence bears, never what the find is, and nothing here is a test for eating.

The rules, with their sources and worked examples, stand in the modules: `facts` (values and every
stated number), `distributions` (words to probabilities, several states, error), `background`,
`readings` (timed readings), `fitting` (what fits, nearly or in part), `surroundings` (hosts,
substrate, month, spores), `weighing` (the rows, from the `looks` and their `exposures`), `looking`
(which look next, of the `checks` left), `likeness` (look-alikes, side by side).

Source: naive Bayes with an observer's error and Shannon's information, both textbook; the numbers
are the society's.

Worked example. A milk cap under spruce whose orange milk was wine-red at 20 minutes: its row for
*Lactarius deterrimus* has 'fits' for hosts and milk, that for *L. deliciosus* 'speaks against'
for both, and stays in the table.
"""

from society.science.contrast.background import Background, background_of, months_of
from society.science.contrast.checks import cost_of
from society.science.contrast.facts import (
    CLOSE_WITHIN,
    COLOURS,
    COSTS,
    DANGEROUS_ERROR,
    DANGEROUS_SEPARATED_AT,
    GREATEST_GAIN,
    OBSERVER_ERROR,
    SEPARATED_AT,
    TOGETHER,
    UNKNOWN_PRIOR,
    USUAL,
    AccountFacts,
    Bearing,
    CharacterFacts,
    Contrast,
    Expected,
    ExpectedReading,
    MeasuredSpores,
    Moment,
    NextLook,
    Observed,
    ReadingSeen,
    Row,
    SporeLimits,
    WouldSay,
)
from society.science.contrast.likeness import (
    SEEN,
    Likeness,
    Pair,
    SideRow,
    look_alike_groups,
    side_by_side,
)
from society.science.contrast.looking import look_next
from society.science.contrast.readings import expected_at
from society.science.contrast.weighing import contrast, ratio

__all__ = [
    "CLOSE_WITHIN",
    "COLOURS",
    "COSTS",
    "DANGEROUS_ERROR",
    "DANGEROUS_SEPARATED_AT",
    "GREATEST_GAIN",
    "OBSERVER_ERROR",
    "SEEN",
    "SEPARATED_AT",
    "TOGETHER",
    "UNKNOWN_PRIOR",
    "USUAL",
    "AccountFacts",
    "Background",
    "Bearing",
    "CharacterFacts",
    "Contrast",
    "Expected",
    "ExpectedReading",
    "Likeness",
    "MeasuredSpores",
    "Moment",
    "NextLook",
    "Observed",
    "Pair",
    "ReadingSeen",
    "Row",
    "SideRow",
    "SporeLimits",
    "WouldSay",
    "background_of",
    "contrast",
    "cost_of",
    "expected_at",
    "look_alike_groups",
    "look_next",
    "months_of",
    "ratio",
    "side_by_side",
]
