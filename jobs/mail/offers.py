"""What the letters about quotes and about care contracts have in common."""

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _

from firm.mail import compose
from firm.registry import Letter, NotYet
from jobs.enums import ContractState, OfferState
from jobs.models import Contract, Document, PrivateLink, Quote
from jobs.queries.papers import stored_pdf


def attached(document: Document) -> tuple[str, bytes, str]:
    """The PDF as a file of a letter; NotYet while it is still to be drawn."""
    content = stored_pdf(document)
    if content is None:
        raise NotYet(_("The PDF is still being drawn."))
    return (f"{document.number}.pdf", content, "application/pdf")


def still_opens(link: PrivateLink | None, offer: Quote | Contract | None) -> bool:
    """True while the offer stands and its link opens it."""
    return (
        link is not None
        and link.withdrawn_at is None
        and offer is not None
        and offer.state in (OfferState.OFFERED, ContractState.OFFERED)
    )


def confirmation(offer: Quote | Contract, *, word: str) -> Letter:
    """The confirmation to the client, with the paper that was agreed to."""
    return compose(
        subject=_("Thank you: %(number)s is agreed") % {"number": offer},
        template=f"{word}_agreed",
        context={word: offer, "agreement": offer.agreement},
        files=(attached(offer.document),),
    )


def agreed_note(offer: Quote | Contract, *, word: str) -> Letter:
    """The owner's note that a client said yes on the private page."""
    return compose(
        subject=_("Agreed: %(number)s, %(client)s")
        % {"number": offer, "client": offer.garden.client.name},
        template=f"{word}_agreed_note",
        context={
            word: offer,
            "agreement": offer.agreement,
            "link": f"{settings.SITE_URL}{reverse(word, args=[offer.pk])}",
        },
    )


def declined_note(offer: Quote | Contract, *, word: str) -> Letter:
    """The owner's note that a client said no on the private page."""
    return compose(
        subject=_("Declined: %(number)s, %(client)s")
        % {"number": offer, "client": offer.garden.client.name},
        template=f"{word}_declined_note",
        context={
            word: offer,
            "link": f"{settings.SITE_URL}{reverse(word, args=[offer.pk])}",
        },
    )
