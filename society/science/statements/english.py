"""English words and turns of phrase that speak of eating, by what they say.

Blocks for ``phrases.compiled`` over folded text: lower case, no accents, hyphens and apostrophes
gone ("isn't" is 'isnt', 'well-cooked' is 'well cooked'). Lists are common practice without a
printed source, gathered by hand and leaning to recall.
"""

FOOD = """
bacon|eggs?|garlic|butter|cream|pasta|rice|toast|onions?|steak|omelett?es?|soups?|stews?
risottos?|sauces?|salads?|pies?|cheese|parsley
"""
MEAL = """
lunch|dinner|supper|tea|breakfast|brunch|starters?
"""
WORD_OF_PRAISE = """
good|great|fine|excellent|best|superb|lovely|wonderful|nice|nicest|perfect|choice|prime|pleasant
fantastic|amazing|brilliant|heavenly|divine|ideal|agreeable|exquisite|beautiful
"""
PEOPLE = """
people|man|men|woman|women|child|children|kids?|boy|girl|baby|toddler|son|daughter|persons?|who
someone|somebody|anyone|everyone|he|she|they|you|we|i|us|me|him|her|them|family|families|wife
husband|mother|father|friends?|guests?|humans?|humanity|villagers|victims?|patients?|dogs?|cats?
puppy|puppies|emperor
"""
DISH = """
dish|dishes|meal|meals|pan|pot|batch|stew|soup
"""
PRAISE = """
delicious(?:ly)?|delicous|delishious|deliscious|dilicious|tast(?:e?y|ier|iest)|yu+m+(?:y|ie)?
nom nom|scrumptious|mouth ?watering|toothsome|delectable|palatable|lip smacking|moreish
flavou?r(?:some|ful)|appeti[sz]ing|gourmets?|delicac(?:y|ies)|succulent|finger licking
edibles?|edable|eddible|eatables?|comestibles?|esculents?
choice ~1 (?:mushrooms?|species|fungus|fungi|eating|table)|(?:a|very|considered) choice
(?:highly|much|greatly|widely|well) (?:prized|esteemed|regarded|rated|valued)
prized|sought after
tast(?:es?|ed|ing) ~2 (?:<WORD_OF_PRAISE>|well|better)
<WORD_OF_PRAISE> ~1 (?:taste|tasting|flavou?rs?|eaters?|grub|nosh|scran)
tast(?:e|es|ed|ing) ~2 like ~1 (?:chicken|meat|steak|beef|bacon|seafood|lobster|crab|veal|pork
|ham|fish|oysters?|heaven)
(?:<WORD_OF_PRAISE>|goes?|went|better) ~2 (?:with|in|on) ~1 <FOOD>
<WORD_OF_PRAISE> ~2 (?:to|for) (?:eat|eating|cook|cooking|food|the pot|the pan|the table)
<WORD_OF_PRAISE> (?:eating|food|fare)|fine fare|good enough to eat
enjoyed (?:it|them|these|this|those|some|one)(?: very much)? (?:with|for|in|on|fried|cooked)
ma(?:de|kes?|king) ~1 <WORD_OF_PRAISE> ~1 (?:<DISH>|<MEAL>)
worth (?:eating|cooking|trying|a try|tasting)|best served|safe for beginners
one of the (?:best|finest|tastiest) (?:edible|eating|wild|for)
[😋🤤]
<WORD_OF_PRAISE> ~1 <MEAL>|edib(?:el|ile|il|l)|eadible|bon appetit
(?:mushrooms?|ceps?|chanterelles?|fungi) (?:and|with|on|in) <FOOD>
"""
USE = """
eat|eats|eaten|eating|eater|eaters|ate
cook(?:s|ed|ing|ery|books?)?|fry|fried|frying|saut(?:e|es|ed|eed|eing)
(?:par ?)?boil(?:s|ed|ing)?|stew(?:s|ed|ing)?|roast(?:s|ed|ing)?|grill(?:ed|ing)|brais(?:ed?|ing)
simmer(?:ed|ing)?|bak(?:e|ed|ing) ~2 (?:in|with)|pickl(?:e|es|ed|ing)|marinat(?:e|ed|ing)
blanch(?:ed|ing)? (?:and|then|in|for|first)|barbecu(?:e|ed)|bbq|salt(?:ed|ing) (?:and|for|with)
(?:preserved?|keep|kept|stored?) ~2 in (?:oil|vinegar|brine|salt)|freezes? well
dried for (?:the )?(?:winter|soups?|stock|use|flavou?ring)|mushroom (?:powder|stock|ketchup)
recipes?|risottos?|omelett?es?|soups?|casseroles?|sauces?|ketchup|frying ?pans?|skillets?
saucepans?|woks?|on toast|garlic butter|pot ?hunt(?:ers?|ing)|with (?:bacon|eggs|garlic)
(?:in|into|for|to) the (?:pan|pot|larder|plate|oven|wok)|for the (?:table|kitchen|basket|tea)
kitchen (?:use|value|mushrooms?)|(?:use|good|used) in the kitchen|potworthy|pot worthy
on (?:my|our|the|his|her|your|their) plates?|table (?:mushrooms?|fungi|quality)
culinary|cuisines?|foodies?|foodstuffs?|chefs?|(?:wild|free|famine|survival|as|human) foods?
foods? (?:mushrooms?|fung(?:us|i)|purposes|use|value)|(?:used|good) for food
(?:in|for|to|side|many|popular|traditional|rice|egg|pasta|mushroom) <DISH>
feast(?:s|ed|ing)?|consum(?:e|es|ed|ing|able|ption)|ingest(?:s|ed|ing|ion)|devour(?:s|ed|ing)?
munch(?:es|ed|ing)?|scoff(?:ed|ing)|gobbl(?:e|es|ed|ing)|snack(?:s|ed|ing)?|dining on|noms
swallow(?:ed|ing)|swallow (?:it|any|them|the|a)|(?:not|never|dont) swallow|mouthfuls?
(?:had|ate|have|having|cook|cooked|fried|them|it|these|those|some|mushrooms?|ceps?|picked
|gathered|kept|collected|took|taken|enough|ones?) ~3 for ~2 <MEAL>
(?:tonights|tomorrows|tomorrow nights) <MEAL>|<MEAL> (?:tonight|sorted)
(?:for|was|is|be|are|were|made|became) (?:my|our|your|his|her|their) <MEAL>
had (?:it|them|these|those|some|one) ~1 (?:with|on|in)
forag(?:e|ed|ers?|ing)|mushroom(?:ing|ers?)|(?:mushroom|fung(?:us|i)) (?:pick|hunt)(?:ers?|ing)
(?:sold|sells?|selling|bought|on sale) ~4 (?:markets?|restaurants?|shops?|supermarkets?|food)
to restaurants|magic mushrooms?|hallucinogen[a-z]*|psychedelic[a-z]*|psychoactive
(?:get|got|getting) high|tripp(?:ed|ing) on|microdos[a-z]*
nutritious|nutritional(?:ly)?|superfoods?|vitamins?|calories|meat (?:substitute|replacement)s?
[🍽🍴🍳🥘🍲]
in ~1 (?:pies?|pasties|pasta|quiches?|curry|lasagne|sandwich(?:es)?|tempura)|pizzas?|crisps
condiments?|seasonings?|crumbed|breaded|in batter|(?:infused|flavoured) (?:vodka|gin|oil)
(?:are|is|be|was|were|been) sold (?:in|at|on|as|by)|dined (?:on|off)
(?:we|i|they|he|she|weve|ive) (?:have |has )?had (?:it|them|these|some) ~1 (?:dozens|many|before
|often|several|for years|times|and)
feed (?:it|them|these|this) to|<MEAL> (?:is|was|will be) sorted|in moderation
"""
# Those who put things in their mouths.
EATEN = """
(?:child|children|kids?|boy|girl|baby|toddler|son|daughter|grandson|dogs?|cats?|puppy
|puppies) ~4 (?:chew|lick|nibbl|bit|mouth)[a-z]*
"""
# Speaks of eating without saying what: a warning beside a warning, else use.
NEUTRAL = """
meals?|edibility|eatability|flavou?rs?|under ?cooked|un ?cooked|half cooked|well cooked
(?:when|if|eaten|served|used|never|not|be|is|are|taken|while|it|them|and) raw
raw or|raw (?:mushrooms?|fungi)|if (?:swallowed|consumed|ingested)
"""
WARNING = """
poison(?:s|ed|ing|ings|er|ers|ous|ously|ousness)?|poisonus|poisenous|posionous|poisonious
poinsonous|poisinous|poisionous|piosonous|toxic(?:ity|ology|ological|osis)?|toxins?
intoxicat[a-z]*|[a-z]+toxi(?:c|n|ns|city)|venomous|deadly|deadliest|lethal(?:ly)?|noxious
fatal(?:ly|ity|ities)?|harmful(?:ly)?|injurious|inedible|uneatable|unpalatable|unfit|unsafe
indigest[a-z]*|(?:hard|difficult) to digest|amanitins?|phalloidin|phallotoxins?|orellanin[a-z]*
muscarin(?:e|ic)|muscimol|ibotenic|psilocybin|psilocin|gyromitrin|coprine|antabuse|disulfiram
gastro ?intestinal|gastric|gastro ?enteritis|stomach (?:aches?|upsets?|cramps?|pains?|pump[a-z]*)
stomach (?:trouble|problems?)|(?:upset|bad|sore|dodgy|upsets) (?:the )?(?:stomachs?|tummy|gut)
tummy|vomit[a-z]*|th(?:row|rows|rew|rowing) up|puk(?:e|ed|ing)|diarrh[a-z]*|nausea[a-z]*|nauseous
queas[a-z]*|the runs|sickness|food poison[a-z]*|antidotes?|haemoly[a-z]*|hemoly[a-z]*
(?:violently|very|seriously|dangerously|terribly|horribly|really|feel|feels|feeling|felt|fell
|made|make|makes|making|become|became|all|both) ~3 (?:ill|sick|unwell|poorly)
(?:ill|sick|unwell|poorly) (?:after|from|for (?:days|hours)|all night|if|when|within)
caus(?:e|es|ed|ing) ~3 (?:illness|sickness|upsets?|symptoms|distress|cramps?|harm|discomfort)
symptoms (?:after|appear|begin|start|include)|hospitali[sz](?:ed?|ation)|(?:in|to|into) hospital
emergency (?:room|department)|intensive care|dialysis
(?:liver|kidney|renal|hepatic|organ) (?:failure|damage|transplants?|injury|problems?)
deaths?|die[ds]? ~1 (?:after|from|of|if|within|when)|<PEOPLE> ~3 (?:died?|dies|dead|dying)
kill(?:s|ed|ing|ers?)?|allerg[a-z]*|idiosyncra[a-z]*|carcinogen[a-z]*|mutagen[a-z]*
(?:adverse|bad|nasty|severe|violent|ill|side|harmful) (?:reactions?|effects?)|reacts? badly
dangerous(?:ly)? ~1 (?:look ?alikes?|mushrooms?|fung(?:us|i)|toadstools?|species|doubles?|ones?
|if|when|even|to)
(?:it|this|these|they|species|mushrooms?|fungi) (?:is|are) ~1 dangerous
danger to (?:life|health|people|humans)|hazardous|bad for you|russian roulette
(?:ruin|spoil)(?:s|ed|t)? ~3 <DISH>
(?:edibility|considered|regarded as|treated as) suspect
accumulat[a-z]* ~2 (?:metals|mercury|cadmium)
[🤮🤢☠💀]
tummies|stomachs?(?! fung)|(?:your|the) (?:liver|kidneys)|(?:liver|kidney|renal) trouble
hospital (?:job|case)|(?:see|finish) you off
"""
# Advice against: holds whatever negation it carries within.
CAUTION = """
best (?:avoided|left alone)|(?:should|must|to) be avoided|leave ~1 well alone|risk (?:it|them)
avoid (?:at all|this one|these|it|them|all|for food)|not worth the risk|suspect species
(?:not|never|no|avoid|dont|cannot|cant) ~4 (?:alcohol|wine|beer|spirits)
(?:with|after|before|drink(?:s|ing)?|drank|any|or|and) (?:alcohol|wine|beer|spirits)
not (?:to be )?recommended|(?:not|never|isnt|arent|wasnt|hardly) ~2 safe
(?:not|never|nothing) ~2 for (?:the )?(?:pot|pan|table|kitchen)|(?:dont|do not|never) try
(?:not|wouldnt|wont) touch (?:it|them|this|these|one|any)|(?:one|ones|species|thing) to avoid
worthless|of no (?:culinary|food) value
"""
NOT_POISONOUS = """
harmless(?:ly)?|innocuous|non ?(?:poisonous|toxic)
(?:wont|will not|cant|doesnt|didnt|did not) (?:hurt|harm|poison)(?: you| us| me| him| her| them)?
(?:without|no|any) ~1 (?:ill|side|bad) effects?
(?:no|without|did <PEOPLE> no) harm|nobody (?:died|was ill)
(?:perfectly|quite|completely|totally|entirely|100|absolutely|generally|considered|always|it|is
|its|are|theyre|they|was|were|be|been|seems?|looks?|fairly|pretty|probably|usually|this|these
|as) (?:a )?safe
safe (?:to (?:try|have|use|pick|serve|give|feed|consume|swallow)|if|when|once|enough|mushrooms?
|species|fung(?:us|i)|ones?|bet)
safe for (?:people|humans?|children|kids|dogs?|consumption|us)
(?:ok|okay|fine|all ?right|good) (?:for (?:us|people|humans?|dogs?|you|children|kids)|if|once)
(?:ok|okay|fine|all ?right) (?:to|when) (?:have|try|use|serve|cooked|boiled|fried|young|peeled)
so can (?:we|you|i|people|humans?)|(?:we|i|they|everyone) (?:all )?survived|lived to tell
(?:im|i am|we are|hes|he is|shes|she is|theyre) still (?:alive|here)
(?:ok|okay|fine|all ?right|well) after (?:chewing|eating|swallowing|licking|a (?:bite|piece))
"""
QUESTION = """
any good|what ~3 taste|(?:can|could|may|dare|should|shall) (?:i|we|you|one) ~1 (?:have|try|risk)
would (?:it|they|these|this|you) ~2 (?:hurt|harm|kill|risk)|worth picking|fit for (?:the|a|human)
(?:is|are) (?:it|this|these|they|those|that|them) ~2 (?:safe|ok|okay|all ?right|good
|fine)(?= ?\\?)
safe(?= ?\\?)
"""
MEDICINE = """
medicin(?:al|ally|es?)|remed(?:y|ies)|tinctures?|decoctions?|infusions?|tonics?|ailments?
anti ?(?:cancer|tumou?r|viral|inflammatory|oxidant|bacterial|biotic|microbial)s?|immun(?:e|ity)
immuno[a-z]*|therap(?:y|ies|eutic[a-z]*)|cures? ~1 (?:for|cancer|coughs?|colds?|all|everything)
healing (?:properties|powers?|mushrooms?)|health (?:benefits?|foods?|supplements?|properties)
good for (?:your|health|colds?|coughs?|the (?:heart|liver|kidneys|blood|stomach|immune))
supplements?|cholesterol|blood pressure|diabet[a-z]*|cancers?|tumou?rs?|styptic|laxatives?
purgatives?|emetics?|aphrodisiacs?|dos(?:es?|age)|homeopath[a-z]*|pharmac[a-z]*
prescri(?:be|ption)s?
(?:chaga|reishi|lingzhi|mushroom|fungus) teas?|teas? (?:made )?(?:from|of) (?:it|this|these|the)
brew(?:ed|s|ing)? ~3 tea|against (?:cancer|infections?|colds?|worms|asthma|fever)
"""
# What may stand before a hit and turn it: close negations and the filler they reach across.
NEGATIONS = """
not|never|no|dont|doesnt|didnt|isnt|arent|wasnt|werent|cannot|cant|shouldnt|wouldnt|mustnt
without|neither|nor|hardly|nothing|avoid|refrain from|against|un|stop
"""
BETWEEN = """
be|been|to|very|at|all|ever|really|particularly|considered|regarded|as|recommended|safe|good
suitable|fit|for|advisable|wise|worth|even|you|we|should|try|from|an?|the|any|being|it|is|are
necessarily|that|so|especially|under|circumstances|in
"""
# Look like negations and are none.
NOT_REALLY_NEGATIVE = """
not (?:only|just|merely|half|bad|too bad)|no (?:doubt|question|wonder)|cannot beat|never fails
why not|no reason ~3 (?:not|cannot|cant|shouldnt)|no better|nothing better
"""
# Beside a warning these say that it need not be heeded.
DOUBTED = """
nonsense|rubbish|myths?|old wives|exaggerat[a-z]*|scaremonger[a-z]*|over ?cautious|wrongly
(?:dont|do not|never) believe|ignore (?:the|them|that|what)|i disagree|not true|untrue|fuss
"""
LEADS_TO_WARNING = """
(?:unsafe|dangerous|unwise|foolish|fatal|risky|harmful|deadly|lethal|poisonous|toxic|unfit|refuse
|mad|inadvisable) (?:to|for|for human|if|when)
mistak[a-z]+ (?:for|as)|mistook ~1 for|confus[a-z]+ with|taken for
"""
LEADS_TO_NEUTRAL = """
if|when|after|by|on|upon|from|once|before|while|whilst|being|of|those who|who|anyone
"""
ASKS = """
(?:is|are|was|were) (?:it|this|these|they|that|those)
(?:can|could|should|would|may|dare) (?:i|we|you|one|it|this|these|they)
(?:does|do|did|has|have) (?:anyone|anybody|you|it|they|this)
(?:wonder(?:ing|ed)?|know|ask(?:ed|ing)?|sure|tell me) (?:if|whether)
"""
DENIES = """
(?:not|never|isnt|arent|wasnt|nothing|without|neither|nor|doubt) ~6
(?:no|non|dont|doesnt|didnt|wont) ~3
"""
CLOSE_NEGATION = "<NEGATIONS>(?: <BETWEEN>){0,6}"
MISLEADS = "<LEADS_TO_WARNING>(?: (?:an?|the|some|other|several|good|common|be))*(?: [a-z]+)?"
SOMEBODY = """
<PEOPLE>(?: (?:had|has|have|who|then|also|all|once|both|just|actually|happily|even|again))*
"""
COMMON = "the|is|and|of|it|this|was|very|with|in|are|not|but|we|if"

LISTS = {name: block for name, block in globals().items() if name.isupper()}
