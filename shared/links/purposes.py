"""Which page a private link of a purpose leads to: filled by ``link_door`` while the pages are loaded."""

_landings: dict[str, tuple[str, bool]] = {}


def set_landing(purpose: str, page: str, *, decided: bool = False) -> None:
    """The first page named for a purpose is its landing page, unless another one is ``decided``."""
    if purpose not in _landings or (decided and not _landings[purpose][1]):
        _landings[purpose] = (page, decided)


def landing_page(purpose: str) -> str:
    """The URL name of the page a link of this purpose opens; ``KeyError`` when no page is closed with it."""
    return _landings[purpose][0]
