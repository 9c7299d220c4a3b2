"""Why something cannot be done with a supplier or a list, in words for the page."""

from django.utils.translation import gettext as _


class SupplierRefused(Exception):
    """Something that cannot be done with this supplier now; says why."""


class NameTaken(SupplierRefused):
    """Another supplier has this name."""

    def __init__(self) -> None:
        super().__init__(_("There is already a supplier of this name."))


class ItemTaken(SupplierRefused):
    """The supplier has this item already."""

    def __init__(self) -> None:
        super().__init__(
            _("This supplier has an item of that number, or of that name and size.")
        )


class NoSuchItem(SupplierRefused):
    """There is no such supplier, item or list."""

    def __init__(self) -> None:
        super().__init__(_("There is no such item."))


class ListMoved(SupplierRefused):
    """The list is no longer where the page saw it."""

    def __init__(self) -> None:
        super().__init__(
            _("This list was read, taken or dropped meanwhile; look at it again.")
        )
