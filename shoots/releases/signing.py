"""The words of the sign page, in each language it can show. Pure text: the page puts the signer's language first."""

WORDS: dict[str, dict[str, str]] = {
    "en": {
        "show": "Show the text in",
        "signer_name": "Your full name",
        "email": "Your copy goes to this e-mail address",
        "is_of_full_age": "I am of full age",
        "has_read": "I have read the text and agree to it",
        "capacity": "Who signs",
        "owner": "I own this place",
        "is_guardian": "I am a parent or guardian and may sign",
        "for_owner": "I may sign for the owner",
        "sign": "Sign with a finger",
        "clear": "Clear",
        "typed_counts": "Instead: my typed name above counts as my signature",
        "signature_missing": "Sign with a finger, or tick that your typed name counts as your signature.",
        "agree": "I agree and sign",
        "refuse": "I do not agree",
        "reason": "If you like, say why",
        "age_help": "Someone under age cannot sign alone. Tell the photographer: a parent or guardian gets a page of their own.",
    },
    "de": {
        "show": "Text zeigen auf",
        "signer_name": "Ihr voller Name",
        "email": "Ihre Kopie geht an diese E-Mail-Adresse",
        "is_of_full_age": "Ich bin volljährig",
        "has_read": "Ich habe den Text gelesen und stimme zu",
        "capacity": "Wer unterschreibt",
        "owner": "Dieser Ort gehört mir",
        "is_guardian": "Ich bin Elternteil oder Vormund und darf unterschreiben",
        "for_owner": "Ich darf für die Eigentümerin oder den Eigentümer unterschreiben",
        "sign": "Mit dem Finger unterschreiben",
        "clear": "Löschen",
        "typed_counts": "Stattdessen: Mein oben getippter Name gilt als Unterschrift",
        "signature_missing": "Unterschreiben Sie mit dem Finger, oder setzen Sie das Häkchen für den getippten Namen.",
        "agree": "Ich stimme zu und unterschreibe",
        "refuse": "Ich stimme nicht zu",
        "reason": "Wenn Sie mögen, sagen Sie warum",
        "age_help": "Minderjährige können nicht allein unterschreiben. Sagen Sie es der Fotografin oder dem Fotografen: Ein Elternteil oder Vormund bekommt eine eigene Seite.",
    },
}


def words_in(languages: tuple[str, ...]) -> dict[str, str]:
    """Each label in all ``languages``, joined by a slash, the first language first."""
    return {key: " / ".join(WORDS[language][key] for language in languages) for key in WORDS["en"]}
