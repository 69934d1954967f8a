"""Other clauses that words near each other tell, in whichever order: what is spoken of and what becomes of it."""

from firstcap.extract.patterns.clause import row
from firstcap.schema.vocabulary import ConditionKind as C

WORDS = {
    "second": "replacement|replacements|replaced|replaces|replace|replacing|repaired|repair|repairing|mended|mend|exchange|exchanged|exchanging|swapped|substitute|substituted|another|second",
    "its term": "warranty|guarantee|cover|coverage|term|time|period|clock|protection",
    "another one": "replacement|replacements|replaced|replaces|replace|replacing|repaired|repair|repairing|mended|exchange|exchanged|exchanging|swapped|substitute|substituted",
    "remnant": "rest|remainder|balance|unexpired|remaining|left|outstanding|residual|unelapsed|remained|unused",
    "cover time": "warranty|warranties|guarantee|cover|covered|coverage|warranted|guaranteed|term|time|period|clock|protection|years",
    "elder": "original|first|old|initial|same",
    "lasts": "end|ends|ended|expire|expires|expired|continue|continues|keep|keeps|until|till|inherit|inherits|steps|step|lives|serves|serve|govern|governs|stays|stay|remains|completes|runs|dates",
    "longer": "extend|extends|extended|prolong|prolongs|prolonged|lengthen|lengthens|restart|restarts|renew|renews|renewed|revive|revives|over|anew|enlarge|enlarges",
    "the right": "warranty|warranties|guarantee|guarantees|cover|coverage|rights|benefit|benefits|certificate|protection",
    "moving": "pass|passes|passed|assign|assigned|assigns|transfer|transferred|follow|follows|handed|move|moves|go|goes|inure|extend|extends|travel",
    "elsewhere": "another|anyone|anybody|else|other|others|later|subsequent|second|new|next|successor|third|assignee|transferee|buyer",
    "resold": "sold|resold|resale|sell|sells|selling|reselling",
    "ending": "end|ends|lapse|lapses|void|voids|cease|ceases|expire|expires|lose|loses|terminate|terminates|stop|stops",
    "taker": "takes|take|succeed|succeeds|successor|successors|acquires|acquire|inherits",
    "owing": "liability|liable|exposure|responsibility|owe|owes|pay|pays|recover|recovered|recovery|recoverable|answer|answers|claim|damages|answerable|debt",
    "at most": "bounded|limited|exceed|exceeds|greater|confined|restricted|capped|most|maximum|beyond|than|ceiling|ends|stops|up|all",
    "money": "price|amount|sum|value|cost|invoiced|paid",
    "judging law": "govern|governs|governed|control|controls|decide|decides|rule|rules|interpreted|construed|read|competent|binding|applies|apply",
    "rightful": "right|rights|remedy|remedies|guarantees|protections|claims",
    "by law": "law|laws|statute|statutes|statutory|legal|legally|legislation|act|acts|state|jurisdiction",
    "kept": "unaffected|remain|remains|addition|additional|beyond|top|keep|keeps|well|besides|beside|lessen|lessens|other|vary|untouched|preserved|affect|affects|affected|away|deprive|deprives|prejudice|prejudiced|unimpaired|alongside|diminish|diminishes|more|reserved|waived|touched|intact|limit|limits|exclude|excludes",
    "print": "edition|editions|revision|revisions|version|versions|issue|leaflet|leaflets|sheet|sheets|form|forms|bulletin|guide|booklet|statement|card|notice|certificate|terms|rules|conditions|text|warranty|circular",
    "trade": "ordered|order|orders|sold|sale|sales|shipped|shipment|shipments|bought|purchase|purchased|delivered|deliveries|invoiced|invoice|made|manufactured|dispatched|despatched",
    "when": "before|after|earlier|older|later|date|day|when|already|since|from|then|time|last|until",
    "rules it": "stay|stays|remain|remains|govern|governs|governed|apply|applies|keep|keeps|covered|counts|count|told|change|changes|under|valid|good|holds|belongs|binding|decides|controls|subject|depends|printed",
    "former": "earlier|previous|prior|former|preceding|old|older|before",
    "undoing": "supersedes|supersede|superseded|replaces|replace|replaced|replacing|cancels|cancel|cancelled|annuls|revokes|revoked|withdrawn|void|voids|obsolete|valid|away|place|stead|lapse|lapses|invalid|retires|ends",
    "numbered": "edition|revision|rev|version|issue|form|bulletin|leaflet|sheet|notice|circular|letter|statement|card|publication",
    "writ": "leaflet|booklet|card|instrument|bulletin|sheet|statement|policy|certificate|publication|notice|paper|document|agreement|contract|warranty|warranties|terms|form|brochure|annex",
    "thing": "register|registers|endpoint|endpoints|radio|radios|module|modules|transmitter|transmitters|battery|batteries|encoder|encoders|software|chambers|chamber|strainer|strainers|meter|meters|product|products|service|equipment|parts|delivery|accessories|reader|gateway|covered|warranty|promise|warranties",
    "share of": "percent|hundred|tenth|twentieth|fifth|hundredth",
    "lot": "lot|lots|batch|batches|delivery|deliveries|delivered|shipment|shipments|shipped|production|run|consignment|order|orders|bought|purchased",
    "failing": "fail|fails|failed|failure|failures|defect|defects|defective|fault|faults|faulty|short|bad",
    "all of it": "all|every|whole|entire|complete|recall|recalled|rest|balance|remaining|delivery|batch",
    "amends": "replace|replaces|replaced|exchange|exchanges|exchanged|recall|recalled|takes|correct|correction|investigate|redeliver|swap|swapped",
}

ROWS = (
    row(
        "pair.clock_keeps",
        C.REPLACEMENT_KEEPS_CLOCK,
        """
        {second} & {remnant} & {cover time} & !property|ours|price|new ... years
        in|its place ~ {remnant} & {cover time}
        sent|sends|goes|gave|given|supplied|furnished|received ~ back|place|exchange|replacement & {remnant} & {cover time}
        part|that that|which remains & {cover time} & place|exchange|replac*
        {remnant} ~ {elder} & {second} & {cover time}
        {second} ~ {elder} ~ {its term} & {lasts} & !new|fresh|full ... {cover time} & !first (? #
        {second} & would ~ have|still & {cover time}|{elder}|end*|expir*
        {elder} {its term}|date & {another one} & {lasts} & !new|fresh|full ... {cover time} & !as|like new
        {its term}|date of|on|for ... {elder} & {another one} & {lasts} & !new|fresh|full ... {cover time} & !as|like new & !first (? # & !first customer
        {second} & not|never|no|nor ~ {longer} & {cover time} & !extend|extends|extended to
        exchanging|fitting|replacing|repairing|mending ~ not|never ~ {longer}
        another|new|second meter|unit|one|part ~ {elder}|old|that ~ {cover time}|time & steps|lives|inherits|takes|shares
        {elder} date ~ governs|govern|counts|holds & {second}
        clock|time|period ~ not|never ~ start|begin|starts|begins|restart ~ over|again|anew|new & {second}
        """,
        "A meter sent in place of another has the time that was left to the first",
        "A replacement is sent within a week",
        "a second meter, and the time of the first",
    ),
    row(
        "pair.clock_new",
        C.REPLACEMENT_NEW_CLOCK,
        """
        {second} ~ {cover time} ~ of its own & !{remnant}
        {second} & begins|starts|carries|has|gets|receives|enjoys ..., own|new|full|whole|fresh|separate ... {its term} & !{remnant} & !not|no|never ~ begins|starts|carries|new
        {second} & {its term} ..., afresh|anew|again|over again & begins|starts|runs|counts|counted & !{remnant} & !not|no|never ~ begins|starts|runs|afresh|anew
        {goods} & warranted|guaranteed|covered ~ like|as ~ new & !{remnant}
        {goods} ~ {its term} ~ again|anew|afresh & !m6|limits|accuracy & !not|no|never & !{remnant}
        with|on exchange|replacement ~ term|period|time ~ over|anew|new & !not|no
        """,
        "An exchanged part has a warranty of its own, twelve months from the exchange",
        "An exchanged part begins no new warranty",
        "a second meter, and a time of its own",
    ),
    row(
        "pair.transfer_no",
        C.NOT_TRANSFERABLE,
        """
        {the right} & not|nor|never|cannot ~ {moving} ~ to|on|with ~ {elsewhere}|owner & !title|risk|labor|damage|defects
        it|they|this|certificate does|do|may|shall|can not|cannot? pass|follow ~ to|on
        it|them|this|warranty|warranties|certificate ~ lapses|ends|void ~ {resold}
        {resold} ~ {ending} & {the right} & !title|risk|shipped
        later|subsequent|second|next|new customer|owner|user|buyer ~ no ~ right|rights|claim|claims|warranty
        second|second-hand ~ no ~ claim|right|warranty
        second - hand & no ~ claim|right|warranty
        assignment|transfer of|requires|needs ~ {the right} ~ without|requires|needs|only
        belongs|belong|runs ~ customer & not ~ pass|extend|go|run
        cannot assign|transfer & {the right}
        not assign|transfer & {the right}
        outside|outsiders ~ lose|loses ~ it|guarantee|warranty
        {resold} ~ outside|elsewhere|away & lose|loses|lapse|lapses|end|ends
        """,
        "The rights under this guarantee do not pass to another",
        "The rights pass to another",
        "the right, and that nobody after the first has it",
    ),
    row(
        "pair.transfer_yes",
        C.TRANSFERABLE,
        """
        {taker} ~ over? ~ system|works|utility|meters|water & {the right} & !not|no|nobody|lapses|never
        whoever|anyone ~ owns|holds|buys ~ {the right} & !not|no|never|lapses
        sell|sells|sold ~ another|customer ~ keep|keeps|retain|retains & {the right}
        {taker} ~ to ~ {the right} & !not|no|nobody|never|lapses
        """,
        "Whoever owns the meter holds the warranty",
        "Whoever reads this knows the town",
        "the right, and that a later owner has it",
    ),
    row(
        "pair.cap",
        C.LIABILITY_CAP,
        """
        {owing} ~ {at most} ~ {money} & price|amount|sum|value|cost|paid & !insurance|interest|deductible|percent|labor|freight|share|free|replaced|list & !customer ... pay|pays
        {owing} & {money} ~ at most & !customer ... pay|pays
        all ~ can|may|could ~ recovered|claimed|asked|owed ~ price|amount|cost|sum & !repair*|replac*
        damages|recovery|claim ~ not|never|no ~ more|greater|exceed ~ price|amount|cost|sum
        for anything|all else ~ price|amount|sum & most|only|answer
        """,
        "The maker's liability is bounded by the price of the goods",
        "The buyer pays at most half the price",
        "what is owed, and the sum that it never passes",
    ),
    row(
        "pair.law",
        C.GOVERNING_LAW,
        """
        law|laws of|in ... state|province|country|republic|place|commonwealth & governs|govern|controls|control|governed|decides & !{rightful}
        law|laws|statutes ~ {judging law} & terms|agreement|warranty|statement|form|exhibit|it|this|they & !{rightful} & !implied|implies|extent|far|permit*|allow*|consumer|verification|cannot
        court|courts ~ competent|disputes|dispute|suit|suits|action|actions|litigation
        suit|suits|action|actions|proceedings ~ brought ~ in ~ county|court|courts|state|city|district
        """,
        "Disputes go to the courts where our plant stands",
        "The law lets no water run to waste",
        "a law or a court, and what it decides",
    ),
    row(
        "pair.statute",
        C.STATUTORY_RIGHTS_KEPT,
        """
        {rightful} & {by law} & {kept} & !assign*|transfer*|governed|waive any|pass|passes|liable|implied ... warranties
        {rightful} ~ {by law} ~ gives|give|has|have|grants & apply|well|keep|keeps|remain|addition|top|other|unaffected|not
        take|takes away ~ right|rights ~ {by law}
        """,
        "You keep whatever rights the law gives you",
        "All rights to the drawings are ours",
        "rights by law, and that they stay",
    ),
    row(
        "pair.edition",
        C.EDITION_RULE,
        """
        {print} ~ {when} ~ {trade} & {rules it} & edition|revision|version|leaflet|sheet|form|bulletin|guide|rules|issue|printed|statement|notice|current|force|effect & !claim|return*|list price & !years|months
        {trade} ~ before|earlier|already|until ~ {rules it} & {print}
        applies|apply|valid ~ to|for ~ {trade} ~ on|after|from ~ or|and|# & !years|months|warranted
        older|earlier meters|units|goods|products ~ {print}
        {rules it} ~ {trade} ~ from|since|after ~ on|date|day & {print} & replaces|supersedes|edition|revision|version|issue
        later|newer|subsequent {print} ~ not ~ change|affect|alter
        place of|replaces|supersedes ~ {numbered} ~ for ~ {trade}
        rules|terms ~ printed|force|effect|current ~ when|day|date|time ~ bought|sold|ordered|shipped|delivered|purchase|sale
        """,
        "The leaflet of the day of purchase applies to a meter",
        "The leaflet is printed in May",
        "a print and a sale, and which governs which",
    ),
    row(
        "pair.supersedes",
        C.SUPERSEDES,
        """
        {undoing} ~ {former} ~ {numbered}|warranty|warranties|ones|terms & !meter ... replaced|replaces|replace & !stay|stays|remain|remains
        {former} ~ {numbered}|ones|warranty|warranties|terms ~ {undoing} & !stay|stays|remain|remains
        replaces|supersedes|cancels|withdraws ~ {numbered} & !meter|part|unit|goods|item|register ~ replaces|replaced
        replaces|supersedes|cancels|withdraws @ref
        takes|take the? place of {numbered}|notice
        takes|take the? place of all|any|every|earlier ~ {numbered}|warranty|warranties & !express|implied|other
        does away with ~ {numbered}|@ref
        {numbered}|leaflets|editions|forms|sheets|issues #? is|are|were no? longer? withdrawn|valid|cancelled|void|obsolete|revoked
        """,
        "This notice takes the place of Notice 19-02",
        "A new meter takes the place of the old",
        "this paper, and another that it sets aside",
    ),
    row(
        "pair.elsewhere",
        C.REFERS_ELSEWHERE,
        """
        {thing} & in|under|by|see|of|to|ask|for ... leaflet|booklet|card|instrument|bulletin|policy|publication|notice|paper|sheet|statement|contract|agreement|certificate @ref & !supersede*|replaces|place|cancel*|edition|instruction|instructions|data|install*|this|claim|claims|amend* & !return
        {thing} ~ warranty|warranties|paper|terms|guarantee of its|their own & !{second} & !months & !begins
        own|separate|different warranty|warranties|guarantee|terms & {thing} & !{second} & !no ~ own|separate|different
        separate|different|another leaflet|booklet|document|paper|sheet|card|bulletin|contract|agreement|policy|statement|certificate & {thing} & !this replaces
        {thing} ~ printed|stated|written|dealt|found|treated|set|spelled ~ in|by ~ separate|another|different|other|frame|own|@ref & !this & !data
        maker|makers|manufacturer|supplier 's|' warranties apply
        warranties|warranty of ~ makers|manufacturers|supplier ~ apply|applies & !this|our
        battery|module|radio|engine|component|original|actual|respective|each|other supplier 's|' warranty|guarantee|warranties
        supplier ... gives|give no warranty of its own
        warranty|warranties|terms ~ ask|asks ~ dealer|distributor|sheet|leaflet|supplier ~ for
        ask|see|consult|request ~ sheet|leaflet|card|bulletin|booklet|paper|statement @ref
        ask|request ~ dealer|distributor|office|supplier ~ terms|warranty|leaflet|sheet
        frame|framework|master|supply agreement|contract & warranty|guarantee & set|stated|found|printed|governed|contained & !this agreement
        """,
        "Encoders come under Instrument KFM-LW-12",
        "This leaflet is WX-4070",
        "a thing, and the other paper that holds its warranty",
    ),
    row(
        "pair.lot",
        C.LOT_FAILURE,
        """
        {share of} & {lot} & {failing} & {all of it} ~ {amends} & !price|prorat*
        more|or ~ {share of} & {lot} & {failing} & {amends} & all|every|whole|entire|recall* & !price
        same|common|recurring|repeated fault|defect|cause|failure & {lot} & {all of it} ~ {amends} & !price
        {amends} ~ {all of it} ~ {lot} & {failing} & !price
        # in|of|out # & {lot} & {failing} & {amends} & !price
        """,
        "If six of every hundred meters of a shipment fail we exchange every meter of it",
        "Every shipment is packed by hundreds",
        "a share of a lot that fails, and what is done with the whole",
    ),
    row(
        "pair.clock_keeps.es",
        C.REPLACEMENT_KEEPS_CLOCK,
        """
        sustitu*|repar*|reemplaz*|repuest*|repon*|cambi*|entreg*|segund* ~ tiempo|plazo|garantia|periodo|cubiert* ~ faltab*|falta|restab*|rest*|quedab*|queda|original|primer*|inicial & !nuevo|nueva plazo|garantia & !plazo|garantia nuevo|nueva
        sustitu*|repar*|reemplaz*|repon*|cambi* & no ~ prolong*|extiend*|ampli*|renuev*|alarg*|interrump*|prorrog* & plazo|garantia|periodo|tiempo
        termina|vence|expira|caduca ~ habria|hubiera|original|primer* & sustitu*|repar*|reemplaz*|repon*|cambi*
        """,
        "la unidad que se entrega queda cubierta por el tiempo que faltaba a la primera",
        "la unidad se entrega en planta",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.transfer_no.es",
        C.NOT_TRANSFERABLE,
        "no ~ pasa|pasan|transmite|transfiere|cede|ceder|cedible|transferible|cesion & garantia|derechos|cobertura|cliente|comprador|tercero|terceros|customer",
        "la garantía no pasa a terceros",
        "la garantía pasa al nuevo dueño",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.cap.es",
        C.LIABILITY_CAP,
        "responde|responder*|responsabilidad|indemniza*|paga|pagara ~ hasta|maximo|limite|tope|mas ~ precio|valor|importe|monto & !customer ... paga",
        "en todo caso responde hasta el precio de la unidad",
        "el cliente paga hasta mayo",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.edition.es",
        C.EDITION_RULE,
        """
        rige|aplica|aplicable|vale|valid* ~ medidor*|contador*|equipo*|pedido*|venta*|entrega* ~ despachad*|vendid*|entregad*|facturad*|desde|partir & edicion|version|hoja|documento|folleto|garantia & reemplaza|sustituye|edicion|version|fecha
        """,
        "esta edición rige para los medidores vendidos desde marzo",
        "la hoja vale un peso",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.supersedes.es",
        C.SUPERSEDES,
        "sustituye|reemplaza|anula|deroga|cancela ~ edicion|version|revision|hoja|documento|anterior|anteriores|folleto|@ref & !medidor|contador|pieza|equipo|modulo ~ sustituye|reemplaza",
        "sustituye a la versión 3",
        "sustituye el medidor",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.clock_keeps.fr",
        C.REPLACEMENT_KEEPS_CLOCK,
        """
        rempla*|echang*|repar* & garantie|duree|delai|periode & fin|reste|restant|terme|expir*|origine|d'origine|initial* & !nouvelle garantie
        rempla*|echang*|repar* & ne|pas|n' ~ prolong*|prorog*|renouvel* & garantie|duree|delai|periode
        """,
        "la garantie du matériel de remplacement prend fin à la date prévue pour le matériel d'origine",
        "le compteur est remplacé sans délai",
        "the same in French",
        "fr",
    ),
    row(
        "pair.statute.de",
        C.STATUTORY_RIGHTS_KEPT,
        """
        gesetzlich*|zwingend* ~ anspruch*|rechte|mangelanspruch*|mangelrechte|gewahrleistung*|rechten & unberuhrt|neben|zusatzlich
        gesetzlich*|zwingend* ~ anspruch*|rechte|mangelanspruch*|mangelrechte|rechten ~ nicht ~ beruhrt|eingeschrankt|beschrankt
        """,
        "die gesetzlichen Mängelansprüche bleiben davon unberührt",
        "die gesetzliche Eichfrist",
        "the same in German",
        "de",
    ),
)
