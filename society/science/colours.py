"""Reading a written colour into the codes that accounts tell readings by.

In plain words. A phrase is read word by word. 'No change' and its like are `none`, unless a colour
is named beside them, which is then what was seen ('unchanged orange'). Of a turn ('orange then
wine-red', 'from orange to maroon') the colour it came to is taken. What is denied ('not green') is
left out. Shades go to their nearest code; a word between two codes ('olive', 'turquoise') gives
both, and so does a compound ('bluish green', 'orange-brown'), for either may be meant. Words that
are no colours are passed over. Where no colour is left the answer is None: not readable, which
never means 'no change'; 'not looked' and 'no milk' are no colours either.

Source: common use of colour words in field notes; the nearest code is the society's choice.

>>> sorted(read_colour("slowly turning maroon"))
['wine']
>>> sorted(read_colour("bluish green"))
['blue', 'green']
>>> read_colour("no change"), read_colour("not looked")
(frozenset({'none'}), None)
"""

from __future__ import annotations

import re
from typing import Final

CODES: Final[tuple[str, ...]] = (
    "none",
    "watery",
    "white",
    "cream",
    "yellow",
    "orange",
    "pink",
    "red",
    "wine",
    "lilac",
    "blue",
    "green",
    "grey",
    "brown",
    "black",
)
# Words and the codes they may mean; stems of one colour stand together.
_WORDS: Final[dict[str, tuple[str, ...]]] = {
    word: codes
    for words, codes in (
        ("watery water colourless colorless transparent hyaline", ("watery",)),
        ("white whitish chalk chalky snow milky whitening whitens whiter", ("white",)),
        ("offwhite", ("white", "cream")),
        ("cream creamy creamish ivory buff", ("cream",)),
        ("straw strawy", ("cream", "yellow")),
        (
            (
                "yellow yellowish yellows yellowing yellowed lemon sulphur sulphurous sulfur chrome"
                " golden gold canary primrose mustard citrine"
            ),
            ("yellow",),
        ),
        ("ochre ocher ochraceous ochreous", ("yellow", "brown")),
        ("orange orangish orangey carrot apricot peach tangerine amber copper", ("orange",)),
        ("saffron", ("orange", "yellow")),
        ("salmon coral", ("orange", "pink")),
        ("pink pinkish pinks pinking pinkening rose rosy roseate fleshcolour", ("pink",)),
        (
            (
                "red reddish reddens reddening reddened redder redden scarlet crimson carmine blood"
                " ruby cherry vermilion vermillion rufescent"
            ),
            ("red",),
        ),
        ("brick", ("red", "brown")),
        ("wine winy winey vinaceous maroon burgundy claret bordeaux garnet beetroot", ("wine",)),
        ("purple purplish purpling", ("wine", "lilac")),
        ("lilac violet violaceous mauve lavender amethyst violets", ("lilac",)),
        (
            "blue bluish blueish blues bluing blueing blued indigo azure cobalt navy",
            ("blue",),
        ),
        ("turquoise teal verdigris aquamarine cyan", ("blue", "green")),
        ("green greenish greens greening greened emerald", ("green",)),
        ("olive olivaceous", ("green", "brown")),
        (
            (
                "grey gray greyish grayish greys greying graying slate lead leaden ash ashy ashen"
                " smoky"
            ),
            ("grey",),
        ),
        (
            (
                "brown brownish browns browning browned rust rusty ferruginous tan fawn cinnamon"
                " chestnut umber hazel sepia coffee chocolate fuscous bay clay"
            ),
            ("brown",),
        ),
        ("tawny fulvous", ("brown", "orange")),
        ("black blackish blackens blackening blackened inky ink soot sooty", ("black",)),
    )
    for word in words.split()
}
# Two words that mean one thing, put together before the words are read.
_TOGETHER: Final[tuple[tuple[str, str], ...]] = (
    (r"\b(?:wine|vinaceous|maroon|claret|burgundy)[\s-]*(?:red|reddish|brown|purple)\b", "wine"),
    (r"\b(?:red|reddish|dark red)[\s-]*wine\b", "wine"),
    (r"\b(?:purplish|purple)[\s-]*red(?:dish)?\b", "wine"),
    (r"\bred(?:dish)?[\s-]*purpl(?:e|ish)\b", "wine"),
    (r"\b(?:blood|cherry|ruby|scarlet)[\s-]*red\b", "red"),
    (r"\b(?:orange|carrot|apricot|saffron)[\s-]*orange\b", "orange"),
    (r"\b(?:blood|carrot|deep|bright|pale)[\s-]*orange\b", "orange"),
    (r"\bolive[\s-]*green\b", "green"),
    (r"\bolive[\s-]*brown\b", "brown"),
    (r"\b(?:rust|rusty)[\s-]*brown\b", "brown"),
    (r"\boff[\s-]*white\b", "offwhite"),
    # 'Flesh' alone is what was cut, not what it turned.
    (r"\bflesh[\s-]*(?:colou?red|colou?r|pink)\b|\bfleshy?[\s-]*tint\w*\b", "fleshcolour"),
    (r"\b(?:salmon|coral|rose)[\s-]*pink\b", "pink"),
    (r"\b(?:sea|bottle|grass|emerald)[\s-]*green\b", "green"),
    (r"\b(?:slate|sky)[\s-]*blue\b", "blue"),
    (r"\b(?:slate|lead|ash|mouse)[\s-]*gr[ea]y\b", "grey"),
    (r"\bochr?e[\s-]*yellow\b", "yellow"),
    (r"\b(?:like|as) water\b", "watery"),
)
_NO_CHANGE: Final = re.compile(
    r"""\b(?:
        (?:no|without|hardly\s+any|scarcely\s+any|zero|nil)\s+(?:visible\s+|further\s+|colou?r\s+)*
            (?:change|changes|reaction|discolou?ration|effect)
      | (?:does|did|do|has|have|is)\s*(?:not|n't)\s+(?:visibly\s+)?(?:change|changed|changing|react)
      | (?:doesnt|didnt|doesn't|didn't|hasn't|isn't)\s+(?:change|changed|changing|react)
      | (?:not|never|hardly|barely|scarcely)\s+(?:really\s+|visibly\s+)?
            (?:change|changes|changed|changing|reacting|discolou?ring)(?!\s+to\b|\s+\w*ish\b)
      | unchanged | unchanging | unaltered | constant | negative | nil | none | nonreactive
      | (?:stays?|stayed|remains?|remained|keeps?|kept|still)
            \s+(?:the\s+)?(?:same|as\s+(?:it\s+)?(?:was|before))
      | (?:the\s+)?same(?:\s+as\s+(?:before|at\s+first))?
      | as\s+(?:before|at\s+first)
    )\b""",
    re.VERBOSE,
)
_NOT_SEEN: Final = re.compile(
    r"\b(?:not|nobody|no one|never)\s+(?:looked|seen|noted|checked|recorded|tested)\b"
    r"|\b(?:no|too little|hardly any)\s+(?:milk|latex|note|look|flesh)\b"
    r"|\bmissed\b|\bforgot\w*\b"
)
_TURNS: Final = re.compile(
    r"->|→|>|\b(?:then|turning|turns?|turned|becoming|becomes?|became|now|later|finally|eventually"
    r"|(?:changing|changes?|changed|fading|fades?|faded|drying|going|goes|went|gone)(?:\s+to)?)\b"
)
_FROM_TO: Final = re.compile(r"\bfrom\b[^.;]*?\b(?:in)?to\b")
_NEGATORS: Final = frozenset(
    {"not", "no", "never", "without", "hardly", "barely", "scarcely", "nor", "isnt", "neither"}
)
# May stand between a denial and the colour it denies.
_FILLERS: Final = frozenset(
    re.split(" ", "yet longer at all a any trace of turning really clearly very or and hint")
)


def read_colour(text: str) -> frozenset[str] | None:
    """The codes that a written colour may mean; None where it cannot be read.

    Codes are those of CODES. 'none' comes alone. Letter case and punctuation do not matter.
    """
    words = re.sub(r"\s+", " ", text.casefold().replace("’", "'").replace("–", "-")).strip()
    if not words or _NOT_SEEN.search(words):
        return None
    words, unchanged = _NO_CHANGE.subn(" ; ", words)
    for pattern, word in _TOGETHER:
        words = re.sub(pattern, word, words)
    found = _after_turning(words) or _codes(words)
    if found:
        return found
    if re.search(r"\bclear\b", words):  # beside a colour it only says how bright that is
        return frozenset({"watery"})
    return frozenset({"none"}) if unchanged else None


def _after_turning(words: str) -> frozenset[str]:
    """What it came to, where the phrase tells of a turn; empty where it does not."""
    ends = [match.end() for match in (*_TURNS.finditer(words), *_FROM_TO.finditer(words))]
    # 'not turning red' tells of no turn: the denial stands before the word of turning.
    for end in sorted(ends, reverse=True):
        before = re.findall(r"[a-z']+", words[:end])[-3:]
        if _NEGATORS & {word.replace("'", "") for word in before}:
            continue
        found = _codes(words[end:])
        if found:
            return found
    return frozenset()


def _codes(words: str) -> frozenset[str]:
    """The codes of all colour words that are not denied."""
    found: set[str] = set()
    denied = False
    for word in re.findall(r"[a-z']+|[;,.()]", words):
        plain = word.replace("'", "")
        if plain in _NEGATORS or word.endswith("n't"):
            denied = True
        elif plain in _WORDS:
            if not denied:
                found.update(_WORDS[plain])
        elif plain not in _FILLERS:
            denied = False
    return frozenset(found)
