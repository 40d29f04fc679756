"""Which drawing serves which build of a fungus without cap and stem."""

from collections.abc import Callable

from society.demo.sketches.clubs import antlers, cauliflower, clubs, coral
from society.demo.sketches.cups import (
    button,
    cup,
    ear,
    flask_ball,
    insect,
    jelly,
    jelly_baby,
    morel,
    saddle,
)
from society.demo.sketches.ink import Sheet
from society.demo.sketches.stomachs import ball, nest, star, stinkhorn
from society.demo.sketches.subject import Subject

Body = Callable[[Sheet, Subject, float, float, float, bool], None]
BODIES: dict[str, Body] = {
    "clubs": clubs,
    "spindles": clubs,
    "wrinkled": clubs,
    "tongue": clubs,
    "fingers": clubs,
    "antlers": antlers,
    "coral": coral,
    "cauliflower": cauliflower,
    "round": ball,
    "pear": ball,
    "stinkhorn": stinkhorn,
    "star": star,
    "nest": nest,
    "brain": jelly,
    "lobes": jelly,
    "buttons": jelly,
    "ear": ear,
    "cup": cup,
    "disc": cup,
    "stalked": cup,
    "button": button,
    "saddle": saddle,
    "morel": morel,
    "jellybaby": jelly_baby,
    "balls": flask_ball,
    "insect": insect,
}
