"""Invented quotes: agreed and planted, offered, drafting, lapsed, replaced."""

import datetime as dt
from collections.abc import Callable, Sequence
from decimal import Decimal

from firm.models import Contact
from jobs.actions.agreements import agree_by_link, record_agreement
from jobs.actions.demo import quote_lines as line
from jobs.actions.demo.jobs import plant_it
from jobs.actions.demo.story import Story
from jobs.actions.quotes import (
    LineDetails,
    MilestoneDetails,
    Offered,
    QuoteDetails,
    create_quote,
    keep_lines,
    offer,
)
from jobs.enums import AgreedHow, MilestoneWhen
from jobs.models import Job, Quote

TERMS = "A third when you agree, the rest when the work is done."
# What the terms say, as parts that are billed one by one.
PARTS = (
    MilestoneDetails(
        title="A third when you agree",
        percent=Decimal("33.33"),
        when=MilestoneWhen.AGREED,
        is_deposit=True,
    ),
    MilestoneDetails(
        title="The rest when the work is done",
        percent=Decimal("66.67"),
        when=MilestoneWhen.FINISHED,
    ),
)
Lines = Sequence[list[LineDetails]]


def draft(
    story: Story,
    garden: str,
    *,
    title: str,
    words: str,
    lines: Lines,
    now: dt.datetime,
) -> Quote:
    """A quote being drafted, with its lines."""
    quote = create_quote(
        garden_id=story.gardens[garden].pk,
        key=story.key(),
        details=QuoteDetails(
            title=title,
            words=words,
            terms=TERMS,
            margin_percent=Decimal("35.00"),
            valid_until=None,
        ),
        by=story.owner,
        now=now,
    )
    for details in lines:
        quote = keep_lines(
            quote_id=quote.pk,
            version=quote.version,
            details=details,
            by=story.owner,
            now=now,
        )
    return quote


def offer_it(
    story: Story, quote: Quote, *, now: dt.datetime, days: int = 30
) -> Offered:
    """The quote offered by mail to its client's first contact."""
    contact = Contact.objects.get(client=quote.garden.client, is_main=True)
    return offer(
        quote_id=quote.pk,
        version=quote.version,
        contact_id=contact.pk,
        valid_until=now.date() + dt.timedelta(days=days),
        by=story.owner,
        now=now,
    )


def by_link(offered: Offered, *, now: dt.datetime) -> Job:
    """The job that comes of the client's yes on the private page."""
    contact = Contact.objects.get(client=offered.quote.garden.client, is_main=True)
    if offered.link is None:
        raise LookupError("It was not mailed.")
    agree_by_link(link_id=offered.link.pk, name=contact.name, now=now)
    return Job.objects.get(quote=offered.quote)


def by_word(
    story: Story, offered: Offered, *, how: AgreedHow, note: str, now: dt.datetime
) -> Job:
    """The job that comes of a yes that the owner wrote down."""
    contact = Contact.objects.get(client=offered.quote.garden.client, is_main=True)
    agreed_at = now - dt.timedelta(hours=1)
    record_agreement(
        quote_id=offered.quote.pk,
        how=how,
        name=contact.name,
        agreed_at=agreed_at,
        agreed_on=agreed_at.date(),
        note=note,
        scan=None,
        confirm_to=contact.email,
        by=story.owner,
        now=now,
    )
    return Job.objects.get(quote=offered.quote)


def _planted(
    story: Story,
    garden: str,
    *,
    title: str,
    words: str,
    lines: Callable[[], Lines],
    day: dt.date,
    crew: str,
    agrees: Callable[[Offered, dt.datetime], Job],
) -> None:
    """A quote from a month before DAY that was agreed and planted on DAY."""

    def write(now: dt.datetime) -> None:
        quote = draft(story, garden, title=title, words=words, lines=lines(), now=now)
        later = now + dt.timedelta(days=1)
        story.then(later, lambda now: send(quote, now))

    def send(quote: Quote, now: dt.datetime) -> None:
        offered = offer_it(story, quote, now=now)
        story.then(now + dt.timedelta(days=4, hours=5), lambda now: agree(offered, now))

    def agree(offered: Offered, now: dt.datetime) -> None:
        plant_it(story, agrees(offered, now), day=day, crew=crew, now=now)

    story.then(story.at(day - dt.timedelta(days=30), 16), write)


def quotes_of_the_year(story: Story) -> None:
    """Let every invented quote happen on its day."""
    autumn = story.workday(story.last(10, 6, days_ago=25))
    spring = story.workday(story.last(4, 18, days_ago=25))
    bed, plant = story.beds, story.plant
    _planted(
        story,
        "moyle",
        title="Woodland bed under the trees",
        words="As we walked it: green first, white flowers in May and June, no grass.",
        lines=lambda: (
            line.plants(
                bed["moyle", "Under the trees"],
                plant("hydrangea-quercifolia-pee-wee"),
                cost="24.50",
                count=5,
            ),
            line.plants(
                bed["moyle", "Under the trees"],
                plant("hosta-francee"),
                cost="7.80",
                count=24,
            ),
            line.plants(
                bed["moyle", "Under the trees"],
                plant("polystichum-acrostichoides"),
                cost="6.40",
                count=36,
            ),
            line.soil(
                bed["moyle", "Under the trees"], depth="4 in", shares=(70, 30, 0)
            ),
            line.mulch(bed["moyle", "Under the trees"], depth="2 in"),
            line.labour("Clearing, digging between roots by hand, planting", "22"),
            line.delivery(),
        ),
        day=autumn,
        crew="Alder",
        agrees=lambda offered, now: by_link(offered, now=now),
    )
    _planted(
        story,
        "ashgrove",
        title="River border",
        words="Grasses and coneflowers that stand the dry bank.",
        lines=lambda: (
            line.plants(
                bed["ashgrove", "River border"],
                plant("panicum-virgatum-northwind"),
                cost="9.20",
                count=18,
            ),
            line.plants(
                bed["ashgrove", "River border"],
                plant("echinacea-purpurea-magnus"),
                cost="5.60",
                count=45,
            ),
            line.plants(
                bed["ashgrove", "River border"],
                plant("hydrangea-paniculata-limelight"),
                cost="27.00",
                count=3,
            ),
            line.soil(bed["ashgrove", "River border"], depth="8 in"),
            line.mulch(bed["ashgrove", "River border"]),
            line.labour("Soil work and planting", "30"),
            line.delivery(cost="140.00"),
        ),
        day=spring,
        crew="Birch",
        agrees=lambda offered, now: by_link(offered, now=now),
    )
    _planted(
        story,
        "tolliver-town",
        title="South end of the long border",
        words="Nothing that pricks where the swings are.",
        lines=lambda: (
            line.plants(
                bed["tolliver-town", "Long border"],
                plant("hydrangea-arborescens-annabelle"),
                cost="18.90",
                count=4,
            ),
            line.plants(
                bed["tolliver-town", "Long border"],
                plant("hemerocallis-hyperion"),
                cost="6.10",
                count=15,
            ),
            line.mulch(bed["tolliver-town", "Long border"], depth="2 in"),
            line.labour("Planting", "9"),
        ),
        day=story.workday(spring + dt.timedelta(days=8)),
        crew="Alder",
        agrees=lambda offered, now: by_word(
            story, offered, how=AgreedHow.PHONE, note="Rang at noon.", now=now
        ),
    )
    _planted(
        story,
        "hall",
        title="Box along the hall front",
        words="A low edge before the daylilies.",
        lines=lambda: (
            line.plants(
                bed["hall", "Hall front"],
                plant("buxus-microphylla-winter-gem"),
                cost="14.20",
                count=30,
            ),
            line.mulch(bed["hall", "Hall front"], depth="2 in"),
            line.labour("Planting", "12"),
            line.delivery(),
        ),
        day=story.workday(autumn + dt.timedelta(days=6)),
        crew="Birch",
        agrees=lambda offered, now: by_word(
            story,
            offered,
            how=AgreedHow.PAPER,
            note="Minutes of the committee.",
            now=now,
        ),
    )
