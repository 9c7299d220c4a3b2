"""Reminding clients of offers that will soon have run out."""

import datetime as dt

from django.db import transaction
from django.db.models import Exists, F, OuterRef

from firm.actions.messages import queue
from firm.geo import local_moment
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day
from jobs.enums import LinkPurpose, OfferState
from jobs.models import PrivateLink, Quote, QuoteQuestion

# At an hour that wakes nobody.
HOUR = dt.time(9, 0)


@transaction.atomic
def remind_of_offers(*, now: dt.datetime) -> int:
    """How many open offers end within the firm's days and are reminded of, once each.

    Nobody is reminded of what went out in those very days, of an offer on paper, or
    while a question of theirs waits for its answer.
    """
    firm = firm_or_blank()
    if not firm.quote_reminder_days:
        return 0
    before = dt.timedelta(days=firm.quote_reminder_days)
    day = local_day(now, firm)
    waiting = QuoteQuestion.objects.filter(
        quote=OuterRef("pk"), answered_at__isnull=True
    )
    ending = (
        Quote.objects.filter(
            ~Exists(waiting),
            state=OfferState.OFFERED,
            valid_until__gte=day,
            valid_until__lte=day + before,
        )
        .select_related("document")
        .order_by("id")
    )
    reminded = 0
    for quote in ending:
        if quote.valid_until is None or quote.offered_at is None:
            continue
        from_day = quote.valid_until - before
        if local_day(quote.offered_at, firm) >= from_day:
            continue
        link = (
            PrivateLink.objects.filter(
                document__quote=quote,
                purpose=LinkPurpose.QUOTE,
                withdrawn_at__isnull=True,
            )
            .exclude(recipient="")
            .order_by(F("opened_at").desc(nulls_last=True), "-id")
            .first()
        )
        if link is None:
            continue
        reminded += 1
        queue(
            key=f"quote reminder:{quote.pk}",
            kind="quote reminder",
            recipient=link.recipient,
            payload={"link": link.pk},
            due_at=local_moment(day, HOUR, firm.time_zone),
            too_late_at=link.expires_at,
            language=quote.document.language,
            now=now,
        )
    return reminded
