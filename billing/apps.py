from importlib import import_module

from django.apps import AppConfig


class BillingConfig(AppConfig):
    name = "billing"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Rooms that listen for facts register by being imported."""
        import_module("billing.invoices.actions")
