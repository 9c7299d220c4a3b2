"""Start-up of plants."""

from django.apps import AppConfig

from firm.registry import registry

AUDIT_LABELS = {
    "bed added": "measured a bed",
    "bed changed": "changed a bed",
    "bloom seen": "wrote down what was seen on a plant",
    "bloom taken back": "took back what was seen on a plant",
    "catalogue loaded": "loaded the catalogue",
    "garden changed": "changed a garden",
    "garden opened": "opened a garden",
    "instruction ended": "ended an instruction",
    "instruction given": "gave an instruction",
    "planting changed": "changed a planting",
    "planting recorded": "recorded a planting",
    "planting state said": "said how a planting fares",
    "station changed": "changed a climate",
    "station written": "wrote down a climate",
}


class PlantsConfig(AppConfig):
    """plants."""

    name = "plants"

    def ready(self) -> None:
        """Register the words of the record."""
        for action, words in AUDIT_LABELS.items():
            registry.add_audit_label(action, words)
