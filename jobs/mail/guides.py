"""The letter that carries a care guide, and the words of the record about work."""

import datetime as dt

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.mail import compose
from firm.models import Message
from firm.registry import Letter, MessageKind, NotYet, registry
from jobs.actions.links import key_of
from jobs.queries.guides import guide_link
from jobs.queries.papers import stored_pdf


class GuideGone(LookupError):
    """The guide that a letter is about is not there any more."""


def write_guide(message: Message) -> Letter:
    """The letter with the guide as PDF and its private link."""
    link = guide_link(link_id=message.payload["link"])
    if link is None:
        raise GuideGone(_("The care guide is gone."))
    document = link.document
    pdf = stored_pdf(document)
    if pdf is None:
        raise NotYet(_("The PDF is still being drawn."))
    path = reverse("link-guide", args=[key_of(link)])
    return compose(
        subject=_("The care guide for %(garden)s") % {"garden": document.garden.name},
        template="care_guide",
        context={
            "name": message.payload["name"],
            "garden": document.garden,
            "paper": document.snapshot,
            "link": f"{settings.SITE_URL}{path}",
        },
        files=((f"{document.number}.pdf", pdf, "application/pdf"),),
    )


def guide_wanted(message: Message, now: dt.datetime) -> bool:
    """True until the link that the letter carries is withdrawn."""
    link = guide_link(link_id=message.payload["link"])
    return link is not None and link.withdrawn_at is None


def register() -> None:
    """Make the letter known; the same guide twice does no harm, so it is sent again."""
    registry.add_message_kind(
        MessageKind(
            name="care guide",
            words=gettext_lazy("care guide"),
            write=write_guide,
            still_wanted=guide_wanted,
            after_crash="send again",
        )
    )
    for action, words in {
        "job opened": "opened a planting job",
        "job booked": "booked a job",
        "job moved": "moved a job",
        "job started": "started a job",
        "locate request written": "wrote down a request to mark lines",
        "locate request not needed": "wrote down that no lines are asked for",
        "locate marks noted": "noted the marks of lines",
        "job finished": "finished a job",
        "job called off": "called a job off",
        "single visit opened": "entered a single visit",
        "care guide sent": "sent a care guide",
    }.items():
        registry.add_audit_label(action, words)
