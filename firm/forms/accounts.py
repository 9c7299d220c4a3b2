"""Forms for logging in, passwords and coming in by invitation."""

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import (
    password_validators_help_text_html,
    validate_password,
)
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Invitation, Person
from firm.queries import firm_or_blank

# Long enough for any passphrase; bounds the work a stranger can ask for.
LONGEST_PASSWORD = 256
# A shorter name is part of too many words to be refused.
SHORTEST_FIRM_WORD = 4


def password_field(
    *, label: Any, autocomplete: str, help_text: Any = ""
) -> forms.CharField:
    """A password that may be pasted, is never trimmed and is not shown again."""
    return forms.CharField(
        label=label,
        strip=False,
        max_length=LONGEST_PASSWORD,
        help_text=help_text,
        widget=forms.PasswordInput(attrs={"autocomplete": autocomplete}),
    )


def check_password_is_good(
    password: str, *, person: Person | None, firm_name: str
) -> None:
    """Raise a ValidationError for a password that is short, common or names us."""
    validate_password(password, person)
    words = firm_name.casefold()
    if len(words) >= SHORTEST_FIRM_WORD and words in password.casefold():
        raise ValidationError(
            _now("The password holds the name of the firm."), code="firm_name"
        )


class LoginForm(AuthenticationForm):
    """Mail address and password; the same answer whichever of them is wrong."""

    username = forms.CharField(
        label=_("Mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    password = password_field(label=_("Password"), autocomplete="current-password")

    error_messages = {
        "invalid_login": _("This mail address and this password do not go together."),
        "inactive": _("This mail address and this password do not go together."),
    }

    @property
    def helper(self) -> FormHelper:
        """How the form is drawn: nothing was to be saved here."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.form_error_title = _("Not logged in")
        return helper

    def clean_username(self) -> str:
        """The address in small letters: wrong tries are counted by it."""
        address: str = self.cleaned_data["username"]
        return address.strip().lower()


class ForgottenForm(forms.Form):
    """The address to which a link to a new password goes."""

    email = forms.EmailField(
        label=_("Mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )


class NewPasswordForm(forms.Form):
    """A new password, typed twice."""

    new_password1 = password_field(
        label=_("New password"),
        autocomplete="new-password",
        help_text=password_validators_help_text_html,
    )
    new_password2 = password_field(
        label=_("New password again"), autocomplete="new-password"
    )

    def __init__(self, user: Person | None, *args: Any, **kwargs: Any) -> None:
        self.user = user
        super().__init__(*args, **kwargs)

    def clean_new_password1(self) -> str:
        """The password, refused beside its field when it is too easy."""
        password: str = self.cleaned_data["new_password1"]
        check_password_is_good(
            password, person=self.user, firm_name=firm_or_blank().name
        )
        return password

    def clean_new_password2(self) -> str:
        """The second typing, refused beside its field when it differs."""
        again: str = self.cleaned_data["new_password2"]
        first = self.cleaned_data.get("new_password1")
        if first is not None and first != again:
            raise ValidationError(_now("The two passwords differ."), code="differ")
        return again


class PasswordChangeForm(NewPasswordForm):
    """The current password and a new one."""

    old_password = password_field(
        label=_("Current password"), autocomplete="current-password"
    )
    field_order = ["old_password", "new_password1", "new_password2"]

    def clean_old_password(self) -> str:
        """The current password, refused beside its field when it is wrong."""
        password: str = self.cleaned_data["old_password"]
        if self.user is None or not self.user.check_password(password):
            raise ValidationError(
                _now("This is not your current password."), code="wrong"
            )
        return password


class ComeInForm(NewPasswordForm):
    """An invited person's own name and password."""

    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    field_order = ["name", "new_password1", "new_password2"]

    def __init__(self, invitation: Invitation, *args: Any, **kwargs: Any) -> None:
        # Who it will be, so that the password is held against name and address.
        guest = Person(name=invitation.name, email=invitation.email)
        kwargs.setdefault("initial", {"name": invitation.name})
        super().__init__(guest, *args, **kwargs)
