"""Addresses of firm."""

import datetime as dt
from types import SimpleNamespace
from typing import Any

from firm.actions.accounts import invitation_key, invite
from firm.models import DayOff, LabourRate, TaxRegion
from tests import factories
from tests.system.access_rows import PUBLIC, Permission, Row

RUN, SEE, EDIT = (
    Permission.RUN_FIRM,
    Permission.SEE_GARDENS,
    Permission.EDIT_GARDENS,
)
BACK = {"owner": 302, "crew": 302, "bookkeeper": 302}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """Rows of the firm that addresses name."""
    owner = base.people["owner"]
    crew = factories.CrewFactory()
    stay = factories.CrewMemberFactory(crew=crew)
    rate = LabourRate.objects.create(name="Pruning", hour_cost=38, hour_price=60)
    day_off = DayOff.objects.create(day=factories.TODAY, reason="Stocktaking")
    # Long before anybody runs this: the link is over.
    invitation = invite(
        name="Robin Sedge",
        email="robin@fernhollow.example",
        role="crew",
        by=owner,
        now=factories.NOW - dt.timedelta(days=30),
    )
    tax_rate = factories.TaxRateFactory(name="Old tax", valid_from="2001-01-01")
    place = TaxRegion.objects.create(name="Oldfield")
    return {
        "tax rate": {"pk": tax_rate.pk},
        "tax region": {"pk": place.pk},
        "person": {"pk": owner.pk},
        "crew": {"pk": crew.pk},
        "stay": {"pk": stay.pk},
        "labour rate": {"pk": rate.pk},
        "day off": {"pk": day_off.pk},
        "invitation": {"pk": invitation.pk},
        "invitation key": {"key": invitation_key(invitation=invitation)},
        "password link": {"uidb64": "MQ", "token": "x-y"},
        "photo": {"name": "photo-" + "0" * 32 + ".jpg"},
    }


ROWS: dict[str, Row] = {
    # Set up already: the first run has closed itself.
    "first-run": Row(PUBLIC, get=404, post=404),
    "login": Row(PUBLIC, get=200, post=200, roles_get=BACK, roles_post=BACK),
    "logout": Row(Permission.SEE_HOME, get=None, post=302),
    "password-change": Row(Permission.SEE_HOME, post=200),
    "password-forgotten": Row(PUBLIC, post=200),
    "password-asked": Row(PUBLIC),
    "password-new": Row(PUBLIC, get=410, post=410, sample="password link"),
    "invitation": Row(PUBLIC, get=410, sample="invitation key"),
    "come-in": Row(PUBLIC, get=404, post=404),
    "firm": Row(RUN, post=200),
    "firm-tax-rate": Row(RUN, post=302, sample="tax rate"),
    "firm-tax-region-new": Row(RUN, post=200),
    "firm-tax-region": Row(RUN, post=200, sample="tax region"),
    "firm-pricing": Row(RUN, post=200),
    "firm-quote-words": Row(RUN, post=200),
    "firm-tax": Row(RUN, post=200),
    "firm-labour": Row(RUN, post=200),
    "firm-labour-rate": Row(RUN, post=200, sample="labour rate"),
    "firm-mail": Row(RUN, post=200),
    "people": Row(RUN, post=200),
    "person-new": Row(RUN, post=200),
    "person": Row(RUN, post=200, sample="person"),
    "invitation-withdraw": Row(RUN, get=None, post=302, sample="invitation"),
    "crews": Row(RUN, post=200),
    "crew": Row(RUN, post=200, sample="crew"),
    "crew-join": Row(RUN, get=None, post=200, sample="crew"),
    "stay-end": Row(RUN, post=200, sample="stay"),
    "days-off": Row(RUN, post=200),
    "day-off-remove": Row(RUN, get=None, post=302, sample="day off"),
    "clients": Row(SEE),
    "client-new": Row(EDIT, post=200),
    "client": Row(SEE, sample="client"),
    "client-change": Row(EDIT, post=200, sample="client"),
    # A photo that is not stored: found out only by those who may ask at all.
    "file": Row(Permission.SEE_HOME, get=404, sample="photo"),
}
