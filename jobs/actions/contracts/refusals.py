"""Why something cannot be done with a care contract, in words for the page."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from jobs.yearplan import Fault


class ContractRefused(Exception):
    """Something that cannot be done with this contract now; says why."""


class NoSuchContract(ContractRefused):
    """There is no such contract, visit, link or contact."""

    def __init__(self) -> None:
        super().__init__(_("There is no such contract."))


class ContractNotDrafting(ContractRefused):
    """The contract is no longer a draft, so its plan and price stand."""

    def __init__(self) -> None:
        super().__init__(
            _("This contract is no longer a draft. Revise it to change anything.")
        )


class ContractNotOffered(ContractRefused):
    """The contract is not an open offer."""

    def __init__(self, state: str) -> None:
        super().__init__(
            _("This contract is not an open offer; it is %(state)s.") % {"state": state}
        )


class NoTaxThatDay(ContractRefused):
    """No rate of tax is kept for the day; says which."""


class NothingPlanned(ContractRefused):
    """A contract without a visit cannot be offered."""

    def __init__(self) -> None:
        super().__init__(_("A contract with no visits cannot be offered."))


class PriceIsNothing(ContractRefused):
    """A year's care that costs the client nothing is not offered."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "The price comes to nothing. Give the firm a price of an hour, or type"
                " a price for the year."
            )
        )


class PlanHasFaults(ContractRefused):
    """A plan that does not pass its proof is not stored."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        said = "; ".join(
            f"{fault.task}: {fault.words}" if fault.task else fault.words
            for fault in faults[:5]
        )
        super().__init__(
            _("The plan does not hold and was not kept: %(faults)s") % {"faults": said}
        )
        self.faults = tuple(faults)


class PriceTooLarge(ContractRefused):
    """The price comes to more than is kept."""

    def __init__(self) -> None:
        super().__init__(_("This comes to more than a contract can hold."))


class OutsideTheYear(ContractRefused):
    """A typed visit does not lie in the contract's twelve months."""

    def __init__(self) -> None:
        super().__init__(_("The visit lies outside the contract's twelve months."))


class TooManyVisits(ContractRefused):
    """A contract has a bound of typed visits."""

    def __init__(self, most: int) -> None:
        super().__init__(
            _("A contract holds at most %(most)d visits of your own.") % {"most": most}
        )


class ContractOfferPast(ContractRefused):
    """The last day of an offer lies in the past, or after the contract's own end."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "The offer must stand until today at least, and end before the"
                " contract's own last day."
            )
        )


class NothingToDrawAnew(ContractRefused):
    """The contract is in no state from which this is done."""

    def __init__(self) -> None:
        super().__init__(
            _("This cannot be done from where the contract stands now. Look again.")
        )


class AnotherIsRunning(ContractRefused):
    """A garden has one running contract."""

    def __init__(self, other: str) -> None:
        super().__init__(
            _("Contract %(number)s is running for this garden.") % {"number": other}
        )


class EndsBeforeItBegins(ContractRefused):
    """The last day of a contract lies outside its twelve months."""

    def __init__(self) -> None:
        super().__init__(
            _("The last day must lie between its first day and its agreed end.")
        )
