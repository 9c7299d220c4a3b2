"""Work that was found while a job ran: quoted, agreed, done and billed with it."""

import datetime as dt
import uuid
from decimal import ROUND_DOWN, Decimal

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.html import strip_tags

from firm import clock
from firm.models import Person, TaxRegion
from jobs.actions.agreements import agree_by_link
from jobs.actions.bills import bill_job
from jobs.actions.quotes import QuoteDetails, revise
from jobs.actions.work import JobIsOver, NoSuchJob, begin_addition
from jobs.actions.work.visits import put_visit
from jobs.models import Bill, Document, Job, Quote
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import offered, ready

pytestmark = pytest.mark.django_db
D = Decimal


def agreed(quote: Quote) -> Quote:
    """The quote offered and agreed to on its private page."""
    link = offered(quote).link
    assert link is not None
    agree_by_link(link_id=link.pk, name="Dana Quill", now=NOW)
    quote.refresh_from_db()
    return quote


def addition(job: Job, owner: Person) -> Quote:
    """A draft on top of JOB with two hours and three plants."""
    quote = begin_addition(
        job_id=job.pk,
        key=uuid.uuid4(),
        details=QuoteDetails(
            title="Roots of the old stump",
            words="",
            terms="",
            margin_percent=D(40),
            valid_until=None,
        ),
        by=owner,
        now=NOW,
    )
    factories.QuoteLineFactory(quote=quote, is_taxed=False, quantity=2)
    factories.QuoteLineFactory(
        quote=quote,
        kind="plants",
        plant=factories.PlantFactory(common="Foamflower"),
        count_rule="typed",
        description="Foamflower",
        quantity=3,
        unit="plants",
        is_taxed=False,
    )
    return quote


@pytest.fixture
def job(owner: Person) -> Job:
    """A planting job of an agreed quote."""
    quote: Quote = agreed(ready("Q-2026-8001"))
    job: Job = quote.job
    return job


def test_an_agreed_addition_grows_its_job_and_opens_none(
    job: Job, owner: Person
) -> None:
    visit = put_visit(job=job, day=TODAY, crew=factories.CrewFactory(), reason="")
    before = visit.tasks.count()
    hours, cost, price = job.planned_hours, job.planned_cost, job.price
    assert price is not None
    extra = agreed(addition(job, owner))
    assert extra.state == "agreed"
    assert Job.objects.count() == 1
    job.refresh_from_db()
    visit.refresh_from_db()
    assert job.planned_hours == hours + 2
    assert job.planned_cost == cost + extra.cost
    assert job.price == price + extra.net
    assert job.plants.order_by("-id").values_list("plant__common", "count")[0] == (
        "Foamflower",
        3,
    )
    assert visit.planned_hours == hours + 2
    assert visit.tasks.count() == before + 1
    assert "3 × Foamflower" in visit.tasks.order_by("-position")[0].title


def test_a_bill_names_the_addition_and_adds_up(job: Job, owner: Person) -> None:
    main: Quote | None = job.quote
    assert main is not None
    extra = agreed(addition(job, owner))
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW, day=TODAY)
    bill = bill_job(job=job, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    assert (bill.net, bill.tax, bill.gross) == (
        main.net + extra.net,
        main.tax + extra.tax,
        main.gross + extra.gross,
    )
    assert [D(line["net"]) for line in bill.lines] == [main.net, extra.net]
    assert "Roots of the old stump" in bill.lines[1]["description"]


def test_a_yes_to_an_addition_comes_too_late_once_the_job_is_over(
    job: Job, owner: Person
) -> None:
    quote = addition(job, owner)
    link = offered(quote).link
    assert link is not None
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW, day=TODAY)
    with pytest.raises(JobIsOver, match="is over"):
        agree_by_link(link_id=link.pk, name="Dana Quill", now=NOW)
    job.refresh_from_db()
    with pytest.raises(JobIsOver):
        addition(job, owner)
    with pytest.raises(NoSuchJob):
        addition(factories.JobFactory(), owner)


def test_a_revised_addition_stays_on_top_of_its_job(job: Job, owner: Person) -> None:
    quote = addition(job, owner)
    offered(quote)
    assert revise(quote_id=quote.pk, by=owner, now=NOW).addition_to == job


def test_the_job_page_leads_to_an_addition_and_shows_it(
    owner_client: StrictClient, job: Job
) -> None:
    url = reverse("job-addition", args=[job.pk])
    form = owner_client.get(url).context["form"]
    assert form["title"].value() == f"Addition to {job.title}"
    typed = {
        "title": "Roots of the old stump",
        "margin_percent": "40",
        "key": str(uuid.uuid4()),
    }
    refused = owner_client.post(url, {**typed, "title": ""})
    assert refused.context["form"].errors["title"]
    first = owner_client.post(url, typed)
    again = owner_client.post(url, typed)
    extra = Quote.objects.get(addition_to=job)
    assert first["Location"] == again["Location"] == reverse("quote", args=[extra.pk])
    assert b"It comes on top of a job" in owner_client.get(first["Location"]).content
    page = owner_client.get(reverse("job", args=[job.pk])).content.decode()
    assert "Roots of the old stump" in page
    Job.objects.filter(pk=job.pk).update(
        state="finished", finished_at=NOW, day=dt.date(2026, 3, 1)
    )
    late = owner_client.post(url, {**typed, "key": str(uuid.uuid4())})
    assert "is over" in str(late.context["form"].errors)


def test_bills_say_on_how_much_their_tax_is_and_add_up_in_each_tax(
    job: Job, owner: Person
) -> None:
    main: Quote | None = job.quote
    assert main is not None
    whole = main.agreement.taxes
    # 1,419.10 of plants are taxed, the labour is not.
    assert [(each["name"], each["net"]) for each in whole if each["name"]] == [
        ("Sales tax", "1419.10")
    ]
    deposit = bill_job(job=job, deposit_percent=D(30), day=TODAY, by=owner, now=NOW)
    extra = agreed(addition(job, owner))
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW, day=TODAY)
    final = bill_job(job=job, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    for bill in (deposit, final):
        assert sum(D(each["net"]) for each in bill.taxes) == bill.net
        assert sum(D(each["tax"]) for each in bill.taxes) == bill.tax
    taxed = [
        [D(each["net"]) for each in bill.taxes if each["name"]]
        for bill in (deposit, final)
    ]
    assert deposit.net + final.net == main.net + extra.net
    more = sum(D(each["net"]) for each in extra.agreement.taxes if each["name"])
    assert taxed[0][0] + taxed[1][0] == D("1419.10") + more
    paper = draw_pdf_text(final)
    assert "Sales tax 6 % on $" in paper


def draw_pdf_text(bill: Bill) -> str:
    """The words of the bill's page."""
    snapshot = Document.objects.get(bill=bill).snapshot
    page = render_to_string("documents/bill.html", {"paper": snapshot})
    return " ".join(strip_tags(page).replace("\N{NO-BREAK SPACE}", " ").split())


def test_a_deposit_over_the_cap_of_the_place_is_refused_beside_its_field(
    job: Job, bookkeeper_client: StrictClient
) -> None:
    place = TaxRegion.objects.create(name="Hill county", deposit_cap_percent=10)
    type(job.garden).objects.filter(pk=job.garden_id).update(tax_region=place)
    gross = job.quote.gross  # type: ignore[union-attr]
    url = reverse("deposit-new", args=[job.pk])
    today = str(clock.today(time_zone="America/New_York"))
    refused = bookkeeper_client.post(url, {"day": today, "deposit_percent": "30"})
    most = (gross / 10).quantize(D("0.01"), rounding=ROUND_DOWN)
    assert refused.context["form"].errors["deposit_percent"] == [
        f"In Hill county a deposit on this is {most} at the most."
    ]
    assert not Bill.objects.exists()
    kept = bookkeeper_client.post(url, {"day": today, "deposit_percent": "9"})
    assert kept.status_code == 302
    assert Bill.objects.get().gross <= most
