"""The European Union, for the rules of VAT that hang on it."""

# Member states since 1 February 2020, ISO 3166 alpha-2. From memory; the tax adviser knows the rules that hang on it.
EU = frozenset(
    "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK".split()  # noqa: SIM905 reads better than thirty strings
)
