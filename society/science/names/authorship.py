"""What follows a name: which words are its authorship, and which are remarks about the find.

Method: the words are taken from left to right for as long as they can stand in an author citation:
words with a capital, initials, the small words that join or belong to authors ('ex', 'in', 'de',
'&', ':'), notes on nomenclature ('nom. cons.', 'comb. nov.') and the year after an author. The
first word of another kind (a day, a number, 'on', 'under', 'det.', a dash) begins the remark, and
the rest follows it. After 'auct.', 'sensu', 'non' and the like everything belongs to the
authorship, because it says in whose sense the name is meant.

Source: International Code of Nomenclature for algae, fungi, and plants, articles 46-50 and F.3, for
what an author citation holds (from memory); the remarks are common practice.

Worked example: the words of '(Schaeff.) Pers. 1796 on bank, 3 caps' give authorship
'(Schaeff.) Pers. 1796' and remark 'on bank, 3 caps'; those of 'Peck ss. auct. eur.' are all
authorship, in another sense.
"""

from __future__ import annotations

import re
from typing import Final

from society.science.names.folding import fold

# Small words that belong to an authorship, so that no epithet is read out of one.
_CONNECTING: Final = (
    "and apud auct auctt bis comb da de den der des dos du emend et ex fil in ined la le nec "
    "nom non sensu ss ten ter van von y zu"
)
IN_AUTHORSHIP: Final = frozenset(_CONNECTING.split())
_NOTES_WORDS: Final = (
    "al cons del dub f hom hort hyb illeg inval nov nud orth pro prov rej stat superfl syn "
    "typ bona nothosp"
)
_NOTES: Final = frozenset(_NOTES_WORDS.split())
_SENSES_WORDS: Final = "auct auctt auctor auctorum sensu sens ss non nec misapplied misident misid"
SENSES: Final = frozenset(_SENSES_WORDS.split())
# Words that begin a remark and are never an epithet or an author.
_IN_REMARKS: Final = (
    "abundant again amongst and approx around associated at attached basidiome beneath beside "
    "between by c ca cap caps checked circa col coll collected collection colony common conf "
    "conifer confirmed cluster dead det determined dried edge ex fallen few found frequent from "
    "fruitbody fruitbodies fruiting fungarium good growing growth had herb id identified "
    "immature in large leg lots many mature microscopy near nearby no not note occasional old "
    "on only or photo photographed photos possibly rare recorded ref ring ringed scattered seen "
    "several single singly small solitary some specimen specimens spore spores still troop "
    "trooping tuft two three four five six seven eight nine ten dozen one under underneath "
    "uncommon upon usual very via voucher wet with within without young "
)
REMARK_WORDS: Final = frozenset(_IN_REMARKS.split())
_MONTHS_WORDS: Final = (
    "jan january feb february mar march apr april may jun june jul july aug august sep sept "
    "september oct october nov november dec december"
)
_MONTHS: Final = frozenset(_MONTHS_WORDS.split())
_PLACING: Final = frozenset(
    ["on", "under", "with", "near", "in", "at", "growing", "found", "among"]
)
# Words that make a remark say another name, or take the name back.
_TAKEN_BACK: Final = "and or not no vs versus v et nec non instead rather"
_OTHERWISE: Final = frozenset(_TAKEN_BACK.split())
_SIGNS: Final = "-–—([:;#*0123456789"
_YEAR: Final = re.compile(r"(1[789]|20)\d\d\Z")
_JOINING: Final = frozenset("&:,;.[]()")
_EDGES: Final = "()[],;:."


def split_rest(words: list[str]) -> tuple[str, str]:
    """Return (authorship, remark) of the words after a name; together they are those words."""
    in_sense = False
    for at, word in enumerate(words):
        core = word.strip(_EDGES)
        in_sense = in_sense or _is_sense(word, words[at + 1 : at + 2])
        if not in_sense and not _of_authorship(word, core, first=at == 0):
            return _tidy(words[:at]), _tidy(words[at:])
    return _tidy(words), ""


def is_another_sense(authorship: str, remark: str = "") -> bool:
    """Whether the name is meant as somebody else, perhaps wrongly, used it: auct., sensu, non."""
    words = authorship.split()
    if any(_is_sense(word, words[at + 1 : at + 2]) for at, word in enumerate(words)):
        return True
    plain = set(fold(remark).split())
    return bool(plain & (SENSES - {"non"})) or "misapplied" in plain


def is_clear(remark: str) -> bool:
    """Whether a remark leaves the name as it stands: no other name, no 'or', no 'not'.

    A remark is clear that begins with a sign, a number, a month or a word such remarks begin with.
    """
    if not remark:
        return True
    if re.search(r"(^|\s)[/+&|](\s|$)|\w/[^\W\d_]", remark):
        return False
    words = fold(remark).split()
    if _OTHERWISE & set(words):
        return False
    first = remark.split()[0]
    if not words or first[0] in _SIGNS or first[-1].isdigit() or words[0] in _MONTHS:
        return True
    # A capital makes it part of an English name ('Lilac Leg Fibrecap'), unless it is cut short.
    return words[0] in REMARK_WORDS and (first[0].islower() or first.endswith("."))


def says_where(remark: str) -> bool:
    """Whether a remark begins with a sign, a number, or a word that says where the fungus stood."""
    words = fold(remark).split()
    if not words:
        return bool(remark)
    figures = any(sign.isdigit() for sign in remark.split()[0])
    return is_clear(remark) and (remark[0] in _SIGNS or figures or words[0] in _PLACING)


def is_only_figures(remark: str) -> bool:
    """Whether a remark holds only days, months, years, numbers and counts."""
    words = re.findall(r"[^\W\d_]+", remark)
    counted = ("x", "th", "st", "nd", "rd", "no", "caps", "specimens", "specimen")
    return is_clear(remark) and all(
        fold(word) in _MONTHS or fold(word) in counted for word in words
    )


def _is_sense(word: str, following: list[str]) -> bool:
    plain = fold(word)
    if plain in SENSES:
        return True
    after = fold(following[0]) if following else ""
    capital = bool(following) and following[0][:1].isupper()
    if word == "s." and capital:  # 'S. Lundell' is an author
        return True
    return (word.lower() == "s." and after in SENSES) or word.lower() == "p.p."


def _of_authorship(word: str, core: str, *, first: bool) -> bool:
    plain = fold(core)
    if not core or core == "&":
        return word in _JOINING
    if _YEAR.match(core):
        return not first
    if core[:1].isdigit() or re.search(r"\d", core) or "/" in core or "+" in core:
        return False
    if core[:1].islower():
        particle = re.match(r"[a-z]{1,2}['’][^\W\d_]", core)
        return plain in IN_AUTHORSHIP | _NOTES or core in ("f.", "fil.") or particle is not None
    if not core[:1].isalpha() or (plain in _MONTHS and "." not in word):
        return False
    return plain not in REMARK_WORDS or ("." in word and plain not in ("det", "leg", "coll"))


def _tidy(words: list[str]) -> str:
    return " ".join(words).strip(" ,;")
