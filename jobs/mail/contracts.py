"""Letters about care contracts: the offer, the confirmation, the notes to the owner."""

import datetime as dt

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.mail import always_wanted, compose
from firm.models import Message
from firm.registry import Letter, MessageKind, registry
from jobs.actions.links import key_of
from jobs.mail.offers import (
    agreed_note,
    attached,
    confirmation,
    declined_note,
    still_opens,
)
from jobs.models import Contract
from jobs.queries.contracts import contract_link, contract_with_agreement


class ContractGone(LookupError):
    """The contract or link that a letter is about is not there any more."""


def write_contract_offered(message: Message) -> Letter:
    """The letter with the private link at which the client agrees, and the PDF."""
    link = contract_link(link_id=message.payload["link"])
    contract = link.document.contract if link else None
    if link is None or contract is None:
        raise ContractGone(_("The offer is gone."))
    path = reverse("link-contract", args=[key_of(link)])
    return compose(
        subject=_("Care of your garden: our offer %(number)s") % {"number": contract},
        template="contract_offered",
        context={
            "name": message.payload["name"],
            "contract": contract,
            "paper": link.document.snapshot,
            "link": f"{settings.SITE_URL}{path}",
        },
        files=(attached(link.document),),
    )


def contract_offered_wanted(message: Message, now: dt.datetime) -> bool:
    """True while the offer stands and its link opens it."""
    link = contract_link(link_id=message.payload["link"])
    return still_opens(link, link.document.contract if link else None)


def _contract(message: Message) -> Contract:
    contract = contract_with_agreement(contract_id=message.payload["contract"])
    if contract is None:
        raise ContractGone(_("The contract is gone."))
    return contract


def write_contract_agreed(message: Message) -> Letter:
    """The confirmation to the client, with the paper that was agreed to."""
    return confirmation(_contract(message), word="contract")


def write_contract_agreed_note(message: Message) -> Letter:
    """The owner's note that a client said yes on the private page."""
    return agreed_note(_contract(message), word="contract")


def write_contract_declined_note(message: Message) -> Letter:
    """The owner's note that a client said no on the private page."""
    return declined_note(_contract(message), word="contract")


def register() -> None:
    """Make the letters about contracts and the words of the record known."""
    registry.add_message_kind(
        MessageKind(
            name="contract offered",
            words=gettext_lazy("care contract offered"),
            write=write_contract_offered,
            still_wanted=contract_offered_wanted,
            # The same offer twice does no harm; an offer that never came does.
            after_crash="send again",
        )
    )
    for name, words, write in (
        (
            "contract agreed",
            gettext_lazy("care contract agreed"),
            write_contract_agreed,
        ),
        (
            "contract agreed note",
            gettext_lazy("note of a care contract agreed"),
            write_contract_agreed_note,
        ),
        (
            "contract declined note",
            gettext_lazy("note of a care contract declined"),
            write_contract_declined_note,
        ),
    ):
        registry.add_message_kind(
            MessageKind(name=name, words=words, write=write, still_wanted=always_wanted)
        )
    for action, said in {
        "contract drawn": "drew a care contract",
        "contract drawn anew": "drew a care contract anew",
        "contract changed": "changed a care contract",
        "contract work chosen": "chose the work of a care contract",
        "contract visit added": "added a visit to a care contract",
        "contract offered": "offered a care contract",
        "contract sent again": "sent a care contract again",
        "contract withdrawn": "took an offer of a care contract back",
        "contract declined": "wrote down that a care contract was declined",
        "contract lapsed": "an offer of a care contract ran out",
        "contract agreed": "agreed to a care contract",
        "contract paused": "paused a care contract",
        "contract resumed": "let a care contract go on",
        "contract ended": "ended a care contract",
        "visit placed": "put a visit on the week board",
        "visit moved": "moved a visit on the week board",
        "visit taken off": "took a visit off the week board",
        "visit called off": "called a visit off",
        "stops ordered": "put the stops of a round in order",
    }.items():
        registry.add_audit_label(action, said)
