"""Uploaded files, to those who may see them and under our own names only."""

import io
from typing import cast

from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404
from django.views.decorators.http import require_safe

from firm.access import StaffRequest, needs
from firm.actions.files import MEDIA_TYPES, STORED_NAME, small_photo
from firm.permissions import Permission


@needs(Permission.SEE_HOME)
@require_safe
def file(request: StaffRequest, name: str) -> FileResponse:
    """The stored file; photos for everybody in the firm, scans for the books.

    `?small` asks for a photo that a thin signal can carry.
    """
    match = STORED_NAME.fullmatch(name)
    if match is None:
        raise Http404
    kind, suffix = match.groups()
    if kind == "scan" and not request.user.may(Permission.SEE_BOOKS):
        raise PermissionDenied
    try:
        content = default_storage.open(name)
    except FileNotFoundError:
        raise Http404 from None
    response = FileResponse(
        io.BytesIO(small_photo(content.read()))
        if kind == "photo" and "small" in request.GET
        else content,
        content_type=MEDIA_TYPES[suffix],
        filename=name,
        # A PDF may carry scripts of its own: it is saved, not shown in our pages.
        as_attachment=suffix == "pdf",
    )
    response["X-Content-Type-Options"] = "nosniff"
    # The name is random and the content never changes.
    response["Cache-Control"] = "private, max-age=86400"
    return cast(FileResponse, response)
