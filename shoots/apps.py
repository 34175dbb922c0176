from django.apps import AppConfig


class ShootsConfig(AppConfig):
    name = "shoots"
    default_auto_field = "django.db.models.BigAutoField"
