"""Words that rows about places and plants may hold."""

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _


class Layer(TextChoices):
    """Who wrote a rule; the nearest layer wins."""

    SHIPPED = "shipped", _("shipped catalogue")
    FIRM = "firm", _("the firm's own")


class BedShape(TextChoices):
    """How a bed was measured."""

    RECTANGLE = "rectangle", _("rectangle")
    CIRCLE = "circle", _("circle")
    PIECES = "pieces", _("several rectangles")


class Facing(TextChoices):
    """The direction a bed looks to."""

    N = "N", _("north")
    NE = "NE", _("north-east")
    E = "E", _("east")
    SE = "SE", _("south-east")
    S = "S", _("south")
    SW = "SW", _("south-west")
    W = "W", _("west")
    NW = "NW", _("north-west")
    OPEN = "open", _("open on all sides")


class Light(TextChoices):
    """Direct sun in the growing season, as seen on the survey."""

    FULL_SUN = "full sun", _("full sun (6 h and more)")
    PART_SUN = "part sun", _("part sun (4 to 6 h, some in the afternoon)")
    PART_SHADE = "part shade", _("part shade (4 to 6 h, mornings)")
    SHADE = "shade", _("shade (under 4 h)")


class Texture(TextChoices):
    """How the soil feels in the hand."""

    SAND = "sand", _("sand")
    SANDY_LOAM = "sandy loam", _("sandy loam")
    LOAM = "loam", _("loam")
    CLAY_LOAM = "clay loam", _("clay loam")
    CLAY = "clay", _("clay")


class Moisture(TextChoices):
    """How wet the soil usually is."""

    DRY = "dry", _("dry")
    AVERAGE = "average", _("average")
    MOIST = "moist", _("moist")
    WET = "wet", _("wet")


class ShadeKind(TextChoices):
    """What shades a bed."""

    HOUSE = "house", _("house")
    WALL = "wall", _("wall")
    FENCE = "fence", _("fence")
    TREE = "tree", _("tree")
    HEDGE = "hedge", _("hedge")


class AgeKnown(TextChoices):
    """How well the age of a planting is known."""

    KNOWN = "known", _("known")
    ABOUT = "about", _("about")
    UNKNOWN = "unknown", _("unknown")


class Origin(TextChoices):
    """How a planting came into the garden."""

    PLANTED = "planted", _("planted by the firm")
    THERE = "there", _("already there")


class PlantingState(TextChoices):
    """Where a planting stands."""

    GROWING = "growing", _("growing")
    STRUGGLING = "struggling", _("struggling")
    LOST = "lost", _("lost")
    REMOVED = "removed", _("removed")


class BloomStage(TextChoices):
    """What was seen on a plant."""

    LEAF_OUT = "leaf out", _("leaves unfold")
    FIRST_BLOOM = "first bloom", _("first flowers")
    FULL_BLOOM = "full bloom", _("full bloom")
    BLOOM_OVER = "bloom over", _("bloom over")
