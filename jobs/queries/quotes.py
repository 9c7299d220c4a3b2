"""What the pages of quotes show."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Q
from django.utils.translation import gettext as _

from firm.models import Contact, Person
from firm.queries import exempt_words, firm_or_blank
from firm.units import Display
from jobs.enums import DeclineReason, LineKind, LinkPurpose, OfferState
from jobs.models import (
    Agreement,
    Document,
    Job,
    PrivateLink,
    Quote,
    QuoteLine,
    QuoteQuestion,
)
from jobs.pricing import Totals
from jobs.queries.quote_prices import Paid, plan_or_why, priced_quote
from jobs.queries.quote_shown import BedShown, OptionShown, by_bed, options_shown
from jobs.queries.what_if import Column
from plants import fit
from plants.models import Bed, Garden, Plant, Planting
from plants.queries.care import IN_THE_GROUND
from plants.queries.fit import fit_of
from plants.queries.fit_search import site_with_neighbours

OPEN_STATES = (OfferState.DRAFTING, OfferState.OFFERED)


def display() -> Display:
    """How the firm sees measures."""
    return Display(firm_or_blank().units)


# --- finding -----------------------------------------------------------------------


def garden_to_quote(*, garden_id: int) -> Garden | None:
    """The garden with its client, which a quote is written for."""
    return (
        Garden.objects.select_related("client", "station").filter(pk=garden_id).first()
    )


def quote_by_id(*, quote_id: int) -> Quote | None:
    """The quote with its garden and client."""
    return (
        Quote.objects.select_related(
            "garden__client", "garden__station", "garden__tax_region", "addition_to"
        )
        .filter(pk=quote_id)
        .first()
    )


def question_of(*, quote_id: int, question_id: int) -> QuoteQuestion | None:
    """One question that was asked about the quote."""
    return QuoteQuestion.objects.filter(pk=question_id, quote=quote_id).first()


def question_by_id(*, question_id: int) -> QuoteQuestion | None:
    """The question with its quote, client, link and paper."""
    return (
        QuoteQuestion.objects.select_related(
            "quote__garden__client", "quote__document", "link__document", "answered_by"
        )
        .filter(pk=question_id)
        .first()
    )


def line_of(*, quote_id: int, line_id: int) -> QuoteLine | None:
    """One line of the quote with its bed and plant."""
    return (
        QuoteLine.objects.select_related("bed", "plant__group")
        .filter(pk=line_id, quote_id=quote_id)
        .first()
    )


def lines_with(line: QuoteLine) -> list[QuoteLine]:
    """The line and those worked out together with it: the parts of one soil mix."""
    mix = line.typed.get("mix")
    if not mix:
        return [line]
    return list(
        QuoteLine.objects.filter(quote_id=line.quote_id, typed__mix=mix).order_by(
            "position", "id"
        )
    )


def beds_of(garden: Garden) -> list[Bed]:
    """The garden's beds by name with what shades them; two queries."""
    beds = list(
        Bed.objects.filter(garden=garden)
        .prefetch_related("shades")
        .order_by("name", "id")
    )
    for bed in beds:
        bed.garden = garden
    return beds


def plant_labels() -> list[str]:
    """Every plant that can be chosen, by its common name."""
    rows = Plant.objects.filter(retired_at__isnull=True).order_by(
        "common", "botanical", "id"
    )
    return [str(plant) for plant in rows]


def plants_called(*, words: str) -> list[Plant]:
    """The plants that WORDS mean: the one of that label, else all of that name."""
    words = " ".join(words.split())
    rows = Plant.objects.filter(retired_at__isnull=True).select_related("group")
    if words.endswith(")") and " (" in words:
        common, botanical = words[:-1].split(" (", 1)
        found = list(
            rows.filter(common__iexact=common, botanical__iexact=botanical).order_by(
                "id"
            )
        )
        if found:
            return found
    return list(
        rows.filter(
            Q(common__iexact=words)
            | Q(botanical__iexact=words)
            | Q(key__iexact=words)
            | Q(names__name__iexact=words)
        )
        .distinct()
        .order_by("common", "id")
    )


def last_cost_of(*, plant: Plant) -> Decimal | None:
    """What one of this plant cost on the latest quote that has it."""
    line = (
        QuoteLine.objects.filter(plant=plant)
        .order_by("-quote__created_at", "-id")
        .first()
    )
    return line.unit_cost if line else None


def contacts_of(*, quote: Quote) -> list[Contact]:
    """The people of the quote's client, the first to be asked first."""
    return list(quote.garden.client.contacts.order_by("-is_main", "id"))


# --- lists -------------------------------------------------------------------------


def quotes_open() -> list[Quote]:
    """Drafts and offers that stand, those that run out first at the top."""
    return list(
        Quote.objects.filter(state__in=OPEN_STATES)
        .annotate(
            to_answer=Count("questions", filter=Q(questions__answered_at__isnull=True))
        )
        .select_related("garden__client")
        .order_by("-state", "valid_until", "number", "revision", "id")
    )


def quotes_decided(*, most: int = 20) -> list[Quote]:
    """The quotes that were answered or ran out last."""
    return list(
        Quote.objects.filter(decided_at__isnull=False)
        .select_related("garden__client")
        .order_by("-decided_at", "-id")[:most]
    )


def why_declined(*, day: dt.date) -> list[tuple[str, int]]:
    """The reasons for the noes of the year before DAY with how often, most first."""
    said = (
        Quote.objects.filter(
            state=OfferState.DECLINED,
            decided_at__date__gt=day - dt.timedelta(days=365),
        )
        .values("declined_as")
        .annotate(times=Count("id"))
        .order_by("-times", "declined_as")
    )
    return [
        (
            str(DeclineReason(row["declined_as"]).label)
            if row["declined_as"]
            else _("no reason given"),
            row["times"],
        )
        for row in said
    ]


def quotes_of_garden(*, garden_id: int) -> list[Quote]:
    """Every quote of the garden, the newest first."""
    return list(
        Quote.objects.filter(garden_id=garden_id).order_by(
            "-number", "-revision", "-id"
        )
    )


# --- one quote ---------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class QuotePage:
    """One quote with all that hangs on it."""

    quote: Quote
    beds: tuple[BedShown, ...]
    options: tuple[OptionShown, ...]
    totals: Totals
    payments: tuple[Paid, ...]
    exempt: str
    warnings: tuple[str, ...]
    document: Document | None
    links: tuple[PrivateLink, ...]
    agreement: Agreement | None
    job: Job | None
    revisions: tuple[Quote, ...]
    questions: tuple[QuoteQuestion, ...]

    @property
    def columns(self) -> list[Column]:
        """The totals as the one column of a comparison."""
        return [Column(head=_("As it stands"), totals=self.totals)]

    @property
    def is_draft(self) -> bool:
        """Whether its lines may still be changed."""
        return self.quote.state == OfferState.DRAFTING

    @property
    def is_offered(self) -> bool:
        """Whether the client may agree to it."""
        return self.quote.state == OfferState.OFFERED

    @property
    def may_be_revised(self) -> bool:
        """Whether a new revision can be drawn from it."""
        return (
            self.quote.state
            in (OfferState.OFFERED, OfferState.DECLINED, OfferState.LAPSED)
            and self.revisions[-1].pk == self.quote.pk
        )

    @property
    def has_lines(self) -> bool:
        """Whether there is anything to offer."""
        return any(part.lines for part in self.beds)


def quote_page(*, quote_id: int, day: dt.date | None = None) -> QuotePage | None:
    """The page of one quote; the same few queries for one line as for sixty."""
    quote = quote_by_id(quote_id=quote_id)
    if quote is None:
        return None
    priced = priced_quote(quote)
    rows = list(priced.rows)
    totals = priced.totals_with()
    beds = beds_of(quote.garden)
    shows = display()
    shown = by_bed([row for row in rows if row.option_id is None], beds, shows)
    payments, no_plan = plan_or_why(quote=quote, groups=totals.groups)
    document = Document.objects.filter(quote=quote).first()
    return QuotePage(
        quote=quote,
        beds=shown,
        options=tuple(options_shown(priced, beds, shows, totals)),
        totals=totals,
        payments=tuple(payments),
        exempt=exempt_words(
            client=quote.garden.client, day=day or quote.created_at.date()
        ),
        warnings=(
            *_warnings(rows, beds, totals),
            *_price_warnings(quote, totals, no_plan),
        ),
        document=document,
        links=tuple(
            PrivateLink.objects.filter(
                document=document, purpose=LinkPurpose.QUOTE
            ).order_by("id")
            if document
            else ()
        ),
        agreement=Agreement.objects.select_related("recorded_by")
        .filter(quote=quote)
        .first(),
        job=Job.objects.filter(quote=quote).first(),
        revisions=tuple(
            Quote.objects.filter(number=quote.number).order_by("revision", "id")
        ),
        questions=tuple(quote.questions.order_by("asked_at", "id")),
    )


def _price_warnings(quote: Quote, totals: Totals, no_plan: str) -> list[str]:
    """What is wrong with discount and payments."""
    found = [no_plan] if no_plan else []
    if quote.discount_amount > totals.lines_price:
        found.append(
            _("The discount of %(discount)s is more than the lines come to.")
            % {"discount": f"{quote.discount_amount:,}"}
        )
    return found


def _warnings(
    rows: Sequence[QuoteLine], beds: Sequence[Bed], totals: Totals
) -> list[str]:
    """What the owner should look at before offering."""
    found = [totals.warning] if totals.warning else []
    planted = {row.bed_id for row in rows if row.kind == LineKind.PLANTS}
    worked = {row.bed_id for row in rows if row.kind in (LineKind.SOIL, LineKind.MULCH)}
    grown = set(
        Planting.objects.filter(
            bed__in=[bed.pk for bed in beds], state__in=IN_THE_GROUND
        ).values_list("bed_id", flat=True)
    )
    found += [
        _("%(bed)s gets soil or mulch but no plants in this quote.") % {"bed": bed.name}
        for bed in beds
        if bed.pk in worked - planted - grown
    ]
    return found


def fit_in_bed(*, bed: Bed, plant: Plant) -> fit.Fit:
    """Why the plant suits the bed or not; the bed knows its garden."""
    return fit_of(bed, plant, site=site_with_neighbours(bed), display=display())


# --- letters and sweeps ------------------------------------------------------------


def quote_link(*, link_id: int) -> PrivateLink | None:
    """The private link with its paper, quote and client."""
    return (
        PrivateLink.objects.select_related(
            "document__quote__garden__client", "document__garden__client"
        )
        .filter(pk=link_id)
        .first()
    )


def quote_with_agreement(*, quote_id: int) -> Quote | None:
    """The quote with its agreement, paper, garden and client."""
    return (
        Quote.objects.select_related("agreement", "document", "garden__client", "job")
        .filter(pk=quote_id)
        .first()
    )


def paper_of(quote: Quote) -> Document | None:
    """The paper of an offered quote; None for a draft."""
    return Document.objects.filter(quote=quote).first()


def owner_address() -> str:
    """Where the firm reads its own notes: its address, else the first owner's."""
    address = firm_or_blank().email
    if address:
        return address
    owner = (
        Person.objects.filter(role="owner", is_active=True)
        .exclude(email="")
        .order_by("id")
        .first()
    )
    return (owner.email or "") if owner else ""
