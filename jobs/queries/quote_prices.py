"""What a quote comes to for any choice of its options, and when it is paid."""

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _

from firm.money import HUNDRED, Taxed, places_of
from firm.queries import firm_or_blank
from jobs.enums import MilestoneWhen
from jobs.models import Agreement, Milestone, Quote, QuoteLine, QuoteOption
from jobs.pricing import (
    Line,
    Option,
    Part,
    Pricing,
    PricingError,
    Share,
    TaxGroup,
    Totals,
    Way,
    deposit_of,
    payments,
    total_quote,
)

# Of an agreed quote: without the options that were left and the lines that a taken one
# took the place of. Of any other: without its options.
COUNTED = (Q(option__isnull=True) | Q(option__is_taken=True)) & ~Q(
    Exists(QuoteOption.objects.filter(instead_of=OuterRef("pk"), is_taken=True))
)


def money_places() -> int:
    """The decimals that amounts are rounded to; the columns keep two."""
    return min(2, places_of(firm_or_blank().currency))


def way_of(quote: Quote) -> Way:
    """How the quote's lines are priced."""
    return Way(
        margin_percent=quote.margin_percent,
        overhead=quote.overhead_way,
        overhead_per_hour=quote.overhead_per_hour,
        overhead_materials_percent=quote.overhead_materials_percent,
        overhead_labour_percent=quote.overhead_labour_percent,
        contingency_percent=quote.contingency_percent,
        warranty_percent=quote.warranty_percent,
    )


def pricing_of(quote: Quote, *, places: int) -> Pricing:
    """What holds for the whole of the quote."""
    return Pricing(
        discount_percent=quote.discount_percent,
        discount_amount=quote.discount_amount,
        minimum_job=quote.minimum_job,
        tax_rounding=quote.tax_rounding,
        places=places,
    )


def priced(row: QuoteLine) -> Line:
    """The stored line as totals need it."""
    return Line(
        key=row.pk,
        kind=row.kind,
        cost=row.cost,
        overhead=row.overhead,
        reserve=row.reserve,
        price=row.price,
        category=row.tax_category,
        tax_name=row.tax_name,
        percent=row.tax_percent,
        option=row.option_id,
    )


def choice_of(option: QuoteOption) -> Option:
    """The stored option as totals need it."""
    return Option(key=option.pk, instead_of=option.instead_of_id)


@dataclass(frozen=True, kw_only=True)
class Priced:
    """A quote's stored figures, to be added up for any choice of its options."""

    quote: Quote
    rows: tuple[QuoteLine, ...]
    options: tuple[QuoteOption, ...]
    places: int

    def totals_with(self, taken: Collection[int] = ()) -> Totals:
        """The foot with these options, by their ids, and no others."""
        return total_quote(
            [priced(row) for row in self.rows],
            pricing=pricing_of(self.quote, places=self.places),
            options=[choice_of(option) for option in self.options],
            taken=frozenset(taken),
        )


def priced_quote(quote: Quote) -> Priced:
    """The quote with its lines and options as they are stored; three queries."""
    return Priced(
        quote=quote,
        rows=tuple(
            quote.lines.select_related("bed", "plant__group").order_by("position", "id")
        ),
        options=tuple(quote.options.order_by("position", "id")),
        places=money_places(),
    )


def priced_by_id(*, quote_id: int) -> Priced | None:
    """The quote of that number with its lines and options; None without one."""
    quote = (
        Quote.objects.select_related("garden__client", "garden__tax_region")
        .filter(pk=quote_id)
        .first()
    )
    return None if quote is None else priced_quote(quote)


def agreed_amounts(*, quote: Quote, taken: Collection[int]) -> Totals:
    """What the client agrees to who takes these options; nothing is read anew.

    PricingError where an option is not the quote's, or two take one line's place.
    """
    return priced_quote(quote).totals_with(taken)


def option_label(title: str, *, instead_of: str) -> str:
    """An option as it is ticked, with the line that it takes the place of."""
    if not instead_of:
        return title
    return _("%(title)s, instead of %(line)s") % {"title": title, "line": instead_of}


def option_choices(quote: Quote) -> list[tuple[int, str]]:
    """The quote's options to be ticked: id and title, with what they replace."""
    return [
        (
            option.pk,
            option_label(
                option.title,
                instead_of=option.instead_of.description if option.instead_of else "",
            ),
        )
        for option in quote.options.select_related("instead_of").order_by(
            "position", "id"
        )
    ]


def gross_with(*, quote: Quote, taken: Collection[int]) -> Decimal:
    """All together with these options; PricingError where they exclude each other."""
    return agreed_amounts(quote=quote, taken=taken).tax.gross


def lines_counted(quote: Quote) -> list[QuoteLine]:
    """The lines that count: of an agreed quote those that were taken."""
    return list(
        quote.lines.filter(COUNTED)
        .select_related("bed", "plant")
        .order_by("position", "id")
    )


def groups_kept(taxes: Sequence[dict[str, str]]) -> list[TaxGroup]:
    """The tax groups as a row keeps them."""
    return [
        TaxGroup(
            category=group["category"],
            name=group["name"],
            percent=Decimal(group["percent"]),
            net=Decimal(group["net"]),
            tax=Decimal(group["tax"]),
        )
        for group in taxes
    ]


@dataclass(frozen=True, kw_only=True)
class Agreed:
    """What a client owes for a quote: the agreed amounts, else those of the offer."""

    cost: Decimal
    amount: Taxed
    groups: tuple[TaxGroup, ...]


def agreed_to(quote: Quote) -> Agreed:
    """What was agreed to with the options that were taken."""
    agreement = Agreement.objects.filter(quote=quote, net__isnull=False).first()
    if agreement is None or agreement.net is None:
        return Agreed(
            cost=quote.cost,
            amount=Taxed(net=quote.net, tax=quote.tax, gross=quote.gross),
            groups=tuple(groups_kept(quote.taxes)),
        )
    tax, gross = agreement.tax or Decimal(0), agreement.gross or Decimal(0)
    return Agreed(
        cost=agreement.cost or Decimal(0),
        amount=Taxed(net=agreement.net, tax=tax, gross=gross),
        groups=tuple(groups_kept(agreement.taxes)),
    )


@dataclass(frozen=True, kw_only=True)
class Paid:
    """One payment of a quote: what for, when, how much; milestone None: not typed."""

    title: str
    when: str
    due_on: dt.date | None
    percent: Decimal
    is_deposit: bool
    is_capped: bool
    amount: Taxed
    groups: tuple[TaxGroup, ...]
    milestone: Milestone | None = None

    @property
    def when_words(self) -> str:
        """When it falls due, in words."""
        return str(MilestoneWhen(self.when).label)


def payment_plan(*, quote: Quote, groups: Sequence[TaxGroup]) -> list[Paid]:
    """When the price of these tax groups is paid; it adds up in every column.

    The quote's milestones, else its deposit and the rest, else nothing.
    """
    kept = list(quote.milestones.order_by("position", "id"))
    milestones = kept or _deposit_and_rest(quote)
    if not milestones or not groups:
        return []
    region = quote.garden.tax_region
    cap_percent = region.deposit_cap_percent if region else None
    cap_amount = region.deposit_cap_amount if region else None
    parts = payments(
        groups,
        [
            Share(percent=part.percent, is_deposit=part.is_deposit)
            for part in milestones
        ],
        cap_percent=cap_percent,
        cap_amount=cap_amount,
        places=money_places(),
    )
    whole = sum((group.amount.gross for group in groups), Decimal(0))
    return [
        _paid(
            milestone,
            part,
            is_capped=milestone.is_deposit
            and deposit_of(
                whole,
                percent=milestone.percent,
                cap_percent=cap_percent,
                cap_amount=cap_amount,
            ).is_capped,
        )
        for milestone, part in zip(milestones, parts, strict=True)
        if milestone.pk or part.amount.gross
    ]


def plan_or_why(*, quote: Quote, groups: Sequence[TaxGroup]) -> tuple[list[Paid], str]:
    """The payments, or why none come of it: such as a deposit over its cap."""
    try:
        return payment_plan(quote=quote, groups=groups), ""
    except PricingError as error:
        return [], str(error)


def _paid(milestone: Milestone, part: Part, *, is_capped: bool) -> Paid:
    return Paid(
        title=milestone.title,
        when=milestone.when,
        due_on=milestone.due_on,
        percent=milestone.percent,
        is_deposit=milestone.is_deposit,
        is_capped=is_capped,
        amount=part.amount,
        groups=part.groups,
        milestone=milestone if milestone.pk else None,
    )


def _deposit_and_rest(quote: Quote) -> list[Milestone]:
    """What the deposit alone comes to: two parts that nobody typed."""
    if not quote.deposit_percent:
        return []
    return [
        Milestone(
            title=_("Deposit"),
            when=MilestoneWhen.AGREED,
            percent=quote.deposit_percent,
            is_deposit=True,
        ),
        Milestone(
            title=_("The rest"),
            when=MilestoneWhen.FINISHED,
            percent=HUNDRED - quote.deposit_percent,
        ),
    ]
