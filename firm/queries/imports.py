"""Uploaded lists."""

from firm.models import ListImport


def list_import(*, list_id: int, kind: str) -> ListImport | None:
    """The uploaded list of that kind; None if there is none."""
    return (
        ListImport.objects.select_related("uploaded_by")
        .filter(pk=list_id, kind=kind)
        .first()
    )


def lists_of(*, kind: str) -> list[ListImport]:
    """The latest uploaded lists of a kind, without their rows, newest first."""
    return list(
        ListImport.objects.filter(kind=kind)
        .select_related("uploaded_by")
        .defer("rows")
        .order_by("-uploaded_at", "-id")[:20]
    )
