"""Why a bill, a credit or a payment is refused."""

from django.utils.translation import gettext as _


class NothingToBill(Exception):
    """A bill for what is not agreed, or billed already."""


class DepositTooLarge(NothingToBill):
    """A deposit above what the garden's place allows."""


class BillIsClosed(Exception):
    """A bill that was paid or credited before."""

    def __init__(self) -> None:
        super().__init__(_("This bill is paid or credited already."))


class PaymentTooLarge(Exception):
    """More money than the bill is still open for."""


class CreditTooLarge(Exception):
    """A credit of more than is left of the bill, as a whole or in one tax."""


class NothingOwed(Exception):
    """Money to be given back on a bill for which the client has none to come."""

    def __init__(self) -> None:
        super().__init__(_("Nothing of this bill is owed to the client."))


class NotSetAgainst(Exception):
    """A bill that money of another cannot be set against."""


class AlreadyStruckOut(Exception):
    """A payment that was struck out before."""

    def __init__(self) -> None:
        super().__init__(_("This payment was struck out before."))


class MoneyMovedOn(Exception):
    """A payment of which something was paid back or set against another bill."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "Money of this bill was paid back or set against another one."
                " Strike that out first."
            )
        )


class NobodyToSendTo(Exception):
    """A client without a mail address."""

    def __init__(self) -> None:
        super().__init__(
            _("This client has no mail address. Add one, or print the bill.")
        )
