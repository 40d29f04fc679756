"""What uses words of eating without being a statement on eating, blotted out before the search.

Names ('poison pie', 'fried chicken mushroom'), smells and likenesses ('smell of raw potato', 'like
a fried egg'), animals that eat, wood that is eaten, a taste spat out, a foray's own lunch. Only
the words named here are blotted out: a statement beside them is still found. Where people may stand
behind the words ('slugs eat it, so it must be safe') nothing is blotted out.
"""

import re

from society.science.statements.phrases import compiled, expanded

_ANIMAL = """
slugs?|snails?|squirrels?|deer|roe|muntjac|mouse|mice|voles?|rabbits?|hares?|badgers?|boars?
insects?|beetles?|fl(?:y|ies)|midges?|larvae?|maggots?|grubs?|worms?|mites?|springtails?|birds?
jays?|nuthatch(?:es)?|tits?|pigeons?|crows?|fox(?:es)?|hedgehogs?|gnats?|woodlouse|woodlice
millipedes?|caterpillars?|moths?|ants?|termites?|wasps?|nematodes?|rodents?|reindeer|sheep|cows?
cattle|pon(?:y|ies)|horses?|goats?|pigs?|something|animals?|invertebrates?|weevils?
"""
_EATING = """
eat|eats|eaten|eating|eaters?|ate|consum(?:e|es|ed|ing)|devour(?:s|ed|ing)?|munch(?:es|ed|ing)?
feast(?:s|ed|ing)?|nibbl(?:e|ed|ing)|dining on|snack(?:s|ed|ing)?|forag(?:e|ed|ing)
"""
_SMELL = """
smell(?:s|ed|ing|y)?|smelt|odou?rs?|scent(?:s|ed)?|aroma(?:s|tic)?|fragran(?:ce|t)|whiff
reek(?:s|ing)?|stink(?:s|ing)?|stench
"""
_SMELT = """
raw|cooked|boiled|fried|stewed|roast(?:ed|ing)?|baked|burnt|pickled|soup|curry|stew|vomit|sick
medicin(?:e|al)|gravy|meal|nauseous|nauseating|nausea|sickness|sickening|infusion|poisonous|toxic
laxative|sauce|casserole|ketchup|cooking|vitamins?|tinctures?|emetic|pharmac[a-z]*|tea from
cough mixture|omelett?e|in butter|noxious|tonic|food
"""
_TASTED = "meal|raw (?:potatoe?s?|peas?|flour)|boiled (?:cabbage|potatoe?s?)|medicine|soup"
_LIKE = """
(?:looks?|looked|looking|shaped|coloured|textured|feels?|just|rather|is|was|cap|flesh|texture
|consistency|quite|almost) like|resembl(?:es?|ed|ing)|reminiscent of|like an?
(?:size|shape|colour|look|texture|consistency|appearance) of
as (?:big|large|wide|round|flat|thick|soft|tough) as
"""
_LIKENED = """
raw|cooked|boiled|fried|stewed|roast(?:ed)?|baked|poached|pickled|soup|stew|meal|omelett?e
frying ?pan|saucepan|dinner|supper|pan|sauce|casserole|on toast|vomit|snack|pot
"""
_OWN_MEAL = """
lunch(?:es)?|dinner|supper|tea|breakfast|sandwich(?:es)?|picnics?|cakes?|biscuits|crisps
chocolate|sausage rolls?|flapjack|pasties|a bite|meals?|soup|ice creams?|something|snacks?
"""
_INN = """
cafe|caff|pub|inn|tea ?rooms?|tea ?shop|hotel|visitor centre|village hall|canteen|restaurant|bar
picnic (?:site|tables?|benches|area)|car park|car|bothy|field centre|farm shop|hut
"""
_HARMED = """
(?:(?:the|its|our|their|this|these|some|many|young|old|mature|large|whole|several|infected
|affected|host|living|fruit|most) )*(?:hosts?|trees?|ash|elms?|oaks?|beech(?:es)?|birch(?:es)?
|pines?|larch(?:es)?|box|larvae?|pupae?|alders?|chestnuts?|spruces?|sycamores?|willows?|roses?
|plants?|crops?|bark|branch(?:es)?|saplings?|roots?|cambium|insects?|nematodes?|flies|beetles?
|ants?|aphids?|bacteria|grass|shrubs?|leaves|wood|tissues?|rhododendrons?|ivy|heather|bluebells
|caterpillars?|moths?|spiders?|other fungi|mites?)
"""
_WAY = """
path|paths|bridge|track|road|steps|stile|ice|branch|branches|tree|trees|car park|parking|cliff
slope|gate
"""
# People behind the words: then they may be a statement after all.
_PEOPLE = """
so (?:can|could|it|its|they|these|i|we|this|must|should)|must be|therefore|safe|harmless
fine for|ok|okay|no harm|good enough|as (?:do|can) (?:we|people|i|you)|like (?:us|people|humans)
and so do|poison[a-z]*|edible|delicious|cook[a-z]*|fried|people|children|humans?
(?:we|i) (?:ate|eat|all)|died|sick|ill
"""
_THE_FUNGI = """
mushrooms?|fungi|fungus|ceps?|chanterelles?|boletes?|blewits?|puffballs?|parasols?|them|these
it was|picked
"""
_HUMAN = "people|humans?|edible|eat"

_NAMES = """
poison pies?|poison (?:ivy|oak|hemlock|sumac|fire coral)|(?:false )?death ?caps?|death ?watch
deaths? ?head|deaths trumpets?|delicious (?:milk ?caps?|lactarius)
(?:deadly|fatal) (?:webcaps?|galerinas?|dapperlings?|fibre ?caps?|conocybes?|nightshades?
|parasols?)
fried chicken (?:mushrooms?|fung(?:us|i))|chicken ?(?:of|in) ?the ?woods?|hen ?of ?the ?woods?
(?:emetic|vomiting) (?:russulas?|brittlegills?)|edible (?:frogs?|snails?|dormouse|dormice|crabs?)
beef ?steak (?:fung(?:us|i)|polypores?)|medicinal leech(?:es)?|stew ?ponds?
cooks (?:wood|copse|lane|cottage|corner|farm|hill|meadow|field)
(?:mr|mrs|ms|miss|dr|prof|captain|sir) (?:[a-z]\\.? ?){0,2}(?:cook|fry|fried|roast)
(?<![a-z.])[a-z]\\. ?(?:cook|fry|fried|roast)|dead mans fingers|dead man ?s fingers
petri dish(?:es)?|poison(?:ed)? (?:stumps?|bait)|toxic waste|killing ?fields?
killer (?:whale|heels|view)|eat(?:er|ing) apples?|plant eat(?:ers?|ing)|ant ?eaters?|bee ?eaters?
leaf eat(?:er|ing)|fungus eating|food ?plants?|bird ?foods?
"""
_SAFE_WAYS = """
safe(?:ly)? (?:to (?:cross|walk|park|drive|climb|enter|store|stand)|access|parking|place
|distance|route|path|keeping|identification|home|journey)
(?:is|was|are|be) safe in
unsafe <WAY>
<WAY> (?:is|are|was|were|looks?|looked) (?:now |not |quite |perfectly )?(?:un)?safe
"""
_EATEN_WOOD = """
<EATING> (?:at |up )?(?:(?:the|its|their|dead|old|rotten|this|living) ){0,2}(?:wood|heartwood
|sapwood|lignin|timbers?|stumps?|cellulose|leaf|leaves|logs?|beams?|floors?|lichens?|algae
|bacteria|spores|grass|roots|rot|hole|holes|insects)
<EATING> (?:away|out|hollow)|(?:eat|eats|ate|eaten|eating) (?:into|through)
(?:gills|tubes|pores|edges?|margin|base|bits?|pieces?) (?:(?:was|were|has|have|had|been|mostly
|partly|all|half) ){0,3}eaten
(?:partly|part|half) eaten (?:caps?|gills|stems?|specimens?)
"""
_EATING_ANIMALS = """
<ANIMAL> ~5 <EATING>|<EATING> ~2 by ~3 <ANIMAL>|foods? (?:source )?for ~3 <ANIMAL>
"""
_HARMED_HOSTS = (
    "(?:deadly|lethal|fatal|toxic|harmful|poisonous|injurious|harmless|death|kill(?:s|ed|ing|ers?)?)"
    " (?:to |for |of |off )?<HARMED>"
)
_DYING_HOSTS = """
<HARMED> (?:(?:was|were|is|are|has|have|had|been|all|now|recently|being|long|half|already
|probably|partly) ){0,4}(?:killed|poisoned|kill|fatal|sick|dying|died|dead|ill)
"""
_KILLED_OTHERWISE = """
killed (?:off )?by ~3 (?:frosts?|drought|fire|dieback|beetles?|fungus|disease|cold|flood
|lightning|cars?|traffic|cat|fox|ivy)
(?:frost|weed|moss|fungi|drought|fire) ?kill(?:ed|ers?)?
(?:caus[a-z]+|after|before|until|since) (?:(?:the|its|eventual|early|slow) )*deaths? of ~3 (?:host
|tree|trees|branches|bark|queen|elms?|ash)
"""
_LABORATORY = """
(?:boil|cook|heat|roast)(?:ed|ing)? (?:briefly |gently )?in ~2 (?:koh|lactic|cotton|congo|acid
|lactophenol|ammonia|chloral|melzer[a-z]*|mountant|stain)
(?:preserved|kept|stored|fixed|pickled|extract(?:ed)?) in (?:[0-9 .]+ )?(?:alcohol|spirits?|faa
|formalin)
(?:raw|burnt) (?:umber|sienna)
"""
_OWN_LUNCH = (
    "(?:eat|eats|ate|eaten|eating|had|have|having|finished|enjoyed|took|brought|bring|munched)"
    "(?: (?:our|my|their|his|her|your|the|a|an|some|own|packed|picnic|pub|late|early|quick|good|hot"
    "|nice|lovely|great|excellent|bowl of)){0,4} <OWN_MEAL>"
    "(?: (?:for|at) (?:our )?(?:lunch|dinner|tea))?"
    "(?: ~2 (?:at|in|from|outside|by) (?:the|a|our) ~3 <INN>)?"
)
_AT_THE_INN = """
(?:[a-z]+ )?(?:(?:bowl|cup|mug|flask) of )?(?:<OWN_MEAL>|food) (?:at|in) (?:the|a) ~3 <INN>
(?:eat|eats|ate|eaten|eating|dined|fed)(?: well)? (?:at|in|outside) (?:the|a) ~3 <INN>
(?:annual|christmas|society|societys|club|evening|pub|celebratory|group|hot|fundraising
|agm) (?:meals?|dinner|supper|feast|lunch)
"""
_PAUSED = """
(?:stop|stops|stopped|broke|break|pause|paused|back|home|time|met|meet|meeting|return[a-z]*
|adjourn[a-z]*|retired|repaired|left|went|going|halt|halted) ~3 for (?:(?:a|our|the|pub|late|early
|packed|quick|hot|picnic) ){0,3}(?:lunch|dinner|supper|tea|breakfast|meals?|soup|snacks?)
"""
_TURNS = """
(?:stopped|place|somewhere|time|sat down|paused|nowhere) to eat|bite to eat
feast (?:for|to) the (?:eyes?|camera|senses)|feast of colou?rs?
food for thought|recommended (?:by|reading)
(?:chew|nibbl|bit|tast|swallow)(?:e?d|ing|e|en)? ~6 (?:and|then) (?:then )?sp[ia]t(?:ting)?
<ANIMAL> ~2 forag(?:e|es|ed|ing)|forag(?:e|ing) for (?:insects|worms)
"""
# Eaten by slugs, larvae and the like in other languages; 'tastes mild'; fir trees.
_ELSEWHERE = """
mange[a-z]* par (?:les|des|la|une?) (?:limaces?|escargots?|larves?|insectes?|chevreuils?)
comid[ao]s? por (?:las |los )?(?:babosas|caracoles|larvas|insectos|ardillas)
mangiat[a-z]* d(?:a|alle|ai|agli) (?:lumache|larve|insetti|scoiattoli)
gegeten door (?:de )?(?:slakken|larven|insecten|eekhoorns?)
(?:zjedzon|jedzon)[a-z]* przez (?:slimaki|larwy|owady)
[bfm]wyt[a-z]+ gan (?:wlithod|falwod|bryfed)|(?:pod|u|na|mezi) jedl[a-z]+
"""
_LISTS = {
    "ANIMAL": _ANIMAL,
    "EATING": _EATING,
    "SMELL": _SMELL,
    "LIKE": _LIKE,
    "OWN_MEAL": _OWN_MEAL,
    "INN": _INN,
    "HARMED": _HARMED,
    "WAY": _WAY,
}
_RULES = tuple(
    (compiled(block, _LISTS), compiled(unless, _LISTS) if unless else None)
    for block, unless in (
        (_NAMES, None),
        (_SAFE_WAYS, None),
        (_EATING_ANIMALS, _PEOPLE),
        (_EATEN_WOOD, _PEOPLE),
        (_HARMED_HOSTS, _HUMAN),
        (_DYING_HOSTS, _HUMAN),
        (_KILLED_OTHERWISE, None),
        (_LABORATORY, None),
        (_OWN_LUNCH, _THE_FUNGI),
        (_AT_THE_INN, _THE_FUNGI),
        (_PAUSED, _THE_FUNGI + "some|enough|one|it"),
        (_TURNS, None),
        (_ELSEWHERE, None),
    )
)


def _window(pattern: str) -> re.Pattern[str]:
    return re.compile(f"(?<![a-z]){expanded(pattern, _LISTS)}")


# Around a smell, after a taste or a likeness: only the words listed for it are blotted out.
_WINDOWS = (
    (
        _window(
            "((?:[a-z]+ ){0,3})<SMELL>"
            "((?: (?!(?:is|are|was|but|tast|eat|edib|delic|when eaten))[a-z]+){0,8})"
        ),
        (1, 2),
        compiled(_SMELT, _LISTS),
    ),
    (
        _window("taste[sd]?(?: [a-z]+){0,3}? (?:of|like)((?: [a-z]+){1,3})"),
        (1,),
        compiled(_TASTED, _LISTS),
    ),
    (
        _window(
            "(?<!taste )(?<!tastes )(?<!tasted )<LIKE>"
            "((?: (?!(?:is|are|but|when|and)\\b)[a-z]+){1,5})"
        ),
        (1,),
        compiled(_LIKENED, _LISTS),
    ),
)
_END = re.compile(r"[.!?;]")


def set_aside(folded: str) -> str:
    """Return the folded text with such words blotted out by as many underscores."""
    for pattern, unless in _RULES:
        folded = _blot(folded, pattern, unless)
    for window, groups, word in _WINDOWS:
        for match in window.finditer(folded):
            for group in groups:
                start, end = match.span(group)
                blotted = word.sub(lambda found: "_" * len(found[0]), folded[start:end])
                folded = folded[:start] + blotted + folded[end:]
    return folded


def sentence_at(folded: str, start: int, end: int) -> tuple[int, int]:
    """Return the bounds of the sentence around a span, its closing mark included."""
    before = max(folded.rfind(mark, 0, start) for mark in ".!?;") + 1
    after = _END.search(folded, end)
    return before, after.end() if after else len(folded)


def _blot(folded: str, pattern: re.Pattern[str], unless: re.Pattern[str] | None) -> str:
    def replaced(match: re.Match[str]) -> str:
        if unless is not None:
            start, end = sentence_at(folded, match.start(), match.end())
            if unless.search(folded, start, end):
                return match[0]
        return "_" * len(match[0])

    return pattern.sub(replaced, folded)
