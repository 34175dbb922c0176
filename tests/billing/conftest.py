"""Papers that cost nothing: a test of what is billed need not wait for the press. The papers themselves have tests of their own."""

import pytest


@pytest.fixture
def quick_papers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every paper is a few bytes that name what they are."""

    def printed(shown: object, **_how: object) -> bytes:
        return f"%PDF-1.7 {getattr(shown, 'number', '')} {shown!r}".encode()

    monkeypatch.setattr("billing.invoices.actions.invoice_pdf", printed)
    monkeypatch.setattr("billing.orders.actions.estimate_pdf", printed)
