"""The drawing of the week page."""

from collections.abc import Sequence

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from jobs import drawings

register = template.Library()


@register.simple_tag
def hours_picture(loads: Sequence[drawings.Load], title: str = "") -> SafeString:
    """The hours planned against the hours there are, a bar a week."""
    # A drawing of ours: whatever words it holds were escaped when it was drawn.
    return SafeString(
        drawings.hours_against_capacity(
            loads, title=title, prefix="weeks", gettext=gettext
        )
    )
