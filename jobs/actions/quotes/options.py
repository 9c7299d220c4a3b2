"""Options of a draft: lines to take or leave, or to take instead of another."""

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Max

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import NotToBeReplaced, TooManyOptions
from jobs.enums import OptionKind
from jobs.models import Quote, QuoteLine, QuoteOption

MOST_OPTIONS = 20


@dataclass(frozen=True, kw_only=True)
class OptionDetails:
    """One option: its words, its lines, and the line that goes when it is taken."""

    title: str
    words: str = ""
    lines: Collection[int] = ()
    instead_of: int | None = None


@transaction.atomic
def keep_option(
    *,
    quote_id: int,
    version: int,
    details: OptionDetails,
    option_id: int | None = None,
    by: Person,
    now: dt.datetime,
) -> QuoteOption:
    """The option with these words and lines; a new one without an id.

    Its other lines go back into the quote. NotToBeReplaced where it would take the
    place of a line that is an option itself, or holds a line that another replaces.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    if option_id is None:
        if quote.options.count() >= MOST_OPTIONS:
            raise TooManyOptions(MOST_OPTIONS)
        last = quote.options.aggregate(last=Max("position"))["last"] or 0
        option = QuoteOption(quote=quote, position=last + 1)
    else:
        found = quote.options.filter(pk=option_id).first()
        if found is None:
            raise SomebodyElseChangedIt
        option = found
    option.title, option.words = details.title, details.words
    option.instead_of = _replaced(quote, option, details)
    option.kind = OptionKind.INSTEAD if option.instead_of else OptionKind.EXTRA
    option.save()
    rows = quote.lines.filter(pk__in=details.lines)
    if rows.count() != len(set(details.lines)):
        raise SomebodyElseChangedIt
    if rows.filter(alternates__isnull=False).exists():
        raise NotToBeReplaced
    quote.lines.filter(option=option).update(option=None)
    rows.update(option=option)
    _settled(quote, "quote option kept", option.title, by=by, now=now)
    return option


def _replaced(
    quote: Quote, option: QuoteOption, details: OptionDetails
) -> QuoteLine | None:
    """The line whose place is taken: in the quote whatever the client takes."""
    if details.instead_of is None:
        return None
    line = quote.lines.filter(pk=details.instead_of).first()
    if line is None or line.pk in details.lines:
        raise NotToBeReplaced
    if line.option_id and line.option_id != option.pk:
        raise NotToBeReplaced
    return line


@transaction.atomic
def remove_option(
    *, quote_id: int, version: int, option_id: int, by: Person, now: dt.datetime
) -> Quote:
    """The draft without the option; its lines are in the quote again.

    Lines that would have taken another's place go with it.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    option = quote.options.filter(pk=option_id).first()
    if option is None:
        raise SomebodyElseChangedIt
    title = option.title
    if option.kind == OptionKind.EXTRA:
        quote.lines.filter(option=option).update(option=None)
    option.delete()
    _settled(quote, "quote option removed", title, by=by, now=now)
    return quote


def _settled(
    quote: Quote, action: str, title: str, *, by: Person, now: dt.datetime
) -> None:
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(action=action, subject=quote, summary=f"{quote}: {title}", now=now, by=by)
