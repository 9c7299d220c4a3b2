"""Addresses of quotes."""

import datetime as dt
import uuid
from types import SimpleNamespace
from typing import Any

from firm import clock
from jobs.actions.labour import ship_rates
from jobs.actions.quotes import answer_question, ask_by_link
from jobs.actions.takeoff import PlanDetails, lay_out_bed
from jobs.models import QuoteOption
from tests import factories
from tests.jobs.labour_samples import finished
from tests.jobs.offer_samples import offered, ready
from tests.system.access_rows import Permission, Row

WRITE = Permission.WRITE_QUOTES
SEE = Permission.SEE_MONEY
RUN = Permission.RUN_FIRM

ROWS: dict[str, Row] = {
    "quote-labour": Row(WRITE, post=200, sample="quote takeoff"),
    "quote-labour-write": Row(WRITE, get=None, post=302, sample="quote takeoff"),
    "quote-labour-figure": Row(WRITE, post=200, sample="quote labour figure"),
    "work-learned": Row(RUN),
    "work-learned-answer": Row(RUN, get=None, post=302, sample="work learned"),
    "work-rates": Row(RUN),
    "work-rate-new": Row(RUN, post=200),
    "work-rate": Row(RUN, post=200, sample="work rate"),
    "work-factor": Row(RUN, post=200, sample="work factor"),
    "quotes": Row(WRITE),
    "quote-new": Row(WRITE, post=200, sample="garden"),
    "quote": Row(SEE, sample="quote"),
    "quote-change": Row(WRITE, post=200, sample="quote"),
    "quote-line-new": Row(WRITE, post=200, sample="quote kind"),
    "quote-line": Row(WRITE, post=200, sample="quote line"),
    "quote-line-remove": Row(WRITE, get=None, post=302, sample="quote line"),
    "quote-prices": Row(WRITE, post=200, sample="quote"),
    "quote-what-if": Row(WRITE, post=200, sample="quote"),
    "quote-option-new": Row(WRITE, post=200, sample="quote"),
    "quote-option": Row(WRITE, post=200, sample="quote option"),
    "quote-option-remove": Row(WRITE, get=None, post=302, sample="quote option"),
    "quote-payments": Row(WRITE, post=200, sample="quote"),
    "quote-plan": Row(WRITE, post=200, sample="quote plan"),
    "quote-plan-remove": Row(WRITE, get=None, post=302, sample="quote plan"),
    "quote-takeoff": Row(WRITE, post=200, sample="quote takeoff"),
    "quote-takeoff-take": Row(WRITE, get=None, post=302, sample="quote takeoff"),
    "quote-takeoff-figure": Row(WRITE, post=200, sample="quote figure"),
    "quote-revise": Row(WRITE, get=None, post=302, sample="offered quote"),
    "quote-pdf": Row(SEE, get=202, sample="offered quote"),
    "quote-offer": Row(WRITE, post=200, sample="quote"),
    "quote-send": Row(WRITE, post=200, sample="offered quote"),
    "quote-link-withdraw": Row(WRITE, get=None, post=302, sample="offered link"),
    "quote-withdraw": Row(WRITE, post=200, sample="offered quote"),
    "quote-declined": Row(
        WRITE, post=200, sample="offered quote", data={"why": "dear"}
    ),
    "quote-question": Row(WRITE, post=200, sample="quote question"),
    "quote-agreed": Row(WRITE, post=200, sample="offered quote"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A draft with a line, and an offered quote with its private link."""
    draft = factories.QuoteFactory(garden=base.garden, number="Q-2026-9001")
    line = factories.QuoteLineFactory(quote=draft)
    option = QuoteOption.objects.create(quote=draft, position=1, title="Edging")
    now = clock.now()
    out = offered(
        ready(number="Q-2026-9002"),
        now=now,
        last=now.date() + dt.timedelta(days=30),
    )
    assert out.link is not None
    question = ask_by_link(
        link_id=out.link.pk,
        name="Dana Quill",
        words="Will the path stay?",
        key=uuid.uuid4(),
        now=now,
    )
    answered = ask_by_link(
        link_id=out.link.pk,
        name="Dana Quill",
        words="When would you begin?",
        key=uuid.uuid4(),
        now=now,
    )
    answer_question(
        quote_id=out.quote.pk,
        question_id=answered.pk,
        words="In April.",
        by=base.people["owner"],
        now=now,
    )
    planned = factories.QuoteFactory(garden=base.garden, number="Q-2026-9071")
    bed = factories.BedFactory(garden=base.garden, name="Bed to lay out")
    worked = factories.plants_line(quote=planned, bed=bed)
    lay_out_bed(
        quote_id=planned.pk,
        version=planned.version,
        bed_id=bed.pk,
        details=PlanDetails(pattern="triangular", seen_from="front"),
        by=factories.PersonFactory(),
        now=now,
    )
    ship_rates(now=now)
    for _each in range(3):
        finished(
            quoted={"plant-3": "10"},
            logged={"work": "15"},
            garden=base.garden,
            at=now,
        )
    return {
        "work learned": {"key": "plant-3"},
        "work rate": {"rate": "plant-3"},
        "work factor": {"factor": "soil-clay"},
        "quote labour figure": {
            "pk": planned.pk,
            "figure": f"labour-line-{worked.position}",
        },
        "quote takeoff": {"pk": planned.pk},
        "quote figure": {"pk": planned.pk, "figure": f"mulch-{bed.pk}"},
        "quote plan": {"pk": planned.pk, "bed": bed.pk},
        "quote": {"pk": draft.pk},
        "quote option": {"pk": draft.pk, "option": option.pk},
        "quote kind": {"pk": draft.pk, "kind": "labour"},
        "quote line": {"pk": draft.pk, "line": line.pk},
        "offered quote": {"pk": out.quote.pk},
        "quote question": {"pk": out.quote.pk, "question": question.pk},
        "offered link": {"pk": out.quote.pk, "link": out.link.pk},
    }
