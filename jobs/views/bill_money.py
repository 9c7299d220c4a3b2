"""Pages that change what is open of a bill: payments, credits, money given back."""

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.bills import (
    AlreadyStruckOut,
    BillIsClosed,
    CreditTooLarge,
    MoneyMovedOn,
    NothingOwed,
    NotSetAgainst,
    PaymentTooLarge,
    credit_bill,
    credit_part,
    pay_back,
    set_against,
    strike_out_payment,
    take_payment,
)
from jobs.forms.bills import (
    CreditForm,
    PartCreditForm,
    PayBackForm,
    SetAgainstForm,
    StrikeOutForm,
)
from jobs.forms.books import PaymentForm
from jobs.queries.bill_pages import (
    BillPage,
    bill_page,
    creditable,
    open_bill_of,
    other_open_bills,
    payment_by_id,
)
from jobs.views.books import local_day

if TYPE_CHECKING:
    from jobs.queries.standing import Standing


def _found(pk: int) -> "tuple[BillPage, Standing]":
    """The page of a bill and how it stands; 404 for none and for a credit."""
    page = bill_page(bill_id=pk)
    if page is None or page.standing is None:
        raise Http404
    return page, page.standing


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def payment_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Enter money received for a bill."""
    page, standing = _found(pk)
    today = local_day()
    form = PaymentForm(
        request.POST or None,
        today=today,
        currency=firm_or_blank().currency,
        initial={"day": today, "amount": standing.open_amount},
    )
    if request.method == "POST" and form.is_valid():
        try:
            take_payment(
                bill=page.bill,
                amount=form.cleaned_data["amount"],
                day=form.cleaned_data["day"],
                how=form.cleaned_data["how"],
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except PaymentTooLarge as error:
            form.add_error("amount", str(error))
        except (BillIsClosed, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The payment was entered."))
            return redirect("bill", pk=pk)
    return render(
        request,
        "jobs/payment_form.html",
        {"form": form, "bill": page.bill, "standing": standing},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def credit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back all that is left of a bill by a credit."""
    page, standing = _found(pk)
    form = CreditForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = credit_bill(
                bill=page.bill,
                reason=form.cleaned_data["reason"],
                is_billed_again=form.is_billed_again,
                day=local_day(),
                by=request.user,
                now=clock.now(),
            )
        except (BillIsClosed, CreditTooLarge, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, _("Credit %(number)s was written.") % {"number": made.number}
            )
            return redirect("bill", pk=made.pk)
    return render(
        request,
        "jobs/credit_form.html",
        {"form": form, "bill": page.bill, "standing": standing},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def credit_part_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back a part of a bill by a credit: lines of it, or an amount."""
    page, standing = _found(pk)
    choices = creditable(bill=page.bill)
    form = PartCreditForm(
        request.POST or None,
        lines=choices.lines,
        groups=choices.groups,
        currency=firm_or_blank().currency,
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = credit_part(
                bill=page.bill,
                off=form.off(),
                reason=form.cleaned_data["reason"],
                is_billed_again=form.is_billed_again,
                day=local_day(),
                by=request.user,
                now=clock.now(),
            )
        except CreditTooLarge as error:
            form.add_error(form.field_of_amount, str(error))
        except (BillIsClosed, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, _("Credit %(number)s was written.") % {"number": made.number}
            )
            return redirect("bill", pk=made.pk)
    return render(
        request,
        "jobs/credit_form.html",
        {
            "form": form,
            "bill": page.bill,
            "standing": standing,
            "is_part": True,
            "left": choices.left,
        },
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def pay_back_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Enter money that was paid back to the client."""
    page, standing = _found(pk)
    today = local_day()
    form = PayBackForm(
        request.POST or None,
        today=today,
        currency=firm_or_blank().currency,
        initial={"day": today, "amount": standing.owed},
    )
    if request.method == "POST" and form.is_valid():
        try:
            pay_back(
                bill=page.bill,
                amount=form.cleaned_data["amount"],
                day=form.cleaned_data["day"],
                how=form.cleaned_data["how"],
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except PaymentTooLarge as error:
            form.add_error("amount", str(error))
        except (NothingOwed, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The payment to the client was entered."))
            return redirect("bill", pk=pk)
    return render(
        request,
        "jobs/payment_form.html",
        {"form": form, "bill": page.bill, "standing": standing, "is_back": True},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def set_against_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Let what is owed for one bill count as paid on another of the client."""
    page, standing = _found(pk)
    others = other_open_bills(bill=page.bill)
    form = SetAgainstForm(
        request.POST or None,
        others=others,
        currency=firm_or_blank().currency,
        initial={"amount": standing.owed},
    )
    if request.method == "POST" and form.is_valid():
        other = open_bill_of(bill=page.bill, other_id=int(form.cleaned_data["other"]))
        if other is None:
            raise Http404
        try:
            set_against(
                bill=page.bill,
                other=other,
                amount=form.cleaned_data["amount"],
                day=local_day(),
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except PaymentTooLarge as error:
            form.add_error("amount", str(error))
        except NotSetAgainst as error:
            form.add_error("other", str(error))
        except (NothingOwed, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("It counts as paid on bill %(number)s.") % {"number": other.number},
            )
            return redirect("bill", pk=pk)
    return render(
        request,
        "jobs/set_against.html",
        {"form": form, "bill": page.bill, "standing": standing, "others": others},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def payment_strike_out(request: StaffRequest, pk: int) -> HttpResponse:
    """Strike out a payment that was entered wrongly."""
    payment = payment_by_id(payment_id=pk)
    if payment is None:
        raise Http404
    form = StrikeOutForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            strike_out_payment(
                payment=payment,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except (AlreadyStruckOut, MoneyMovedOn, SomebodyElseChangedIt) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The payment is struck out."))
            return redirect("bill", pk=payment.bill_id)
    return render(
        request,
        "jobs/payment_strike_out.html",
        {"form": form, "payment": payment, "bill": payment.bill},
    )
