from django import forms

from shared.words.forms import SheetForm

STATES = [
    ("", "All"),
    ("owed", "Owed"),
    ("late", "Late"),
    ("part_paid", "Part paid"),
    ("paid", "Paid"),
    ("not_sent", "Not sent"),
    ("cancelled", "Cancelled"),
    ("credit_notes", "Credit notes"),
]


class InvoiceFilter(SheetForm):
    text = forms.CharField(label="Number, client or job", required=False)
    state = forms.ChoiceField(label="State", required=False, choices=STATES)


class SendForm(SheetForm):
    to = forms.EmailField(label="E-mail address", help_text="The paper goes along as a PDF, in the client’s language.")


class CreditForm(SheetForm):
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=300,
        help_text="Printed on the credit note, for example: billed to the wrong firm.",
    )
