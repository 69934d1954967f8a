"""What is promised: kinds of promise, accuracy levels, standards, meter types, flow roles."""

import re
from typing import TYPE_CHECKING, Any

from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.schema.vocabulary import AccuracyLevel as L
from firstcap.schema.vocabulary import FlowRole as F
from firstcap.schema.vocabulary import MeterType as M
from firstcap.schema.vocabulary import Promise as P

if TYPE_CHECKING:
    from spacy.tokens import Doc


def _row(
    name: str, value: Any, phrases: str, example: str, counter: str, why: str = "", language: str = "en"
) -> Wording:
    return Wording(name, tuple(p.strip() for p in phrases.split(";")), value, example, counter, why, language)


# A part fails in many verbs; a cause of it that lies in the making is a fault of material or workmanship.
_CAUSE = "because|owing|due|account|through|reason|result|from|by|arising|caused|consequence|virtue|under"
_FLAW = "defect|defects|flaw|flaws|fault|faults|imperfection|imperfections|shortcoming|shortcomings"
_BREAKS = "leak|leaks|leaking|crack|cracks|cracking|burst|bursts|bursting|split|splits|rupture|ruptures|seize|seizes|jam|jams|fog|fogs|fogging"

PROMISES = PhraseTable(
    Family.PROMISE,
    (
        _row(
            "promise.materials_workmanship",
            P.MATERIALS_WORKMANSHIP,
            f"{_CAUSE} of|to|by? a|an|any|some|its|the? manufacturing|material|casting|factory? {_FLAW}; defective; faulty; manufacturing|factory|material {_FLAW}; unsound|shoddy making|workmanship|work; "
            "materials|material ,? workmanship|manufacture; materials|material and|or|& ,? _? workmanship|manufacture|labor|labour; workmanship and|or|& materials|material; defect|defects in|of _? materials|material|workmanship; "
            "defective materials|material|workmanship|parts; faulty materials|material|workmanship; defects|defect; material|manufacturing|casting|workmanship defect|defects|flaws|faults; faults|flaws in materials|material; free from|of fault|faults; "
            "bad workmanship|material|materials; workmanship; faulty|defective|bad|poor|flawed|substandard|unsound parts|materials|material|workmanship|assembly|making|manufacture|work|construction|design|labour|labor; "
            "making and material|materials; material|materials and making|assembly|construction; how|way we|it|they|this|he _? made|built|assembled|was|were it?; flaw|flaws|fault|faults|defect|defects in _? casting|making|build|metal|machining|construction|assembly|design;  sound in material|materials; what we made it from; badly|poorly|wrongly|ill|carelessly made|built|assembled|machined|cast; made|built of|from bad|poor|faulty|defective|unsound|inferior material|materials|metal; faulty|defective|unsound|bad|poor in ,? material|materials|make|making|workmanship|manufacture|build|construction; fault|faults|failing|failings|flaw|flaws of|in manufacture|making|construction|assembly|material",
            "free from defects in materials and workmanship",
            "the material of the case is bronze",
        ),
        _row(
            "promise.accuracy",
            P.ACCURACY,
            "accuracy|accuracies; accurate; register|registers|registering within|between|from|not|at|to|no; measure|measures within; registration accuracy; maximum permissible error*; permissible error*; "
            "error|errors of|in measurement|registration; metrological performance|accuracy; accuracy limits|limit|requirements|standard|standards; record the? true quantity; performance limits; exact within",
            "accuracy of the meter is warranted",
            "an accurately cut gasket",
        ),
        _row(
            "promise.function",
            P.FUNCTION,
            f"not|never {_BREAKS}; that|which|will|should|case|body|lens|housing|register {_BREAKS}; exhausted|drained|flat|depleted; runs|run|ran|goes|go down|flat|dead|blank; dies; stops|stop|stopped|ceases|ceased working|transmitting|registering|turning|reading|to; unreadable|illegible; "
            "warranted|guaranteed to function|work|operate; warranted|guaranteed to do ... what|as; fog|fogging|fogged; fog - free; remain|remains|stay|stays|keep|keeps|be ,? _? legible|readable|clear|sealed|watertight; legible|readable; not ,? leak|crack|corrode|burst|seize|split|freeze|warp|fail|stick; not to? leak|crack|corrode|fail|burst|seize|fog; leak - tight|proof?; leakage; cracking; fracture; bursting; rupture; splitting; neither|nor leak|leaks|crack|cracks|corrode|corrodes|burst|bursts; burst; turn|turns freely; odometer turns; "
            "power|powers|operate|operates|run|runs|drive|drives|supply|supplies|feed|feeds the|its meter|endpoint|module|unit|radio|register|transmitter|device; transmit|transmits|send|sends|broadcast|broadcasts|report|reports|deliver|delivers its|the|hourly|daily|all? _? readings|reads|reading|data|signals|messages; keep|keeps it|them working|running|alive|powered; keep|keeps ... in operation|service|running|working; to last; will last; correct pulses; reads? correctly; transmit|transmits _? _? correctly; perform|performs as|substantially; moisture|condensation; "
            "cloud|clouds|clouding|mist|mists|misting over?; lose|loses|losing its|the|their count|counts|reading|readings|seal|signal; go|goes|keep|keeps|carry|carries on? counting|registering|reading|working|running|transmitting|turning|recording; keep|keeps|keeping the|its|a|an|our ,? _? _? _? running|working|going|alive|powered|transmitting|counting; "
            "not|never|nor|neither to? burst|seep|seeps|rupture|ruptures|break|breaks|jam|jams|bind|binds|stop|stops|swell|deform; seep|seeping|seepage; rust|rusts|rusting through?; perforate|perforates|perforation; pit|pitting; jam|jamming; "
            "loss of reading; battery life is|of? warranted|guaranteed; not to? fail; against failure|failing|breakdown; continue to operate|function|work|transmit; opens and closes; be tight; watertight; free of|from condensation|fog|fogging|leaks|leakage|corrosion; corrode|corrosion through?; what the remark says; leak; fail|fails; wear out",
            "warranted to remain readable, free of fogging",
            "a failed meter is exchanged",
        ),
        _row(
            "promise.materials.es",
            P.MATERIALS_WORKMANSHIP,
            "defectuoso|defectuosa|defectuosos|defectuosas; defecto|defectos de|en los? materiales|material|fabricación; defectos; vicios de fabricación; fallas de fabricación|material|materiales",
            "contra defectos de materiales",
            "la fábrica",
            language="es",
        ),
        _row(
            "promise.function.es",
            P.FUNCTION,
            "empañamiento; agotamiento; avería|averías; pérdida de lectura; legible|legibles|ilegible|ilegibles; estanqueidad; fugas; alimenta|alimentará|alimente al|el|los contador|medidor|módulo|equipo|contadores|medidores; transmite|transmitirá|emite|emitirá|envía|enviará las|sus|los lecturas|datos; seguirá|sigue contando|funcionando|transmitiendo; no se? agriete; sin condensación",
            "contra empañamiento",
            "la lectura mensual",
            language="es",
        ),
        _row(
            "promise.accuracy.es",
            P.ACCURACY,
            "exactitud|precisión; error|errores máximo*? permisible*?; errores máximos; clase metrológica",
            "el error del medidor no supera",
            "el herrero",
            language="es",
        ),
        _row(
            "promise.materials.fr",
            P.MATERIALS_WORKMANSHIP,
            "défectueux|défectueuse|défectueuses; défaut|défauts de matière|matériau|fabrication|matériaux; vice|vices de fabrication|matière; défaut|défauts",
            "contre tout défaut de matière",
            "la matière",
            language="fr",
        ),
        _row(
            "promise.function.fr",
            P.FUNCTION,
            "lisible|lisibles; sans buée; buée; panne|pannes; défaillance|défaillances; étanche|étanches|étanchéité; autonomie; alimente|alimentera|alimentent le|la|les compteur|compteurs|module|appareil; reste|restera en service|fonctionnement; émet|émettra|transmet|transmettra les|ses relevés|index|données",
            "reste lisible et sans buée",
            "la lecture",
            language="fr",
        ),
        _row(
            "promise.accuracy.fr",
            P.ACCURACY,
            "exactitude|précision; erreur|erreurs de mesure|maximale*|maximales; justesse",
            "l’erreur de mesure",
            "par mesure",
            language="fr",
        ),
        _row(
            "promise.materials.de",
            P.MATERIALS_WORKMANSHIP,
            "fehlerhaft*|mangelhaft*; werkstoff* und|- ... verarbeitungsfehler*; werkstoff -? und verarbeitungsfehler*; verarbeitungsfehler*; materialfehler*|werkstofffehler*|herstellungsfehler*|fabrikationsfehler*; material -? und herstellungsfehler*|verarbeitungsfehler*|fabrikationsfehler*; mängel|mangel",
            "frei von Verarbeitungsfehlern",
            "das Werk",
            language="de",
        ),
        _row(
            "promise.function.de",
            P.FUNCTION,
            "ablesbar; beschlagfrei; beschlagen; undicht*|undichtigkeit*; dicht|dichtheit; funktionsfähig; ausfall; lesbar; betriebsbereit; versorgt|speist den|das|die zähler|modul|gerät; mit strom versorgt; sendet|überträgt ... werte|zählerstände|daten",
            "bleibt ablesbar und beschlagfrei",
            "der Ausbau",
            language="de",
        ),
        _row(
            "promise.accuracy.de",
            P.ACCURACY,
            "messrichtigkeit; messgenauigkeit; fehlergrenze|fehlergrenzen; genauigkeit; eichfehlergrenze*",
            "die Fehlergrenzen einhält",
            "die Grenze",
            language="de",
        ),
    ),
)

LEVELS = PhraseTable(
    Family.LEVEL,
    (
        _row(
            "level.new",
            L.NEW_METER,
            "new -? meter|meters accuracy; new -? meter|meters ,? _? limit|limits|standard|standards|requirement|requirements|level; limits|limit|requirements|accuracy|standards ... for|of new _? meters|meter; new -? meter|meters; new limits|accuracy; "
            "as -? new accuracy|limits; as|when|while|if|once a|any|the? new meter|meters; accuracy as new; for new meters; as|while|when -? new; for|than a|any|the|each brand? new meter; asks|demands|requires|expects|sets|allows|prescribes ,? of|for|from a|any|the? new meter|meters; "
            "initial|original|first|opening|factory accuracy|tolerance|tolerances|registration; "
            "initial|original|opening|factory accuracy? limits|band|standard|stage; when|as first? delivered|shipped accuracy",
            "the new meter accuracy limits",
            "a new board of directors",
        ),
        _row(
            "level.repaired",
            L.REPAIRED_METER,
            "repaired -? meter|meters accuracy; repaired -? meter|meters ,? _? limit|limits|standard|standards|requirement|requirements|level|column; limits|limit|requirements|accuracy|standards ... for|of repaired _? meters|meter; repaired -? meter|meters; repaired limits|accuracy; "
            "for repaired meters; as|when|while|if|once a|any|the? repaired meter|meters; for|than a|any|the|each repaired meter; asks|demands|requires|expects|sets|allows|prescribes ,? of|for|from a|any|the? repaired meter|meters; repaired -? meter column; as|when -? repaired|rebuilt|reconditioned; of a? repaired|rebuilt|reconditioned meter|meters; "
            "sustained|continuing|continued|lasting|long - term|in - service|service - life|repair|rebuilt|second|later|maintained accuracy|tolerance|tolerances|registration; "
            "sustained|continuing|continued|lasting|long - term|in - service|repair|rebuilt accuracy? limits|band|standard|stage",
            "the repaired meter accuracy limits",
            "a repaired or replaced product",
        ),
        _row(
            "level.extended_low_flow",
            L.EXTENDED_LOW_FLOW,
            "extended low -? flow|flows accuracy?|registration?|range?|promise?; extended low -? end accuracy; extra|enhanced|ultra low -? flow accuracy|registration|promise; low -? flow accuracy|registration|promise|guarantee|warranty; low -? flow floor; leak -? detection flow",
            "extended low flow accuracy",
            "the lowest flow of the year",
        ),
        _row(
            "level.new.fr",
            L.NEW_METER,
            "compteurs neufs; compteur neuf",
            "limites pour compteurs neufs",
            "neuf ans",
            language="fr",
        ),
        _row(
            "level.new.es",
            L.NEW_METER,
            "medidores nuevos|nuevo; medidor nuevo",
            "límites de medidores nuevos",
            "nueve años",
            language="es",
        ),
        _row(
            "level.repaired.es",
            L.REPAIRED_METER,
            "medidores reparados; medidor reparado",
            "límites de medidores reparados",
            "se repara",
            language="es",
        ),
        _row(
            "level.repaired.fr",
            L.REPAIRED_METER,
            "compteurs réparés; compteur réparé",
            "limites pour compteurs réparés",
            "réparations",
            language="fr",
        ),
    ),
)

METER_TYPES = PhraseTable(
    Family.METER_TYPE,
    (
        _row(
            "type.displacement",
            M.DISPLACEMENT,
            "displacement; positive displacement; nutating -? disc|disk|discs|disks?; disc|disk _? meter|meters; disc|disk water|cold meter|meters; rotary|oscillating|ring|volumetric piston|pistons; piston meter|meters; volumetric|semi-positive; semi - positive; volumetric meter|meters; disc|disk|piston type; mechanical piston",
            "nutating disc cold water meters",
            "a displaced meter box",
        ),
        _row(
            "type.single_jet",
            M.SINGLE_JET,
            "single -? jet; one -? jet; singlejet",
            "single-jet meters",
            "a single meter",
        ),
        _row(
            "type.multi_jet",
            M.MULTI_JET,
            "multi -? jet|jets; multijet|multijets; multiple -? jet|jets",
            "multi-jet meters",
            "multiple meters",
        ),
        _row(
            "type.turbine",
            M.TURBINE,
            "turbine|turbines meter|meters?; woltmann|woltman; horizontal|vertical woltmann|turbine; bulk turbine",
            "turbine meters",
            "a turbid supply",
        ),
        _row("type.propeller", M.PROPELLER, "propeller|propellers meter|meters?", "propeller meters", "proper use"),
        _row(
            "type.compound",
            M.COMPOUND,
            "compound|compounds meter|meters?; combination meter|meters",
            "compound meters",
            "pipe joint work",
        ),
        _row(
            "type.fire_service",
            M.FIRE_SERVICE,
            "fire -? service|line; fire meter|meters; detector check",
            "fire service meters",
            "fire, strike or embargo",
        ),
        _row(
            "type.fluidic",
            M.FLUIDIC_OSCILLATOR,
            "fluidic _? oscillator|oscillation|meter|meters; fluidic; oscillating jet",
            "a fluidic oscillator meter",
            "fluid loss",
        ),
        _row(
            "type.electromagnetic",
            M.ELECTROMAGNETIC,
            "electromagnetic; electro -? magnetic; magnetic flow meter*; mag meter|meters; magmeter*",
            "electromagnetic meters",
            "magnetic drive couplings",
        ),
        _row(
            "type.ultrasonic",
            M.ULTRASONIC,
            "ultrasonic; ultra -? sonic; transit -? time meter*",
            "ultrasonic meters",
            "a sonic boom",
        ),
        _row(
            "type.displacement.es",
            M.DISPLACEMENT,
            "volumétrico|volumétricos; desplazamiento positivo; pistón rotativo|oscilante; disco nutante",
            "medidores volumétricos",
            "el volumen",
            language="es",
        ),
        _row(
            "type.multi.es",
            M.MULTI_JET,
            "chorro múltiple; chorros múltiples; multichorro",
            "chorro múltiple",
            "un chorro",
            language="es",
        ),
        _row("type.single.es", M.SINGLE_JET, "chorro único; monochorro", "chorro único", "un chorro", language="es"),
        _row(
            "type.ultrasonic.es",
            M.ULTRASONIC,
            "ultrasónico|ultrasónicos|ultrasonido*",
            "medidores ultrasónicos",
            "sónico",
            language="es",
        ),
        _row(
            "type.em.es",
            M.ELECTROMAGNETIC,
            "electromagnético|electromagnéticos|électromagnétique|électromagnétiques; magnetisch -? induktiv*; mid -? zähler",
            "medidores electromagnéticos",
            "imán",
            language="es",
        ),
        _row(
            "type.turbine.fr",
            M.TURBINE,
            "à turbine; hélice woltmann; turbina woltmann",
            "compteurs à turbine",
            "la turbe",
            language="fr",
        ),
        _row(
            "type.displacement.fr",
            M.DISPLACEMENT,
            "volumétrique|volumétriques; piston rotatif|oscillant",
            "compteurs volumétriques",
            "le volume",
            language="fr",
        ),
        _row(
            "type.multi.fr",
            M.MULTI_JET,
            "jets multiples; jet multiple; multi -? jets",
            "à jets multiples",
            "un jet",
            language="fr",
        ),
        _row("type.single.fr", M.SINGLE_JET, "jet unique; monojet", "à jet unique", "un jet d’eau", language="fr"),
        _row(
            "type.ultrasonic.fr",
            M.ULTRASONIC,
            "ultrasons; ultrasonique|ultrasoniques",
            "compteur à ultrasons",
            "le son",
            language="fr",
        ),
        _row(
            "type.displacement.de",
            M.DISPLACEMENT,
            "ringkolbenzähler*|ringkolben|verdrängungszähler*|taumelscheibe*",
            "Ringkolbenzähler",
            "Ring",
            language="de",
        ),
        _row(
            "type.single.de",
            M.SINGLE_JET,
            "einstrahlzähler*|einstrahl|einstrahl-flügelradzähler*",
            "Einstrahlzähler",
            "Strahl",
            language="de",
        ),
        _row(
            "type.multi.de",
            M.MULTI_JET,
            "mehrstrahlzähler*|mehrstrahl|mehrstrahl-flügelradzähler*",
            "Mehrstrahlzähler",
            "Strahl",
            language="de",
        ),
        _row(
            "type.ultrasonic.de",
            M.ULTRASONIC,
            "ultraschallzähler*|ultraschall",
            "Ultraschallzähler",
            "Schall",
            language="de",
        ),
        _row(
            "type.turbine.de",
            M.TURBINE,
            "woltmannzähler*|woltman-zähler*|großwasserzähler*",
            "Woltmannzähler",
            "Wolle",
            language="de",
        ),
    ),
)

FLOW_ROLES = PhraseTable(
    Family.FLOW_ROLE,
    (
        _row(
            "role.normal",
            F.NORMAL_RANGE,
            "normal _? test? -? flow|flows|operating|working|measuring|use? range|ranges|limits|rates|rate; normal test? -? flow|flows; normal range|ranges; operating|working|measuring|rated|published|specified|service ,? _? flow? range|ranges; flow range|ranges|limits; its|the range|ranges; test -? flow range; any|every|all rate|rates|flow|flows|flowrate; normal ,? flow|flows; intermediate and maximum; maximum and intermediate; over the range; standard range; range of flow",
            "within its normal flow range",
            "a normal day",
        ),
        _row(
            "role.minimum",
            F.MINIMUM,
            "minimum _? test? -? flow|flows|rate|flowrate; minimum|lowest test? flow|flows|rate; low test flow|rate; at _? minimum; low flow|flows rate?|limit?; lowest test rate; starting flow",
            "at its minimum test flow",
            "the minimum order charge",
        ),
        _row(
            "role.extended_low",
            F.EXTENDED_LOW,
            "extended low -? flow|flows rate?|range?|test?; extended range; extended low; extended flow",
            "at its extended low flow",
            "an extended plan",
        ),
        _row(
            "role.changeover",
            F.INTERMEDIATE,
            "changeover|crossover ,? flow? range|ranges|region|zone?; change -? over range|zone?; cross -? over range|zone?; transition range|zone; intermediate _? test? flow|rate?",
            "in the changeover range",
            "a change of owner",
        ),
        _row(
            "role.maximum",
            F.MAXIMUM,
            "maximum _? test flow|rate; high test? flow|rate; maximum flow|rate; safe maximum*; max . continuous; maximum continuous",
            "at the maximum test flow",
            "the maximum price",
        ),
    ),
)


_NO_METER = frozenset(("joint", "pipe", "thread", "threads", "potting", "sealing", "jointing"))  # "pipe joint compound"


def find_types(doc: "Doc") -> list[Mention]:
    """Meter types; a compound that seals a thread is none."""
    found = []
    for mention in METER_TYPES.find(doc):
        before = [token.lower_ for token in doc if token.idx < mention.start][-1:]
        if not (mention.value is M.COMPOUND and before and before[0] in _NO_METER):
            found.append(mention)
    return found


def find(doc: "Doc") -> list[Mention]:
    """Promises, levels, meter types and flow roles, each family on its own."""
    levels = [mention for mention in LEVELS.find(doc) if not _another(doc.text, mention)]
    promises = [mention for mention in PROMISES.find(doc) if not _german_this(doc.text, mention)]
    return [*promises, *levels, *find_types(doc), *FLOW_ROLES.find(doc)]


def _german_this(text: str, mention: Mention) -> bool:
    """ "Für diese Teile gilt dies länger": a pronoun, no battery that dies."""
    return mention.text == "dies" and bool(
        re.search(r"\b(?:gilt|gelten|ist|wird|wenn|dass|soweit|sofern)\s+$", text[: mention.start])
        or re.match(
            r"\s+(?:ab|gilt|ist|nicht|für|auch|bei|in|der|die|das|wird|kann|entsprechend)\b", text[mention.end :]
        )
    )


# "Exchanged for a new meter", "credit toward another new meter": a thing given, no limits of accuracy.
_GIVEN = re.compile(r"\b(?:a|another|one|your|towards?|any)\s+$", re.IGNORECASE)


def _another(text: str, mention: Mention) -> bool:
    bare = re.fullmatch(r"new[\s-]*meters?", mention.text, re.IGNORECASE)
    before = text[max(0, mention.start - 60) : mention.start]
    return bool(bare) and bool(_GIVEN.search(before)) and not re.search(r"accura|limit", before, re.IGNORECASE)
