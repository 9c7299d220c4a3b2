"""Bills of the instalments of care contracts."""

import datetime as dt
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from firm.enums import TaxCategory
from firm.models import Person
from firm.models.tax import CHARGED
from firm.money import Taxed
from firm.queries import category_for, firm_or_blank
from jobs.actions.bills.issuing import issue_bill, line
from jobs.actions.bills.refusals import NothingToBill
from jobs.enums import BillKind, LineKind
from jobs.models import Bill, Contract, Instalment
from jobs.pricing import TaxGroup


def _group_of(instalment: Instalment, contract: Contract) -> TaxGroup:
    """What is taxed alike on an instalment: all of it, as labour is in that place."""
    category = TaxCategory.NOT_TAXED
    if contract.is_taxed:
        category = category_for(
            kind=LineKind.LABOUR,
            region=contract.garden.tax_region,
            firm=firm_or_blank(),
        )
        # A contract that is taxed all the same is taxed at the standard rate.
        if category not in CHARGED:
            category = TaxCategory.STANDARD
    return TaxGroup(
        category=category,
        name=contract.tax_name if contract.is_taxed else "",
        percent=contract.tax_percent if contract.is_taxed else Decimal(0),
        net=instalment.net,
        tax=instalment.tax,
    )


@transaction.atomic
def bill_instalment(
    *, instalment: Instalment, day: dt.date, by: Person, now: dt.datetime
) -> Bill:
    """The bill for one instalment of a contract; a second one is refused."""
    instalment = Instalment.objects.select_for_update().get(pk=instalment.pk)
    if Bill.objects.filter(instalment=instalment).exists():
        raise NothingToBill(_("This instalment is billed already."))
    contract = instalment.contract
    if not hasattr(contract, "agreement"):
        raise NothingToBill(_("This contract is not agreed."))
    words = _("%(title)s, instalment %(position)s of %(count)s") % {
        "title": contract.title,
        "position": instalment.position,
        "count": contract.instalment_count,
    }
    group = _group_of(instalment, contract)
    return issue_bill(
        kind=BillKind.INSTALMENT,
        garden=contract.garden,
        job=None,
        contract=contract,
        instalment=instalment,
        lines=[line(words, instalment.net, [group])],
        amount=Taxed(net=instalment.net, tax=instalment.tax, gross=instalment.gross),
        groups=[group],
        tax_name=contract.tax_name,
        tax_percent=contract.tax_percent,
        day=day,
        by=by,
        now=now,
    )
