"""Forms for a client and the people to speak to."""

from typing import Any

from django import forms
from django.conf import settings
from django.forms.formsets import BaseFormSet, formset_factory
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.actions.clients import CLIENT_FIELDS, ClientDetails, ContactDetails
from firm.models import Client, Contact


class ClientForm(forms.ModelForm):
    """A client: name, billing address, who lives there."""

    language = forms.ChoiceField(label=_("language"), choices=settings.LANGUAGES)

    class Meta:
        model = Client
        fields = (
            "name",
            "billing_address",
            "language",
            "has_children",
            "has_dogs",
            "has_cats",
            "has_horses",
            "tax_exempt_certificate",
            "tax_exempt_until",
            "notes",
        )
        widgets = {
            "billing_address": forms.Textarea(attrs={"rows": 3}),
            "notes": forms.Textarea(attrs={"rows": 3}),
            "tax_exempt_until": forms.DateInput(attrs={"type": "date"}),
        }
        help_texts = {
            "tax_exempt_until": _("its last day; tax is charged again after it"),
        }

    def details(self) -> ClientDetails:
        """What was typed, for the action."""
        return ClientDetails(
            **{name: self.cleaned_data[name] for name in CLIENT_FIELDS}
        )


class ContactForm(forms.ModelForm):
    """One person to speak to; an empty one is left out."""

    # Which row this is; a foreign one is taken for a new contact by the action.
    row = forms.IntegerField(required=False, widget=forms.HiddenInput)

    class Meta:
        model = Contact
        fields = ("name", "part", "email", "phone", "is_main", "wants_reminders")

    def details(self) -> ContactDetails:
        """What was typed, for the action."""
        values = {name: self.cleaned_data[name] for name in self.Meta.fields}
        return ContactDetails(id=self.cleaned_data.get("row"), **values)


class BaseContactFormSet(BaseFormSet):
    """The contacts of one client, of whom one is the first to be asked."""

    def add_fields(self, form: Any, index: int | None) -> None:
        """A contact that is there can be struck out."""
        super().add_fields(form, index)
        if "DELETE" in form.fields:
            form.fields["DELETE"].label = _("Strike this contact out")

    def clean(self) -> None:
        """Refuse two main contacts, beside the second."""
        if any(self.errors):
            return
        main = [form for form in self._kept() if form.cleaned_data.get("is_main")]
        for form in main[1:]:
            form.add_error(
                "is_main", _now("Only one contact can be the first to be asked.")
            )

    def _kept(self) -> list[ContactForm]:
        return [
            form
            for form in self.forms
            if form not in self.deleted_forms and form.cleaned_data.get("name")
        ]

    def details(self) -> list[ContactDetails]:
        """The contacts that were typed and not struck out, for the action."""
        return [form.details() for form in self._kept()]


ContactFormSet = formset_factory(
    ContactForm,
    formset=BaseContactFormSet,
    extra=2,
    can_delete=True,
    can_delete_extra=False,
    max_num=20,
    absolute_max=20,
)


def contact_rows(client: Client | None) -> list[dict[str, Any]]:
    """What the formset starts with."""
    if client is None:
        return []
    return [
        {
            "row": contact.pk,
            **{name: getattr(contact, name) for name in ContactForm.Meta.fields},
        }
        for contact in client.contacts.order_by("-is_main", "id")
    ]
