"""Refusals: what a person is told when something cannot be done."""


class Refusal(Exception):
    """Something was not done, and nothing was half done.

    Carries three plain sentences: what happened, what is kept, what to do next. Subclasses are named for what
    happened (``LicenceConflict``, ``EstimateExpired``) and carry the facts as attributes. ``status`` is the HTTP
    status of the page that says it.
    """

    status = 409

    def __init__(self, what_happened: str, what_is_kept: str = "Nothing was changed.", what_to_do: str = "") -> None:
        self.what_happened = what_happened
        self.what_is_kept = what_is_kept
        self.what_to_do = what_to_do
        super().__init__(" ".join(part for part in (what_happened, what_is_kept, what_to_do) if part))
