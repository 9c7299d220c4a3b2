"""What two people wrote into the same row, side by side."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db.models import Model
from django.http import QueryDict


@dataclass(frozen=True)
class Difference:
    """One field: what stands now and what was typed here."""

    label: str
    stands: str
    typed: str


def differences(form: forms.Form, stands: Mapping[str, Any]) -> list[Difference]:
    """Fields in which what was typed differs from what STANDS; the form is told the
    present version, so that sending it again is a decision and not an accident.
    """
    found = []
    for name, field in form.fields.items():
        if name == "version":
            continue
        if _plain(field, form.cleaned_data.get(name)) == (stands.get(name) or ""):
            continue
        now, typed = (
            _words(field, value) for value in (stands.get(name), form[name].value())
        )
        found.append(Difference(label=str(field.label), stands=now, typed=typed))
    data = form.data.copy() if isinstance(form.data, QueryDict) else dict(form.data)
    data[form.add_prefix("version")] = str(stands["version"])
    form.data = data
    return found


def _plain(field: forms.Field, cleaned: Any) -> Any:
    """A cleaned value as the row holds it, so that 38.6 and 38.60000 are the same."""
    if isinstance(cleaned, Model):
        return cleaned.pk
    if hasattr(field, "as_typed"):
        return field.as_typed(cleaned)
    return cleaned or ""


def _words(field: forms.Field, value: Any) -> str:
    """A value as somebody would read it."""
    if isinstance(field, forms.BooleanField):
        return "yes" if field.to_python(value) else "no"
    if isinstance(field, forms.ChoiceField):
        many = value if isinstance(value, list | tuple) else [value]
        labels: dict[str, str] = {}
        for key, label in field.widget.choices:
            labels[str(getattr(key, "value", key))] = str(label)
        return ", ".join(labels.get(str(one), str(one)) for one in many if one)
    if value is None:
        return ""
    if hasattr(value, "strftime") and isinstance(field, forms.TimeField):
        return value.strftime("%H:%M")
    return str(value).strip().replace("\r\n", "\n")
