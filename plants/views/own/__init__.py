"""Pages on which the firm writes its own groups, plants, rules and closed seasons."""

from plants.views.own import groups, lines, pages, plants

__all__ = ["groups", "lines", "pages", "plants"]
