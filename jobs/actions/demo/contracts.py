"""Invented care contracts: running for months, offered, being drafted."""

import datetime as dt

from firm.models import Contact
from jobs.actions.bills import bill_instalment
from jobs.actions.contracts import (
    ContractDetails,
    OfferedContract,
    agree_to_contract_by_link,
    draw_contract,
    offer_contract,
    record_contract_agreement,
)
from jobs.actions.demo.jobs import pay
from jobs.actions.demo.story import Story
from jobs.actions.demo.visits import let_it_run
from jobs.enums import AgreedHow
from jobs.models import Contract, Instalment

TERMS = (
    "Materials such as mulch and feed are charged as used. Either side may end it with "
    "a month's notice. What is pruned, when and how far follows the care guide."
)
# Garden, days since it began, instalments, months between them, agreed by link.
RUNNING = (
    ("crake", 338, 4, 3, True),
    ("lantern-court", 322, 4, 3, True),
    ("wynn", 300, 2, 6, False),
    ("farrow", 262, 4, 3, True),
    ("tolliver-town", 205, 12, 1, True),
    ("hall", 176, 4, 3, False),
    ("tolliver-cottage", 118, 4, 3, True),
    ("moyle", 34, 4, 3, True),
)


def contracts_of_the_year(story: Story) -> None:
    """Let every invented contract be drawn, offered and agreed on its day."""
    for garden, days, instalments, months, by_link in RUNNING:
        begins = story.workday(story.day(-days))
        _agreed(
            story,
            garden,
            begins=begins,
            instalments=instalments,
            months=months,
            by_link=by_link,
        )
    story.then(
        story.at(story.workday(story.day(-4)), 11), lambda now: _offered(story, now)
    )
    story.then(story.at(story.day(-1), 18), lambda now: _drafting(story, now))


def draw(
    story: Story,
    garden: str,
    *,
    begins: dt.date,
    now: dt.datetime,
    instalments: int = 12,
    months: int = 1,
) -> Contract:
    """A contract drawn from what grows in the garden."""
    return draw_contract(
        garden_id=story.gardens[garden].pk,
        key=story.key(),
        details=ContractDetails(
            title=f"Care of {story.gardens[garden].name}",
            words="A year of care, each plant in its own weeks.",
            terms=TERMS,
            starts_on=begins,
            visit_minutes=45,
            net=None,
            is_taxed=True,
            instalment_count=instalments,
            instalment_months=months,
        ),
        by=story.owner,
        now=now,
    )


def offer_by_mail(
    story: Story, contract: Contract, *, now: dt.datetime
) -> OfferedContract:
    """The contract offered to the client's first contact."""
    contact = Contact.objects.get(client=contract.garden.client, is_main=True)
    return offer_contract(
        contract_id=contract.pk,
        version=contract.version,
        contact_id=contact.pk,
        valid_until=now.date() + dt.timedelta(days=30),
        by=story.owner,
        now=now,
    )


def _agreed(
    story: Story,
    garden: str,
    *,
    begins: dt.date,
    instalments: int,
    months: int,
    by_link: bool,
) -> None:
    def write(now: dt.datetime) -> None:
        contract = draw(
            story,
            garden,
            begins=begins,
            instalments=instalments,
            months=months,
            now=now,
        )
        offered = offer_by_mail(story, contract, now=now)
        story.then(now + dt.timedelta(days=3, hours=4), lambda now: agree(offered, now))

    def agree(offered: OfferedContract, now: dt.datetime) -> None:
        contract = offered.contract
        contact = Contact.objects.get(client=contract.garden.client, is_main=True)
        if by_link and offered.link is not None:
            agree_to_contract_by_link(
                link_id=offered.link.pk, name=contact.name, now=now
            )
        else:
            agreed_at = now - dt.timedelta(minutes=20)
            record_contract_agreement(
                contract_id=contract.pk,
                how=AgreedHow.PHONE,
                name=contact.name,
                agreed_at=agreed_at,
                agreed_on=agreed_at.date(),
                note="Rang back.",
                scan=None,
                confirm_to=contact.email,
                by=story.owner,
                now=now,
            )
        let_it_run(story, contract, now=now)
        for instalment in contract.instalments.order_by("position"):
            _bill(story, instalment)

    story.then(story.at(begins - dt.timedelta(days=12), 14), write)


def _bill(story: Story, instalment: Instalment) -> None:
    """Let an instalment be billed on its day and paid, the latest ones not yet."""
    day = instalment.due_on + dt.timedelta(days=1)
    if day > story.day(-2):
        return

    def write(now: dt.datetime) -> None:
        bill = bill_instalment(
            instalment=instalment, day=day, by=story.bookkeeper, now=now
        )
        # Most pay within two weeks; one in eight forgets.
        if story.chance.random() < 0.87:
            later = now + dt.timedelta(days=story.chance.randint(4, 13))
            story.then(later, lambda now: pay(story, bill, now=now))

    story.then(story.at(day, 9), write)


def _offered(story: Story, now: dt.datetime) -> None:
    contract = draw(
        story,
        "canal",
        begins=story.workday(story.day(14)),
        instalments=4,
        months=3,
        now=now,
    )
    offer_by_mail(story, contract, now=now)


def _drafting(story: Story, now: dt.datetime) -> None:
    draw(story, "ashgrove", begins=story.workday(story.day(10)), now=now)
