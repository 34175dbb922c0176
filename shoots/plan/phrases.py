"""Kitchen actions said in more than one word: `put it in the oven`, `give it a stir`, and what looks like an action and is none.

Searched before the single words; the first that takes a place keeps it. All of it is common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Phrase:
    """An action (empty: none) and its pattern in lower-case words, with the words of which one must be in a text for it to match."""

    action_id: str
    heads: frozenset[str]
    pattern: re.Pattern[str]


def _phrase(action_id: str, heads: str, pattern: str) -> Phrase:
    return Phrase(action_id, frozenset(heads.split()), re.compile(pattern))


_SOME = r"(?:[^.;:!?()]{0,60}?\s)"
_ONE_THING = r"(?:(?:(?!\s(?:and|or)\s|,)[^.;:!?()]){0,60}?\s)"
_FEW = r"(?:[a-z]+\s){0,4}?"
_INTO = r"(?:in|into|inside|to)\s(?:the|a|an|your)?\s?"
_PUT_WORDS = "put putting place placing pop slide return set transfer move"
_PUT = r"\b(?:put|putting|place|placing|pop|slide|return|set|transfer|move)\s"
_KEEP_WORDS = "put putting place placing pop return set transfer leave move keep store sit"
_KEEP = r"\b(?:put|putting|place|placing|pop|return|set|transfer|leave|move|keep|store|sit)\s"
_LET_WORDS = "let leave allow letting leaving allowing"
_LET = r"\b(?:let|leave|allow|letting|leaving|allowing)\s"
_LIQUID = r"(?:water|stock|broth|milk|wine|oil|brine|vinegar|buttermilk|syrup)"
_VESSEL = r"(?:(?:sauce|frying\s)?pans?|pots?|skillets?|woks?|casseroles?|kettles?|trays?|tins?)"
_GIVE = r"\b(?:give|giving)\s(?:(?:it|them|everything|the\s[a-z]+)\s)(?:a|another|one)\s(?:[a-z]+\s){0,2}?"

PHRASES: tuple[Phrase, ...] = (
    _phrase("", "shake tap shaking tapping", r"\b(?:shake|tap|shaking|tapping)\s(?:off|away)\b"),
    _phrase("cut", "top", r"\btop\sand\stail\b"),
    _phrase("season", "forget adjust adjusting correct", r"\b(?:(?:don.t|not)\sforget|adjust|adjusting|correct)\s(?:the\s|to\sadd\s)?(?:salt|pepper|seasonings?|spices?)\b"),
    _phrase("season", "salt", r"\bsalt\sand\spepper\s(?:the|it|them|each|both|everything|generously|lightly|well)\b"),
    _phrase("mix", "rub rubbing", r"\b(?:rub|rubbing)\s(?:the\s)?(?:[a-z]+\s)?(?:butter|fat|lard|margarine|suet)\s(?:in\b|into\b)"),
    _phrase("uncover", "lid lids", r"\b(?:take|taking)\s(?:the|its)\slids?\soff\b"),
    _phrase("taste", "check checking", r"\b(?:check|checking)\s(?:for\s)?(?:the\s)?(?:(?:salt|spice|seasoning)\b|taste\b|flavou?r\b)"),
    _phrase("garnish", "garnish", r"(?<=\sas\s)garnish\b|(?<=\sas\sa\s)garnish\b|\b(?:followed\sby|add|adding|with)\s(?:the|your|any|some)\sgarnish(?:es)?\b"),
    _phrase("stir", "give giving", rf"{_GIVE}(?:stir|swirl)\b"),
    _phrase("toss", "give giving", rf"{_GIVE}(?:toss|shake)\b"),
    _phrase("mix", "give giving", rf"{_GIVE}mix\b"),
    _phrase("whisk", "give giving", rf"{_GIVE}(?:whisk|beating)\b"),
    _phrase("rinse", "give giving", rf"{_GIVE}(?:rinse|wash|scrub)\b"),
    _phrase("squeeze", "squeeze", r"(?<=\sa\s)(?:[a-z]+\s)?squeeze\sof\b"),
    _phrase("drizzle", "drizzle", r"(?<=\sa\s)(?:[a-z]+\s)?drizzle\sof\b"),
    _phrase("sprinkle", "sprinkle sprinkling scattering", r"(?<=\sa\s)(?:[a-z]+\s)?(?:sprinkle|sprinkling|scattering)\sof\b"),
    _phrase("dust", "dusting", r"(?<=\sa\s|an\s)(?:[a-z]+\s)?dusting\sof\b"),
    _phrase("grate", "grating", r"(?<=\sa\s)(?:[a-z]+\s)?grating\sof\b"),
    _phrase("torch", "torch blowtorch", r"\b(?:use|using|with)\s(?:a|the|your)\s(?:kitchen\s|cook.s\s|blow)?-?torch\b(?:\sto\s\S+)?"),
    _phrase("dust", "cover coat", r"\b(?:cover|coat)\s(?:[a-z]+\s){0,3}?with\s(?:powdered sugar|icing sugar|cocoa)\b"),
    _phrase("mash", "beat beating", r"\b(?:beat|beating)\s(?:[a-z]+\s){1,4}?with\s(?:a|the|your)\s(?:[a-z]+\s){0,2}?(?:tenderi[sz]er|mallet|hammer|rolling\spin)\b"),
    _phrase("skim", "remove removing", rf"\b(?:remove|removing)\s{_ONE_THING}?(?:scum|foam|froth)\b"),
    _phrase("", _LET_WORDS, rf"{_LET}{_FEW}(?:blend|combine|mix|meld|develop|mingle)\b"),
    _phrase("marinate", _LET_WORDS, rf"{_LET}(?:[a-z]+\s){{0,5}}?(?:sit|stand|rest|lie|bathe)\sin\s(?:[a-z]+\s){{0,4}}?(?:{_LIQUID}|marinade|juice)\b"),
    _phrase("heat", "turn switch preheat preheating pre-heat pre-heating heat warm set pre", r"\b(?:turn on|switch on|preheat|preheating|pre-heat|pre-heating|heat|warm|set)\s(?:the|your|an)?\s?(?:oven|grill|broiler)\b"),
    _phrase("", "reduce reducing lower lowering turn turning increase raise adjust drop bring", r"\b(?:reduce|reducing|lower|lowering|turn|turning|increase|raise|adjust|drop|bring)\s(?:down\s|up\s|off\s)?(?:the\s(?:[a-z]+\s)?|to\s(?:a\s)?(?:[a-z-]+\s){0,2}?|[a-z]+\s)?(?:heat|flame|temperature|stove|burner|oven|fire)\b(?!\s(?:and\s\w+\s)?to\sa\s(?:gentle\s|low\s|slow\s)?simmer)"),
    _phrase("", "turn turning switch", r"\b(?:turn|turning|switch)\s(?:it\s)?(?:down|off|up|on)\b"),
    _phrase("simmer", "simmer simmering", rf"\b(?:reduce|turn down|lower|bring|return|come){_SOME}?\s?to\s(?:a|the|low|gentle)?\s?(?:gentle\s|low\s|slow\s|bare\s|light\s)*simmer(?:ing)?\b"),
    _phrase("boil", "boil boiling", rf"\b(?:bring|bringing|return|returning|come|comes|get|heat)\s{_SOME}?(?:back\s)?to\s(?:a|the)?\s?(?:rolling\s|gentle\s|full\s|light\s|slow\s|rapid\s|low\s)*boil(?:ing(?:\spoint)?)?\b"),
    _phrase("flambe", "set", rf"\bset\s{_SOME}?(?:on fire|alight|aflame)\b"),
    _phrase("bake", "oven", rf"{_PUT}{_ONE_THING}?{_INTO}(?:pre-?heated\s|hot\s|warm\s|heated\s)*(?:\d+\s?°?\s?[cf]?\s)?oven\b"),
    _phrase("chill", _KEEP_WORDS, rf"{_KEEP}{_ONE_THING}?{_INTO}(?:fridge|refrigerator|freezer|icebox|ice bath|ice water)\b"),
    _phrase("grill", "broiler grill", rf"{_PUT}{_ONE_THING}?(?:under|on|onto|over)\s(?:the|a|your)?\s?(?:hot\s|preheated\s)?(?:broiler|grill)\b"),
    _phrase("", "take get bring", r"\b(?:take|get|bring)\s(?:care|note|turns|time)\b"),
    _phrase("drain", "remove removing discard", r"\b(?:remove|removing|discard)\s(?:the\s|any\s|all\s|most\sof\sthe\s)?(?:excess\s|cooking\s|extra\s)?(?:oil|fat|liquid|water|grease)\b"),
    _phrase("lift", "take taking get pull remove removing", rf"\b(?:take|taking|get|pull|remove|removing)\s{_ONE_THING}?(?:out\b|(?:off|from)\s(?:of\s)?(?:the\s)?(?:heat|stove|oven|pan|pot|water|oil|fire|flame|grill|skillet|wok)\b)"),
    _phrase("rest", "aside side", rf"\b(?:put|set|setting|leave|place|keep)\s{_SOME}?(?:aside|to (?:one|the) side)\b"),
    _phrase("rest", _LET_WORDS, rf"{_LET}{_SOME}?(?:to\s)?(?:rest|stand|sit|rise|prove|proof|ferment)\b"),
    _phrase("chill", _LET_WORDS, rf"{_LET}{_FEW}(?:to\s)?(?:cool)\b"),
    _phrase("rest", "bring bringing", rf"\b(?:bring|bringing)\s{_FEW}to\sroom\stemperature\b"),
    _phrase("heat", "bring bringing", rf"\b(?:bring|bringing)\s{_FEW}to\s(?:a\s|the\s)?(?:[a-z]+\s)?temperature\b"),
    _phrase("crack", "egg eggs", r"\b(?:crack|cracking|break|breaking|knock)\s(?:open\s)?(?:[^.;:!?(),]{0,30}\s)?eggs?\b"),
    _phrase("uncover", "lid lids cover foil cling cloth", r"\b(?:remove|lift|take off|open|removing|lifting)\s(?:off\s)?(?:the|its)\s(?:\w+\s)?(?:lids?|cover|foil|cling film|cloth)\b"),
    _phrase("cover", "lid lids", r"\b(?:put|place|putting|placing)\s(?:on\s)?(?:the|a)\s(?:\w+\s)?lids?\b(?:\s(?:back\s)?on)?"),
    _phrase("pour", "cover covering fill filling", rf"\b(?:cover|covering|fill|filling)\s(?:(?!and\b|or\b|then\b)[a-z]+\s){{0,5}}?(?:with|by|in)\s(?:(?!and\b|or\b|then\b|lid\b|foil\b)[^\s.,;:!?()]+\s){{0,5}}?{_LIQUID}\b"),
    _phrase("pour", "top topping", r"\b(?:top|topping)\s(?:it\s|them\s|the\s[a-z]+\s)?up\b"),
    _phrase("peel", "remove removing discard", rf"\b(?:remove|removing|discard)\s{_ONE_THING}?(?:the|their|its|any|all)?\s?(?:skins?|shells?|scales?|peel|husks?|pits?|stones?|seeds?|core|stems?|stalks?|bones?)\b"),
    _phrase("heat", "heat flame stove hob burner fire", rf"\b(?:put|set|place|placing|putting|setting)\s(?:a|the|your)\s(?:[a-z-]+\s){{0,3}}?{_VESSEL}\s(?:on|over)\s(?:the\s|a\s)?(?:[a-z-]+\s){{0,2}}?(?:heat|flame|stove|hob|burner|fire)\b"),
    _phrase("", "pan pans tray trays tin tins pot rack", rf"\b(?:put|set|place|placing|putting)\s(?:a|the|your)\s(?:[a-z-]+\s){{0,2}}?(?:{_VESSEL}|rack)\s(?:on|onto|in)\s(?:the\s|a\s)?(?:[a-z-]+\s){{0,2}}?(?:rail|shelf|rack|side|table|worktop|surface|tray)\b"),
    _phrase("layer", "top", rf"\b(?:put|place|placing|putting)\s{_SOME}?on (?:the )?top\b"),
    _phrase("layer", "put putting", r"\b(?:put|putting)\s(?:(?!and\b|or\b|then\b|in\b|into\b)[a-z]+\s){1,5}?(?:on|onto)\s(?:a|an|the|each|your)\s(?:[a-z-]+\s){0,2}?(?:boards?|plates?|platters?|trays?|sheets?|racks?|paper|parchment|towels?|cloth|worktop|surface|table)\b"),
    _phrase("fill", "spoon spooning ladle ladling divide dividing scrape scraping", r"\b(?:spoon|spooning|ladle|ladling|divide|dividing|scrape|scraping)\s(?:the\s|your\s|some\s)?(?:[a-z]+\s){0,4}?(?:in|into|between|among)\s(?:the|a|an|your|each|two|three|four|six|twelve)?\s?(?:[a-z]+\s){0,2}?(?:tins?|mou?lds?|cases?|jars?|ramekins?|shells?|cups|bag|cases)\b"),
    _phrase("add", "put place drop throw placing putting slide return", rf"\b(?:put|place|drop|throw|placing|putting|slide|return)\s{_ONE_THING}?{_INTO}(?:large\s|small\s|hot\s|deep\s|big\s|clay\s|boiling\s|medium\s|non-stick\s|heavy\s|frying\s|cooking\s|mixing\s|stock\s)*(?:pots?|pan|bowl|skillet|wok|saucepan|casserole|water|oil|blender)\b"),
    _phrase("shape", "press pressing", r"\b(?:press|pressing)\s(?:(?!and\b|or\b|then\b)[a-z]+\s){0,5}?(?:into|onto|down|together)\b"),
    _phrase("transfer", "turn turning tip tipping", r"\b(?:turn|turning|tip|tipping)\s(?:out\s)?the\s(?:[a-z]+\s)?dough\s(?:out\s)?(?:on|onto)\b"),
    _phrase("flip", "over", rf"\b(?:turn|turning|flip|flipping)\s{_FEW}over\b"),
    _phrase("unmould", "out", rf"\b(?:turn|turning|tip)\s{_FEW}out\b"),
    _phrase("wrap", "up", r"\b(?:roll|rolling|fold)\s(?:[a-z]+\s){0,6}?up\b"),
    _phrase("shape", "divide dividing separate", r"\b(?:divide|dividing|separate)\s(?:the\s|your\s)?(?:\w+\s)?(?:dough|mixture|batter|mince)\b"),
    _phrase("grease", "butter grease oil", r"\b(?:butter|grease|oil)\s(?:and|or)\s(?:flour|line)\s(?:the|a|your)\b"),
    _phrase("spread", "butter", r"\bbutter\s(?:the\s|each\s|both\s|all\s)?(?:[a-z]+\s)?(?:bread|toasts?|slices?|rolls?|buns?|scones?|muffins?|pancakes?)\b"),
    _phrase("", "taste ready serving", r"\bto taste\b|\bready to serve\b|\bserving (?:size|plate|dish|platter|bowl)s?\b"),
)  # fmt: skip
