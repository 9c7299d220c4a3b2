"""What logged hours suggest, taken or left by the owner."""

import datetime as dt
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.actions.labour.rates import (
    RateDetails,
    RateRefused,
    change_factor,
    change_rate,
    take_factor,
    take_rate,
)
from jobs.enums import RateMark
from jobs.models import ConditionFactor, ProductionRate
from jobs.queries.labour.learned import Suggestion, suggestion_of


class SaysOtherwise(RateRefused):
    """The hours no longer say what the page showed."""

    def __init__(self) -> None:
        super().__init__(
            _("The hours say something else by now; nothing was changed. Look again.")
        )


def _shown(key: str, becomes: Decimal) -> Suggestion:
    """The suggestion, if it still is the one that was shown."""
    found = suggestion_of(key=key)
    if found is None or found.becomes != becomes:
        raise SaysOtherwise
    return found


def _words(found: Suggestion) -> str:
    said = found.learned
    return _(
        "%(jobs)s jobs took %(ratio)s times the quoted hours (%(least)s to %(most)s)"
    ) % {
        "jobs": said.jobs,
        "ratio": said.ratio,
        "least": said.least,
        "most": said.most,
    }


@transaction.atomic
def take_learned(
    *, key: str, version: int, becomes: Decimal, by: Person, now: dt.datetime
) -> ProductionRate | ConditionFactor:
    """The rate, or the firm's pace, as the logged hours have it; marked as such."""
    found = _shown(key, becomes)
    row, note = found.row, _words(found)
    if isinstance(row, ConditionFactor):
        return change_factor(
            key=key,
            version=version,
            factor=becomes,
            note=note,
            mark=RateMark.LOGGED,
            by=by,
            now=now,
        )
    return change_rate(
        key=key,
        version=version,
        details=RateDetails(
            unit=row.unit,
            is_per_hour=row.is_per_hour,
            low=min(row.low, becomes),
            typical=becomes,
            high=max(row.high, becomes),
        ),
        note=note,
        mark=RateMark.LOGGED,
        by=by,
        now=now,
    )


@transaction.atomic
def leave_learned(
    *, key: str, version: int, becomes: Decimal, by: Person, now: dt.datetime
) -> ProductionRate | ConditionFactor:
    """The rate as it was; it is asked about again once another job is finished."""
    found = _shown(key, becomes)
    row: ProductionRate | ConditionFactor
    if isinstance(found.row, ConditionFactor):
        row = take_factor(key=key, version=version)
    else:
        row = take_rate(key=key, version=version)
    row.left_at = now
    row.save(update_fields=["left_at"])
    record(
        action="learned rate left",
        subject=row,
        summary=f"{row.name}: {found.now_is:f} stays, {_words(found)}",
        now=now,
        by=by,
    )
    return row
