"""Another plant than was agreed: recorded with the client's yes, and repriced."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm import clock
from firm.actions.record import SomebodyElseChangedIt
from firm.models import Person
from jobs.actions.bills import bill_job
from jobs.actions.work import Consent, Instead, WorkRefused, substitute
from jobs.actions.work.visits import put_visit
from jobs.enums import ConsentHow
from jobs.models import Job, JobPlant, Substitution
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import ready
from tests.jobs.test_additions import agreed

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def row(owner: Person) -> JobPlant:
    """69 asters at 12.34, agreed at 20.57 each typed or priced at 40 %."""
    quote = agreed(ready("Q-2026-8101"))
    row: JobPlant = JobPlant.objects.get(job__quote=quote)
    return row


def change(row: JobPlant, by: Person, **changes: Any) -> Substitution:
    row.job.refresh_from_db()
    values: dict[str, Any] = {
        "plant": factories.PlantFactory(common="Foamflower"),
        "size_text": "#1",
        "count": 69,
        "unit_cost": D("10.00"),
        "supplier_item": None,
        "reason": "not to be had",
        "keeps_price": True,
    }
    consent = {
        "how": ConsentHow.PHONE,
        "name": "Dana Quill",
        "agreed_on": TODAY,
        "note": "",
    }
    consent |= {name: changes.pop(name) for name in consent if name in changes}
    return substitute(
        job_plant_id=row.pk,
        version=changes.pop("version", row.job.version),
        key=changes.pop("key", uuid.uuid4()),
        instead=Instead(**{**values, **changes}),
        consent=Consent(**consent),
        by=by,
        now=NOW,
    )


def test_at_the_same_price_only_the_cost_changes(row: JobPlant, owner: Person) -> None:
    job, line = row.job, row.quote_line
    assert line is not None
    price, cost = job.price, job.planned_cost
    visit = put_visit(job=job, day=TODAY, crew=factories.CrewFactory(), reason="")
    kept = change(row, owner)
    job.refresh_from_db()
    row.refresh_from_db()
    assert (kept.net, kept.tax, kept.gross) == (D(0), D(0), D(0))
    # 69 at 10.00 instead of 69 at 12.34.
    assert kept.cost == D("690.00") - line.cost == D("-161.46")
    assert job.price == price
    assert job.planned_cost == cost + kept.cost
    assert (row.plant.common, row.size_now, row.count) == ("Foamflower", "#1", 69)
    task = visit.tasks.get(rule_key=f"plant-{row.pk}")
    assert task.title == "Plant 69 × Foamflower"


def test_priced_anew_the_job_its_tax_and_its_bill_follow(
    row: JobPlant, owner: Person
) -> None:
    job, line = row.job, row.quote_line
    assert line is not None
    assert line.tax_percent == D("6.000")
    agreed_net, before = job.quote.agreement.net, job.price  # type: ignore[union-attr]
    assert before == agreed_net
    kept = change(row, owner, keeps_price=False, count=70)
    # 700.00 of cost at a margin of 40 %.
    assert kept.plants_price == D("1166.67")
    assert kept.net == D("1166.67") - line.price
    assert kept.tax == (kept.net * D("0.06")).quantize(D("0.01"))
    assert kept.gross == kept.net + kept.tax
    job.refresh_from_db()
    assert job.price == before + kept.net
    # A second change counts from the first.
    again = change(row, owner, keeps_price=False, count=35)
    assert again.from_count == 70
    assert again.net == D("583.33") - D("1166.67")
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW, day=TODAY)
    bill = bill_job(job=job, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    assert bill.net == agreed_net + kept.net + again.net
    assert bill.gross == bill.net + bill.tax
    assert sum(D(each["net"]) for each in bill.lines) == bill.net


def test_the_same_form_twice_changes_the_job_once(row: JobPlant, owner: Person) -> None:
    key = uuid.uuid4()
    first = change(row, owner, key=key)
    assert change(row, owner, key=key) == first
    assert Substitution.objects.count() == 1


def test_what_cannot_be_is_refused_and_nothing_is_written(
    row: JobPlant, owner: Person
) -> None:
    line = row.quote_line
    assert line is not None
    with pytest.raises(WorkRefused, match="day to come"):
        change(row, owner, agreed_on=TODAY + dt.timedelta(days=1))
    with pytest.raises(SomebodyElseChangedIt):
        change(row, owner, version=99)
    same = {"plant": row.plant, "size_text": row.size_now, "count": row.count}
    with pytest.raises(WorkRefused, match="Nothing is different"):
        change(row, owner, **same, unit_cost=line.unit_cost)
    JobPlant.objects.filter(pk=row.pk).update(
        planting=factories.PlantingFactory(garden=row.job.garden)
    )
    with pytest.raises(WorkRefused, match="already recorded as planted"):
        change(row, owner)
    assert not Substitution.objects.exists()
    assert Job.objects.get().price == row.job.price


def test_a_finished_job_takes_no_other_plant(row: JobPlant, owner: Person) -> None:
    Job.objects.filter(pk=row.job_id).update(
        state="finished", finished_at=NOW, day=TODAY
    )
    with pytest.raises(WorkRefused, match="already finished"):
        change(row, owner)


def test_the_page_shows_what_it_changes_before_it_is_kept(
    owner_client: StrictClient, row: JobPlant
) -> None:
    url = reverse("job-substitute", args=[row.job_id, row.pk])
    other = factories.PlantFactory(common="Foamflower")
    today = clock.today(time_zone="America/New_York")
    form = owner_client.get(url).context["form"]
    typed = {
        "version": form["version"].value(),
        "key": str(form["key"].value()),
        "plant": str(other),
        "size": "#1",
        "count": "70",
        "unit_cost": "10.00",
        "price": "anew",
        "reason": "not to be had",
        "name": "Dana Quill",
        "how": "phone",
        "agreed_on": str(today),
    }
    looked = owner_client.post(url, {**typed, "look": "1"})
    assert looked.context["looked"].price == D("1166.67")
    assert not Substitution.objects.exists()
    for field, wrong, words in (
        ("plant", "no such plant", "is not in the catalogue"),
        ("size", "a big one", "does not say how it is sold"),
        ("agreed_on", str(today + dt.timedelta(days=2)), "cannot have said yes"),
        ("name", "", "required"),
        ("unit_cost", "many", ""),
    ):
        refused = owner_client.post(url, {**typed, field: wrong})
        assert refused.status_code == 200
        assert words in str(refused.context["form"].errors[field])
    assert owner_client.post(url, typed).status_code == 302
    page = owner_client.get(reverse("job", args=[row.job_id])).content.decode()
    assert "Other plants than agreed" in page
    assert "agreed by Dana Quill by telephone" in " ".join(page.split())
