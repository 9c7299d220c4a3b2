"""What Django's own checks say, in the plain words of the pages."""

from typing import Any

from django.core import validators
from django.utils.translation import gettext_lazy as _


def say_plainly() -> None:
    """Let the checks of numbers say what may be typed, not what they ensure."""
    validators.MinValueValidator.message = _("This must be at least %(limit_value)s.")
    validators.MaxValueValidator.message = _("This must be at most %(limit_value)s.")
    said: dict[str, Any] = validators.DecimalValidator.messages
    said["max_digits"] = _("At most %(max)s digits are taken.")
    said["max_decimal_places"] = _("At most %(max)s digits after the point are taken.")
    said["max_whole_digits"] = _("At most %(max)s digits before the point are taken.")
