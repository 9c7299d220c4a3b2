"""Words that rows about work and money may hold."""

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _


class OfferState(TextChoices):
    """Where a quote stands."""

    DRAFTING = "drafting", _("drafting")
    OFFERED = "offered", _("offered")
    AGREED = "agreed", _("agreed")
    DECLINED = "declined", _("declined")
    LAPSED = "lapsed", _("lapsed")
    REPLACED = "replaced", _("replaced")


class ContractState(TextChoices):
    """Where a care contract stands."""

    DRAFTING = "drafting", _("drafting")
    OFFERED = "offered", _("offered")
    DECLINED = "declined", _("declined")
    LAPSED = "lapsed", _("lapsed")
    REPLACED = "replaced", _("replaced")
    RUNNING = "running", _("running")
    PAUSED = "paused", _("paused")
    ENDED = "ended", _("ended")


class LineKind(TextChoices):
    """What a line of a quote is for."""

    PLANTS = "plants", _("Plants")
    SOIL = "soil", _("Soil mix")
    MULCH = "mulch", _("Mulch")
    LABOUR = "labour", _("Labour")
    DELIVERY = "delivery", _("Delivery")
    OTHER = "other", _("Other")


class CountRule(TextChoices):
    """How the number of plants came about."""

    SQUARE = "square", _("by area, square grid")
    TRIANGULAR = "triangular", _("by area, triangular grid")
    HEDGE = "hedge", _("hedge line, planted at both ends")
    TYPED = "typed", _("typed")


class PlanPattern(TextChoices):
    """How the plants of a plan stand; jobs.takeoff.Pattern has the same words."""

    TRIANGULAR = "triangular", _("triangular grid")
    SQUARE = "square", _("square grid")
    ROWS = "rows", _("rows")
    HEDGE = "hedge line", _("hedge line")


class SeenFrom(TextChoices):
    """The side a bed is looked at from; jobs.takeoff.SeenFrom has the same words."""

    FRONT = "front", _("the front")
    BACK = "back", _("the back")
    LEFT = "left", _("the left")
    RIGHT = "right", _("the right")
    ALL = "all sides", _("all sides")


class OptionKind(TextChoices):
    """What a client decides when taking an option or leaving it."""

    EXTRA = "extra", _("in addition")
    INSTEAD = "instead", _("instead of a line")


class MilestoneWhen(TextChoices):
    """When a part of a quote's price falls due."""

    AGREED = "agreed", _("when it is agreed")
    STARTED = "started", _("when the work begins")
    FINISHED = "finished", _("when the work is finished")
    DAY = "day", _("on a day")


class AgreedHow(TextChoices):
    """By which way a client said yes."""

    LINK = "link", _("on the private page")
    PHONE = "phone", _("by telephone")
    PAPER = "paper", _("on paper")


class ConsentHow(TextChoices):
    """By which way a client agreed to another plant."""

    PHONE = "phone", _("by telephone")
    MAIL = "mail", _("by mail")
    PAPER = "paper", _("on paper")
    IN_PERSON = "in person", _("in person")


class DeclineReason(TextChoices):
    """Why an offer was declined, as far as it was said."""

    PRICE = "price", _("it costs too much")
    LATER = "later", _("not now")
    OTHER_PLAN = "other plan", _("we would like something else")
    OTHER_FIRM = "other firm", _("somebody else does the work")
    OURSELVES = "ourselves", _("we do it ourselves")
    OTHER = "other", _("another reason")


class JobKind(TextChoices):
    """What a job is."""

    PLANTING = "planting", _("planting job")
    SINGLE = "single", _("single visit")


class JobState(TextChoices):
    """Where a job stands."""

    TO_BOOK = "to book", _("to book")
    BOOKED = "booked", _("booked")
    UNDER_WAY = "under way", _("under way")
    FINISHED = "finished", _("finished")
    CALLED_OFF = "called off", _("called off")


class VisitKind(TextChoices):
    """What a visit is for."""

    PLANTING = "planting", _("planting")
    CARE = "care", _("care")
    SINGLE = "single", _("single visit")


class VisitState(TextChoices):
    """Where a visit stands."""

    PLANNED = "planned", _("planned")
    UNDER_WAY = "under way", _("under way")
    DONE = "done", _("done")
    RAINED_OFF = "rained off", _("rained off")
    CALLED_OFF = "called off", _("called off")


class TaskState(TextChoices):
    """Where a task stands."""

    OPEN = "open", _("open")
    PART_DONE = "part done", _("part done")
    DONE = "done", _("done")
    LEFT_OUT = "left out", _("left out")


class HourKind(TextChoices):
    """What hours were spent on."""

    WORK = "work", _("work in the garden")
    TRAVEL = "travel", _("travel")
    YARD = "yard", _("yard and loading")
    RAIN = "rain", _("waiting for weather")


class RateMark(TextChoices):
    """How a rate is known; jobs.labour.Mark has the same words."""

    READ = "read", _("page read")
    COPY = "copy", _("a copy")
    MEMORY = "memory", _("from memory")
    PRACTICE = "practice", _("common practice")
    FIRM = "firm", _("the firm's own")
    LOGGED = "logged", _("the firm's logged hours")


class FactorTouch(TextChoices):
    """What makes work slower; jobs.labour.Touch has the same words."""

    ACCESS = "access", _("Way in")
    CARRY = "carry", _("Carry from the truck")
    SLOPE = "slope", _("Slope")
    SOIL = "soil", _("Soil")
    ROOTS = "roots", _("Roots")
    SEASON = "season", _("Season")
    CREW = "crew", _("Who is on the crew")
    PACE = "pace", _("Pace")


class BillKind(TextChoices):
    """What a bill is."""

    DEPOSIT = "deposit", _("deposit")
    PROGRESS = "progress", _("progress bill")
    FINAL = "final", _("bill")
    ADDITION = "addition", _("bill for an addition")
    INSTALMENT = "instalment", _("instalment")
    CREDIT = "credit", _("credit")


class BillState(TextChoices):
    """Where a bill stands; overdue is computed."""

    OPEN = "open", _("open")
    PART_PAID = "part paid", _("part paid")
    PAID = "paid", _("paid")
    CREDITED = "credited", _("credited")


class PaymentKind(TextChoices):
    """Which way money moved for a bill."""

    RECEIVED = "received", _("received")
    PAID_BACK = "paid back", _("paid back to the client")
    SET_AGAINST = "set against", _("set against another bill")
    SET_OVER = "set over", _("set over from another bill")


class DocumentKind(TextChoices):
    """What a document is."""

    QUOTE = "quote", _("quote")
    CARE_GUIDE = "care guide", _("care guide")
    CONTRACT = "contract", _("care contract")
    BILL = "bill", _("bill")
    ROUND_SHEET = "round sheet", _("round sheet")


class LinkPurpose(TextChoices):
    """What a private link opens."""

    QUOTE = "quote", _("quote to agree")
    CONTRACT = "contract", _("care contract to agree")
    CARE_GUIDE = "care guide", _("care guide")


class ItemKind(TextChoices):
    """What an item of a supplier's list is."""

    PLANT = "plant", _("plant")
    SOIL = "soil", _("soil or compost")
    MULCH = "mulch", _("mulch")
    FERTILISER = "fertiliser", _("fertiliser")
    STAKES = "stakes", _("stakes and ties")
    EDGING = "edging", _("edging")
    OTHER = "other", _("something else")


class SizeClass(TextChoices):
    """How an item comes."""

    CONTAINER = "container", _("in a container")
    BALLED = "balled", _("balled")
    BARE_ROOT = "bare root", _("bare root")
    PLUG = "plug", _("plug or tray")
    BAG = "bag", _("bag")
    BULK = "bulk", _("bulk")
    UNKNOWN = "unknown", _("not said")


class PriceListState(TextChoices):
    """Where an uploaded price list stands."""

    COLUMNS = "columns", _("waits for its columns")
    TO_READ = "to read", _("waits to be read")
    READING = "reading", _("being read")
    PREVIEW = "preview", _("read, not taken yet")
    TO_TAKE = "to take", _("waits to be taken")
    TAKING = "taking", _("being taken")
    TAKEN = "taken", _("taken")
    DROPPED = "dropped", _("dropped")
    FAILED = "failed", _("could not be read")
