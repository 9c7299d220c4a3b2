"""Invented quotes that somebody has to do something about, and two that ended."""

import datetime as dt

from jobs.actions.demo import quote_lines as line
from jobs.actions.demo.quotes import PARTS, Lines, by_link, draft, offer_it
from jobs.actions.demo.story import Story
from jobs.actions.demo.suppliers import buy
from jobs.actions.quotes import (
    Offered,
    OptionDetails,
    keep_lines,
    keep_milestones,
    keep_option,
    lapse_offers,
    revise,
)
from jobs.actions.suppliers import look_at_prices
from jobs.actions.takeoff.plans import PlanDetails, lay_out_bed
from jobs.enums import CountRule
from jobs.models import Quote
from jobs.queries.suppliers import prices_open


def with_instead(
    story: Story, quote: Quote, *, plant: str, instead_of: str, now: dt.datetime
) -> Quote:
    """The draft in which the line of PLANT may take the place of another's."""
    keep_option(
        quote_id=quote.pk,
        version=quote.version,
        details=OptionDetails(
            title="Coral bells for more shade",
            words="They bear the shade of the wall better and keep their leaves.",
            lines=[quote.lines.get(plant__key=plant).pk],
            instead_of=quote.lines.get(plant__key=instead_of).pk,
        ),
        by=story.owner,
        now=now,
    )
    quote.refresh_from_db()
    return quote


def open_quotes(story: Story) -> None:
    """The quotes that somebody still has to do something about, and two that ended."""
    bed, plant = story.beds, story.plant
    spring_edge: Lines = (
        line.plants(
            bed["yard-house", "Court"],
            plant("lavandula-angustifolia-munstead"),
            cost="7.10",
            spacing="18 in",
            rule=CountRule.SQUARE,
        ),
        line.labour("Planting", "6"),
    )

    def lapsing(now: dt.datetime) -> None:
        quote = draft(
            story,
            "yard-house",
            title="Lavender for the court",
            words="Before the new tenants come.",
            lines=spring_edge,
            now=now,
        )
        offer_it(story, quote, now=now, days=21)
        story.then(story.at(now.date() + dt.timedelta(days=22), 3), run_out)

    def run_out(now: dt.datetime) -> None:
        lapse_offers(now=now)

    def first_idea(now: dt.datetime) -> None:
        quote = draft(
            story,
            "crake",
            title="Replanting of the grass bed",
            words="As spoken: taller, and quiet in the wind.",
            lines=(
                line.plants(
                    bed["crake", "Grass bed"],
                    plant("calamagrostis-karl-foerster"),
                    cost="11.40",
                    spacing="24 in",
                ),
                line.labour("Lifting the old grasses, planting", "14"),
            ),
            now=now,
        )
        offered = offer_it(story, quote, now=now)
        story.then(now + dt.timedelta(days=9), lambda now: second_idea(offered, now))

    def second_idea(offered: Offered, now: dt.datetime) -> None:
        quote = revise(quote_id=offered.quote.pk, by=story.owner, now=now)
        quote = keep_lines(
            quote_id=quote.pk,
            version=quote.version,
            details=line.mulch(bed["crake", "Grass bed"], depth="2 in"),
            by=story.owner,
            now=now,
        )
        quote = keep_milestones(
            quote_id=quote.pk,
            version=quote.version,
            milestones=PARTS,
            by=story.owner,
            now=now,
        )
        again = offer_it(story, quote, now=now)
        story.then(now + dt.timedelta(days=5), lambda now: say_yes(again, now))

    def say_yes(offered: Offered, now: dt.datetime) -> None:
        by_link(offered, now=now)

    def waiting(now: dt.datetime) -> None:
        quote = draft(
            story,
            "canal",
            title="Front strip along the towpath",
            words="Low, evergreen in part, in flower when the boats come.",
            lines=(
                line.plants(
                    bed["canal", "Front strip"],
                    plant("spiraea-japonica-goldmound"),
                    cost="12.60",
                    spacing="30 in",
                    count=5,
                ),
                line.plants(
                    bed["canal", "Front strip"],
                    plant("hemerocallis-stella-de-oro"),
                    cost="5.90",
                    spacing="15 in",
                    count=14,
                ),
                line.soil(bed["canal", "Front strip"], depth="8 in"),
                line.mulch(bed["canal", "Front strip"]),
                line.labour("Clearing, soil work, planting", "11"),
                line.delivery(),
                line.plants(
                    bed["canal", "Front strip"],
                    plant("heuchera-autumn-bride"),
                    cost="8.40",
                    spacing="15 in",
                    count=14,
                ),
            ),
            now=now,
        )
        quote = buy(story, quote, now=now)
        quote = with_instead(
            story,
            quote,
            plant="heuchera-autumn-bride",
            instead_of="hemerocallis-stella-de-oro",
            now=now,
        )
        lay_out_bed(
            quote_id=quote.pk,
            version=quote.version,
            bed_id=bed["canal", "Front strip"].pk,
            details=PlanDetails(pattern="triangular", seen_from="front"),
            by=story.owner,
            now=now,
        )
        quote.refresh_from_db()
        # The yard's list is older than the firm lets a price be.
        day = now.date()
        look_at_prices(
            quote_id=quote.pk,
            lines=[row.line.pk for row in prices_open(quote_id=quote.pk, day=day)],
            note="Bo says the yard's prices hold until the end of the month",
            by=story.owner,
            now=now,
        )
        quote.refresh_from_db()
        offer_it(story, quote, now=now)

    def worked(now: dt.datetime) -> None:
        front, round_bed = bed["lantern-front", "Bed A"], bed["lantern-front", "Bed B"]
        quote = draft(
            story,
            "lantern-front",
            title="Front beds, first half",
            words="Bed A filled anew and planted; Bed B mulched.",
            lines=(
                line.soil(front, depth="8 in"),
                line.mulch(front),
                line.plants(
                    front,
                    plant("hydrangea-paniculata-tardiva"),
                    cost="21.50",
                    spacing="24 in",
                    count=6,
                ),
                line.plants(
                    front,
                    plant("hemerocallis-catherine-woodbury"),
                    cost="6.20",
                    spacing="24 in",
                ),
                line.mulch(round_bed),
                line.delivery("Two loads of compost and sand", cost="170.00"),
                line.other(
                    "Disposal of the old soil", quantity="2", unit="load", cost="95.00"
                ),
            ),
            now=now,
        )
        quote = buy(story, quote, now=now)
        line.reckoned_labour(story, quote, now=now)

    story.then(story.at(story.workday(story.day(-62)), 15), lapsing)
    story.then(story.at(story.workday(story.day(-33)), 15), first_idea)
    story.then(story.at(story.workday(story.day(-7)), 15), waiting)
    story.then(story.at(story.day(-1), 17), worked)
