"""The settings of the tests: the house's own, in a folder that is gone when the process ends."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

# One folder a process, so a folder a worker, whatever the environment names: no test may touch anybody's books.
# In memory where the machine has such a place, and without waiting for a disk: a test's books need not outlive the power.
IN_MEMORY = Path("/dev/shm")
TEST_FOLDER = Path(tempfile.mkdtemp(prefix="plate-ledger-", dir=IN_MEMORY if os.access(IN_MEMORY, os.W_OK) else None))
os.fsync = lambda _file: None
atexit.register(shutil.rmtree, TEST_FOLDER, ignore_errors=True)
os.environ["PLATE_LEDGER_DATA"] = str(TEST_FOLDER)

from studio.settings import *  # noqa: E402, F403  the folder must be named before
from studio.settings import DATABASES  # noqa: E402

IS_SQLITE = DATABASES["default"]["ENGINE"].endswith("sqlite3")
if IS_SQLITE:
    # A file, not memory: threads and processes that race must meet real locks. No care for power cuts.
    DATABASES["default"]["TEST"] = {"NAME": str(TEST_FOLDER / "test.sqlite3")}
    options = DATABASES["default"].get("OPTIONS", {})
    options["init_command"] = options.get("init_command", "").replace("synchronous=FULL", "synchronous=OFF")

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick; no password of a test is a secret
# The manifest's hashed names exist only after collectstatic; the live server serves the plain ones.
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
