"""Invented planting jobs: booked, planted, billed, paid, and what they cost."""

import datetime as dt
from decimal import Decimal

from firm.models import Person
from firm.money import to_cents
from firm.queries import people_in
from jobs.actions.bills import bill_job, send_bill, take_payment
from jobs.actions.demo.story import Story
from jobs.actions.planting import Planted, finish_planting_job
from jobs.actions.receipts import Share, enter_receipt
from jobs.actions.today import Hours, log_hours
from jobs.actions.work import (
    book_job,
    note_marks,
    start_job,
    write_locate_request,
)
from jobs.enums import HourKind
from jobs.models import Bill, Job, Visit

DEPOSIT_PERCENT = Decimal(33)


def plant_it(
    story: Story, job: Job, *, day: dt.date, crew: str, now: dt.datetime
) -> None:
    """Let the job be booked now, planted on DAY, then billed and paid."""

    def book(now: dt.datetime) -> None:
        book_job(
            job_id=job.pk,
            version=Job.objects.get(pk=job.pk).version,
            day=day,
            crew_id=story.crews[crew].pk,
            reason="",
            by=story.owner,
            now=now,
        )
        bill = bill_job(
            job=job,
            deposit_percent=DEPOSIT_PERCENT,
            day=now.date(),
            by=story.bookkeeper,
            now=now,
        )
        story.then(now + dt.timedelta(days=6), lambda now: pay(story, bill, now=now))
        ask_for_lines(story, job, day=day, now=now)

    def work(now: dt.datetime) -> None:
        start_job(
            job_id=job.pk,
            version=Job.objects.get(pk=job.pk).version,
            by=story.people["crew"],
            now=now,
        )
        story.then(story.at(day, 16, 30), finish)

    def finish(now: dt.datetime) -> None:
        finish_planting_job(
            job_id=job.pk,
            version=Job.objects.get(pk=job.pk).version,
            day=day,
            planted=[
                Planted(job_plant_id=row.pk, count=row.count, bed_id=row.bed_id)
                for row in job.plants.order_by("id")
            ],
            by=story.owner,
            now=now,
        )
        visit = Visit.objects.get(job=job)
        _hours_of_a_planting(story, visit, now=now)
        _goods(story, job, day=day, now=now)
        story.then(story.at(day + dt.timedelta(days=3), 10), bill_the_rest)

    def bill_the_rest(now: dt.datetime) -> None:
        bill = bill_job(
            job=job,
            deposit_percent=None,
            day=now.date(),
            by=story.bookkeeper,
            now=now,
        )
        send_bill(bill=bill, by=story.bookkeeper, now=now)
        if crew == "Alder":
            later = now + dt.timedelta(days=12)
            story.then(later, lambda now: pay(story, bill, now=now))
        else:
            later = now + dt.timedelta(days=14)
            story.then(later, lambda now: pay(story, bill, part=True, now=now))

    story.then(now + dt.timedelta(hours=3), book)
    story.then(story.at(day, 7, 45), work)


def ask_for_lines(story: Story, job: Job, *, day: dt.date, now: dt.datetime) -> None:
    """Let the lines be asked for now and be marked when the crew comes on DAY."""
    request = write_locate_request(
        job_id=job.pk,
        number=f"CW-{40_000 + job.pk}",
        asked_on=now.date(),
        first_day=None,
        good_until=day + dt.timedelta(days=14),
        key=story.key(),
        by=story.owner,
        now=now,
    )

    def see(now: dt.datetime) -> None:
        note_marks(
            job_id=job.pk,
            request_id=request.pk,
            note="Yellow flags along the drive, none in the beds.",
            by=story.people["crew"],
            now=now,
        )

    story.then(story.at(day, 7, 35), see)


def pay(story: Story, bill: Bill, *, now: dt.datetime, part: bool = False) -> None:
    """The client's payment, or the half of it; nothing that lies in the future."""
    if now >= story.now:
        return
    amount = bill.gross // 2 if part else bill.gross
    take_payment(
        bill=bill,
        amount=amount,
        day=now.date(),
        how="transfer",
        key=story.key(),
        by=story.bookkeeper,
        now=now,
    )


def _hours_of_a_planting(story: Story, visit: Visit, *, now: dt.datetime) -> None:
    """What the crew logged: the planned hours shared, the drive and the loading."""
    if visit.crew is None or visit.day is None or visit.job is None:
        raise LookupError("The visit has no crew.")
    people = people_in(crew=visit.crew, day=visit.day)
    each = min(Decimal(9), visit.job.planned_hours / len(people))
    quarters = Decimal(int(each * 4)) / 4
    log(
        story,
        visit,
        [(person, HourKind.WORK, quarters) for person in people]
        + [(person, HourKind.TRAVEL, Decimal("0.75")) for person in people]
        + [(people[0], HourKind.YARD, Decimal("0.50"))],
        now=now,
    )


def log(
    story: Story,
    visit: Visit,
    entries: list[tuple[Person, HourKind, Decimal]],
    *,
    now: dt.datetime,
    note: str = "",
) -> None:
    """The hours of several people on the visit's day."""
    if visit.day is None:
        raise LookupError("The visit has no day.")
    log_hours(
        day=visit.day,
        today=visit.day,
        entries=[
            Hours(person=person, kind=kind, hours=hours)
            for person, kind, hours in entries
        ],
        visit=visit,
        crew=visit.crew,
        note=note,
        key=story.key(),
        by=story.people["crew"],
        now=now,
    )


def _goods(story: Story, job: Job, *, day: dt.date, now: dt.datetime) -> None:
    """What the nursery and the soil yard charged for the job."""
    suppliers = (
        ("Brackenside Nursery", "N", Decimal("0.62")),
        ("Lower Quarry Soil Yard", "L", Decimal("0.14")),
    )
    for supplier, letter, share in suppliers:
        net = to_cents(job.planned_cost * share)
        tax = to_cents(net * 6 / 100)
        enter_receipt(
            supplier=supplier,
            number=f"{letter}-{job.number[-4:]}-{day:%m%d}",
            day=day - dt.timedelta(days=1),
            net=net,
            tax=tax,
            gross=net + tax,
            shares=[Share(owner=f"job-{job.pk}", net=net, tax=tax)],
            note=job.title,
            scan="",
            key=story.key(),
            by=story.bookkeeper,
            now=now,
        )
