"""Promises without a number of years: for the life of the meter, for as long as the buyer owns it."""

from typing import TYPE_CHECKING

from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.schema.vocabulary import LifeOf as W

if TYPE_CHECKING:
    from spacy.tokens import Doc


def _row(name: str, value: W, phrases: str, example: str, counter: str, why: str = "", language: str = "en") -> Wording:
    return Wording(name, tuple(p.strip() for p in phrases.split(";")), value, example, counter, why, language)


# The thing that lives, who owns it, and how either is said to last.
_THING = "meter|meters|register|registers|unit|units|product|products|maincase|case|body|housing|it|they"
_OWNER = "purchaser|buyer|owner|customer|utility|you|he|city|district|company"
_LONG = "as|so long as"
_WHILE = "while|whilst"
_ON = "remains|remain|stays|stay|continues|continue|is|are"

LIVES = PhraseTable(
    Family.LIFE,
    (
        _row(
            "life.meter",
            W.METER,
            "for|during|throughout the? full|entire|whole? service|useful|working|operating? life|lifetime of the|a|its|each? _? meter|product|register|unit|part|maincase|case|body|item?; "
            "for|during|throughout|of its|their the? full|entire|whole|service|useful|working|normal? life|lifetime; throughout|during|for the? entire|full|whole? life|lifetime of the|a|its _? meter|product|register|unit|part; "
            f"{_LONG} the|a|any|each? _? {_THING} lives|works|runs|functions|lasts|serves|operates; {_LONG} the|a|any|each? _? {_THING} {_ON} in ,? active? use|service|operation|place; {_WHILE} the|a|any? _? {_THING} {_ON} in use|service|operation|place; "
            f"{_LONG} the|a|any|each? _? {_THING} {_ON} installed|connected|working|running; {_LONG} the meter ... _? {_ON} in use|service; "
            "for? as|so long as the meter|register|unit|product lives|works|remains|stays|is in; life of the _? meter|product|register|unit; for life; lifetime of the _? meter|product|unit; for its lifetime|life; pour la durée de vie du compteur; durante toda? la vida del|útil medidor?; für die lebensdauer des zählers",
            "for the life of the meter",
            "a battery life of 20 years",
        ),
        _row(
            "life.ownership",
            W.OWNERSHIP,
            "as|so long as the? original|first? purchaser|buyer|owner|customer|utility|you of? the? meter? owns|own|retains|keeps|possesses _? _?; as|so long as it|they is|are|remains owned by; while the? original|first? purchaser|buyer|owner|customer|utility|you still? owns|own|retains|keeps; life of ownership; for as long as ... owns|own _?; during ... ownership; "
            f"{_LONG} the|a|any? _? {_THING} {_ON} the|in the? property|ownership|possession|hands of the|its? _? {_OWNER}; {_WHILE} the|a|any? _? {_THING} {_ON} the|in the? property|ownership|possession|hands of the|its? _? {_OWNER}; "
            f"{_LONG} the|a|any? _? {_THING} {_ON} owned|held|kept by ,? _? _? {_OWNER}; {_LONG} ... belongs|belong to the? _? {_OWNER}; {_WHILE} ... belongs|belong to the? _? {_OWNER}; {_LONG} the|its? original|first? {_OWNER} owns|own|keeps|retains|has|holds title|ownership|possession|it|them?; "
            f"period|time during which the? original|first? {_OWNER} owns|own|keeps|retains|holds; until the? original|first? {_OWNER} sells|parts",
            "for as long as the original purchaser owns the meter",
            "the owner of the meter",
        ),
        _row(
            "life.other",
            W.OTHER,
            "lifetime warranty|guarantee|cover|coverage|protection|promise|period|term; warranty|guarantee|cover period|term? : lifetime; limited lifetime; for a lifetime; life - time warranty|guarantee; limited lifetime warranty; garantie à vie; garantía de por vida; lebenslange garantie",
            "a lifetime warranty",
            "a lifetime of service to utilities",
        ),
    ),
)


def find(doc: "Doc") -> list[Mention]:
    """Lifetimes, the longest wording where two overlap."""
    return LIVES.find(doc)
