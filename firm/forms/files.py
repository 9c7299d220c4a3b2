"""Fields for photos and scans that refuse the wrong kind of file beside the field."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from firm.actions.files import Prepared, UnusableFile, prepare_photo, prepare_scan


class PhotoField(forms.FileField):
    """A photo; its cleaned value goes to store_photo."""

    widget = forms.ClearableFileInput(
        attrs={"accept": "image/jpeg,image/png,image/webp"}
    )

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _("photo"))
        kwargs.setdefault("help_text", _("JPEG, PNG or WebP, at most 15 MB"))
        super().__init__(**kwargs)

    def clean(self, data: Any, initial: Any = None) -> Prepared | None:
        """The photo drawn anew; None when none was chosen and none is needed."""
        upload = super().clean(data, initial)
        if not upload or upload is initial:
            return None
        try:
            return prepare_photo(upload)
        except UnusableFile as refusal:
            raise ValidationError(str(refusal), code="unusable") from refusal


class ScanField(forms.FileField):
    """A scanned paper; its cleaned value goes to store_scan."""

    widget = forms.ClearableFileInput(
        attrs={"accept": "application/pdf,image/jpeg,image/png"}
    )

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _("scan"))
        kwargs.setdefault("help_text", _("PDF, JPEG or PNG, at most 15 MB"))
        super().__init__(**kwargs)

    def clean(self, data: Any, initial: Any = None) -> Prepared | None:
        """The scan as it will be kept; None when none was chosen and none is needed."""
        upload = super().clean(data, initial)
        if not upload or upload is initial:
            return None
        try:
            return prepare_scan(upload)
        except UnusableFile as refusal:
            raise ValidationError(str(refusal), code="unusable") from refusal
