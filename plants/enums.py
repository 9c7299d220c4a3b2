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
    OUTLINE = "outline", _("outline by its corners")


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
    SHRUB = "shrub", _("shrub")


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


class DegreeDayMethod(TextChoices):
    """How degree days are counted; the words of plants.climate."""

    AVERAGE = "average", _("mean of the day's high and low")
    MODIFIED = "modified", _("both lifted to the base first")


class Kind(TextChoices):
    """What sort of plant it is."""

    SHRUB = "shrub", _("shrub")
    TREE = "tree", _("tree")
    CLIMBER = "climber", _("climber")
    ROSE = "rose", _("rose")
    PERENNIAL = "perennial", _("perennial")
    GRASS = "grass", _("grass")
    CONIFER = "conifer", _("conifer")
    HEDGE = "hedge", _("hedge")
    BULB = "bulb", _("bulb")
    FERN = "fern", _("fern")
    GROUNDCOVER = "groundcover", _("ground cover")
    FRUIT = "fruit", _("fruit")
    SEDGE = "sedge", _("sedge")


class Wood(TextChoices):
    """On which wood it flowers."""

    OLD = "old", _("on old wood")
    NEW = "new", _("on new wood")
    BOTH = "both", _("on old and new wood")
    NONE = "none", _("its flowers do not matter")


class Task(TextChoices):
    """What is done to a plant."""

    PRUNE = "prune", _("prune")
    THIN = "thin", _("thin out")
    DEADHEAD = "deadhead", _("deadhead")
    CUT_DOWN = "cut down", _("cut down")
    SHEAR = "shear", _("shear")
    DEAD_WOOD = "dead wood", _("take out dead wood")
    RENOVATE = "renovate", _("renovate")
    FEED = "feed", _("feed")
    ACIDIFY = "acidify", _("acidify the soil")
    LIME = "lime", _("lime the soil")
    MULCH = "mulch", _("mulch")
    STAKE = "stake", _("stake")
    UNSTAKE = "unstake", _("take stakes off")
    TIE_IN = "tie in", _("tie in")
    DIVIDE = "divide", _("divide")
    PROTECT = "protect", _("protect")
    UNPROTECT = "unprotect", _("take protection off")
    WATER_CHECK = "water check", _("check water")
    INSPECT = "inspect", _("inspect")
    CLEAR_UP = "clear up", _("clear up")


class Purpose(TextChoices):
    """What a cut is for."""

    SHAPE = "shape", _("for its shape")
    FLOWER = "flower", _("for its flowers")
    STRUCTURE = "structure", _("for its framework")
    RENOVATION = "renovation", _("to renew it")
    DEAD_WOOD = "dead wood", _("dead wood only")
    DEADHEAD = "deadhead", _("spent flowers")
    HYGIENE = "hygiene", _("against disease")
    NONE = "none", _("in general")


class LineLayer(TextChoices):
    """Who wrote a line of care, from the farthest to the nearest."""

    SHIPPED = "shipped", _("shipped catalogue")
    FIRM = "firm", _("the firm's own rule")
    PLANT = "plant", _("this plant's own rule")
    GARDEN = "garden", _("this garden's instruction")
    PLANTING = "planting", _("this planting's instruction")


class RecordFileState(TextChoices):
    """How far an uploaded file of daily weather is."""

    WAITING = "waiting", _("waits for its columns")
    READ = "read", _("read")
    DROPPED = "dropped", _("dropped")


class Anchor(TextChoices):
    """What a day of care is counted from."""

    BLOOM_END = "bloom_end", _("its bloom ends")
    BLOOM_START = "bloom_start", _("its bloom begins")
    BUD_SET = "bud_set", _("next year's flower buds are set")
    LATE_WINTER = "late_winter", _("late winter (3 weeks before buds swell)")
    BUD_SWELL = "bud_swell", _("buds swell")
    LEAF_OUT = "leaf_out", _("leaves unfold")
    LAST_SPRING_FROST_EARLY = (
        "last_spring_frost_early",
        _("the last spring frost, early (frost still follows in 9 years of 10)"),
    )
    LAST_SPRING_FROST = (
        "last_spring_frost",
        _("the last spring frost (1 year in 2 has a later one)"),
    )
    MIDSUMMER = "midsummer", _("midsummer")
    FIRST_AUTUMN_FROST = (
        "first_autumn_frost",
        _("the first autumn frost (come by then in 1 year of 2)"),
    )
    LEAF_FALL = "leaf_fall", _("leaves fall")
    DORMANCY = "dormancy", _("growth rests for the winter")
    PLANTING_DAY = "planting_day", _("the day of planting")
    YEAR_START = "year_start", _("1 January (in the south 1 July)")


class Drawing(TextChoices):
    """The drawing that shows where the cut goes."""

    NONE = "none", _("no drawing")
    ABOVE_PAIR = "above-pair", _("above a pair of buds")
    ABOVE_BUD = "above-bud", _("above a single bud")
    TAKE_A_THIRD = "take-a-third", _("a third off every stem")
    AT_COLLAR = "at-collar", _("at the collar of a branch")
    THIN_BASE = "thin-base", _("oldest stems out at the base")
    CUT_DOWN = "cut-down", _("all stems down to a height")
    DEAD_TIPS = "dead-tips", _("dead tips only")
    SHEAR = "shear", _("shear to shape")
    GRASS = "grass", _("a tuft cut down")


class Evergreen(TextChoices):
    """Whether leaves stay through the winter."""

    NO = "no", _("leafless in winter")
    SEMI = "semi", _("half-evergreen")
    YES = "yes", _("evergreen")


class Buds(TextChoices):
    """How buds sit on a shoot."""

    OPPOSITE = "opposite", _("in pairs, opposite each other")
    ALTERNATE = "alternate", _("one by one, on alternate sides")
    WHORLED = "whorled", _("in rings of three or more")
    BASAL = "basal", _("at the base")


class Habit(TextChoices):
    """The shape a plant grows into."""

    MOUND = "mound", _("rounded mound")
    UPRIGHT = "upright", _("upright shrub")
    VASE = "vase", _("vase-shaped shrub")
    SPREADING = "spreading", _("low and spreading")
    CLIMBING = "climbing", _("climber")
    COLUMNAR = "columnar", _("narrow column")
    TUFT = "tuft", _("tuft")
    ROUND_TREE = "round-tree", _("round-crowned tree")
    PYRAMID_TREE = "pyramid-tree", _("cone-shaped tree")
    HEDGE = "hedge", _("hedge")
    MAT = "mat", _("mat on the ground")


class Growth(TextChoices):
    """How fast it grows."""

    SLOW = "slow", _("slow")
    MEDIUM = "medium", _("medium")
    FAST = "fast", _("fast")


class Poison(TextChoices):
    """What is known of a plant's poison; unknown is never safe."""

    UNKNOWN = "unknown", _("unknown")
    TOXIC = "toxic", _("toxic")
    NOT_TOXIC = "not toxic", _("not toxic (on a page that was read)")


class HowRead(TextChoices):
    """How somebody knows what a source says."""

    PAGE_READ = "page read", _("the page itself was read")
    COPY = "copy", _("a copy, or a page that quotes it")
    MEMORY = "memory", _("from memory")
