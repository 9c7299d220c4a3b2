"""Why something cannot be done with a quote, in words for the page."""

from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext


class QuoteRefused(Exception):
    """Something that cannot be done with this quote now; says why."""


class NoSuchQuote(QuoteRefused):
    """There is no such quote, line, link or contact."""

    def __init__(self) -> None:
        super().__init__(_("There is no such quote."))


class NotDrafting(QuoteRefused):
    """The quote is no longer a draft, so its words and figures stand."""

    def __init__(self) -> None:
        super().__init__(
            _("This quote is no longer a draft. Revise it to change anything.")
        )


class NotOffered(QuoteRefused):
    """The quote is not an open offer."""

    def __init__(self, state: str) -> None:
        super().__init__(
            _("This quote is not an open offer; it is %(state)s.") % {"state": state}
        )


class NothingToOffer(QuoteRefused):
    """A quote without a line cannot be offered."""

    def __init__(self) -> None:
        super().__init__(_("A quote with no lines cannot be offered."))


class LastDayPast(QuoteRefused):
    """The last day of an offer lies in the past."""

    def __init__(self) -> None:
        super().__init__(_("The day until which the offer stands lies in the past."))


class OlderRevisionAgreed(QuoteRefused):
    """Another revision of this quote was agreed."""

    def __init__(self, revision: int) -> None:
        super().__init__(
            _(
                "Revision %(revision)d of this quote was agreed meanwhile, so this one"
                " cannot be offered."
            )
            % {"revision": revision}
        )


class NothingToRevise(QuoteRefused):
    """The quote is a draft, agreed or replaced, so it is not revised."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "Only the latest revision is revised, once it was offered, declined"
                " or has lapsed."
            )
        )


class AmountTooLarge(QuoteRefused):
    """A line or the whole comes to more than is kept."""

    def __init__(self) -> None:
        super().__init__(
            _("This comes to more than a quote can hold. Look at quantity and cost.")
        )


class TooManyLines(QuoteRefused):
    """A quote has a bound of lines."""

    def __init__(self, most: int) -> None:
        super().__init__(_("A quote holds at most %(most)d lines.") % {"most": most})


class TaxRateMissing(QuoteRefused):
    """No rate of tax is kept for the day; says which."""


class NoPriceComes(QuoteRefused):
    """Margin and reserve leave no price; says why."""


class DiscountTooLarge(QuoteRefused):
    """A discount that is more than the lines come to."""

    def __init__(self, most: Decimal) -> None:
        super().__init__(
            _("The lines come to %(most)s, so a discount cannot be more than that.")
            % {"most": f"{most:,}"}
        )


class NoSuchChoice(QuoteRefused):
    """Options that cannot be taken together; says why."""


class NotInFull(QuoteRefused):
    """Parts of a price that are not 100 per cent together."""

    def __init__(self, percent: Decimal) -> None:
        super().__init__(
            _("The parts of the price come to %(percent)s %%, not to 100 %%.")
            % {"percent": f"{percent.normalize():f}"}
        )


class LineIsReplaced(QuoteRefused):
    """A line that an option takes the place of is to go."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "An option takes the place of this line. Take the option off first, or"
                " let it take the place of another line."
            )
        )


class NotToBeReplaced(QuoteRefused):
    """The line that an option is to take the place of is an option itself or gone."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "An option takes the place of a line that is in the quote whatever the"
                " client takes."
            )
        )


class TooManyOptions(QuoteRefused):
    """A quote has a bound of options and of payments."""

    def __init__(self, most: int) -> None:
        super().__init__(_("A quote holds at most %(most)d of these.") % {"most": most})


class PricesToLookAt(QuoteRefused):
    """Lines whose price is old, missing or another by now, and nobody looked at it."""

    def __init__(self, count: int) -> None:
        super().__init__(
            ngettext(
                "The price of %(count)d line is old, missing or another by now. Look at"
                " it on the quote first.",
                "The prices of %(count)d lines are old, missing or others by now. Look"
                " at them on the quote first.",
                count,
            )
            % {"count": count}
        )
