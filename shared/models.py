"""Gathers the tables of this app's rooms for Django; nothing else lives here."""

from shared.access.models import SignInFailure, Submission, User
from shared.business.models import BusinessProfile
from shared.evidence.models import ConcealedValue, Evidence, EvidenceHead
from shared.files.models import StoredFile
from shared.links.models import PrivateLink
from shared.numbers.models import Counter
from shared.outbox.models import Job, Message

__all__ = [
    "BusinessProfile",
    "ConcealedValue",
    "Counter",
    "Evidence",
    "EvidenceHead",
    "Job",
    "Message",
    "PrivateLink",
    "SignInFailure",
    "StoredFile",
    "Submission",
    "User",
]
