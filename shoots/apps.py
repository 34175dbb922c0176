from django.apps import AppConfig

from shared.outbox.registry import around_jobs


class ShootsConfig(AppConfig):
    name = "shoots"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """A job is done with the media and places of the books, as a page is."""
        from shoots.uses.queries import trees_of_the_books

        around_jobs(trees_of_the_books)
