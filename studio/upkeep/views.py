import tempfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.http import FileResponse, HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone

from shared.access.doors import NOBODY, OWNER, door
from studio.upkeep.actions import KEY_WORDS, export_books, make_backup
from studio.upkeep.queries import backup_files, check_findings


@door(reads=OWNER, writes=OWNER)
def keep_safe(request: HttpRequest) -> HttpResponseBase:
    """Backups and exports to take away, and a look at whether everything is whole."""
    findings = check_findings() if request.method == "POST" else None
    context = {
        "backups": backup_files()[:10],
        "findings": findings,
        "key_words": KEY_WORDS,
        "folder": settings.DATA_FOLDER,
    }
    if findings is not None:
        context["is_well"] = all(finding.is_well for finding in findings)
    return render(request, "studio/upkeep/keep_safe.html", context)


@door(reads=NOBODY, writes=OWNER)
def download_backup(request: HttpRequest) -> HttpResponseBase:
    return _made_and_sent(make_backup, "books")


@door(reads=NOBODY, writes=OWNER)
def download_export(request: HttpRequest) -> HttpResponseBase:
    return _made_and_sent(export_books, "export")


def _made_and_sent(make: Callable[..., Any], name: str, at: datetime | None = None) -> HttpResponseBase:
    """Makes the file in the data folder, where there is room for it, sends it and leaves nothing behind."""
    at = at or timezone.now()
    with tempfile.TemporaryDirectory(dir=settings.DATA_FOLDER) as folder:
        made = make(Path(folder) / f"{name}.zip", at=at)
        return FileResponse(
            made.path.open("rb"),
            as_attachment=True,
            filename=f"{name}-{at:%Y-%m-%d}.zip",
            content_type="application/zip",
        )
