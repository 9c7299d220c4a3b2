"""Start-up of plants."""

from importlib import import_module

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _

from firm.registry import FirstStep, registry

AUDIT_LABELS = {
    "bed added": "measured a bed",
    "bed changed": "changed a bed",
    "bed turned": "turned a bed on its sketch",
    "bloom corrected": "put down a group's degree days in a climate",
    "bloom correction taken back": "took a group's degree days in a climate back",
    "bloom seen": "wrote down what was seen on a plant",
    "bloom taken back": "took back what was seen on a plant",
    "catalogue loaded": "loaded the catalogue",
    "figures chosen": "chose the figures of a climate",
    "garden changed": "changed a garden",
    "garden opened": "opened a garden",
    "instruction ended": "ended an instruction",
    "instruction given": "gave an instruction",
    "own group added": "added a group to the catalogue",
    "own group brought back": "brought a group of the firm back",
    "own group changed": "changed a group of the firm",
    "own group retired": "retired a group of the firm",
    "own line changed": "changed a line of care for the firm",
    "own line switched off": "switched a line of care off",
    "own line switched on": "switched a line of care on again",
    "own line taken back": "took a line of care of the firm back",
    "own line written": "wrote a line of care for the firm",
    "own plant added": "added a plant to the catalogue",
    "own plant brought back": "brought a plant of the firm back",
    "own plant changed": "changed a plant of the firm",
    "own plant retired": "retired a plant of the firm",
    "own source added": "named a source",
    "planting changed": "changed a planting",
    "planting recorded": "recorded a planting",
    "planting state said": "said how a planting fares",
    "shade placed": "placed what shades a bed",
    "shade removed": "removed what shaded a bed",
    "records dropped": "dropped a file of daily weather",
    "records read": "read daily weather into a climate",
    "records uploaded": "uploaded a file of daily weather",
    "station changed": "changed a climate",
    "station written": "wrote down a climate",
}


class PlantsConfig(AppConfig):
    """plants."""

    name = "plants"

    def ready(self) -> None:
        """Register the words of the record, the catalogue and the first steps."""
        for action, words in AUDIT_LABELS.items():
            registry.add_audit_label(action, words)
        registry.start_commands.append("load_catalogue")
        # Queries know rows, and rows exist only from here on.
        queries = import_module("plants.queries.take_over")
        registry.first_steps += [
            FirstStep(
                words=_("Write down the climate that your gardens lie in"),
                url_name="station-new",
                is_done=queries.has_climate,
            ),
            FirstStep(
                words=_("Take over the list of clients and gardens that you keep"),
                url_name="take-over",
                is_done=queries.has_garden,
            ),
        ]
