"""The sentences people of the invented society write: remarks, comments, notes on eating."""

NOTES = (
    "Under the wall by the second gate.",
    "Along the ride, on both sides for about ten paces.",
    "On the bank above the burn, in half shade.",
    "Slugs had been at most of them.",
    "After three days of rain.",
    "A single one, left where it stood.",
    "In short turf between the molehills.",
    "Photographed in place with a mirror.",
    "Same spot as last year, a little later.",
    "Frost in the night; caps glassy.",
    "Beside the fallen trunk with the orange mark.",
    "Ground very dry, only near the ditch anything at all.",
    "The light was going; colours in the pictures are too warm.",
    "Two others near it of a different kind.",
)
# What somebody writes, and what the finder may answer.
COMMENTS = (
    ("Could you say which trees stood within ten metres? I see needles in the picture.",
     "I went back and measured: the nearest is about four metres off."),
    ("There is a second kind in the last picture, at the left.",
     "You are right; I kept them apart and shall post the other one."),
    ("A spore print would help, if one was made.",
     "Sorry, none was made. I shall lay one next time."),
    ("Found there too in the week before, on the other side of the ride.", ""),
    ("I cannot see how it joins the ground; how was it taken?",
     "It is as the find says; I did not look further."),
    ("I have a dried piece from the same spot if anybody wants to look.",
     "Please, bring it to the next meeting."),
    ("Thank you, that settles it for me.", ""),
    ("Was it growing out of buried wood?", "I think so; I did not dig."),
    ("Is the colour true in this light?", "A little too warm; it was nearly dark."),
    ("Please keep a specimen next time; nobody has one from this place.",
     "If the owner lets us, yes."),
)  # fmt: skip
REMARKS = (
    "",
    "",
    "",
    "Fits in all that is shown.",
    "Smell noted in the wood, not at home.",
    "Compared with the dried one in the cabinet.",
    "Young; the ring is still closed.",
    "By the colour of the flesh on the cut.",
)
LITERATURE = {
    "Russulaceae": "Society's own key to milk caps and brittle gills, sheet 2",
    "Hygrophoraceae": "Society's own sheets for grassland, 2023",
    "Clavariaceae": "Society's own sheets for grassland, 2023",
    "Cortinariaceae": "Society's own key to webcaps, sheet 1",
}
ANY_BOOK = "Caldermoss checklist, 4th edition"
DISPUTES = {
    "hosts": "What is written of the host speaks against it.",
    "underside": "The underside in the picture speaks against it.",
    "readings": "The change on the cut speaks against it.",
    "stem_base": "The base shown speaks against it.",
    "": "Habitat and month fit better elsewhere.",
}
ASKS = {
    "hosts": "Which trees stood within twenty metres, and how far off?",
    "habitat": "What sort of place was it? The pictures show leaves only.",
    "microscope": "Spores of the dried piece, please: length and width of twenty.",
    "milk_after_30_minutes": "The milk half an hour after the cut, if one is still fresh.",
    "section": "A cut through cap and stem, if one is still fresh.",
    "spore_print": "A print overnight, if one is still fresh.",
}
LEFT_OPEN = (
    "Nothing was kept and the pictures show the cap only; it stays at the genus.",
    "Without spores this group cannot be settled; it stays at the genus.",
    "Too old to say more than the genus.",
)
# (where, kind, species, who says so, source, words). Every one of these stands for what people
# do say; none is advice, and the notice goes with each.
EATING = (
    ("note", "praise", "Boletus edulis", "my grandmother", "hearsay",
     "She fried these in butter every autumn and called them delicious."),
    ("comment", "praise", "Cantharellus cibarius", "", "",
     "Lovely! These are excellent to eat with eggs."),
    ("notes", "praise", "Macrolepiota procera", "", "",
     "People here eat the caps like cutlets and say they are very good."),
    ("note", "praise", "Lactarius deliciosus", "an old field book", "field book, about 1960",
     "Called edible and esteemed."),
    ("note", "report", "Lactarius deterrimus", "the finder's uncle", "hearsay",
     "Eaten many times; his water was red and frightened him."),
    ("comment", "question", "Agaricus campestris", "", "",
     "Is this one edible? My neighbour picks them on the same field."),
    ("comment", "question", "Armillaria mellea", "", "",
     "Can one eat these if they are boiled first?"),
    ("comment", "question", "Laetiporus sulphureus", "", "",
     "Someone told me it can be eaten. Is that so?"),
    ("comment", "question", "Lepista nuda", "", "", "Would you eat it? I found a whole ring."),
    ("note", "warning", "Amanita phalloides", "the leader of the walk", "said on the walk",
     "Deadly. A piece had been cut away with a knife; please ask in the village who picked here."),
    ("comment", "warning", "Galerina marginata", "", "",
     "Deadly poisonous, and it stands in the same tufts as things people pick from stumps."),
    ("notes", "warning", "Cortinarius rubellus", "", "",
     "Destroys the kidneys; chanterelles stood a metre away. Nobody should pick any here."),
    ("comment", "warning", "Gyromitra esculenta", "", "",
     "Poisonous, also when dried or boiled; do not let anybody eat it."),
    ("note", "report", "Paxillus involutus", "a visitor on the path", "hearsay",
     "Said he had eaten it for years. It has killed people; the leader told him so at once."),
    ("note", "report", "Agaricus xanthodermus", "a couple met at the gate", "hearsay",
     "Both were sick after eating what they took for field mushrooms from this spot."),
    ("remark", "praise", "Hydnum repandum", "", "", "A tasty one, and easy to tell, so they say."),
    ("comment", "praise", "Marasmius oreades", "", "", "Good in soup, my mother used to dry them."),
    ("notes", "warning", "Clitocybe rivulosa", "", "",
     "Stood in one ring with Marasmius oreades: a poisonous one among those people gather."),
)  # fmt: skip
PRINT_COLOURS = (
    ("white", "#fdfbf4"),
    ("cream", "#f5ecc8"),
    ("pale ochre", "#eed49a"),
    ("pink", "#dca08c"),
    ("rusty brown", "#a4562a"),
    ("snuff brown", "#8a6a45"),
    ("olive brown", "#7a7038"),
    ("purple brown", "#4c3438"),
    ("black", "#1c1a1a"),
)


def print_words(colour: str) -> str:
    """The word for a spore print's colour (``#rrggbb``): the nearest of PRINT_COLOURS."""
    want = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]

    def away(entry: tuple[str, str]) -> int:
        got = [int(entry[1][i : i + 2], 16) for i in (1, 3, 5)]
        return sum((a - b) ** 2 for a, b in zip(want, got, strict=True))

    return min(PRINT_COLOURS, key=away)[0]


def misspelt(name: str, turn: int) -> str:
    """A slip of the pen in an epithet: one of a few common kinds, picked by ``turn``."""
    genus, _, epithet = name.partition(" ")
    inner = (
        ("ae", "e"),
        ("ii", "i"),
        ("ll", "l"),
        ("rr", "r"),
        ("ph", "f"),
        ("y", "i"),
        ("oi", "io"),
    )
    ends = (("us", "a"), ("um", "a"), ("a", "um"), ("is", "e"), ("e", "is"))
    slips = [epithet.replace(a, b, 1) for a, b in inner if a in epithet]
    slips += [epithet[: -len(a)] + b for a, b in ends if epithet.endswith(a)][:1]
    slips.append(f"{epithet[:-2]}{epithet[-1]}{epithet[-2]}")
    return f"{genus} {slips[turn % len(slips)]}"
