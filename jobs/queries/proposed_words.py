"""Wording for quotes to begin with; the owner makes it her own."""

from django.utils.translation import gettext as _


def proposed_words() -> dict[str, str]:
    """Texts by the firm's column; common practice, no source."""
    return {
        "not_included_words": _(
            "Moving or mending lines, pipes and irrigation that nobody showed us.\n"
            "Taking away rock, rubble or stumps found below the ground.\n"
            "Permits and fees of the place, unless they stand in a line.\n"
            "Watering after the day of planting, unless a care contract is agreed."
        ),
        "assumption_words": _(
            "We can reach the beds with a wheelbarrow, and a truck can stand nearby.\n"
            "There is a tap within reach of a hose, and its water may be used.\n"
            "The measures that you gave us are right."
        ),
        "warranty_words": _(
            "A plant that dies within one year of planting is replaced once by the same"
            " or a like plant, planted by us. The replacement is not warranted again."
        ),
        "warranty_void_words": _(
            "The plant was not watered as the care guide says.\n"
            "It was moved, cut or treated by others.\n"
            "It was harmed by animals, de-icing salt, fire, flood, storm or works."
        ),
    }
