"""Words that rows of the firm may hold."""

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _


class Role(TextChoices):
    """What a person is to the firm."""

    OWNER = "owner", _("Owner")
    CREW = "crew", _("Crew member")
    BOOKKEEPER = "bookkeeper", _("Bookkeeper")


class Units(TextChoices):
    """The units that pages show and forms take."""

    US = "us", _("Feet, inches, gallons, °F")
    METRIC = "metric", _("Metres, centimetres, litres, °C")


class TaxRounding(TextChoices):
    """Where tax is rounded."""

    DOCUMENT = "document", _("Once on the whole document")
    LINE = "line", _("On every line")


class CountRounding(TextChoices):
    """How a computed number of plants becomes whole."""

    HALF_UP = "half up", _("To the nearest plant, halves up")
    UP = "up", _("Always up")


class MessageState(TextChoices):
    """Where a message stands."""

    WAITING = "waiting", _("waiting")
    TAKEN = "taken", _("taken")
    SENT = "sent", _("sent")
    HELD = "held", _("held")
    GIVEN_UP = "given up", _("given up")


class Channel(TextChoices):
    """By which way a message goes out."""

    MAIL = "mail", _("mail")
    TEXT = "text", _("text message")


class ImportState(TextChoices):
    """Where an uploaded list stands."""

    PREVIEW = "preview", _("to be looked at")
    TAKEN_OVER = "taken over", _("taken over")
    DROPPED = "dropped", _("dropped")


class TaxCategory(TextChoices):
    """What tax does with a line of a document."""

    STANDARD = "standard", _("taxed")
    REDUCED = "reduced", _("taxed at the lower rate")
    NOT_TAXED = "not taxed", _("not taxed")
    PAID_WHEN_BOUGHT = "paid when bought", _("tax paid when bought, not charged again")


class OverheadWay(TextChoices):
    """How the year's overhead is laid on the jobs."""

    IN_MARGIN = "in margin", _("The margin carries it")
    BY_HOUR = "by hour", _("So much for each hour of labour")
    TWO_RATES = "two rates", _("A per cent of materials and another of labour")
