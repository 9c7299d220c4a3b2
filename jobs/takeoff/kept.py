"""A layout as it is kept with a quote, and read again."""

from typing import Any

from jobs.takeoff.drifts import Kind
from jobs.takeoff.layout import Layout, Place

# A hundredth of a millimetre.
PLACES = 5


def kept(layout: Layout) -> dict[str, Any]:
    """The layout as plain lists and figures."""
    return {
        "ground": [[list(corner) for corner in ring] for ring in layout.ground],
        "kinds": [
            {
                "key": kind.key,
                "label": kind.label,
                "spacing_m": kind.spacing_m,
                "height_m": kind.height_m,
                "wanted": kind.wanted,
            }
            for kind in layout.kinds
        ],
        "places": [
            [place.kind, round(place.x, PLACES), round(place.y, PLACES)]
            for place in layout.places
        ],
        "wider": layout.wider,
        "room": layout.room,
    }


def read_kept(data: dict[str, Any]) -> Layout:
    """The layout that was kept."""
    return Layout(
        ground=tuple(tuple((x, y) for x, y in ring) for ring in data["ground"]),
        kinds=tuple(Kind(**kind) for kind in data["kinds"]),
        places=tuple(Place(kind=kind, x=x, y=y) for kind, x, y in data["places"]),
        wider=data["wider"],
        room=data["room"],
    )
