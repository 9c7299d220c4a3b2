"""Addresses of work."""

from types import SimpleNamespace
from typing import Any

from firm import clock
from jobs.actions.guides import issue_guide
from jobs.actions.links import key_of
from jobs.models import LocateRequest
from tests import factories
from tests.jobs.work_samples import planting_sample
from tests.system.access_rows import PRIVATE_LINK, Permission, Row

PLAN = Permission.PLAN_WORK

ROWS: dict[str, Row] = {
    "jobs": Row(PLAN),
    "to-buy": Row(Permission.WRITE_QUOTES),
    "job": Row(PLAN, sample="planting job"),
    "job-addition": Row(Permission.WRITE_QUOTES, post=200, sample="planting job"),
    "job-substitute": Row(Permission.WRITE_QUOTES, post=200, sample="job plant"),
    "job-book": Row(PLAN, post=200, sample="planting job"),
    "job-locate": Row(PLAN, post=200, sample="planting job"),
    "job-marks": Row(PLAN, get=None, post=302, sample="job lines"),
    "job-start": Row(PLAN, get=None, post=302, sample="planting job"),
    "job-finish": Row(PLAN, post=200, sample="planting job"),
    "job-call-off": Row(PLAN, post=200, sample="planting job"),
    "single-visit-finish": Row(PLAN, get=None, post=302, sample="single job"),
    "single-visit-new": Row(PLAN, post=200, sample="garden"),
    "guide-new": Row(PLAN, post=200, sample="garden"),
    "guide": Row(PLAN, sample="guide"),
    "guide-pdf": Row(PLAN, get=202, sample="guide"),
    "guide-send": Row(PLAN, get=None, post=302, sample="guide"),
    "guide-link-withdraw": Row(PLAN, get=None, post=302, sample="guide link"),
    "link-guide": Row(PRIVATE_LINK, sample="guide key"),
    "link-guide-pdf": Row(PRIVATE_LINK, get=202, sample="guide key"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A planting job, a single visit and a care guide with its private link."""
    now = clock.now()
    job = planting_sample(client=base.client).job
    single = factories.VisitFactory(
        job=factories.JobFactory(number="J-2026-9101", garden=base.garden)
    ).job
    issued = issue_guide(
        garden=base.garden,
        planting_ids=[base.planting.pk],
        start=now.date(),
        contact=None,
        now=now,
        by=base.people["owner"],
    )
    lines = LocateRequest.objects.create(
        job=job,
        number="L-1",
        asked_on=now.date(),
        digs_from=now.date(),
        written_by=base.people["owner"],
        written_at=now,
    )
    return {
        "job lines": {"pk": job.pk, "row": lines.pk},
        "planting job": {"pk": job.pk},
        "job plant": {"pk": job.pk, "row": job.plants.order_by("id")[0].pk},
        "single job": {"pk": single.pk},
        "guide": {"pk": issued.document.pk},
        "guide link": {"pk": issued.document.pk, "link": issued.link.pk},
        "guide key": {"key": key_of(issued.link)},
    }
