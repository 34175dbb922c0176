"""A pair of hands that counts: pages opened, presses, fields typed. DEVELOPERS.md keeps the figures, and they may only fall."""

import re
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from shared.outbox.actions import work_once

ROOT = Path(__file__).resolve().parents[2]
FIGURES = re.compile(
    r"^\| `(?P<journey>[a-z_]+)` \| (?P<pages>\d+) \| (?P<presses>\d+) \| (?P<typed>\d+) \|$", re.MULTILINE
)

# A journey says what happens, not how fast: a busy machine of the test command may take its time with the first page and a PDF.
SLOWEST_MS = 120_000


@dataclass
class Hands:
    """One person's hands on a page. The names are what the person reads: labels and words on buttons."""

    page: Any
    pages: int = 0
    presses: int = 0
    typed: int = 0
    paths: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("framenavigated", self._arrived)
        self.page.set_default_timeout(SLOWEST_MS)

    def _arrived(self, frame: Any) -> None:
        if frame == self.page.main_frame and frame.url.startswith("http"):
            self.pages += 1
            self.paths.append(frame.url)

    def open(self, url: str) -> None:
        """Type an address, or follow a private link from a message."""
        self.page.goto(url)

    def press(self, name: str, *, role: str = "button", within: Any = None, exact: bool = True, nth: int = 0) -> None:
        """Press a button (or a link, a tab) by what stands on it."""
        (within or self.page).get_by_role(role, name=name, exact=exact).nth(nth).click()
        self.presses += 1
        self.page.wait_for_load_state()

    def follow(self, name: str, *, within: Any = None, exact: bool = False, nth: int = 0) -> None:
        """Press a link."""
        self.press(name, role="link", within=within, exact=exact, nth=nth)

    def write(self, label: str, value: str, *, within: Any = None, exact: bool = False, nth: int = 0) -> None:
        """Type into a field by its label."""
        (within or self.page).get_by_label(label, exact=exact).nth(nth).fill(value)
        self.typed += 1

    def choose(self, label: str, option: str, *, within: Any = None, exact: bool = False, nth: int = 0) -> None:
        """Choose from a list by the words of the option."""
        (within or self.page).get_by_label(label, exact=exact).nth(nth).select_option(label=option)
        self.presses += 1

    def tick(self, label: str, *, within: Any = None, exact: bool = False, nth: int = 0) -> None:
        """Tick a box or choose a card by its words."""
        (within or self.page).get_by_label(label, exact=exact).nth(nth).check()
        self.presses += 1

    def hand_over(self, label: str, *files: dict[str, Any]) -> None:
        """Choose files for a file field."""
        self.page.get_by_label(label).set_input_files(list(files))
        self.presses += 1


@pytest.fixture
def tally(request: pytest.FixtureRequest) -> Iterator[Callable[[Any], Hands]]:
    """`hands = tally(page)`; at the end the sums of all hands are printed and held against DEVELOPERS.md."""
    all_hands: list[Hands] = []

    def make(page: Any) -> Hands:
        all_hands.append(Hands(page))
        return all_hands[-1]

    yield make
    journey = Path(str(request.node.path)).stem.removeprefix("test_")
    found = {name: sum(getattr(hands, name) for hands in all_hands) for name in ("pages", "presses", "typed")}
    print(f"\n{journey}: {found['pages']} pages opened, {found['presses']} presses, {found['typed']} fields typed")
    if request.node.session.testsfailed:
        return
    kept = {row["journey"]: row for row in FIGURES.finditer((ROOT / "DEVELOPERS.md").read_text())}
    row = f"| `{journey}` | {' | '.join(map(str, found.values()))} |"
    assert journey in kept, f"DEVELOPERS.md has no figures for this journey yet: {row}"
    more = [name for name, count in found.items() if count > int(kept[journey][name])]
    assert not more, f"{journey} takes more than DEVELOPERS.md says: {found}"


@pytest.fixture
def worked() -> Callable[[Any], None]:
    """`worked(at)`: the outbox worker does everything that is due."""

    def run(at: Any) -> None:
        while work_once(at):
            pass

    return run


@pytest.fixture
def read_pdf(tmp_path: Path) -> Callable[[bytes], str]:
    """The words of a PDF in one line, hard spaces made plain, by poppler's pdftotext."""

    def read(data: bytes) -> str:
        path = tmp_path / "paper.pdf"
        path.write_bytes(data)
        said = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
        return " ".join(said.replace("\u00a0", " ").split())

    return read
