"""Taking a bill back, whole or in part, by a credit."""

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Person
from firm.money import NOTHING
from jobs.actions.bills.issuing import issue_bill, line
from jobs.actions.bills.refusals import BillIsClosed, CreditTooLarge
from jobs.enums import BillKind, BillState
from jobs.models import Bill
from jobs.pricing import TaxGroup, taken_off
from jobs.queries.quote_prices import groups_kept, money_places
from jobs.queries.standing import key_of_group, left_to_credit, standing_of


@dataclass(frozen=True, kw_only=True)
class Off:
    """What a credit takes off: lines of the bill by their place, or an amount.

    The amount is with tax and comes off one group, by its place, or off all of them in
    their proportion.
    """

    lines: Collection[int] = ()
    amount: Decimal = Decimal("0.00")
    group: int | None = None


def hold(bill: Bill) -> Bill:
    """BILL as it stands, nobody else's until the transaction ends."""
    return Bill.objects.select_for_update().get(pk=bill.pk)


def settle(bill: Bill, **also: Any) -> Bill:
    """BILL in the state that its payments and credits make.

    SomebodyElseChangedIt when another payment or credit came in between.
    """
    kept = Bill.objects.filter(pk=bill.pk, version=bill.version).update(
        state=standing_of(bill).state, version=F("version") + 1, **also
    )
    if kept != 1:
        raise SomebodyElseChangedIt
    bill.refresh_from_db()
    return bill


@transaction.atomic
def credit_bill(
    *,
    bill: Bill,
    reason: str,
    day: dt.date,
    by: Person,
    now: dt.datetime,
    is_billed_again: bool = True,
) -> Bill:
    """The credit that takes back all that is left of BILL.

    What it was for may be billed again, unless the price goes down for good. What was
    paid for it is then owed to the client.
    """
    bill = _creditable(bill)
    left = left_to_credit(bill)
    return _credit(
        bill=bill,
        groups=left,
        lines=[_words(bill, left, reason)],
        is_billed_again=is_billed_again,
        is_part=bill.credited_by.exists(),
        day=day,
        by=by,
        now=now,
    )


@transaction.atomic
def credit_part(
    *,
    bill: Bill,
    off: Off,
    reason: str,
    day: dt.date,
    by: Person,
    now: dt.datetime,
    is_billed_again: bool = False,
) -> Bill:
    """The credit that takes OFF a part of BILL; never more than is left in any tax."""
    bill = _creditable(bill)
    left = left_to_credit(bill)
    if off.lines:
        lines, groups = _chosen(bill, off, left, reason)
    else:
        groups = _amount(off, left)
        lines = [_words(bill, groups, reason)]
    return _credit(
        bill=bill,
        groups=groups,
        lines=lines,
        is_billed_again=is_billed_again,
        is_part=True,
        day=day,
        by=by,
        now=now,
    )


def _creditable(bill: Bill) -> Bill:
    bill = hold(bill)
    if bill.kind == BillKind.CREDIT or bill.state == BillState.CREDITED:
        raise BillIsClosed
    return bill


def _words(bill: Bill, groups: Sequence[TaxGroup], reason: str) -> dict[str, Any]:
    words = _("Credit of bill %(number)s: %(reason)s") % {
        "number": bill.number,
        "reason": reason,
    }
    return _minus(words, groups)


def _minus(words: str, groups: Sequence[TaxGroup]) -> dict[str, Any]:
    amount = sum((group.amount for group in groups), NOTHING)
    return line(words, -amount.net, [_negative(group) for group in groups])


def _negative(group: TaxGroup) -> TaxGroup:
    return replace(group, net=-group.net, tax=-group.tax)


def _amount(off: Off, left: list[TaxGroup]) -> list[TaxGroup]:
    """The groups that make the amount; CreditTooLarge beyond what is left of them."""
    if off.group is None:
        chosen = left
    elif 0 <= off.group < len(left):
        chosen = [left[off.group]]
    else:
        raise CreditTooLarge(_("This tax is not on the bill."))
    whole = sum((group.amount for group in chosen), NOTHING)
    if not 0 < off.amount <= whole.gross:
        raise CreditTooLarge(
            _("Only %(left)s of it is left to be credited, tax included.")
            % {"left": max(whole.gross, Decimal("0.00"))}
        )
    return list(taken_off(chosen, off.amount, places=money_places()))


def _chosen(
    bill: Bill, off: Off, left: list[TaxGroup], reason: str
) -> tuple[list[dict[str, Any]], list[TaxGroup]]:
    """The credit's lines and groups for the bill's lines that were chosen."""
    lines = []
    taken: dict[tuple[str, str, Decimal], TaxGroup] = {}
    for place in sorted(set(off.lines)):
        printed = bill.lines[place] if 0 <= place < len(bill.lines) else {}
        groups = groups_kept(printed.get("taxes", []))
        if not groups:
            raise CreditTooLarge(
                _("This line cannot be credited by itself. Credit an amount.")
            )
        words = _("Credit of bill %(number)s: %(reason)s – %(line)s") % {
            "number": bill.number,
            "reason": reason,
            "line": printed["description"],
        }
        lines.append(_minus(words, groups))
        for group in groups:
            key = key_of_group(group)
            before = taken.get(key)
            taken[key] = (
                replace(group, net=group.net + before.net, tax=group.tax + before.tax)
                if before
                else group
            )
    had = {key_of_group(group): group for group in left}
    for key, group in taken.items():
        most = had.get(key)
        if most is None or group.net > most.net or group.tax > most.tax:
            raise CreditTooLarge(
                _(
                    "These lines come to %(asked)s before tax in %(tax)s, of which only"
                    " %(left)s is left to be credited."
                )
                % {
                    "asked": group.net,
                    "tax": f"{group.name} {group.percent.normalize():f} %"
                    if group.name
                    else _("what is not taxed"),
                    "left": most.net if most else Decimal("0.00"),
                }
            )
    return lines, list(taken.values())


def _credit(
    *,
    bill: Bill,
    groups: Sequence[TaxGroup],
    lines: list[dict[str, Any]],
    is_billed_again: bool,
    is_part: bool,
    day: dt.date,
    by: Person,
    now: dt.datetime,
) -> Bill:
    amount = sum((_negative(group).amount for group in groups), NOTHING)
    if amount.gross >= 0:
        raise CreditTooLarge(_("Nothing of this bill is left to be credited."))
    garden = bill.job.garden if bill.job else bill.contract.garden  # type: ignore[union-attr]
    made = issue_bill(
        kind=BillKind.CREDIT,
        garden=garden,
        job=bill.job,
        contract=bill.contract,
        lines=lines,
        amount=amount,
        groups=[_negative(group) for group in groups if group.net or group.tax],
        tax_name=bill.tax_name,
        tax_percent=bill.tax_percent,
        day=day,
        by=by,
        now=now,
        credits=bill,
        lowers_price=not is_billed_again,
        is_part=is_part,
    )
    freed = (
        {"instalment": None, "milestone": None, "addition": None}
        if is_billed_again and standing_of(bill).due <= 0
        else {}
    )
    settle(bill, **freed)
    return made
