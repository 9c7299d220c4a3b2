"""Clients and whom to speak to there."""

from django.db.models import Prefetch, Q

from firm.models import Client, Contact


def client_with_contacts(*, client_id: int) -> Client | None:
    """The client with its contacts, the main one first; None if there is none."""
    contacts = Contact.objects.order_by("-is_main", "id")
    return (
        Client.objects.prefetch_related(Prefetch("contacts", queryset=contacts))
        .filter(pk=client_id)
        .first()
    )


def clients_matching(*, words: str = "") -> list[Client]:
    """Clients still kept whose name or contact holds WORDS, by name."""
    contacts = Contact.objects.order_by("-is_main", "id")
    rows = Client.objects.filter(archived_at__isnull=True)
    for word in words.split():
        rows = rows.filter(
            Q(name__icontains=word)
            | Q(
                pk__in=Contact.objects.filter(
                    Q(name__icontains=word)
                    | Q(email__icontains=word)
                    | Q(phone__icontains=word)
                ).values("client")
            )
        )
    return list(
        rows.prefetch_related(Prefetch("contacts", queryset=contacts)).order_by(
            "name", "id"
        )
    )
