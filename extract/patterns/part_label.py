"""Words that name a part where they are the label of a row in a table of parts, and may mean anything else in a sentence."""

from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.vocabulary import Component as C


def _row(name: str, component: C, phrases: str, example: str, counter: str, language: str = "en") -> Wording:
    listed = tuple(p.strip() for p in phrases.split(";"))
    return Wording(name, listed, ComponentSpec(component), example, counter, "", language)


PART_LABELS = PhraseTable(
    Family.COMPONENT,
    (
        _row(
            "label.maincase",
            C.MAINCASE,
            "case|cases|casing|casings; shell|shells; cap|caps; cover|covers; base|bases|baseplate|baseplates; bottom|bottoms; meter|measuring|flow|fabricated? tube|tubes|pipe|spool; "
            "tube|tubes; spool|spools; yoke|yokes; end? bell|bells; liner|liners|lining; casting|castings; head casting; wet end; pressure boundary; paint|coating|coatings|epoxy",
            "Meter tube, epoxy lined",
            "the caseworker",
        ),
        _row(
            "label.measuring_element",
            C.MEASURING_ELEMENT,
            "propeller|propellers; bearing|bearings; magnet|magnets; spindle|spindles; shaft|shafts; thrust roller*|plate*|pin*; gear|gears|gearing; gear train|trains; vane|vanes; blade|blades; "
            "wheel|wheels; jet|jets|nozzle|nozzles; diaphragm|diaphragms; disc|disk|discs|disks; turbine|turbines; oscillator|oscillators; internals; internal|inner|working|wetted|wearing|wear parts; "
            "insert|inserts; cartridge|cartridges; mechanism|mechanisms; strain gauge*; rotating element*; pivot|pivots; roller|rollers; regulating|adjusting|calibrating vane*|device*|screw*",
            "Magnets and ceramic bearings",
            "bear this in mind",
        ),
        _row(
            "label.register",
            C.REGISTER,
            "glass|glasses; lens|lenses; crystal|crystals; window|windows; dial? face|faces; numeral|numerals; pointer|pointers; sweep hand*; reading head*; head|heads; read - ? out|outs; readout*; index; indicator|indicators; can",
            "Lens and glass",
            "a glazier",
        ),
        _row(
            "label.electronics",
            C.ELECTRONICS,
            "keypad|keypads; screen|screens and? display; coil|coils; electrode|electrodes; circuitry; circuit|circuits; board|boards; pick - ? up|ups; pickup|pickups; power supply|supplies|unit; processor|processors; microprocessor*; "
            "flow? computer|computers; signal converter*; control unit*; amplifier|amplifiers; ultrasonic? transducers; electronic|electrical parts|components|equipment|assembly; solid - state parts|components",
            "Coils and electrodes",
            "a bored reader",
        ),
        _row(
            "label.endpoint",
            C.ENDPOINT,
            "modem|modems; transponder|transponders; remote|remotes; receptacle|receptacles; pulser|pulsers; reed switch*; remote pad|pads; touch - ? pad|pads; touchpad*; antenna with transmitter; communication|communications equipment|hardware|system; "
            "telemetry; module|modules; nodes; amr|ami equipment|device*|hardware",
            "Modem and touchpad",
            "remotely possible",
        ),
        _row(
            "label.strainer",
            C.STRAINER,
            "screen|screens; sieve|sieves; filter|filters; basket|baskets; debris trap*|screen*",
            "Inlet sieve",
            "a screenplay",
        ),
        _row(
            "label.connections",
            C.CONNECTIONS,
            "o - ? ring|rings; o-ring|o-rings; ring|rings; seal|seals; screw|screws; stud|studs; hardware; nipple|nipples; joint|joints; packing|packings; thread|threads; fastener|fasteners; connection|connections; adapter flange*; bushing|bushings; "
            "wire|wires|wiring; lead wire*; clamp|clamps; saddle|saddles; bolting; trim; rubber parts; elastomer|elastomers; consumables",
            "Seals and screws",
            "the sealing of the lid",
        ),
        _row(
            "label.battery",
            C.BATTERY,
            "power pack*; cell|cells; accumulator|accumulators; power source|sources",
            "Power pack",
            "a powerful jet",
        ),
        _row(
            "label.spare_parts",
            C.SPARE_PARTS,
            "spare|spares; loose items; sundries; accessory|accessories; other? parts|items sold|bought|supplied separately|loose|alone; service kit*",
            "Accessories",
            "a spartan room",
        ),
        _row(
            "label.other",
            C.OTHER,
            "tool|tools; tablet|tablets; laptop|laptops; computer|computers; box|boxes; vault|vaults; pit|pits; lid|lids; carrying case; cradle|cradles; network equipment|hardware; server|servers; test equipment|kit|plugs?",
            "Tools",
            "toll-free",
        ),
        _row(
            "label.maincase.es",
            C.MAINCASE,
            "tapa|tapas; fondo; caja|cajas; tubo|tubos; envolvente|envolventes; armazón; revestimiento",
            "Tapa y fondo",
            "el tapiz",
            "es",
        ),
        _row(
            "label.measuring.es",
            C.MEASURING_ELEMENT,
            "cámara|cámaras; hélice|hélices; eje|ejes; cojinete|cojinetes; rodamiento|rodamientos; imán|imanes; engranaje|engranajes; mecanismo|mecanismos; rueda|ruedas; transmisión; émbolo|émbolos",
            "Ejes y engranajes",
            "el ejemplo",
            "es",
        ),
        _row("label.register.es", C.REGISTER, "visor|visores; reloj; mirilla|mirillas; vidrio; cristal; contador electrónico; indicador|indicadores", "Visor", "la visita", "es"),
        _row("label.electronics.es", C.ELECTRONICS, "electrónica; pantalla|pantallas; tarjeta|tarjetas; placa|placas; sensor|sensores; convertidor|convertidores; bobina|bobinas; electrodo|electrodos; circuito|circuitos", "Tarjeta", "el tarjetero", "es"),
        _row("label.strainer.es", C.STRAINER, "filtro|filtros; colador|coladores; tamiz; rejilla|rejillas", "Filtro y racores", "infiltrado", "es"),
        _row("label.connections.es", C.CONNECTIONS, "tornillo|tornillos|tornillería; perno|pernos; brida|bridas; arandela|arandelas; junta|juntas; sello|sellos; rosca|roscas; unión|uniones; conexión", "Pernos y bridas", "el bridón", "es"),
        _row("label.other.es", C.OTHER, "accesorio|accesorios; antena|antenas; cable|cables; herramienta|herramientas", "Antenas y cables", "accesible", "es"),
        _row("label.maincase.fr", C.MAINCASE, "couvercle|couvercles; fond; carter; tube|tubes; coque|coques; bâti; revêtement", "Couvercle et fond", "découvert", "fr"),
        _row("label.measuring.fr", C.MEASURING_ELEMENT, "hélice|hélices; axe|axes; palier|paliers; aimant|aimants; turbine|turbines; piston|pistons; engrenage|engrenages; mécanisme|mécanismes; roue|roues; chambre|chambres", "Axe et paliers", "la roulette", "fr"),
        _row("label.register.fr", C.REGISTER, "verre; rouleau|rouleaux; voyant|voyants; tête de lecture; afficheur mécanique; compteur mécanique", "Rouleaux", "le verrou", "fr"),
        _row("label.electronics.fr", C.ELECTRONICS, "électronique; carte|cartes; écran|écrans; afficheur|afficheurs; capteur|capteurs; convertisseur|convertisseurs; bobine|bobines; électrode|électrodes", "Carte et écran", "le cartable", "fr"),
        _row("label.strainer.fr", C.STRAINER, "filtre|filtres; crépine|crépines; tamis", "Crépine", "le filtrage", "fr"),
        _row("label.connections.fr", C.CONNECTIONS, "vis; boulon|boulons|boulonnerie; bride|brides; rondelle|rondelles; visserie; garniture|garnitures", "Boulons et brides", "le visage", "fr"),
        _row("label.maincase.de", C.MAINCASE, "deckel*; unterteil*; oberteil*; boden|bodenplatte*; messrohr*; rohr|rohre; kappe*; auskleidung*; haube*", "Deckel und Messrohr", "gedeckelt", "de"),
        _row("label.measuring.de", C.MEASURING_ELEMENT, "flügel|flügelräder; lager|lagerung*; welle|wellen; magnet|magnete; kolben|ringkolben; getriebe*; propeller; turbine|turbinenrad; messeinheit*; hydraulik*", "Lager und Welle", "das Lagerhaus", "de"),
        _row("label.register.de", C.REGISTER, "zifferblatt|zifferblätter; glas|sichtglas|schauglas; rollen; zeiger; zähleinrichtung*", "Sichtglas", "die Glasur", "de"),
        _row("label.electronics.de", C.ELECTRONICS, "elektronik*; anzeige|anzeigen; schallwandler*|ultraschallwandler*|wandler; messwertgeber*; rechenwerk*; platine*; sensor|sensoren; messumformer*; spule|spulen; elektrode*; display*", "Platine", "elektrisch", "de"),
        _row("label.strainer.de", C.STRAINER, "sieb|siebe|schmutzsieb*; schmutzfänger*; filter|filters; vorfilter*", "Schmutzfänger", "siebzig", "de"),
        _row("label.connections.de", C.CONNECTIONS, "schraube|schrauben; mutter|muttern|überwurfmutter*; flansch|flansche*; o-ring|o-ringe; dichtung*; bolzen; anschluss|anschlüsse*", "Schrauben und Flansche", "verschraubt", "de"),
        _row("label.other.de", C.OTHER, "zubehör*; antenne*; kabel; werkzeug*; ladegerät*", "Zubehör", "das Kabinett", "de"),
    ),
)  # fmt: skip
