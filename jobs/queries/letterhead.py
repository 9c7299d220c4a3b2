"""What every issued paper prints of the firm."""

from firm.queries import firm_or_blank


def letterhead() -> dict[str, str]:
    """The firm as it stands today, for a snapshot."""
    firm = firm_or_blank()
    return {
        "name": firm.name,
        "address": firm.address,
        "phone": firm.phone,
        "email": firm.email,
        "website": firm.website,
        "licence_number": firm.licence_number,
        "letterhead_note": firm.letterhead_note,
        "currency": firm.currency,
        "units": firm.units,
        "time_zone": firm.time_zone,
    }
