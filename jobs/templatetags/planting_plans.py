"""Drawings that were made by this project's own code, put into a page as they are."""

from django import template
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def drawn(svg: str) -> SafeString:
    """A drawing of jobs.drawings as markup; its words were escaped when drawn."""
    return SafeString(svg)
