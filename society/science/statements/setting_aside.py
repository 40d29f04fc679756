"""What uses words of eating without being a statement on eating, blotted out before the search.

Names ('poison pie', 'fried chicken mushroom'), smells and likenesses ('smell of raw potato', 'like a
fried egg'), animals that eat, wood that is eaten, a taste spat out, a foray's own lunch. Only the
words named here are blotted out: a statement beside them is still found. Where people may stand
behind the words ('slugs eat it, so it must be safe') nothing is blotted out.
"""

import re

ANIMAL = (
    "(?:slugs?|snails?|squirrels?|deer|roe|muntjac|mouse|mice|voles?|rabbits?|hares?|badgers?|boars?"
    "|insects?|beetles?|fl(?:y|ies)|midges?|larvae?|maggots?|grubs?|worms?|mites?|springtails?|birds?"
    "|jays?|nuthatch(?:es)?|tits?|pigeons?|crows?|fox(?:es)?|hedgehogs?|gnats?|woodlouse|woodlice"
    "|millipedes?|caterpillars?|moths?|ants?|termites?|wasps?|nematodes?|rodents?|reindeer|sheep|cows?"
    "|cattle|pon(?:y|ies)|horses?|goats?|pigs?|something|animals?|invertebrates?|weevils?|trees?)"
)
EATING = (
    "(?:eat|eats|eaten|eating|eaters?|ate|consum(?:e|es|ed|ing)|devour(?:s|ed|ing)?|munch(?:es|ed|ing)?"
    "|feast(?:s|ed|ing)?|nibbl(?:e|ed|ing)|dining on|snack(?:s|ed|ing)?|forag(?:e|ed|ing))"
)
_SMELL = (
    "(?:smell(?:s|ed|ing|y)?|smelt|odou?rs?|scent(?:s|ed)?|aroma(?:s|tic)?|fragran(?:ce|t)|whiff|reek(?:s|ing)?"
    "|stink(?:s|ing)?|stench)"
)
_SMELT = (
    "(?:raw|cooked|boiled|fried|stewed|roast(?:ed|ing)?|baked|burnt|pickled|soup|curry|stew|vomit|sick"
    "|medicin(?:e|al)|gravy|meal|nauseous|nauseating|nausea|sickness|sickening|infusion|poisonous|toxic"
    "|laxative|sauce|casserole|ketchup|cooking|vitamins?|tinctures?|emetic|pharmac[a-z]*|tea from|cough"
    " mixture|disinfectant|omelett?e|in butter|noxious|tonic|food)"
)
_LIKE = (
    "(?:(?:looks?|looked|looking|shaped|coloured|textured|feels?|just|rather|is|was|cap|flesh|texture"
    "|consistency|quite|almost) like|resembl(?:es?|ed|ing)|reminiscent of|(?:size|shape|colour|look|texture"
    "|consistency|appearance) of|as (?:big|large|wide|round|flat|thick|soft|tough) as|like an?)"
)
_LIKENED = (
    "(?:raw|cooked|boiled|fried|stewed|roast(?:ed)?|baked|poached|pickled|soup|stew|meal|omelett?e|frying ?pan"
    "|saucepan|dinner|supper|pan|sauce|casserole|egg on toast|on toast|vomit|snack|pot)"
)
_MEAL = (
    "(?:lunch(?:es)?|dinner|supper|tea|breakfast|sandwich(?:es)?|picnics?|cakes?|biscuits|crisps|chocolate"
    "|sausage rolls?|flapjack|pasties|packed lunch(?:es)?|a bite|meals?|soup|ice creams?|something|snacks?)"
)
_INN = (
    "(?:cafe|caff|pub|inn|tea ?rooms?|tea ?shop|hotel|visitor centre|village hall|canteen|restaurant"
    "|bar|picnic (?:site|tables?|benches|area)|car park|car|bothy|field centre|farm shop|hut)"
)
_HARMED = (
    "(?:(?:the|its|our|their|this|these|some|many|young|old|mature|large|whole|several|infected|affected"
    "|host|living|fruit|most) )*"
    "(?:hosts?|trees?|ash|elms?|oaks?|beech(?:es)?|birch(?:es)?|pines?|larch(?:es)?|box|larvae?|pupae?"
    "|alders?|chestnuts?|spruces?|sycamores?|willows?|roses?|plants?|crops?|bark|branch(?:es)?|saplings?"
    "|roots?|cambium|insects?|nematodes?|flies|beetles?|ants?|aphids?|bacteria|grass|shrubs?|leaves|wood"
    "|tissues?|rhododendrons?|ivy|heather|bluebells|caterpillars?|moths?|spiders?|other fungi|mites?)"
)
_WAYS = "(?:path|paths|bridge|track|road|steps|stile|ice|branch|branches|tree|trees|car park|parking|cliff|slope|gate)"

# A person's inference from an animal, or a person in the animal's sentence.
PEOPLE_TOO = (
    "(?:so (?:can|could|it|its|they|these|i|we|this|must|should)|must be|therefore|safe|harmless|fine for"
    "|ok|okay|no harm|good enough|as (?:do|can) (?:we|people|i|you)|like (?:us|people|humans)|and so do"
    "|poison[a-z]*|edible|delicious|cook[a-z]*|fried|people|children|humans?|we (?:ate|eat|all)|i (?:ate|eat)"
    "|died|sick|ill)"
)

NAMES = (
    "poison pies?|poison (?:ivy|oak|hemlock|sumac|fire coral)|(?:false )?death ?caps?|death ?watch"
    "|deaths? ?head|deaths trumpets?|(?:deadly|fatal) (?:webcaps?|galerinas?|dapperlings?|fibrecaps?|fibre caps?"
    "|conocybes?|nightshades?|parasols?|lawyers? wigs?)|delicious (?:milk ?caps?|lactarius)|fried chicken"
    " (?:mushrooms?|fung(?:us|i))|chicken ?(?:of|in) ?the ?woods?|hen ?of ?the ?woods?"
    "|(?:emetic|vomiting) (?:russulas?|brittlegills?)|edible (?:frogs?|snails?|dormouse|dormice|crabs?)"
    "|beef ?steak (?:fung(?:us|i)|polypores?)|medicinal leech(?:es)?|stew ?ponds?|cooks (?:wood|copse|lane"
    "|cottage|corner|farm|hill|meadow|field)|(?:mr|mrs|ms|miss|dr|prof|captain|sir) (?:[a-z]\\.? ?){0,2}"
    "(?:cook|fry|fried|roast|eaton|boil|tasty)|(?<![a-z])[a-z]\\. ?(?:cook|fry|fried|roast|tasty)"
    "|petri dish(?:es)?|fungus eating|poison(?:ed)? (?:stumps?|bait)|toxic waste|dead man'?s"
    "|deadman[a-z]*|dead mans fingers|killing ?fields?|killer (?:whale|heels|view)|death of (?:the|its) [a-z]+"
    "|eat(?:er|ing) apples?|plant eat(?:ers?|ing)|ant ?eaters?|bee ?eaters?|leaf eat(?:er|ing)"
    "|food ?plants?|bird ?foods?|to die for a view|safe(?:ly)? (?:to (?:cross|walk|park|drive|climb|enter|store"
    "|stand)|access|parking|place|distance|route|path|keeping|identification|home|journey)|(?:is|was|are|be) safe in"
    "|" + _WAYS + " (?:is|are|was|were|looks?|looked) (?:now |not |quite |perfectly )?(?:un)?safe"
)

_RULES: tuple[tuple[str, str | None], ...] = (
    (NAMES, None),
    (f"{ANIMAL}(?: [a-z]+){{0,5}} {EATING}", PEOPLE_TOO),
    (f"{EATING}(?: [a-z]+){{0,2}} by (?:[a-z]+ ){{0,3}}{ANIMAL}", PEOPLE_TOO),
    (f"{EATING} (?:away|out|hollow)|(?:eat|eats|ate|eaten|eating) (?:into|through)", PEOPLE_TOO),
    (
        f"{EATING} (?:at |up )?(?:(?:the|its|their|dead|old|rotten|this|living) ){{0,2}}(?:wood|heartwood"
        "|sapwood|lignin|timbers?|stumps?|cellulose|leaf|leaves|logs?|beams?|floors?|lichens?|algae"
        "|bacteria|spores|grass|roots|rot|hole|holes|insects)",
        PEOPLE_TOO,
    ),
    (
        "(?:gills|tubes|pores|edges?|margin|base|bits?|pieces?) (?:(?:was|were|has|have|had|been|mostly"
        "|partly|all|half) ){0,3}eaten|(?:partly|part|half) eaten (?:caps?|gills|stems?|specimens?)",
        PEOPLE_TOO,
    ),
    (f"foods? (?:source )?for (?:[a-z]+ ){{0,3}}{ANIMAL}", PEOPLE_TOO),
    (
        f"(?:{ANIMAL}|it|they) (?:[a-z]+ ){{0,2}}forag(?:e|es|ed|ing)|forag(?:e|ing) for (?:insects|worms)",
        None,
    ),
    (
        "(?:deadly|lethal|fatal|toxic|harmful|poisonous|injurious|harmless|not harmful|death|kill(?:s|ed|ing|ers?)?)"
        f" (?:to |for |of |off )?{_HARMED}",
        "people|humans?|edible|eat",
    ),
    (
        f"{_HARMED} (?:(?:was|were|is|are|has|have|had|been|all|now|recently|being|long|half|already|probably"
        "|partly) ){0,4}(?:killed|poisoned|kill|fatal|sick|dying|died|dead|ill)",
        "people|humans?|edible|eat",
    ),
    (
        "killed (?:off )?by (?:[a-z]+ ){0,3}(?:frosts?|drought|fire|dieback|beetles?|fungus|disease|cold|flood"
        "|lightning|cars?|traffic|cat|fox|ivy)|(?:frost|weed|moss|fungi|drought|fire) ?kill(?:ed|ers?)?",
        None,
    ),
    (
        "(?:caus[a-z]+|after|before|until|since) (?:(?:the|its|eventual|early|slow) )*deaths? of"
        " (?:[a-z]+ ){0,3}(?:host|tree|trees|branches|bark|queen|elms?|ash)",
        None,
    ),
    (
        "(?:boil|cook|heat|roast)(?:ed|ing)? (?:briefly |gently )?in (?:[a-z0-9]+ ){0,2}(?:koh|lactic|cotton"
        "|congo|acid|lactophenol|ammonia|chloral|melzer[a-z]*|mountant|stain|lab)",
        None,
    ),
    (
        "(?:preserved|kept|stored|fixed|pickled|extract(?:ed)?) in (?:[0-9 .]+ )?(?:alcohol|spirits?|faa|formalin)",
        None,
    ),
    (
        f"(?:eat|eats|ate|eaten|eating|had|have|having|finished|enjoyed|took|brought|bring|munched) "
        "(?:(?:our|my|their|his|her|your|the|a|an|some|own|packed|picnic|pub|late|early|quick|good|hot|quick) ?)"
        f"{{0,4}}(?:bowl of )?{_MEAL}(?: (?:for|at) (?:our )?(?:lunch|dinner|tea))?"
        f"(?: (?:[a-z]+ ){{0,2}}(?:at|in|from|outside|by) (?:the|a|our) (?:[a-z]+ ){{0,3}}{_INN})?",
        "(?:mushrooms?|fungi|fungus|ceps?|chanterelles?|boletes?|blewits?|puffballs?|parasols?|them|it was)",
    ),
    (
        f"(?:eat|eats|ate|eaten|eating|dined|fed) (?:well )?(?:at|in|outside) (?:the|a) (?:[a-z]+ ){{0,3}}{_INN}",
        "(?:mushrooms?|fungi|fungus|ceps?|chanterelles?|boletes?|blewits?|puffballs?|them|these)",
    ),
    ("(?:stopped|place|somewhere|time|sat down|paused|nowhere) to eat|bite to eat", None),
    (
        f"(?:stop|stops|stopped|broke|break|pause|paused|back|home|time|met|meet|meeting|return[a-z]*|adjourn[a-z]*"
        "|retired|repaired|left|went|going|gathered|collected us|halt|halted) (?:[a-z]+ ){0,3}for (?:(?:a|our|the|pub|late"
        "|early|packed|quick|hot|picnic) ){0,3}(?:lunch|dinner|supper|tea|breakfast|meals?|soup|snacks?)",
        "(?:picked|mushrooms?|fungi|ceps?|chanterelles?|blewits?|puffballs?|some|them|these)",
    ),
    (
        "(?:annual|christmas|society|societys|club|evening|pub|celebratory|group|hot|fundraising|agm)"
        " (?:meals?|dinner|supper|feast|lunch)",
        "(?:mushrooms?|fungi|fungus|ceps?|chanterelles?|blewits?|puffballs?|them|these)",
    ),
    (
        "(?:chew|nibbl|bit|tast|swallow)(?:e?d|ing|e|en)?(?: [a-z]+){0,6} (?:and|then) (?:then )?sp[ia]t(?:ting)?",
        None,
    ),
    ("feast (?:for|to) the (?:eyes?|camera|senses)|food for thought", None),
    ("(?:raw|burnt) (?:umber|sienna)", None),
    ("recommended (?:by|reading)|(?:stew|steward|meal|tea) ?(?:worms?)", None),
)
# Other tongues: eaten by slugs, larvae.
_ELSEWHERE = (
    "mange[a-z]* par (?:les|des|la|une?) (?:limaces?|escargots?|larves?|insectes?|chevreuils?|ecureuils?)"
    "|comid[ao]s? por (?:las |los )?(?:babosas|caracoles|larvas|insectos|ardillas)"
    "|mangiat[a-z]* d(?:a|alle|ai|agli) (?:lumache|larve|insetti|scoiattoli)"
    "|gegeten door (?:de )?(?:slakken|larven|insecten|eekhoorns?)"
    "|(?:zjedzon|jedzon)[a-z]* przez (?:slimaki|larwy|owady)|[bfm]wyt[a-z]+ gan (?:wlithod|falwod|bryfed)"
    "|schmeckt (?:mild|scharf|bitter)(?! und)|(?:pod|u|na|mezi) jedl[a-z]+"
    "|pod jedlemi|smrk[a-z]* a jedl[a-z]+"
)
_COMPILED = tuple(
    (
        re.compile(f"(?<![a-z])(?:{pattern})(?![a-z])"),
        re.compile(f"(?<![a-z])(?:{unless})(?![a-z])") if unless else None,
    )
    for pattern, unless in (*_RULES, (_ELSEWHERE, None))
)
_NEAR_SMELL = re.compile(
    f"(?<![a-z])((?:[a-z]+ ){{0,3}}){_SMELL}((?: (?!(?:is|are|was|but|tast|eat|edib|delic|when eaten))[a-z]+){{0,8}})"
)
_SMELT_WORD = re.compile(f"(?<![a-z]){_SMELT}(?![a-z])")
_NEAR_TASTE = re.compile("(?<![a-z])taste[sd]?(?: [a-z]+){0,3}? (?:of|like)((?: [a-z]+){1,3})")
_TASTED_WORD = re.compile(
    "(?<![a-z])(?:meal|raw (?:potatoe?s?|peas?|flour)|boiled (?:cabbage|potatoe?s?)|medicine|soup)(?![a-z])"
)
_NEAR_LIKE = re.compile(
    f"(?<![a-z])(?<!taste )(?<!tastes )(?<!tasted ){_LIKE}((?: (?!(?:is|are|but|when|and)\\b)[a-z]+){{1,5}})"
)
_LIKENED_WORD = re.compile(f"(?<![a-z]){_LIKENED}(?![a-z])")
_END = re.compile(r"[.!?;]")
_WINDOWS = (
    (_NEAR_SMELL, (1, 2), _SMELT_WORD),
    (_NEAR_TASTE, (1,), _TASTED_WORD),
    (_NEAR_LIKE, (1,), _LIKENED_WORD),
)


def set_aside(folded: str) -> str:
    """Return the folded text with such words blotted out by as many underscores."""
    for pattern, unless in _COMPILED:
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
    before = [match.end() for match in _END.finditer(folded, 0, start)]
    after = _END.search(folded, end)
    return (before[-1] if before else 0), (after.end() if after else len(folded))


def _blot(folded: str, pattern: re.Pattern[str], unless: re.Pattern[str] | None) -> str:
    def replaced(match: re.Match[str]) -> str:
        if unless is not None:
            start, end = sentence_at(folded, match.start(), match.end())
            if unless.search(folded, start, end):
                return match[0]
        return "_" * len(match[0])

    return pattern.sub(replaced, folded)
