"""The trade's own words, as the values that are stored and shown.

Every enum is stored by its value, so a value once released is never renamed.
"""

from __future__ import annotations

from enum import StrEnum


class Sex(StrEnum):
    """Sex of a moth; *not looked* is neither zero nor doubtful."""

    MALE = "male"
    FEMALE = "female"
    NOT_LOOKED = "not looked"

    @property
    def sign(self) -> str:
        """♂, ♀ or ○."""
        return {"male": "♂", "female": "♀"}.get(self.value, "○")


class Quality(StrEnum):
    """How exact a number is."""

    EXACT = "exact"
    ABOUT = "about"
    AT_LEAST = "at least"


class Known(StrEnum):
    """How a date or time is known."""

    SEEN = "seen"
    ABOUT = "about"
    BETWEEN_CHECKS = "between checks"


class CountingMode(StrEnum):
    """How counts at a sheet add up: new ones sum, present ones take the largest."""

    NEW = "new since last check"
    PRESENT = "present now"


class Sure(StrEnum):
    """How sure a determination is."""

    CERTAIN = "certain"
    PROBABLE = "probable"
    GUESS = "guess"


class Wings(StrEnum):
    """Condition of a moth's wings."""

    FRESH = "fresh"
    WORN = "worn"
    CRIPPLED = "crippled"
    NOT_NOTED = "not noted"


class Mated(StrEnum):
    """Whether a female is taken to have mated."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class MothFate(StrEnum):
    """What became of an adult."""

    RELEASED = "released"
    DEAD = "dead"
    SPECIMEN = "specimen"
    NOT_FEMALE = "not female"
    ESCAPED = "escaped"
    GIVEN = "given"


class EggFate(StrEnum):
    """What became of eggs; those without a fate are waiting."""

    HATCHED = "hatched"
    COLLAPSED = "collapsed"
    DEAD_IN_SHELL = "dead in shell"
    MOULDY = "mouldy"
    PARASITISED = "parasitised"
    LOST = "lost"
    GIVEN = "given"


class Stage(StrEnum):
    """A stage of life; the number of instars is the species sheet's business."""

    EGG = "egg"
    L1 = "L1"
    L2 = "L2"
    L3 = "L3"
    L4 = "L4"
    L5 = "L5"
    L6 = "L6"
    L7 = "L7"
    L8 = "L8"
    WANDERING = "wandering"
    PUPA = "pupa"
    ADULT = "adult"

    @property
    def is_larva(self) -> bool:
        """True for the feeding instars."""
        return self in INSTARS


INSTARS: tuple[Stage, ...] = tuple(Stage(f"L{i}") for i in range(1, 9))


class Cause(StrEnum):
    """Why animals were lost (handbook 4.8)."""

    VIRUS = "virus"
    FLACHERIE = "flacherie"
    MICROSPORIDIA = "microsporidia"
    FUNGUS = "fungus"
    PARASITOID = "parasitoid"
    PREDATOR = "predator"
    DROWNED = "drowned"
    DRY_LEAF = "dry leaf"
    PESTICIDE = "pesticide"
    HEAT = "heat"
    ESCAPED = "escaped"
    CRUSHED = "crushed"
    FAILED_MOULT = "failed moult"
    DEAD_IN_LITTER = "dead in litter"
    DIED_AS_PUPA = "died as pupa"
    NOT_KNOWN = "not known"

    @property
    def is_catching(self) -> bool:
        """True where the neighbours are at risk and quarantine follows."""
        return self in {Cause.VIRUS, Cause.FLACHERIE, Cause.MICROSPORIDIA, Cause.FUNGUS}


class BoxKind(StrEnum):
    """What part of a brood lives in."""

    BOX = "box"
    BOTTLE = "bottle"
    CAGE = "cage"
    SLEEVE = "sleeve"
    POT_PLANT = "potted plant"
    TUB = "tub"

    @property
    def is_for_pupae(self) -> bool:
        """True where nobody eats: larvae go down here to pupate."""
        return self is BoxKind.TUB


class ExitKind(StrEnum):
    """How animals leave a box other than lost: alive, as moths, or for the cabinet."""

    GIVEN = "given"
    RELEASED = "released"
    SOLD = "sold"
    SPECIMEN = "specimen"
    EMERGED = "emerged"


class Visit(StrEnum):
    """What was done at a box; a day without a visit is a gap, not a nothing."""

    FED = "fed"
    FED_AND_CLEANED = "fed and cleaned"
    CLEANED = "cleaned"
    ALL_WELL = "all well"
    LOOKED = "looked"

    @property
    def feeds(self) -> bool:
        """True when fresh leaf was given."""
        return self in {Visit.FED, Visit.FED_AND_CLEANED}

    @property
    def cleans(self) -> bool:
        """True when the box was cleaned."""
        return self in {Visit.CLEANED, Visit.FED_AND_CLEANED}


class Sire(StrEnum):
    """What is known of a father."""

    KNOWN = "known"
    WILD_UNKNOWN = "wild, unknown"
    ONE_OF_SEVERAL = "one of several"
    UNKNOWN = "unknown"


class LawFlag(StrEnum):
    """What the local rule says of keeping a species; the authority decides."""

    FREE = "free"
    PERMIT = "permit"
    DO_NOT_KEEP = "do not keep"
    DO_NOT_RELEASE = "do not release"


class TreeSign(StrEnum):
    """What is seen of a host plant through its year (handbook 5.4)."""

    BUD_BURST = "bud burst"
    FULL_LEAF = "full leaf"
    SECOND_FLUSH = "second flush"
    MILDEW = "mildew"
    CUT_BACK = "cut back"
    FIRST_YELLOW = "first yellow"
    LEAF_DROP = "leaf-drop"


class Measured(StrEnum):
    """What is measured of an animal: widths and lengths in mm, masses in g."""

    HEAD_WIDTH = "head width"
    LENGTH = "length"
    MASS = "mass"

    @property
    def unit(self) -> str:
        """The unit it is stored in."""
        return "g" if self is Measured.MASS else "mm"
