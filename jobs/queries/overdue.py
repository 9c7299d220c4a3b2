"""Letters about bills that are overdue: which went out, which may be next."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.models import Message
from jobs.enums import BillState
from jobs.models import Bill
from jobs.queries.ageing import OpenBill, open_on
from jobs.queries.standing import standing_of

STEPS = 3


def letter_key(bill: Bill, step: int) -> str:
    """The key of the letter of that step, of which there is one at the most."""
    return f"overdue letter:{bill.pk}:{step}"


def step_words(step: int) -> str:
    """What the letter of a step is called."""
    return {
        1: _("first letter: a friendly word"),
        2: _("second letter: asked again"),
        3: _("third letter: please call us"),
    }[step]


@dataclass(frozen=True, kw_only=True)
class LetterSent:
    """A letter that was written and where it stands."""

    step: int
    message: Message

    @property
    def words(self) -> str:
        """What it is called."""
        return step_words(self.step)


def letters_of(bill: Bill) -> list[LetterSent]:
    """The letters about BILL that were written, in their order."""
    keys = {letter_key(bill, step): step for step in range(1, STEPS + 1)}
    rows = {row.key: row for row in Message.objects.filter(key__in=keys)}
    return [
        LetterSent(step=step, message=rows[key])
        for key, step in keys.items()
        if key in rows
    ]


@dataclass(frozen=True, kw_only=True)
class Reminder:
    """What a letter about an overdue bill says on a day; STEP None: none is left."""

    bill: Bill
    day: dt.date
    open_amount: Decimal
    days_late: int
    step: int | None
    letters: Sequence[LetterSent]
    others: Sequence[OpenBill]

    @property
    def is_late(self) -> bool:
        """Whether the bill is open and its day is past."""
        return bool(self.open_amount) and self.days_late > 0

    @property
    def step_words(self) -> str:
        """What the next letter is called."""
        return step_words(self.step) if self.step else ""

    @property
    def all_open(self) -> Decimal:
        """What the client has open altogether."""
        return self.open_amount + sum(
            (each.open_amount for each in self.others), Decimal("0.00")
        )


def reminder(*, bill: Bill, day: dt.date) -> Reminder:
    """The letters about BILL as of DAY, with what else the client has open."""
    letters = letters_of(bill)
    after = max((letter.step for letter in letters), default=0) + 1
    is_open = bill.state in (BillState.OPEN, BillState.PART_PAID)
    return Reminder(
        bill=bill,
        day=day,
        open_amount=standing_of(bill).open_amount if is_open else Decimal("0.00"),
        days_late=max(0, (day - bill.due_on).days),
        step=after if after <= STEPS else None,
        letters=letters,
        others=[
            each
            for each in open_on(day=day, client_id=bill.client_id)
            if each.bill.pk != bill.pk and each.open_amount
        ],
    )
