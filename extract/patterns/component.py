"""Components: what is covered. The contract's list; `variant` tells alike components apart by material or make."""

import re
from typing import TYPE_CHECKING

from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.vocabulary import Component as C

if TYPE_CHECKING:
    from spacy.tokens import Doc


def _row(
    name: str, component: C, phrases: str, example: str, counter: str, why: str = "", language: str = "en"
) -> Wording:
    return Wording(
        name, tuple(p.strip() for p in phrases.split(";")), ComponentSpec(component), example, counter, why, language
    )


COMPONENTS = PhraseTable(
    Family.COMPONENT,
    (
        _row(
            "component.whole_meter",
            C.WHOLE_METER,
            "complete|entire|whole _? _? meter|meters|metre|metres|unit|product; meter|meters|metre|metres|watermeter*; water meter|meters|metre|metres; "
            "complete assembly; meter|meters assembly|assemblies; fire service assembly|assemblies",
            "the complete meter is warranted",
            "the metering of water",
        ),
        _row(
            "component.maincase",
            C.MAINCASE,
            "main case|cases|casing*; maincase*; main - case|cases; meter body|bodies|housing*|case|cases; outer|lower|upper|meter? case|cases|casing|casings; body|bodies; housing*; "
            "bottom plate*; bottom cap|caps|cover*; frost bottom|bottoms|plate*; flow tube housing|body?; flow tube*; flowtube*; pressure vessel*; pressure|outer|bronze|composite|meter shell|shells|jacket|envelope; cast* body|bodies; top cover*; lower housing cap*?; "
            "bronze|brass|iron|polymer|composite|plastic casing*|shell*|case|cases; outer shell*",
            "The bronze maincase is warranted",
            "nobody may extend it",
            "housing, body, bottom plate are one component",
        ),
        _row(
            "component.measuring_element",
            C.MEASURING_ELEMENT,
            "measuring|metering chamber*|element*|insert*|unit*|cartridge*|mechanism*|assembly; chamber|chambers; disc|disk and|or|/ chamber*; disc|disk|piston|rotor|rotors|impeller|impellers assembly|assemblies|wheel|wheels?; turbine assembly|assemblies|wheel|wheels; "
            "nutating disc|disk|discs|disks; piston|pistons; rotor|rotors; rotor|turbine and|& bearing*; interchangeable|unitized|unitised measuring? element*; internal mechanism*; impeller*; rotating parts; moving parts; changeover|crossover valve*",
            "The measuring chamber carries 5 years",
            "the council of commerce",
        ),
        _row(
            "component.register",
            C.REGISTER,
            "indicating|indicator|counting head*|unit*|mechanism*; register|registers; registering head|heads|mechanism|mechanisms?; encoder register*; encoder|encoders; register head*|lens*|dial*|box*|glass; dial|dials; dial unit*|head*; odometer*; totaliser*|totalizer*; counter|counters; sealed? register assembly; "
            "leak indicator*; register|dial and dial|register; pulse register*; index|indexes; counter head*; clockwork*",
            "Sealed dial units are covered",
            "Parts are registered with the county",
        ),
        _row(
            "component.electronics",
            C.ELECTRONICS,
            "electronic|electronic|electronics module*|board*|assembly|assemblies|unit*|component*|part*|head*|package*; electronics; circuit board*|card*; printed circuit board*|assembly|assemblies; pcb|pcbs; "
            "display|displays; lcd|lcds; sensor|sensors; transducer|transducers; sensor|transducer and _? circuit? board|display*; electrical parts|components; processor*; flow sensor*; measuring electronics; converter*",
            "Its circuit board and display are warranted",
            "a file is sent by mail",
        ),
        _row(
            "component.battery",
            C.BATTERY,
            "battery|batteries; battery pack*|cell*; lithium cell*|battery|batteries; cell|cells; power cell*|pack*|source*; replacement battery|batteries",
            "The battery is warranted to last 15 years",
            "batter for the canteen",
        ),
        _row(
            "component.endpoint",
            C.ENDPOINT,
            "endpoint|endpoints; end -? point|points; end point|points; radio _? endpoint*|transmitter*|module*|unit*|device*|node*; radio|radios; transmitter|transmitters; transceiver*; communication|communications module*|unit*|device*; "
            "telemetry|rf|ami|amr|pit|wall unit*|module*|endpoint*|transmitter*|device*; pulse sender*|transmitter*|unit*|module*|output*; signal|signalling|pulser unit*|head*; interface unit*; meter interface unit*; miu|mius; cellular? module|modules; radio head*; wireless? sensor node*",
            "A radio endpoint is free from defects for ten years",
            "the point of shipment",
        ),
        _row(
            "component.strainer",
            C.STRAINER,
            "strainer|strainers; strainer screen*|basket*|body|bodies|housing*|case*; plate|basket|inlet|y strainer*; inlet? screen|screens; filter basket*; basket and body of _? _? strainer*",
            "Plate strainers: ten years",
            "a strained relation",
        ),
        _row(
            "component.connections",
            C.CONNECTIONS,
            "coupling|couplings; coupling nut*|set*; tailpiece|tailpieces; tail piece|pieces; gasket|gaskets; bolt|bolts; bolt set*|kit*; nut|nuts; flange|flanges; companion? flange|flanges; flange kit*|gasket*|set*; "
            "connection|connections piece*|set*|kit*?; washer|washers; sealing? washer*; fitting|fittings; gland|glands; mounting hardware; connector|connectors; in -? line connector*; union|unions; setter*; cable and|or|assemblies? connector*; connector* and|or cable* _?; in -? line connector* and|or cable* _?; cable* and|or _? connector* ; meter couplings; seals",
            "Couplings, bolts and gaskets: one year",
            "a pair of pumps",
        ),
        _row(
            "component.spare_parts",
            C.SPARE_PARTS,
            "spare|replacement|service|repair|loose part*; spare and service|repair parts; spares; repair kit*; parts sold separately; spare parts sold separately; parts kit*; kits and loose parts",
            "Spare parts are warranted for 90 days",
            "both parties are bound",
        ),
        _row(
            "component.software",
            C.SOFTWARE,
            "software|firmware; head -? end ,? _? application|software|system|program; web|mobile|desktop|reading application|app|portal; _? reading|management|desktop software|program|programs|application|applications|app; program|programs; software package*; licensed programs",
            "The reading software is warranted for 12 months",
            "soft water shortens life",
        ),
        _row(
            "component.other",
            C.OTHER,
            "gateway|gateways; collector|collectors; reader|readers; handheld* _? reader*|unit*|device*|terminal*; hand -? held* _? reader*|unit*|device*|terminal*; handheld*|hand-held* programmer*|interrogator*|computer*|tool*|collector*|wand*; handhelds; antenna*; repeater*; data logger*; logger|loggers; charger|chargers; cable|cables; "
            "cable assembly|assemblies; adapter|adapters|adaptor*; test plug*; lid|lids; meter box|boxes; handheld _? reader*; in -? home display*; concentrator*; base station*; mounting bracket*; valve|valves; dongle|dongles; installation|installing work|labor|labour|services|workmanship; work|workmanship of the? installation|installer|installers; field work|labor|labour",
            "A gateway is warranted for 12 months",
            "the gate of the plant",
        ),
        _row(
            "component.whole_meter.es",
            C.WHOLE_METER,
            "medidor|medidores completo*?; contador|contadores completo*?",
            "El medidor se garantiza",
            "la medida",
            language="es",
        ),
        _row(
            "component.maincase.es",
            C.MAINCASE,
            "cuerpo|cuerpos; carcasa|carcasas; cubierta*",
            "El cuerpo de bronce",
            "el corpus",
            language="es",
        ),
        _row(
            "component.measuring.es",
            C.MEASURING_ELEMENT,
            "cámara de medición|medida; elemento de medición; turbina; pistón",
            "la cámara de medición",
            "la cama",
            language="es",
        ),
        _row(
            "component.register.es",
            C.REGISTER,
            "totalizador*; registrador*; esfera; relojería",
            "El totalizador",
            "el total",
            language="es",
        ),
        _row(
            "component.endpoint.es",
            C.ENDPOINT,
            "módulo|modulo de? radio|comunicación|transmisión; transmisor*; módulo radio",
            "El módulo de radio",
            "el modo",
            language="es",
        ),
        _row(
            "component.battery.es",
            C.BATTERY,
            "batería|bateria|baterías; pila|pilas",
            "La batería del módulo",
            "el bate",
            language="es",
        ),
        _row(
            "component.spares.es",
            C.SPARE_PARTS,
            "pieza|piezas de repuesto|recambio; repuestos; recambios",
            "Las piezas de repuesto",
            "la pieza",
            language="es",
        ),
        _row(
            "component.connections.es",
            C.CONNECTIONS,
            "racor*; acople*; conexiones; juntas; empaquetadura*; tuerca*",
            "Los racores y juntas",
            "la conexa",
            language="es",
        ),
        _row(
            "component.whole_meter.fr",
            C.WHOLE_METER,
            "compteur|compteurs",
            "Le compteur est garanti",
            "le compte",
            language="fr",
        ),
        _row(
            "component.maincase.fr",
            C.MAINCASE,
            "corps; boîtier|boitier|boîtiers; enveloppe",
            "Le corps en laiton",
            "le cor",
            language="fr",
        ),
        _row(
            "component.measuring.fr",
            C.MEASURING_ELEMENT,
            "chambre de mesure|mesurage; mesureur; bloc de mesure; élément de mesure",
            "la chambre de mesure",
            "la chambre d'hôte",
            language="fr",
        ),
        _row(
            "component.register.fr",
            C.REGISTER,
            "totalisateur*; cadran|cadrans; minuterie; enregistreur",
            "Le totalisateur reste lisible",
            "le total",
            language="fr",
        ),
        _row(
            "component.endpoint.fr",
            C.ENDPOINT,
            "module radio; tête émettrice; émetteur|émetteurs; modules radio",
            "Le module radio",
            "la mode",
            language="fr",
        ),
        _row(
            "component.battery.fr",
            C.BATTERY,
            "pile|piles; batterie|batteries",
            "La pile du module",
            "le pilon",
            language="fr",
        ),
        _row(
            "component.spares.fr",
            C.SPARE_PARTS,
            "pièces de rechange|détachées; pièces détachées",
            "Les pièces de rechange",
            "la pièce",
            language="fr",
        ),
        _row(
            "component.connections.fr",
            C.CONNECTIONS,
            "raccord|raccords; joint|joints; écrou*; raccords et _? joints",
            "Les raccords et les joints",
            "le raccourci",
            language="fr",
        ),
        _row(
            "component.whole_meter.de",
            C.WHOLE_METER,
            "zähler|zählers|zählern; wasserzähler*; kaltwasserzähler*; einstrahlzähler*; mehrstrahlzähler*; ringkolbenzähler*; hauswasserzähler*; ultraschallzähler*; flügelradzähler*",
            "Der Zähler ist garantiert",
            "die Zahl",
            language="de",
        ),
        _row("component.maincase.de", C.MAINCASE, "gehäuse*", "Für Gehäuse aus Messing", "das Haus", language="de"),
        _row(
            "component.measuring.de",
            C.MEASURING_ELEMENT,
            "messkapsel*; messeinsatz*; messkammer*; messwerk*; flügelrad",
            "Die Messkapsel",
            "die Messe",
            language="de",
        ),
        _row(
            "component.register.de",
            C.REGISTER,
            "zählwerk*; rollenzählwerk*; anzeigewerk*",
            "Das Zählwerk",
            "das Werk",
            language="de",
        ),
        _row(
            "component.endpoint.de",
            C.ENDPOINT,
            "funkaufsatz|funkaufsatzes|funkaufsätze; funkmodul*; sendemodul*; funksender*",
            "Der Funkaufsatz",
            "der Funke",
            language="de",
        ),
        _row(
            "component.battery.de",
            C.BATTERY,
            "batterie|batterien|batteriegarantie|batteriegewährleistung",
            "Die Batterie",
            "die Batik",
            language="de",
        ),
        _row("component.spares.de", C.SPARE_PARTS, "ersatzteil*", "Für Ersatzteile", "der Ersatz", language="de"),
        _row(
            "component.connections.de",
            C.CONNECTIONS,
            "verschraubung*; dichtung|dichtungen; anschlussteil*; flanschdichtung*",
            "Verschraubungen und Dichtungen",
            "dicht",
            language="de",
        ),
    ),
)


_CASE = re.compile(r"cases?", re.IGNORECASE)
# "In any case", "in that case, the case number": an occurrence or a file, no part of a meter.
_NO_PART_AFTER = re.compile(
    r"\s+(?:numbers?|no\b|file|report|by case|may be|where|when|law|studies|study)", re.IGNORECASE
)
_FLAWED = re.compile(r"\b(?:flaws?|defects?|faults?|cracks?|leaks?) in the\s+$", re.IGNORECASE)
_IN_CASE = re.compile(
    r"\b(?:in|if)\s+(?:any|each|every|no|which|that|this|such|either|both|all|the latter|the former|other|what|the)?\s*$",
    re.IGNORECASE,
)


def find(doc: "Doc") -> list[Mention]:
    """Components in order of place, longest wording first."""
    return [mention for mention in COMPONENTS.find(doc) if not _no_part(doc.text, mention)]


# "Sold over the counter", "at the counter": a shop's, no part of a meter.
_AT_COUNTER = re.compile(r"\b(?:over|at|across) (?:the|our|a)\s+$", re.IGNORECASE)


def _no_part(text: str, mention: Mention) -> bool:
    before, after = text[max(0, mention.start - 24) : mention.start], text[mention.end : mention.end + 12]
    if mention.text.lower() in ("counter", "counters") and _AT_COUNTER.search(before):
        return True
    if not _CASE.fullmatch(mention.text):
        return False
    return (bool(_IN_CASE.search(before)) and not _FLAWED.search(before)) or bool(_NO_PART_AFTER.match(after))
