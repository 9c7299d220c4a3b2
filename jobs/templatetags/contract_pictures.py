"""The year of a care contract, drawn from its visits."""

import datetime as dt

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.templatetags.notebook import day_month
from jobs.models import Visit
from jobs.queries.contracts import ContractPage
from plants import drawings

register = template.Library()

LEAST_DAYS = 28


@register.simple_tag
def contract_strip(page: ContractPage, today: dt.date | None = None) -> SafeString:
    """When each visit may fall and its best day; of booked ones also their day.

    Nothing for a contract too short to be a strip of months.
    """
    contract = page.contract
    days = (contract.ends_on - contract.starts_on).days + 1
    windows = [_booked(visit) for visit in page.booked] or [
        drawings.Window(
            label=f"{number}. {visit.title}",
            earliest=visit.earliest,
            best=visit.best,
            latest=visit.latest,
        )
        for number, visit in enumerate(page.visits, start=1)
    ]
    shown = [window for window in windows if window is not None]
    if days < LEAST_DAYS or not shown:
        return SafeString("")
    return SafeString(
        drawings.care_year(
            sorted(shown, key=lambda window: window.best),
            start=contract.starts_on,
            days=days,
            today=today,
            title=gettext("The year of visits"),
            prefix=f"contract-{contract.pk}",
            width=720,
            gettext=gettext,
        )
    )


def _booked(visit: Visit) -> drawings.Window | None:
    """A booked visit's window; its day stands in its words, never as its best day."""
    best = visit.best_on or visit.day
    if best is None:
        return None
    state = visit.get_state_display()
    said = f"{visit.title}, {state}"
    if visit.day is not None:
        said = gettext("%(title)s: %(day)s, %(state)s") % {
            "title": visit.title,
            "state": state,
            "day": day_month(visit.day),
        }
    return drawings.Window(
        label=said,
        earliest=min(visit.earliest_on or best, best),
        best=best,
        latest=max(visit.latest_on or best, best),
    )
