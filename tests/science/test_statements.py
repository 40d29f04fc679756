"""Statements on eating: what is one, what is none, and what each says.

The examples are our own sentences, written in the manner of field notes, comments and captions;
which side each stands on is common practice and the project's own rule 'when in doubt, yes'.
"""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from society.science.statements import DETECTOR_VERSION, detect
from society.science.statements.folding import fold
from society.science.statements.setting_aside import set_aside

PRAISE = """
Edible.
EDIBLE AND GOOD
Delicious fried in butter.
A choice edible, one of the best.
Really tasty with scrambled eggs
Yummy!
Yum, lovely on toast.
Penny Bun, delicious as ever.
Excellent eating when young.
Good to eat, but only the caps.
Makes a fine soup.
Superb in a risotto.
Tastes wonderful.
It tasted really good last year.
Tastes like chicken.
Chicken of the woods, and it really does taste like chicken.
A great delicacy in Poland.
Highly prized in Italy.
Much sought-after.
This one goes well with garlic and cream.
The flavour is exquisite; a gourmet mushroom.
Quite palatable after boiling.
Smells of aniseed and is delicious.
Slugs eat it but it is delicious for us too.
Not only edible but excellent.
No doubt edible.
not bad, tasty actually
The young ones are edible, the old ones full of maggots.
I'd say it's a very nice edible.
Safe for beginners.
Worth eating.
Mmm, mouth-watering!
Ed\u00adible, so they say.
**edible**
_delicious_
Found two \U0001f60b
Deadly lookalikes exist but this one is delicious.
Edible (with caution).
Never eat it raw; fried in butter it is delicious.
scrumptious with bacon
Lovely breakfast!
Sunday breakfast: field mushrooms and eggs
Taste excellent
Good grub
tastes better than ceps
edibel
"""
NOT_POISONOUS = """
Said to be poisonous, which is nonsense.
The books call it deadly. Old wives' tales!
They exaggerate the poison.
Not poisonous.
It is not known to be poisonous.
Non-toxic.
Harmless.
Perfectly safe.
It's safe when cooked.
Not at all toxic.
This won't kill you.
There are no poisonous species like it.
Slugs eat it, so it must be safe.
It did us no harm.
I am still alive, as you see.
Nobody died.
we all survived
OK for dogs.
It's not the deadly one
no ill effects
Vet says dog OK after chewing one
"""
USE = """
Why not eat it.
There is no reason you shouldn't eat these.
Can be fried.
Boil twice and throw away the water.
Good only for soup stock.
We took some home for supper.
Picked a basket for the pot.
One for the pan.
My recipe: onions, cream, parsley.
Eaten in Finland after long boiling.
Widely eaten in eastern Europe.
Pickled in brine by the locals.
Sold in markets in Provence.
A foragers' favourite.
Used as food in hard times.
Parboiled, then sauteed.
Sautéed with shallots.
Collected six for dinner tonight.
An omelette was made of it.
Consumption is rising.
Best of all in a casserole.
Lunch: we fried the chanterelles over the stove.
tonight's supper!
Slugs eat it and we eat it too.
Dried for winter use in stews.
Magic mushrooms, said the lads in the car park.
Ready for the kitchen.
My grandmother used to cook these.
Eat up!
My nan swore by these in a pie
I dry them for soups
Used to be sold at market
dinner is sorted
We've had it dozens of times
Makes great ketchup
Edibility unknown.
"""
WARNING = """
Poisonous.
Deadly poisonous!
Toxic.
Causes vomiting and diarrhoea.
Never eat this.
Do not eat.
Don't eat it
Not edible.
Inedible.
Not at all edible.
Should not be eaten.
Must never be eaten raw.
Not recommended.
Best avoided.
Avoid eating this one.
Causes sickness if eaten.
Poisonous when raw.
Contains amatoxins.
Contains a nephrotoxin.
It has killed people.
Several people died after a meal of it.
Upset stomach in some people.
Made my uncle very ill.
He was in hospital for a week.
Not with alcohol.
Never with wine or beer.
Easily mistaken for an edible species.
Unsafe to eat.
Not fit to be eaten.
Fatal.
Lethal even in small amounts.
Liver failure within days.
Gastric upset.
Allergic reactions are known.
Possibly carcinogenic.
Posionous I think
poisonus
Not safe to eat.
Not good to eat.
Edibility: suspect species.
Muscarine poisoning is recorded.
☠
unpalatable
Indigestible.
Not worth cooking
Bitter, ruins a whole pan
I wouldn't touch it
Not for the pot
you'd be mad to eat it
upset tummies all round
The dog was sick after chewing this
Death cap kills
One to avoid
"""
EATEN = """
The toddler put some in his mouth
We ate three of these last night.
I have eaten it.
My neighbour said he ate two caps.
The dog ate one.
They had eaten a plateful.
A child swallowed a piece.
Her family ate them all on Sunday.
"""
QUESTION = """
Is it edible?
is this edible
Can I eat this?
Can you eat them?
Edible?
Are they any good?
Is this safe?
Is this poisonous?
What does it taste like?
Does anyone know if these are edible
I wonder whether it is poisonous.
Would it hurt my dog?
Can we have these for tea?
Is it OK to cook?
Safe?
any use in the kitchen?
"""
MEDICINE = """
Used in medicine.
A medicinal mushroom.
Said to cure cancer.
Made into a tincture.
Boosts the immune system.
Chaga tea.
A folk remedy for coughs.
Good for the heart.
Anti-tumour properties.
Daily dose unknown.
"""
NONE = """
Penny Bun
Boletus edulis
Boletus edulis Bull.
Morchella esculenta (L.) Pers.
Lactarius deliciosus under pine.
Beefsteak fungus on an old oak.
Chicken of the Woods
Hen-of-the-woods at the foot of the oak
Poison Pie
Death Cap
False death cap under beech
Deadly Webcap, base lifted whole.
Russula emetica
Delicious Milkcap
Volvariella esculenta
Gyromitra esculenta
Lentinula edodes
Russula vesca
Smells of flour.
Smell of cucumber.
Smell of raw potato when cut.
Smells like cooked crab.
Odour of boiled lobster in old caps.
Smell mealy, taste mealy.
Smell of meal.
Smells strongly of curry when dry.
Nauseous smell.
Medicinal smell.
A smell of stewed apples.
Cap eaten by slugs.
Gills partly eaten by slugs
Slugs had eaten the cap.
Slug-eaten specimen.
A squirrel was eating one.
We watched a red squirrel eat a brittlegill.
Deer have eaten most of the caps.
Something had eaten the top.
Half eaten by mice.
Nibbled by voles.
Cap edge eaten away.
The rot has eaten into the heartwood.
It eats the wood from inside.
Caterpillars feasting on the gills.
Taste mild.
Taste acrid after a minute.
Tasted and spat out: bitter.
A small piece chewed and spat out, hot.
Taste bitter.
Taste of radish.
Taste of raw potato.
Lunch at the café.
We had lunch in the car.
Stopped for lunch at noon.
After lunch we walked the north side.
We ate our sandwiches under the beech.
Ate our lunch by the burn.
Tea and cakes at the village hall.
Met at the pub for dinner.
Bring a packed lunch.
The society's annual dinner
Went home for tea.
Bowl of soup at the inn.
Cap like a fried egg.
Looks like an omelette.
The size of a dinner plate.
Flesh like raw meat.
As big as a frying pan.
Colour of butter, then wine-red.
Milk white, turning yellow in half an hour.
Spores 8-10 x 5-6 um, in KOH.
Boiled in KOH for a minute.
Preserved in alcohol.
The tree died in 2019.
Ash dieback kills the trees.
Killed by frost.
Deadly to elms.
Toxic to nematodes.
Dead wood of beech.
The path is safe.
Safe parking by the gate.
Watch your step, unsafe bridge.
Stomach fungi
King Alfred's Cakes on ash
Fries, Systema mycologicum
det. J. Cook
Mrs Cook found it.
Cook's Wood, north edge
Fly agaric
Sickener under spruce
Honey fungus
Plums and custard
Cauliflower fungus
Wood hedgehog
Butter cap
Jelly ear
Cramp balls
Slippery jack
A treat to find these.
One of the best finds of the day.
Feast for the eyes.
Spore print overnight, cream.
In a petri dish.
Base cut, not lifted.
No ring, no volva.
On fallen birch, with moss.
Photographs of every side taken.
Gills turn red-brown where bruised.
Edge of the wheat field, by the wheatear's wall
Great sweeping hillside
Theatre wood
Heather moor, late afternoon
On burnt ground, an old fire site
Good find!
Nice photographs, thank you.
Could you add a cut section?
Is the ring movable?
Growing at the foot of the kitchen garden wall
Smells of honey and baked apples
Hospital Wood, compartment 4
Tea at 4
Sandwiches in the car
A feast of colour
Cap brown like baked bread
Roe deer browse
Milk tastes mild then hot
Taste not tried.
The leader was ill, so we met late
Some members ill, small group
Beech snap, dying back
Weedkiller on the verge
Keep the specimen safe
Health and safety briefing at nine
Soup at the café
Old man of the woods
Satan's bolete
leg. R. Cook, det. A. Fry
Looks good to me
Is this name right?
try a drop of KOH
Avoid the north path, brambles
Dangerous tree, keep off
heavy metals in the mine spoil
used as tinder
Gnawed, tooth marks
"""
ELSEWHERE = """
de|Essbar und lecker.|praise
de|Speisepilz, sehr schmackhaft|praise
de|Sehr giftig!|warning
de|Nicht giftig, aber wertlos.|not_poisonous
de|Tödlich giftig|warning
de|Ungenießbar.|warning
de|Wir haben ihn in der Pfanne gebraten.|use
fr|Champignon comestible.|praise
fr|Excellent comestible, délicieux.|praise
fr|Champignon vénéneux|warning
fr|Mortel.|warning
fr|Non comestible.|warning
fr|à manger bien cuit|use
fr|L'intoxication est grave.|warning
it|Commestibile e squisito|praise
it|Fungo velenoso|warning
it|Non è velenoso|not_poisonous
it|Ottimo da mangiare|praise
it|Si mangia dopo lunga cottura|use
es|Seta comestible|praise
es|Muy venenosa|warning
es|Se come en guisos|use
es|No es tóxica|not_poisonous
es|Deliciosa a la plancha|praise
pl|Jadalny i smaczny|praise
pl|Grzyb trujący|warning
pl|Śmiertelnie trujący|warning
pl|Niejadalny|warning
pl|Zjadłem dwa|use
cs|Jedlá houba|praise
cs|Jedovatá|warning
cs|Nejedlý|warning
cs|Smrtelně jedovatá|warning
cs|Smažit na másle|use
sv|Ätlig och god matsvamp|praise
sv|Mycket giftig svamp|warning
sv|Dödligt giftig|warning
sv|Inte giftig|not_poisonous
sv|Stekt i smör|use
nl|Eetbaar en lekker|praise
nl|Zeer giftig, niet eten|warning
nl|Dodelijk|warning
nl|Niet giftig|not_poisonous
nl|Gebakken in boter|use
cy|Bwytadwy a blasus|praise
cy|Gwenwynig iawn|warning
cy|Marwol|warning
cy|Peidiwch â'i fwyta|warning
cy|Wedi ei goginio|use
"""


def lines(block: str) -> list[str]:
    return [line for line in block.strip().split("\n") if line]


OF_KIND = [
    (kind, line)
    for kind, block in (
        ("praise", PRAISE),
        ("not_poisonous", NOT_POISONOUS),
        ("use", USE),
        ("warning", WARNING),
        ("eaten", EATEN),
        ("question", QUESTION),
        ("medicine", MEDICINE),
    )
    for line in lines(block)
]
ALL_TEXTS = [line for _, line in OF_KIND] + lines(NONE)


@pytest.mark.parametrize(("kind", "text"), OF_KIND)
def test_a_statement_on_eating_is_found_and_its_kind_told(kind, text):
    found = detect(text)
    assert (found.on_eating, found.kind, found.language) == (True, kind, "en"), found


@pytest.mark.parametrize("text", lines(NONE))
def test_names_smells_animals_and_lunches_are_no_statements(text):
    found = detect(text)
    assert not found.on_eating, [text[start:end] for start, end in found.spans]
    assert (found.kind, found.spans, found.language) == (None, (), None)


@pytest.mark.parametrize(("language", "text", "kind"), [x.split("|") for x in lines(ELSEWHERE)])
def test_the_short_lists_of_other_languages_find_the_plain_words(language, text, kind):
    found = detect(text)
    assert (found.kind, found.language) == (kind, language), found


def test_the_examples_are_many_on_both_sides():
    assert len(OF_KIND) >= 150
    assert len(lines(NONE)) >= 90
    assert len(set(ALL_TEXTS)) == len(ALL_TEXTS)


def test_spans_point_at_the_writers_own_words():
    text = "Délicious? No: it's De\u00adLICIOUS, fried."
    found = detect(text)
    assert [text[start:end] for start, end in found.spans] == [
        "Délicious",
        "De\u00adLICIOUS",
        "fried",
    ]


def test_a_statement_beside_a_name_or_a_smell_is_still_found():
    assert detect("Poison pie is poisonous.").spans == ((14, 23),)
    assert detect("Smell of raw potato, deadly.").spans == ((21, 27),)
    assert detect("Eaten by slugs. Edible.").spans == ((16, 22),)


def test_praise_beside_a_warning_counts_as_praise_so_that_it_is_folded():
    assert detect("Poisonous raw. Delicious cooked.").kind == "praise"


def test_letters_that_look_like_latin_ones_hide_nothing():
    assert detect("еdіblе").kind == "praise"  # three Cyrillic letters
    assert detect("ｄｅｌｉｃｉｏｕｓ").kind == "praise"  # full width
    assert detect("poi\u200bsonous").kind == "warning"  # a space of no width


def test_setting_aside_keeps_every_character_in_its_place():
    folded, came_from = fold("Smell of raw potato; Poison Pie!")
    assert len(set_aside(folded)) == len(folded) == len(came_from)


def test_the_version_is_a_positive_whole_number():
    assert isinstance(DETECTOR_VERSION, int)
    assert DETECTOR_VERSION >= 1


def test_a_long_text_of_nothing_but_hits_takes_no_more_than_moments():
    text = "not eat raw or edible by slugs if poisonous " * 200
    start = time.perf_counter()
    assert detect(text).on_eating
    # Quadratic work on 9,000 characters would take minutes; a slow machine still makes this.
    assert time.perf_counter() - start < 20


VOCABULARY = """
edible not poisonous eaten by slugs smell of raw is it ? . , delicious we ate nie jadalny never
a fried egg like the cap ill after cooked death taste and spat so must be safe killed the tree
"""
WORDS = st.lists(st.sampled_from(VOCABULARY.split()), max_size=25).map(" ".join)
TEXTS = st.one_of(st.text(max_size=300), WORDS, st.sampled_from(ALL_TEXTS))


@given(TEXTS)
@settings(max_examples=400, deadline=None)
def test_any_text_gives_a_detection_whose_parts_agree(text):
    found = detect(text)
    assert found.on_eating == (found.kind is not None) == bool(found.spans)
    assert found.on_eating == (found.language is not None)
    ends = [0]
    for start, end in found.spans:
        assert ends[-1] <= start < end <= len(text)
        ends.append(end)
    assert detect(text) == found


@given(st.one_of(WORDS, st.text(st.characters(max_codepoint=0x24F), max_size=200)))
@settings(max_examples=400, deadline=None)
def test_capitals_change_nothing(text):
    lower, upper = detect(text.lower()), detect(text.lower().upper())
    assert (lower.on_eating, lower.kind) == (upper.on_eating, upper.kind)


@pytest.mark.parametrize("text", ALL_TEXTS)
def test_the_examples_read_alike_in_capitals(text):
    assert detect(text.upper()).kind == detect(text).kind


@given(st.sampled_from([line for _, line in OF_KIND]), st.sampled_from(lines(NONE)))
@settings(max_examples=300, deadline=None)
def test_a_statement_is_found_whatever_sentence_stands_before_or_after_it(statement, other):
    assert detect(f"{statement}\n\n{other}").on_eating
    assert detect(f"{other}\n\n{statement}").on_eating


@given(
    st.text(st.characters(codec="utf-8", categories=("Cs", "Cc", "Cf", "So", "Mn")), max_size=50)
)
def test_odd_characters_raise_nothing(text):
    assert detect(text).spans == detect(text).spans
