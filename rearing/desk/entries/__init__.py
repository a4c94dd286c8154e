"""The entry forms: each a panel that a page opens, and that writes through a verb."""

from rearing.desk.entries.bare_form import bare
from rearing.desk.entries.box_forms import carry, close_box, move, open_box
from rearing.desk.entries.care_forms import count, feed, leave, loss, stages
from rearing.desk.entries.egg_forms import correct_eggs, eggs
from rearing.desk.entries.female_form import female
from rearing.desk.entries.lamp_forms import arrival, check, night, outage
from rearing.desk.entries.leaf_test_forms import judge_test, leaf_test
from rearing.desk.entries.measure_forms import correct_measurement, measure
from rearing.desk.entries.mother_forms import (
    emergence,
    let_go,
    mated,
    pairing,
    second_look,
)
from rearing.desk.entries.note_form import correct_note, note
from rearing.desk.entries.photo_forms import correct_photo, photo
from rearing.desk.entries.place_forms import change_place, home, place, site
from rearing.desk.entries.pot_forms import close_pot, fate, put_on_leaf
from rearing.desk.entries.tree_forms import (
    close_tree,
    cut,
    open_tree,
    throw_away,
    tree,
    tree_sign,
)
from rearing.desk.entries.weather_forms import forecast

__all__ = [
    "arrival",
    "bare",
    "carry",
    "change_place",
    "check",
    "close_box",
    "close_pot",
    "close_tree",
    "correct_eggs",
    "correct_measurement",
    "correct_note",
    "correct_photo",
    "count",
    "cut",
    "eggs",
    "emergence",
    "fate",
    "feed",
    "female",
    "forecast",
    "home",
    "judge_test",
    "leaf_test",
    "leave",
    "let_go",
    "loss",
    "mated",
    "measure",
    "move",
    "night",
    "note",
    "open_box",
    "open_tree",
    "outage",
    "pairing",
    "photo",
    "place",
    "put_on_leaf",
    "second_look",
    "site",
    "stages",
    "throw_away",
    "tree",
    "tree_sign",
]
