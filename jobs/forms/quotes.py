"""Forms of a quote: its words, its offer, and what the client answered."""

import datetime as dt
import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.forms.files import ScanField
from firm.geo import local_moment
from firm.models import Contact
from jobs.actions.offering import No
from jobs.actions.quotes import QuoteDetails
from jobs.enums import AgreedHow, DeclineReason
from jobs.forms.books import day_input
from jobs.models import Contract, Quote
from plants.forms.fields import Versioned

ON_PAPER = "paper"
LONGEST_OFFER = dt.timedelta(days=730)


def one_line(text: str) -> str:
    """TEXT without breaks, as it stands in the subject of a letter."""
    return " ".join(text.split())


class LastDayField(forms.DateField):
    """The day until which an offer stands; not in the past."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("widget", day_input())
        super().__init__(**options)
        self.today: dt.date | None = None

    def clean(self, value: Any) -> dt.date | None:
        """The day, today at the earliest."""
        day: dt.date | None = super().clean(value)
        if day is None or self.today is None:
            return day
        if day < self.today:
            raise ValidationError(_now("This day lies in the past."))
        if day > self.today + LONGEST_OFFER:
            raise ValidationError(_now("An offer stands two years at the most."))
        return day


class QuoteForm(forms.Form):
    """What a quote says apart from its lines."""

    title = forms.CharField(label=_("title"), max_length=160)
    margin_percent = forms.DecimalField(
        label=_("margin"),
        min_value=Decimal(0),
        max_value=Decimal("99.99"),
        max_digits=4,
        decimal_places=2,
        help_text=_(
            "the part of the price that is kept once the cost is paid: a cost of"
            " 1,000.00 at 40 % sells at 1,666.67"
        ),
        widget=forms.NumberInput(attrs={"data-unit": "%", "step": "0.01"}),
    )
    valid_until = LastDayField(
        label=_("stands until"),
        required=False,
        help_text=_("asked again when it is offered"),
    )
    words = forms.CharField(
        label=_("words to the client"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    terms = forms.CharField(
        label=_("terms"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("deposit, payment, warranty: as you and the law have it"),
    )

    def __init__(self, *args: Any, today: dt.date, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.fields["valid_until"].today = today  # type: ignore[attr-defined]

    def clean_title(self) -> str:
        """The title on one line."""
        return one_line(self.cleaned_data["title"])

    def details(self) -> QuoteDetails:
        """What was typed, for the action."""
        names = ("title", "words", "terms", "margin_percent", "valid_until")
        return QuoteDetails(**{name: self.cleaned_data[name] for name in names})


class NewQuoteForm(QuoteForm):
    """A quote that is begun; sent twice, it begins one."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)


class ChangeQuoteForm(QuoteForm, Versioned):
    """A draft that is changed."""

    @staticmethod
    def values_of(quote: Quote) -> dict[str, Any]:
        """What the form begins with, and what stands when two people met."""
        names = ("title", "words", "terms", "margin_percent", "valid_until", "version")
        return {name: getattr(quote, name) for name in names}


class OfferForm(Versioned):
    """To whom, by which way and until when."""

    contact = forms.ChoiceField(label=_("offer it to"), widget=forms.RadioSelect)
    valid_until = LastDayField(label=_("stands until"))

    def __init__(
        self,
        *args: Any,
        quote: Quote | Contract,
        contacts: Sequence[Contact],
        today: dt.date,
        valid_days: int,
        **kw: Any,
    ) -> None:
        by_mail = [contact for contact in contacts if contact.email]
        first = str(by_mail[0].pk) if by_mail else ON_PAPER
        until = quote.valid_until
        if until is None or until < today:
            until = today + dt.timedelta(days=valid_days)
        kw["initial"] = {
            "version": quote.version,
            "contact": first,
            "valid_until": until,
        }
        super().__init__(*args, **kw)
        self.fields["contact"].choices = [  # type: ignore[attr-defined]
            *(
                (
                    str(contact.pk),
                    _now("%(name)s, by mail to %(address)s")
                    % {"name": contact.name, "address": contact.email},
                )
                for contact in by_mail
            ),
            (ON_PAPER, _now("hand it over on paper")),
        ]
        self.fields["valid_until"].today = today  # type: ignore[attr-defined]

    @property
    def contact_id(self) -> int | None:
        """The chosen contact; None for paper."""
        chosen = self.cleaned_data["contact"]
        return None if chosen == ON_PAPER else int(chosen)


class SendAgainForm(forms.Form):
    """Who gets another private link to the same offer."""

    contact = forms.ChoiceField(label=_("send it to"))

    def __init__(self, *args: Any, contacts: Sequence[Contact], **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.fields["contact"].choices = [  # type: ignore[attr-defined]
            (str(contact.pk), f"{contact.name}, {contact.email}")
            for contact in contacts
            if contact.email
        ]

    @property
    def contact_id(self) -> int:
        """The chosen contact."""
        return int(self.cleaned_data["contact"])


class ReasonForm(forms.Form):
    """Why an offer ends."""

    reason = forms.CharField(
        label=_("reason"), max_length=280, widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean_reason(self) -> str:
        """The reason on one line."""
        return one_line(self.cleaned_data["reason"])


class WithOptions(forms.Form):
    """A yes to a quote, with the options that are taken; OPTIONS are id and title."""

    def __init__(
        self, *args: Any, options: Sequence[tuple[int, str]] = (), **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        if options:
            self.fields["taken"] = forms.TypedMultipleChoiceField(
                label=_("with these options"),
                choices=options,
                coerce=int,
                required=False,
                widget=forms.CheckboxSelectMultiple,
            )

    def taken(self) -> tuple[int, ...]:
        """The options that were ticked."""
        return tuple(self.cleaned_data.get("taken") or ())


class RecordAgreementForm(WithOptions):
    """Who said yes, when, by which way, with the paper if there is one."""

    how = forms.ChoiceField(
        label=_("how"),
        choices=[(how, how.label) for how in AgreedHow if how != AgreedHow.LINK],
        widget=forms.RadioSelect,
        initial=AgreedHow.PHONE,
    )
    name = forms.CharField(label=_("who agreed"), max_length=120)
    agreed_on = forms.DateField(label=_("on"), widget=day_input())
    agreed_at = forms.TimeField(
        label=_("at"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text=_("by the clock at the firm's place"),
    )
    note = forms.CharField(label=_("note"), max_length=300, required=False)
    scan = ScanField(label=_("scan of the signed paper"), required=False)
    confirm_to = forms.ChoiceField(label=_("send a confirmation to"), required=False)

    def __init__(
        self,
        *args: Any,
        contacts: Sequence[Contact],
        now: dt.datetime,
        time_zone: str,
        **kw: Any,
    ) -> None:
        self.time_zone = time_zone
        local = now.astimezone(ZoneInfo(time_zone))
        by_mail = [contact for contact in contacts if contact.email]
        kw["initial"] = {
            "how": AgreedHow.PHONE,
            "name": contacts[0].name if contacts else "",
            "agreed_on": local.date(),
            "agreed_at": local.time().replace(second=0, microsecond=0),
            "confirm_to": by_mail[0].email if by_mail else "",
        }
        super().__init__(*args, **kw)
        self.fields["confirm_to"].choices = [  # type: ignore[attr-defined]
            *(
                (contact.email, f"{contact.name}, {contact.email}")
                for contact in by_mail
            ),
            ("", _now("nobody")),
        ]

    def clean_name(self) -> str:
        """The name on one line."""
        return one_line(self.cleaned_data["name"])

    def clean(self) -> dict[str, Any]:
        """An instant that the calendar has in any zone."""
        found = super().clean() or {}
        if found.get("agreed_on") and found.get("agreed_at") is not None:
            try:
                self._moment(found)
            except OverflowError:
                self.add_error("agreed_on", _now("Is the year right?"))
        return found

    @property
    def moment(self) -> dt.datetime:
        """The instant of the yes."""
        return self._moment(self.cleaned_data)

    def _moment(self, found: dict[str, Any]) -> dt.datetime:
        return local_moment(found["agreed_on"], found["agreed_at"], self.time_zone)


class AgreeForm(WithOptions):
    """The client's yes on the private page.

    SEEN is the whole price that the page showed for the options that are ticked.
    """

    seen = forms.CharField(required=False, max_length=20, widget=forms.HiddenInput)

    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    agrees = forms.BooleanField(
        label=_("I agree to this quote, its price and its terms."),
        error_messages={"required": _("Tick this to agree.")},
    )

    def clean_name(self) -> str:
        """The name on one line, of two letters at the least."""
        name = one_line(self.cleaned_data["name"])
        if sum(sign.isalpha() for sign in name) < 2:
            raise ValidationError(_now("Write your name."))
        return name


def decline_choices() -> list[tuple[str, Any]]:
    """The reasons for a no, the unsaid one first."""
    return [("", _("no reason given")), *DeclineReason.choices]


class DeclinedForm(forms.Form):
    """The client's no as the owner heard it."""

    why = forms.ChoiceField(
        label=_("the client said"), choices=decline_choices, required=False
    )
    reason = forms.CharField(
        label=_("in their words"),
        max_length=280,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def clean_reason(self) -> str:
        """The reason on one line."""
        return one_line(self.cleaned_data["reason"])

    def no(self) -> No:
        """What was said, for the action."""
        why = self.cleaned_data["why"]
        return No(
            why=DeclineReason(why) if why else "", words=self.cleaned_data["reason"]
        )


class NoThanksForm(DeclinedForm):
    """The client's no on the private page."""

    why = forms.ChoiceField(
        label=_("Would you tell us why?"), choices=decline_choices, required=False
    )
    reason = forms.CharField(
        label=_("In your words"),
        max_length=280,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class AskForm(forms.Form):
    """A client's question on the private page; sent twice, it is one."""

    def __init__(self, data: Any = None) -> None:
        # It shares its page with the form of the yes.
        super().__init__(data, auto_id="ask_%s")

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    words = forms.CharField(
        label=_("What would you like to know?"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def clean_name(self) -> str:
        """The name on one line."""
        return one_line(self.cleaned_data["name"])


class AnswerForm(forms.Form):
    """The firm's answer to a question."""

    words = forms.CharField(
        label=_("answer"), max_length=4000, widget=forms.Textarea(attrs={"rows": 5})
    )
