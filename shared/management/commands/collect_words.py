from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from shared.words import catalogue
from shared.words.phrases import LICENCE_LANGUAGES


class Command(BaseCommand):
    help = "Collects the sentences to translate into shared/locale and compiles the translations."
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        papers = {code for code, _ in settings.LANGUAGES}
        for language in sorted((papers | set(LICENCE_LANGUAGES)) - {"en"}):
            path = Path(settings.LOCALE_PATHS[0]) / language / "LC_MESSAGES" / "django.po"
            path.parent.mkdir(parents=True, exist_ok=True)
            known = catalogue.read(path, language) if path.exists() else None
            words = catalogue.collect(
                Path(settings.BASE_DIR),
                known,
                language=language,
                places=catalogue.PLACES if language in papers else catalogue.LICENCE_PLACES,
            )
            path.write_bytes(catalogue.write_down(words))
            path.with_suffix(".mo").write_bytes(catalogue.compiled(catalogue.read(path, language)))
            missing = sum(1 for entry in words if entry.id and not entry.string)
            self.stdout.write(f"{language}: {len(words)} sentences, {missing} to translate.")
