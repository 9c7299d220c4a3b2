"""Finding a private link by its key."""

import hashlib

from jobs.models import PrivateLink


def link_by_key(*, key: str) -> PrivateLink | None:
    """The link whose key is KEY, withdrawn or not, with its document; None without."""
    return (
        PrivateLink.objects.filter(key_hash=hashlib.sha256(key.encode()).hexdigest())
        .select_related(
            "document__quote", "document__contract", "document__garden__client"
        )
        .first()
    )
