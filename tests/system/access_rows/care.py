"""Addresses of care contracts and the week."""

import datetime as dt
from types import SimpleNamespace
from typing import Any

from firm import clock
from jobs.actions.links import key_of
from jobs.models import Visit
from tests import factories
from tests.jobs.contract_samples import (
    care_garden,
    drawn,
    offered_contract,
    owner_of_all,
    running,
)
from tests.system.access_rows import PRIVATE_LINK, Permission, Row

RUN = Permission.RUN_CONTRACTS
SEE = Permission.SEE_MONEY
PLAN = Permission.PLAN_WORK

ROWS: dict[str, Row] = {
    "contract-new": Row(RUN, post=200, sample="garden"),
    "contract": Row(SEE, sample="contract"),
    "contract-change": Row(RUN, post=200, sample="contract"),
    "contract-draw": Row(
        RUN, get=None, post=302, sample="contract", data={"version": "1"}
    ),
    # No version: somebody else may have changed it, so nothing is done.
    "contract-work": Row(RUN, get=None, post=409, sample="contract"),
    "contract-visit-new": Row(RUN, get=None, post=200, sample="contract"),
    "contract-revise": Row(RUN, get=None, post=302, sample="offered contract"),
    "contract-renew": Row(RUN, get=None, post=302, sample="running contract"),
    "contract-pdf": Row(SEE, get=202, sample="offered contract"),
    "contract-offer": Row(RUN, post=200, sample="contract"),
    "contract-send": Row(RUN, post=200, sample="offered contract"),
    "contract-link-withdraw": Row(
        RUN, get=None, post=302, sample="offered contract link"
    ),
    "contract-withdraw": Row(RUN, post=200, sample="offered contract"),
    "contract-declined": Row(
        RUN, post=200, sample="offered contract", data={"why": "dear"}
    ),
    "contract-agreed": Row(RUN, post=200, sample="offered contract"),
    "contract-pause": Row(RUN, post=200, sample="running contract"),
    # A running contract is not resumed.
    "contract-resume": Row(RUN, get=None, post=409, sample="running contract"),
    "contract-end": Row(RUN, post=200, sample="running contract"),
    "link-contract": Row(PRIVATE_LINK, sample="contract key"),
    "link-contract-agree": Row(PRIVATE_LINK, get=None, post=200, sample="contract key"),
    "link-contract-decline": Row(
        PRIVATE_LINK,
        get=None,
        post=200,
        sample="contract key",
        # More words than are kept: the form comes back and nothing is decided.
        data={"reason": "no " * 100},
    ),
    "link-contract-pdf": Row(PRIVATE_LINK, get=202, sample="contract key"),
    "week": Row(PLAN),
    "week-order": Row(PLAN, post=200, sample="crew day"),
    "visit": Row(PLAN, sample="care visit"),
    "visit-place": Row(PLAN, post=200, sample="care visit"),
    "visit-take-off": Row(PLAN, get=None, post=302, sample="care visit"),
    "visit-call-off": Row(PLAN, post=200, sample="care visit"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A draft, an offered and a running contract, a visit, a crew's day."""
    now, by = clock.now(), owner_of_all()
    today = now.date()
    draft = drawn(care_garden(name="Draft Row"), now=now, by=by, starts_on=today)
    out = offered_contract(
        drawn(care_garden(name="Offer Row"), now=now, by=by, starts_on=today),
        now=now,
        until=today + dt.timedelta(days=30),
        by=by,
    )
    assert out.link is not None
    runs = running(care_garden(name="Running Row"), now=now, starts_on=today)
    visit = Visit.objects.filter(contract=runs).order_by("best_on", "id").first()
    assert visit is not None
    crew = factories.CrewFactory()
    return {
        "contract": {"pk": draft.pk},
        "offered contract": {"pk": out.contract.pk},
        "offered contract link": {"pk": out.contract.pk, "link": out.link.pk},
        "running contract": {"pk": runs.pk},
        "contract key": {"key": key_of(out.link)},
        "care visit": {"pk": visit.pk},
        "crew day": {"crew": crew.pk, "day": str(today)},
    }
