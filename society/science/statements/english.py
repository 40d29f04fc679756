"""English words and turns of phrase that speak of eating, by what they say.

Patterns run over folded text (``folding.fold``): lower case, no accents, hyphens and apostrophes
gone ('lookalike's' is 'lookalikes', 'well-cooked' is 'well cooked'). ``~N`` stands for up to N words
of the same clause. Lists are common practice, gathered by hand and leaning to recall.
"""

FOOD = (
    "(?:bacon|eggs?|garlic|butter|cream|pasta|rice|toast|onions?|steak|omelett?es?|soups?|stews?"
    "|risottos?|sauces?|salads?|pies?|cheese|parsley)"
)
MEAL = "(?:lunch|dinner|supper|tea|breakfast|brunch|starters?)"
WORD_OF_PRAISE = (
    "(?:good|great|fine|excellent|best|superb|lovely|wonderful|nice|nicest|perfect|choice|prime"
    "|pleasant|fantastic|amazing|brilliant|heavenly|divine|ideal|agreeable|exquisite|beautiful)"
)
PEOPLE = (
    "(?:people|man|men|woman|women|child|children|kids?|boy|girl|baby|toddler|son|daughter|persons?"
    "|who|someone|somebody|anyone|everyone|he|she|they|you|we|i|us|me|him|her|them|family|families"
    "|wife|husband|mother|father|friends?|guests?|humans?|humanity|villagers|victims?|patients?"
    "|dogs?|cats?|puppy|puppies|emperor)"
)
DISH = "(?:dish|dishes|meal|meals|pan|pot|batch|stew|soup)"

PRAISE = (
    "delicious(?:ly)?|delicous|delishious|deliscious|dilicious|tast(?:e?y|ier|iest)|yu+m+(?:y|ie)?",
    "nom nom|scrumptious|mouth ?watering|toothsome|delectable|palatable|lip smacking|moreish",
    "flavou?r(?:some|ful)|appeti[sz]ing|gourmets?|delicac(?:y|ies)|succulent|finger licking",
    "edibles?|edable|eddible|eatables?|comestibles?|esculents?",
    "choice ~1 (?:mushrooms?|species|fungus|fungi|eating|table)|(?:a|very|considered) choice",
    "(?:highly|much|greatly|widely|well) (?:prized|esteemed|regarded|rated|valued)",
    "prized|sought after",
    f"tast(?:es?|ed|ing) ~2 (?:{WORD_OF_PRAISE}|well|better)",
    f"{WORD_OF_PRAISE} ~1 (?:taste|tasting|flavou?rs?|eaters?|grub|nosh|scran)",
    "tast(?:e|es|ed|ing) ~2 like ~1 (?:chicken|meat|steak|beef|bacon|seafood|lobster|crab|veal|pork"
    "|ham|fish|oysters?|heaven)",
    f"(?:{WORD_OF_PRAISE}|goes?|went|better) ~2 (?:with|in|on) ~1 {FOOD}",
    f"{WORD_OF_PRAISE} ~2 (?:to|for) (?:eat|eating|cook|cooking|food|the pot|the pan|the table)",
    f"{WORD_OF_PRAISE} (?:eating|food|fare)|fine fare|good enough to eat",
    "enjoyed (?:it|them|these|this|those|some|one)(?: very much)? (?:with|for|in|on|fried|cooked)",
    f"ma(?:de|kes?|king) ~1 {WORD_OF_PRAISE} ~1 (?:{DISH}|{MEAL})",
    "worth (?:eating|cooking|trying|a try|tasting)|best served|safe for beginners",
    "one of the (?:best|finest|tastiest) (?:edible|eating|wild|for)",
    "[😋🤤]",
)
USE = (
    "eat|eats|eaten|eating|eater|eaters|ate",
    "cook(?:s|ed|ing|ery|books?)?|fry|fried|frying|saut(?:e|es|ed|eed|eing)",
    "(?:par ?)?boil(?:s|ed|ing)?|stew(?:s|ed|ing)?|roast(?:s|ed|ing)?|grill(?:ed|ing)|brais(?:ed?|ing)",
    "simmer(?:ed|ing)?|bak(?:e|ed|ing) ~2 (?:in|with)|pickl(?:e|es|ed|ing)|marinat(?:e|ed|ing)",
    "blanch(?:ed|ing)? (?:and|then|in|for|first)|barbecu(?:e|ed)|bbq|salt(?:ed|ing) (?:and|for|with)",
    "(?:preserved?|keep|kept|stored?) ~2 in (?:oil|vinegar|brine|salt)|freezes? well",
    "dried for (?:the )?(?:winter|soups?|stock|use|flavou?ring)|mushroom (?:powder|stock|ketchup)",
    "recipes?|risottos?|omelett?es?|soups?|casseroles?|sauces?|ketchup|frying ?pans?|skillets?",
    "saucepans?|woks?|on toast|garlic butter|pot ?hunt(?:ers?|ing)|with (?:bacon|eggs|garlic)",
    "(?:in|into|for|to) the (?:pan|pot|larder|plate|oven|wok)|for the (?:table|kitchen|basket|tea)",
    "kitchen (?:use|value|mushrooms?)|(?:use|good|used) in the kitchen|potworthy|pot worthy",
    "on (?:my|our|the|his|her|your|their) plates?|table (?:mushrooms?|fungi|quality)",
    "culinary|cuisines?|foodies?|foodstuffs?|chefs?|(?:wild|free|famine|survival|as|human) foods?",
    "foods? (?:mushrooms?|fung(?:us|i)|purposes|use|value)|(?:used|good) for food",
    f"(?:in|for|to|side|many|popular|traditional|rice|egg|pasta|mushroom) {DISH}|meals?",
    "feast(?:s|ed|ing)?|consum(?:e|es|ed|ing|able|ption)|ingest(?:s|ed|ing|ion)|devour(?:s|ed|ing)?",
    "munch(?:es|ed|ing)?|scoff(?:ed|ing)|gobbl(?:e|es|ed|ing)|snack(?:s|ed|ing)?|dining on|noms",
    "swallow(?:ed|ing)|swallow (?:it|any|them|the|a)|(?:not|never|dont) swallow|mouthfuls?",
    f"(?:had|ate|have|having|cook|cooked|fried|them|it|these|those|some|mushrooms?|ceps?|picked"
    f"|gathered|kept|collected|took|taken|enough|ones?) ~3 for ~2 {MEAL}",
    f"(?:tonights|tomorrows|tomorrow nights) {MEAL}|{MEAL} (?:tonight|sorted)",
    f"(?:for|was|is|be|are|were|made|became) (?:my|our|your|his|her|their) {MEAL}",
    "had (?:it|them|these|those|some|one) ~1 (?:with|on|in)",
    "forag(?:e|ed|ers?|ing)|mushroom(?:ing|ers?)|(?:mushroom|fung(?:us|i)) (?:pick|hunt)(?:ers?|ing)",
    "(?:sold|sells?|selling|bought|on sale) ~4 (?:markets?|restaurants?|shops?|supermarkets?|food)",
    "to restaurants|magic mushrooms?|hallucinogen[a-z]*|psychedelic[a-z]*|psychoactive",
    "(?:get|got|getting) high|tripp(?:ed|ing) on|microdos[a-z]*",
    "nutritious|nutritional(?:ly)?|superfoods?|vitamins?|calories|meat (?:substitute|replacement)s?",
    "[🍽🍴🍳🥘🍲]",
)
# Speaks of eating without saying what: counts as a warning beside a warning, else as use.
NEUTRAL = (
    "edibility|eatability|flavou?rs?|under ?cooked|un ?cooked|half cooked|well cooked",
    "(?:when|if|eaten|served|used|never|not|be|is|are|taken|while|it|them|and) raw",
    "raw or|raw (?:mushrooms?|fungi)|if (?:swallowed|consumed|ingested)",
)
WARNING = (
    "poison(?:s|ed|ing|ings|er|ers|ous|ously|ousness)?|poisonus|poisenous|posionous|poisonious",
    "poinsonous|poisinous|poisionous|piosonous|toxic(?:ity|ology|ological|osis)?|toxins?",
    "intoxicat[a-z]*|[a-z]+toxi(?:c|n|ns|city)|venomous|deadly|deadliest|lethal(?:ly)?|noxious",
    "fatal(?:ly|ity|ities)?|harmful(?:ly)?|injurious|inedible|uneatable|unpalatable|unfit|unsafe",
    "indigest[a-z]*|(?:hard|difficult) to digest|amanitins?|phalloidin|phallotoxins?|orellanin[a-z]*",
    "muscarin(?:e|ic)|muscimol|ibotenic|psilocybin|psilocin|gyromitrin|coprine|antabuse|disulfiram",
    "gastro ?intestinal|gastric|gastro ?enteritis|stomach (?:aches?|upsets?|cramps?|pains?|pump[a-z]*)",
    "stomach (?:trouble|problems?)|(?:upset|bad|sore|dodgy|upsets) (?:the )?(?:stomachs?|tummy|gut)",
    "tummy|vomit[a-z]*|th(?:row|rows|rew|rowing) up|puk(?:e|ed|ing)|diarrh[a-z]*|nausea[a-z]*|nauseous",
    "queas[a-z]*|the runs|sickness|food poison[a-z]*|antidotes?|haemoly[a-z]*|hemoly[a-z]*",
    "(?:violently|very|seriously|dangerously|terribly|horribly|really|feel|feels|feeling|felt|fell"
    "|made|make|makes|making|become|became|all|both) ~3 (?:ill|sick|unwell|poorly)",
    "(?:ill|sick|unwell|poorly) (?:after|from|for (?:days|hours)|all night|if|when|within)",
    "caus(?:e|es|ed|ing) ~3 (?:illness|sickness|upsets?|symptoms|distress|cramps?|harm|discomfort)",
    "symptoms (?:after|appear|begin|start|include)|hospitali[sz](?:ed?|ation)|(?:in|to|into) hospital",
    "emergency (?:room|department)|intensive care|dialysis|(?:liver|kidney|renal|hepatic|organ)"
    " (?:failure|damage|transplants?|injury|problems?)",
    f"deaths?|die[ds]? ~1 (?:after|from|of|if|within|when)|{PEOPLE} ~3 (?:died?|dies|dead|dying)",
    "kill(?:s|ed|ing|ers?)?|allerg[a-z]*|idiosyncra[a-z]*|carcinogen[a-z]*|mutagen[a-z]*",
    "(?:adverse|bad|nasty|severe|violent|ill|side|harmful) (?:reactions?|effects?)|reacts? badly",
    "dangerous(?:ly)? ~1 (?:look ?alikes?|mushrooms?|fung(?:us|i)|toadstools?|species|doubles?|ones?"
    "|if|when|even|to)|(?:it|this|these|they|species|mushrooms?|fungi) (?:is|are) ~1 dangerous",
    "danger to (?:life|health|people|humans)|hazardous|bad for you|russian roulette",
    "best (?:avoided|left alone)|(?:should|must|to) be avoided|leave ~1 well alone|risk (?:it|them)",
    "avoid (?:at all|this one|these|it|them|all|for food)|not worth the risk|suspect species",
    "not (?:to be )?recommended|(?:ruin|spoil)(?:s|ed|t)? ~3 " + DISH,
    "(?:with|avoid|after|before|drink(?:s|ing)?|drank|no|never|any) (?:alcohol|wine|beer|spirits)",
    "(?:edibility|considered|regarded as|treated as) suspect|accumulat[a-z]* ~2 (?:metals|mercury|cadmium)",
    "(?:not|never|nothing) ~2 for (?:the )?(?:pot|pan|table|kitchen)|(?:dont|do not|never) try",
    "[🤮🤢☠💀]",
)
NOT_POISONOUS = (
    "harmless(?:ly)?|innocuous|non ?(?:poisonous|toxic)|(?:wont|will not|cant|doesnt|didnt|did not)"
    " (?:hurt|harm|poison)(?: you| us| me| him| her| them)?|(?:without|no|any) ~1 (?:ill|side|bad) effects?",
    f"(?:no|without|did {PEOPLE} no) harm|nobody (?:died|was ill)",
    "(?:perfectly|quite|completely|totally|entirely|100|absolutely|generally|considered|always|it|is"
    "|its|are|theyre|they|was|were|be|been|seems?|looks?|fairly|pretty|probably|usually|this|these"
    "|as|not|never) (?:a )?safe",
    "safe (?:to (?:try|have|use|pick|serve|give|feed|consume|swallow)|if|when|once|enough|mushrooms?"
    "|species|fung(?:us|i)|ones?|bet)|safe for (?:people|humans?|children|kids|dogs?|consumption|us)",
    "(?:ok|okay|fine|all ?right|good) (?:for (?:us|people|humans?|dogs?|you|children|kids)|if|once)",
    "(?:ok|okay|fine|all ?right) (?:to|when) (?:have|try|use|serve|cooked|boiled|fried|young|peeled)",
    "so can (?:we|you|i|people|humans?)|(?:we|i|they|everyone) (?:all )?survived|lived to tell",
    "(?:im|i am|we are|hes|he is|shes|she is|theyre) still (?:alive|here)",
)
QUESTION = (
    "any good|what ~3 taste|(?:can|could|may|dare|should|shall) (?:i|we|you|one) ~1 (?:have|try|risk)",
    "would (?:it|they|these|this|you) ~2 (?:hurt|harm|kill|risk)|worth picking|fit for (?:the|a|human)",
    "(?:is|are) (?:it|this|these|they|those|that|them) ~2 (?:safe|ok|okay|all ?right|good|fine)(?= ?\\?)",
)
MEDICINE = (
    "medicin(?:al|ally|es?)|remed(?:y|ies)|tinctures?|decoctions?|infusions?|tonics?|ailments?",
    "anti ?(?:cancer|tumou?r|viral|inflammatory|oxidant|bacterial|biotic|microbial)s?|immun(?:e|ity)",
    "immuno[a-z]*|therap(?:y|ies|eutic[a-z]*)|cures? ~1 (?:for|cancer|coughs?|colds?|all|everything)",
    "healing (?:properties|powers?|mushrooms?)|health (?:benefits?|foods?|supplements?|properties)",
    "good for (?:your|health|colds?|coughs?|the (?:heart|liver|kidneys|blood|stomach|immune))",
    "supplements?|cholesterol|blood pressure|diabet[a-z]*|cancers?|tumou?rs?|styptic|laxatives?",
    "purgatives?|emetics?|aphrodisiacs?|dos(?:es?|age)|homeopath[a-z]*|pharmac[a-z]*|prescri(?:be|ption)s?",
    "(?:chaga|reishi|lingzhi|mushroom|fungus) teas?|teas? (?:made )?(?:from|of) (?:it|this|these|the)",
    "brew(?:ed|s|ing)? ~3 tea|against (?:cancer|infections?|colds?|worms|asthma|fever)",
)

# Words that turn what follows: close before praise or use they make a warning.
NOT = (
    "(?:not|never|no|dont|doesnt|didnt|isnt|arent|wasnt|werent|cannot|cant|shouldnt|wouldnt|mustnt"
)
NEGATIONS = f"(?:{NOT}|without|neither|nor|hardly|nothing|avoid|refrain from|against|un)|stop)"
BETWEEN = (
    "(?:be|been|to|very|at|all|ever|really|particularly|considered|regarded|as|recommended|safe|good"
    "|suitable|fit|for|advisable|wise|worth|even|you|we|should|try|from|an?|the|any|being|it|is|are"
    "|necessarily|that|so|especially|under|circumstances|in)"
)
NOT_REALLY_NEGATIVE = "(?:not (?:only|just|merely|half|bad|too bad)|no (?:doubt|question|wonder)|cannot beat|never fails)"
LEADS_TO_WARNING = (
    "(?:(?:unsafe|dangerous|unwise|foolish|fatal|risky|harmful|deadly|lethal|poisonous|toxic|unfit|refuse"
    "|mad|inadvisable) (?:to|for|for human|if|when)|mistak[a-z]+ (?:for|as)|mistook ~1 for|confus[a-z]+ with|taken for)"
)
# 'if eaten', 'after eating': neutral.
LEADS_TO_NEUTRAL = (
    "(?:if|when|after|by|on|upon|from|once|before|while|whilst|being|of|those who|who|anyone)"
)
ASKS = (
    "(?:(?:is|are|was|were) (?:it|this|these|they|that|those)"
    "|(?:can|could|should|would|may|dare) (?:i|we|you|one|it|this|these|they)"
    "|(?:does|do|did|has|have) (?:anyone|anybody|you|it|they|this)"
    "|(?:wonder(?:ing|ed)?|know|ask(?:ed|ing)?|sure|tell me) (?:if|whether))"
)
WHO_ATE = f"(?:{PEOPLE})"
