"""Other clauses worth finding: transfer, liability, law, statutory rights, replacement clocks, editions, references, lot failure."""

from firstcap.extract.patterns import provisions
from firstcap.extract.patterns.clause import ClauseTable, row
from firstcap.schema.vocabulary import ConditionKind as C

WORDS = {
    "paper": "edition|editions|issue|issues|revision|revisions|rev|version|versions|form|forms|bulletin|bulletins|sheet|sheets|leaflet|leaflets|certificate|certificates|publication|publications|document|documents|booklet|circular|schedule|statement|statements|literature|text|texts|indice|number|nos|catalog|policy|policies|terms|conditions|print",
    "this": "licence|license|warranty|warranties|guarantee|guarantees|cover|coverage|certificate|protection|rights|right|benefit|benefits|it|bulletin|form|leaflet|statement|terms|sheet|undertaking|promise|promises",
    "earlier": "earlier|previous|prior|former|preceding|old|older|superseded|other|before",
    "move": "transfer|transferred|transfers|transferable|assign|assigned|assigns|assignable|pass|passed|passes|convey|conveyed|cede|ceded|hand|move|moves|goes|go|travel|travels|follow|follows|run|runs|inure|inures",
    "heir": "next|owner|owners|customer|customers|successor|successors|transferee|utility|body|company|party|parties|operator|purchaser|authority|person|anyone|another|others|assignee|assigns",
    "deny": "not|nor|no|cannot|never|neither|without|nontransferable|nonassignable",
    "goods": "repairs|mended|given|swap|replacement|replacements|repaired|replaced|substitute|substituted|exchanged|successor|swapped|exchange|repair|replace|repairing|replacing|rebuilt|renewed|furnished|new",
    "rest": "remainder|remaining|rest|left|unexpired|balance|unelapsed|residual|remains|outstanding",
    "period": "period|periods|term|time|warranty|guarantee|clock|cover|coverage|months|years|duration",
    "cap": "exceed|exceeds|exceeding|limited|capped|cap|more|ends|stops|stop|greater|maximum|most|restricted|confined|above|beyond|limit|over",
    "sum": "price|amount|amounts|sum|fees|value|paid|invoiced|cost|$|usd|£|€|pay|invoice",
    "liab": "debt|liability|liable|exposure|responsibility|obligation|damages|owe|owes|pay|recover|recovery",
    "inforce": "force|effect|print|current|effective|published|valid",
    "sale": "sales|made|order|orders|ordered|shipment|shipped|ship|purchase|purchased|sale|sold|invoice|invoiced|delivery|delivered|manufacture|manufactured|manufactured|dispatch|despatch|despatched|dispatched|bought|contract|quotation|installed",
    "court": "court|courts|tribunal|jurisdiction|venue|forum|arbitration",
    "statute": "legally|lawfully|statute|statutes|statutory|law|laws|legal|mandatory|consumer|legislation|act|acts|state|jurisdiction",
}

CONDITIONS = ClauseTable(
    (
        row(
            "transfer.no",
            C.NOT_TRANSFERABLE,
            """
            {deny} ..., transfer|transferred|transfers|transferable|assign|assigned|assignable & {this} & !title|risk|liabilities
            {deny} ... pass|passes|give|hand|sell ..., {this} ..., to|on ..., {heir}|else
            {deny} ... pass|passes|extend|extends|run|go|goes ... to ..., later|subsequent|new|another|successor|second|other|any|third ... {heir} & !title|risk
            nontransferable|nonassignable
            non - transferable|assignable
            personal to ... customer|customers|first|original
            {this} & ends|end|ceases|lapses|terminates|expires|void & when|if|once|upon|on ..., sold|resold|transferred|sale|transfer|transfers|sells & !title|risk
            not ..., go|pass|travel along|on & sold|sale|resold
            only while|so ... customer ... owns
            {deny} ... transferred|passed|assigned|ceded|handed on? & {this} & !title|risk|liabilities|data|order
            {this} ..., ends|end|ceases|lapses on|upon|with|at resale|sale|transfer
            ends|end|ceases|lapses on|upon|with resale & {this}
            transfer|assignment|cession of ..., {this} ... {deny} & !title|risk
            no|without transfer|assignment|cession of ..., {this} & !title|risk
            resale|selling|sale of? ..., meter|meters|product ..., ends|end|voids|terminates ..., {this}
            for the? customer|utility ..., not ... pass|passes ... others|other|else
            not pass|passes to others
            """,
            "The certificate may not be assigned",
            "The certificate may be assigned",
            "cover may not pass to another owner",
        ),
        row(
            "transfer.no.es",
            C.NOT_TRANSFERABLE,
            """
            no ... transmite|transmitira|transmitirse
            no ..., cederse|transferirse|ceder|cedida|cedible|transferir|transferida|transferible|transmitir|ceda & garantia|derechos|esta|certificado
            intransferible|intransmisible
            """,
            "la garantía no podrá transferirse",
            "la garantía es transferible",
            "the same in Spanish",
            "es",
        ),
        row(
            "transfer.no.fr",
            C.NOT_TRANSFERABLE,
            """
            ne|n'|pas|non ... cessible|transferable|transmissible|cedee|cede|ceder|transferee|transmise
            incessible|intransmissible
            """,
            "n'est pas cessible",
            "elle est cessible",
            "the same in French",
            "fr",
        ),
        row(
            "transfer.no.de",
            C.NOT_TRANSFERABLE,
            """
            nicht ... ubertragbar|abtretbar|ubertragen|abgetreten
            abtretung|ubertragung ..., ausgeschlossen
            """,
            "ist nicht übertragbar",
            "ist übertragbar",
            "the same in German",
            "de",
        ),
        row(
            "transfer.yes",
            C.TRANSFERABLE,
            """
            may|can|shall|will|is|are ..., transfer|transferred|transferable|assign|assigned|pass|passed ..., {heir} & {this} & !{deny} ..., transfer|transferred|transferable|assign|assigned|pass & !title|risk|made
            may|can|is|are ... transfer|transferred|transferable|assign|assigned & {this} & !{deny} ..., transfer|transferred|transferable|assign|assigned & !title|risk
            {this} ... handed|passed|carried|made|signed on|over ..., {heir} & !{deny} ... handed|passed & !title|risk
            {this} ... run|runs|inure|inures|extend|extends to ..., successors|successor|assigns & !nobody|lapses
            {this} ... stays|stay|moves|travels|goes|runs|follows|passes with ..., meter|property|premises|house|system|product & !{deny} ... stay|move|travel|go & !title|risk
            {this} ... may|can be handed|passed on|over|along & !title|risk
            {this} ..., handed|passed on|over to & !{deny} ... handed|passed & !title|risk
            {this} ... inure|inures|enure|pass|passes|goes|go|travels|follows|runs|transfers|inures|remain|remains|continues ..., to|with|for|in ..., {heir} & !{deny} ... pass|go|run|transfer|extend & !title|risk & !nobody|lapses|supplier
            successor|successors|transferee ..., {this} & notice|notification & !{deny} ... transfer|assign
            subsequent|later|new|successor owner|customer|utility ..., entitled|benefit|benefits|enjoys|covered & !{deny}
            {this} ... goes|go|travels|passes|moves along with ..., meter|meters|system|property|premises|product|house & !{deny} ... go|pass|travel|move
            {this} goes|go|passes|travels|moves with them|it & !{deny} ... go|pass|travel|move
            hand|pass|sign|transfer ..., {this} on|over ... to ..., {heir} & !supplier hand|pass|sign|transfer & !{deny} ... hand|pass|sign|transfer & !title|risk
            later|new|next|subsequent customer|operator|utility takes|take over ..., {this} & !{deny}
            change|changes hands & keeps|keep|retains|continues|stays|remains|passes & {this} & !{deny}
            new|next customer|operator|utility keeps|retains|has ..., {this} & !{deny}
            """,
            "Cover passes to a successor utility on written notice",
            "Title passes to the customer on delivery",
            "cover may pass to another owner",
        ),
        row(
            "transfer.yes.es",
            C.TRANSFERABLE,
            """
            garantia|derechos ..., ceder|cedida|transferir|transferida|transferible|transmite & !no ... transmite & !no ..., cederse|transferirse|ceder|cedida|transferir|transferida|transferible
            certificado|garantia|derechos ..., puede|podra cederse|transferirse|transmitirse|ceder|transferir & !no ... puede|podra
            """,
            "la garantía es transferible",
            "la garantía no es transferible",
            "the same in Spanish",
            "es",
        ),
        row(
            "transfer.yes.fr",
            C.TRANSFERABLE,
            """
            garantie ..., suit|transmet|passe & compteur|appareil|acquereur|customer|vente
            garantie|benefice ..., peut ..., cede|cedee|transmis|transmise|transfere|transferee & !ne|n'|pas|non ..., cede|cedee|transmis|transmise
            garantie|elle|droits ..., cessible|transferable|transmissible|cedee|transmise|transmet & !ne|n'|pas|non ... cessible|transferable|transmissible|cedee|transmise
            """,
            "la garantie est transmissible",
            "la garantie n'est pas transmissible",
            "the same in French",
            "fr",
        ),
        row(
            "transfer.yes.de",
            C.TRANSFERABLE,
            """
            garantie ..., geht ..., uber
            garantie|sie|rechte ... ubertragbar|abtretbar|abgetreten & !nicht
            rechtsnachfolger* & garantie & !nicht
            """,
            "Die Garantie ist abtretbar",
            "Die Garantie ist nicht übertragbar",
            "the same in German",
            "de",
        ),
        row(
            "liability.cap",
            C.LIABILITY_CAP,
            """
            {liab} ..., {cap} ..., {sum} & !insurance|interest & !limited to ... repair*|replac*
            {liab} & limited|capped|restricted|confined|exceed|exceeds|cap ..., {sum} & !insurance|interest & !limited|confined|restricted to ... repair*|replac*
            {liab} & not|no|never ..., {cap} ..., {sum} & !insurance|interest
            maximum|aggregate|total|entire {liab} ..., equals|equal|is|be ..., {sum}
            {liab} & limited|restricted|confined|capped to|at ..., {sum}|charged
            {liab} ..., is|ends|stops at|to ..., {sum} & {cap} & !insurance
            liability|exposure & exceed|exceeds & {sum} & !insurance|interest
            no|not more than ..., {sum} ..., owed|paid|due|payable|recoverable
            most|maximum|utmost|highest ..., is|be ..., {sum} & collect|recover|claim|get|pay|owe|receive|customer|supplier
            most|maximum|all that? supplier ..., pay|owe|owes|pays ..., {sum}
            not|no|never ..., pay|owe ..., more|exceed ..., than ..., {sum}
            {liab} ..., capped|limited|restricted ... at|to|by # & !insurance|interest
            limit|ceiling|maximum of ... liability|exposure ..., is|be ..., {sum}
            {sum} ..., is|be ..., ceiling|limit|maximum|most ... of ... claim|claims|liability|recovery
            no ... case|event|circumstances ..., for more than ..., {sum}
            """,
            "Our total exposure stops at what you paid for the failed unit",
            "The price is limited to this season",
            "liability limited to a sum or price",
        ),
        row(
            "liability.cap.es",
            C.LIABILITY_CAP,
            """
            monto|importe|suma|tope ... maximo|maxima ..., precio|valor|importe
            maximo ..., pagar ..., precio|valor
            responsabilidad ..., limita|limitada|limitara|excede|excedera|supera|superara|maxima ..., precio|valor|importe|monto
            no|ningun ..., pagaremos|pagara|responderemos|respondera ..., mas ... que|alla|de ..., precio|valor|importe
            """,
            "su responsabilidad se limita al precio",
            "la responsabilidad del comprador",
            "the same in Spanish",
            "es",
        ),
        row(
            "liability.cap.fr",
            C.LIABILITY_CAP,
            "responsabilite ..., limitee|plafonnee|excede|depasse|exceder|depasser ..., prix|montant|valeur",
            "responsabilité limitée au prix",
            "la responsabilité de l'acheteur",
            "the same in French",
            "fr",
        ),
        row(
            "liability.cap.de",
            C.LIABILITY_CAP,
            """
            haftung|haftet|haftungssumme ..., kaufpreis*|preis|preises|betrag|rechnungswert*|wert|warenwert* ..., begrenzt|beschrankt
            haftung|haftet ..., begrenzt|beschrankt|hochstens|maximal|hochstgrenze ..., kaufpreis*|preis|betrag|wert|warenwert*|rechnungswert*
            """,
            "die Haftung ist auf den Kaufpreis begrenzt",
            "die Haftung des Bestellers",
            "the same in German",
            "de",
        ),
        row(
            "law.governs",
            C.GOVERNING_LAW,
            """
            english|scots|scottish|irish|welsh|dutch|german|french|spanish|austrian|swiss|belgian|italian|canadian|australian law|laws & !give|gives|rights|required|statutory|under
            claims|claim|actions|action|suits|disputes ..., heard|brought|tried|decided ..., by|in ..., court|courts
            laws of the state|province|country in|where ..., govern|governs|apply|applies|control|controls
            law|laws holds|hold good
            governed|construed|interpreted ..., law|laws
            governing|applicable law|laws
            law|laws ... binding|decides|controls|prevails|rules|regulates|applicable
            courts|court ..., hear|hears|decide|decides|settle|settles|resolve ..., dispute|disputes|claim|claims|matter|matters
            disputes|dispute ..., heard|decided|settled|resolved|litigated ..., court|courts|law
            law|laws ..., govern|governs|governing|governed|apply|applies|control|controls|prevail
            govern|governs|governed|construed|interpreted|decided|subject|settled|determined|under ..., law|laws of
            courts ... of ..., jurisdiction|competent|venue|exclusive|decide
            jurisdiction|venue of|in ... courts|court
            courts|court ..., jurisdiction|venue
            jurisdiction|venue|forum & exclusive|submit|lies|shall
            law : _
            disputes|dispute ..., go|goes|referred|submitted|brought ..., court|courts|arbitration|tribunal
            jurisdiction|venue : _
            """,
            "The laws of Kent govern",
            "to the extent the law permits",
            "the law or court that governs",
        ),
        row(
            "law.es",
            C.GOVERNING_LAW,
            """
            rige|regira|aplica|aplican|aplicable|sometida|sujeta ..., ley|leyes|legislacion|derecho
            ley|leyes|legislacion ..., rige|aplicable|regira|aplica
            jueces|tribunales de|del|competentes|seran
            competentes ..., jueces|tribunales
            """,
            "aplica la legislación chilena",
            "un derecho de paso",
            "the same in Spanish",
            "es",
        ),
        row(
            "law.fr",
            C.GOVERNING_LAW,
            """
            droit ..., applicable|s'applique|regit
            regi|regie|regies|soumis|soumise|soumises ..., droit|loi|lois
            tribunal|tribunaux ..., competent|competents|competence
            droit francais|belge|suisse|espagnol|applicable
            loi|lois ... applicable|applique|s'applique|s
            loi ... s'? applique
            """,
            "soumis au droit belge",
            "un droit conféré",
            "the same in French",
            "fr",
        ),
        row(
            "law.de",
            C.GOVERNING_LAW,
            """
            gilt|unterliegt|anwendbar|anzuwenden ..., recht
            recht ..., anwendbar|anwendung|massgebend|massgeblich
            gerichtsstand
            """,
            "Es gilt deutsches Recht",
            "das Recht auf Ersatz",
            "the same in German",
            "de",
        ),
        row(
            "statute.kept",
            C.STATUTORY_RIGHTS_KEPT,
            """
            none|neither ..., takes|take|affects|affect|limits|limit|cuts|reduces ..., right|rights & {statute}
            nothing & limit|limits|exclude|excludes|restrict & liability & {statute}
            nothing ..., right|rights|limits|limit|excludes|exclude|restricts|affects|takes|cuts ..., {statute} & right|rights|liability|remedy|remedies|protection
            nothing ..., right|rights & {statute}|waived|excluded|waivable
            right|rights & mandatory|statute|law|statutory & remain|remains|unaffected|stand|stands|untouched & !law|laws of ... govern*
            {statute} right|rights ..., not|unaffected|addition|remain|preserved|beside|kept
            right|rights|guarantee|guarantees|remedies|remedy|protection ..., {statute} ..., not|unaffected|remain|addition|cannot|preserved
            addition to|with ..., right|rights|remedies|guarantees & {statute}
            right|rights|guarantees|remedies ..., cannot|not ..., excluded|waived|limited|restricted|modified & {statute}
            other|specific|additional|further ... rights ..., vary|varies|differ|differs ..., state|jurisdiction|country|province
            some|certain|where states|jurisdictions|provinces|countries ..., not allow|permit
            consumer guarantees|rights ..., beside|addition|not|alongside
            {statute} rights ... not ... affected
            rights ... at|under|in law ..., not|no|untouched|unaffected ..., lessened|affected|reduced|limited|diminished|cut
            rights|right ..., {statute} ..., no|not lessened|affected|reduced|diminished
            {statute} rights ..., untouched|intact|stand|unimpaired
            does|do|shall|will not affect|limit|restrict|reduce|exclude ..., {statute} ... right|rights
            specific legal rights
            rights as ... customer ..., untouched|unaffected|not|remain|intact
            not ... take|takes|taking away|from ..., right|rights ... law|statute|legislation
            mandatory|statutory|compulsory law|laws|provisions|legislation ..., not|unaffected ... affected|touched|limited|excluded
            mandatory|statutory|compulsory law|laws|provisions unaffected|remain|remains|prevail|prevails
            """,
            "Your statutory rights are not affected",
            "The right of way is set by statute",
            "rights by statute are kept",
        ),
        row(
            "statute.es",
            C.STATUTORY_RIGHTS_KEPT,
            """
            derechos ..., ley|legales|consumidor|legislacion & no|sin|ademas|adicional
            derechos ..., ley & conserv*|mantien*|subsist*|respet*
            no|sin ..., limita|afecta|perjuicio|restringe|excluye|menoscaba ..., derechos|garantia & ley|legal|legales|consumidor
            """,
            "sin perjuicio de los derechos legales del consumidor",
            "los derechos de autor",
            "the same in Spanish",
            "es",
        ),
        row(
            "statute.fr",
            C.STATUTORY_RIGHTS_KEPT,
            """
            customer conservez|conserve ..., garantie|droits legale|legaux|legales
            garanties|garantie|droits legale|legales|legaux|statutaires & ajoute*|s'ajoutent|ne|n'|sans|restriction|prejudice|independamment|outre|s'ajoute
            ne ..., limite|affecte|restreint|prive ..., droit|droits ..., loi|public|legaux
            garantie legale ..., demeure|reste|subsiste|entiere|acquise
            """,
            "sans préjudice des droits légaux",
            "le droit français",
            "the same in French",
            "fr",
        ),
        row(
            "statute.de",
            C.STATUTORY_RIGHTS_KEPT,
            """
            gesetzliche*|zwingende* ..., rechte|anspruche|gewahrleistung*|mangelrechte|bestimmungen ..., unberuhrt|neben|nicht|bleiben|eingeschrankt
            unberuhrt ..., gesetzliche*|rechte|anspruche
            neben ... gesetzliche*
            """,
            "Gesetzliche Rechte bleiben unberührt",
            "die gesetzliche Eichfrist",
            "the same in German",
            "de",
        ),
        row(
            "clock.keeps",
            C.REPLACEMENT_KEEPS_CLOCK,
            """
            replaces|replacing another|it|one ..., remaining|unexpired|rest|balance|left
            remainder|rest|balance|unexpired ..., {period} ..., applies|apply|holds|covers|runs|goes|passes ..., {goods}
            {goods} ..., keep|keeps|retain|retains|take|takes ..., dates|date|clock ..., original|first|old
            {goods} ..., {rest} ..., {period}|original|first|old
            {goods} ..., what|which|whatever ... is left|unexpired|outstanding
            {goods} ..., {period} ... {rest} & !new {period} & !longer|more
            {goods} ..., runs|run|serves|serve out|only|off ..., {period}
            {goods} ..., completes|complete|finishes|finish|continues|continue|serves ..., {period}|original|clock & !new|fresh
            {goods} ..., not|nor|never ..., restart|restarts|extend|extends|extended|renew|renews|prolong|prolongs|lengthen|lengthens|begin|begins|start|starts|revive|revives ..., {period}
            {goods} & no|not|never new|fresh|further|additional {period} ..., begin|begins|start|starts|run|runs|given|arises|granted
            {goods} ..., until|till|to ..., day|date|end ..., first|original|old
            {goods} ..., original|initial|first|same|old ..., {period}|expiry|dates|date & covered|cover|warranted|continues|keeps|keep|retain|retains|under|within|guaranteed|carries|carry|inherits|inherit|expires|expire|assume|assumes & !new|fresh {period}
            {goods} ..., until|till|through ..., end|expiry|close of ..., {period}
            {goods} ... shares|inherits|keeps|takes ... dates|clock|date|{period} & !new|full|fresh
            {goods} ..., remainder|rest|balance of
            longer|greater|later of ..., {rest} & {goods}
            {goods} ..., time|period that? ... was|is left
            {goods} ..., until|when ..., original|first|old ... would
            {goods} ..., ends|end|expires|stops when ..., first|old|original ..., would
            for ... time|period left & {goods}
            finishes|finish|serves|runs|sees out ..., old|original|first ..., {period}
            other|another|second meter|unit|one ..., time|term|period that? was|is left|remaining
            """,
            "A replacement serves out the old period",
            "A replacement is sent within ten days",
            "a replacement runs out the first clock",
        ),
        row(
            "clock.keeps.es",
            C.REPLACEMENT_KEEPS_CLOCK,
            """
            sustituid*|reparad*|reemplazad*|repuest*|cambiad* ..., conserva|mantiene|sigue ..., plazo|garantia|periodo
            sustituid*|reparad*|reemplazad*|repuest*|cambiad* ..., tiempo|plazo|periodo ..., reste|quede|queda|falte|restante|pendiente
            repuesto|reemplazado|reparado|sustituido|reemplazo|reposicion|reparacion|sustitucion|cambio ..., resto|restante|remanente|plazo|original|periodo & restante|resto|original|remanente|no|inicial|primero
            no ..., nuevo plazo|periodo|garantia
            plazo|tiempo|periodo|garantia que|de restaba|resta|faltaba|falta|quedaba & repone|repuesto|reemplaza|reemplazo|sustituye|cambia|nuevo|repuestos
            reparacion|sustitucion|reemplazo|reposicion|cambio ..., no ... prolonga|extiende|amplia|renueva|prorroga ..., garantia|plazo|periodo
            """,
            "el medidor repuesto queda cubierto por el resto del plazo original",
            "el plazo de pago",
            "the same in Spanish",
            "es",
        ),
        row(
            "clock.keeps.fr",
            C.REPLACEMENT_KEEPS_CLOCK,
            """
            remplacant|remplace|remplacee ..., acheve|termine|conserve|garde ..., garantie|duree|periode
            remplace|remplacee|echange|echangee|repare|reparee|remplacement ..., jusqu|jusqu'a|jusqu' ..., expiration|l'expiration|terme|fin|echeance
            remplacant|remplace|remplacee ..., acheve|termine|conserve|garde ..., garantie|duree|periode
            remplace|remplacee|echange|echangee|repare|reparee ..., origine|d'origine|initiale|initial
            remplacement|remplace|repare|reparation|echange ..., reste|restant|restante|courir|initiale|initial & couvert|garanti|duree|periode|delai|garantie
            remplacement|reparation|echange ..., ne|n'|pas ..., prolonger|proroger|prolonge|proroge|prorogent|renouvelle|interrompt
            aucun nouveau|nouvelle delai|periode|duree|garantie
            """,
            "l'échange ne prolonge pas la garantie",
            "un nouveau tarif",
            "the same in French",
            "fr",
        ),
        row(
            "clock.keeps.de",
            C.REPLACEMENT_KEEPS_CLOCK,
            """
            ersetzte*|nachgebesserte*|ersatz|ersatzlieferung|austausch|nachbesserung|reparierte*|ausgetauschte* ..., ursprunglich*|restlich*|verbleibend*|rest|restlaufzeit
            neue garantiezeit|garantiefrist|frist|gewahrleistungsfrist ..., nicht|keine
            garantiezeit|garantiefrist|frist ..., nicht|keineswegs neu
            keine neue|neuen? garantiezeit|garantiefrist|frist|verlangerung
            garantiezeit|garantiefrist ..., nicht|weder ..., verlangert|erneuert|verlangern
            nicht ..., verlangert|verlangern|erneuert & garantiezeit|garantiefrist|garantie & austausch*|ersatz*|nachbesserung|reparatur*|ersetzte*
            verlangert|verlangern|erneuert ..., garantiezeit|garantiefrist|garantie & nicht|keine & austausch*|ersatz*|nachbesserung|reparatur*|ersetzte*
            """,
            "eine neue Garantiezeit beginnt nicht",
            "die neue Garantie",
            "the same in German",
            "de",
        ),
        row(
            "clock.new",
            C.REPLACEMENT_NEW_CLOCK,
            """
            {goods} ..., full|new|fresh|complete|own ..., warranty|guarantee|period|term|cover|months|years & takes|take|carries|carry|enjoys|enjoy|receives|given|has|have|begins|starts|gets|warranted|covered|comes|bears|granted|runs & !no|not|never ... new|fresh|full|own & !{rest}
            {goods} & new|fresh|full {period} ..., begins|starts|runs & !no|not|never ... new|fresh|full
            {goods} ..., anew|afresh|again ... & begins|starts|runs|warranted
            {period} ..., begins|starts|runs|restarts anew|afresh|again & {goods}
            {goods} ..., restarts|restart ..., {period} & !not|never|no
            fresh # months|years
            {goods} ..., warranted|guaranteed|covered for ..., # ... years|months from its|their own
            """,
            "A swapped part enjoys a fresh 12 months",
            "A replacement begins no new period",
            "a replacement starts a new clock",
        ),
        row(
            "clock.new.es",
            C.REPLACEMENT_NEW_CLOCK,
            """
            repuesto|reemplazado|reparado|sustituido|reemplazo|reposicion ..., garantia|plazo nueva|nuevo & !no ... nueva|nuevo
            repuesto|reemplazado|reemplazo|reposicion ..., nueva|nuevo garantia|plazo|periodo & !no|sin ... nueva|nuevo
            """,
            "el equipo reemplazado recibe una nueva garantía",
            "no hay garantía nueva",
            "the same in Spanish",
            "es",
        ),
        row(
            "clock.new.fr",
            C.REPLACEMENT_NEW_CLOCK,
            "remplacement|remplace|repare|echange|echangee ..., nouvelle|nouveau garantie|periode|delai & !aucun|aucune|pas",
            "le compteur remplacé bénéficie d'une nouvelle garantie",
            "aucune nouvelle garantie",
            "the same in French",
            "fr",
        ),
        row(
            "clock.new.de",
            C.REPLACEMENT_NEW_CLOCK,
            "ersatz*|ersetzte*|ausgetauschte*|austausch ..., neue|neu|neuem|volle ..., garantiezeit|garantie|garantiefrist|beginnt & !nicht|keine",
            "für Ersatzzähler beginnt eine neue Garantiezeit",
            "eine neue Garantiezeit beginnt nicht",
            "the same in German",
            "de",
        ),
        row(
            "edition.rule",
            C.EDITION_RULE,
            """
            {paper} ..., lapses|lapse|ends ..., for ..., {sale} ..., on|from|after|since
            {paper}|one ..., {inforce} ..., on|at|when ..., date|day|time ..., {sale} & govern|governs|apply|applies|count|counts|binding|valid|controls|decides|prevails|is|holds|used|shall
            {paper}|one ..., on|at ..., date|day|time ..., {sale} ..., govern|governs|applies|counts|controls|decides|prevails
            {sale} ..., before|earlier|prior|until|under ..., stay|stays|remain|remains|continue|continues|keep|keeps|fall|subject|under|governed|covered & {paper}|{earlier}
            {paper} ..., apply|applies|continue|continues|governs|remains|remain|hold|holds ..., {sale} ..., before|prior|earlier|until
            {paper} ..., remain|remains|continues|continue ..., {sale} ..., before|prior|earlier
            {sale} ..., before|prior|earlier ..., {paper} ..., applies|apply|governs|remains
            {paper}|supersedes|replaces|place ..., for ..., {sale} ..., on|from|after ..., date|day & supersede|supersedes|replace|replaces|place
            {paper}|supersedes|replaces|place ..., for ..., {sale} ..., on|from|after # & supersede|supersedes|replace|replaces|place
            {paper} ..., {sale} date|day ..., rules|governs|counts|applies|decides|controls
            {paper} ..., {inforce} ..., day|date|when ..., {sale} ..., one|counts|governs|applies|binding
            supersede|supersedes|replace|replaces ..., {sale} on|from|after|since
            for ..., ship|shipped|sold|ordered|delivered on|after|from & {paper} & changed|amended|altered
            {paper}|takes|supersedes|replaces|version ..., for ..., {sale} after|from|since & takes|take|supersedes|replaces|supersede|replace
            {paper} ..., current|effective|force ..., {sale} ..., govern|governs|apply|applies
            warranty|guarantee|terms in|then force|effect ..., when|on|at ..., {sale} ..., one|counts|governs|applies|binding|controls
            {earlier}|older ..., keep|keeps|retain|retains|stay|remain ..., terms|leaflet|edition|warranty|form|conditions|sheet|rules ..., sold|bought|shipped|time|then|their|made|old|earlier|former
            {sale} ..., before ..., keep|keeps|retain ..., leaflet|edition|form|terms|sheet|warranty
            which edition|issue|version|revision|leaflet|form ..., depends|turns ..., {sale}|date
            shipped|sold|ordered|bought|delivered|invoiced|made on or after & {earlier} ..., edition|issue|form|leaflet|terms|revision|version
            """,
            "The edition current on the ship date governs",
            "The edition is sold out",
            "which edition governs which sale",
        ),
        row(
            "edition.rule.es",
            C.EDITION_RULE,
            """
            rige|aplica|aplicable|regira|vale ..., version|edicion|revision ..., vigente
            version|edicion|revision ..., vigente ..., fecha|momento ..., compra|pedido|entrega|despacho|orden & rige|aplica|aplicable|regira|sera|es
            """,
            "vale la edición vigente al momento del despacho",
            "la versión vigente",
            "the same in Spanish",
            "es",
        ),
        row(
            "edition.rule.fr",
            C.EDITION_RULE,
            """
            indice|edition|version ..., vigueur|applicable ..., date|jour ..., commande|livraison|achat|expedition
            commandes|livraisons|ventes ..., a partir|compter & annule|annulent|remplace|remplacent & indice|edition|version
            applicables|applicable|applique aux commandes|livraisons|ventes ..., partir|compter|depuis|recues|passees
            """,
            "l'édition en vigueur au jour de l'achat",
            "en vigueur",
            "the same in French",
            "fr",
        ),
        row(
            "edition.rule.de",
            C.EDITION_RULE,
            """
            massgeblich|massgebend|gilt|gultig|anzuwenden ..., ausgabe|fassung|stand ..., tag|zeitpunkt|datum|bei
            ausgabe|fassung ..., tag|zeitpunkt ..., bestell*|auftrag*|liefer* ..., gilt|gultig*|massgeb*
            """,
            "es gilt die Fassung zum Zeitpunkt der Lieferung",
            "die Ausgabe 5",
            "the same in German",
            "de",
        ),
        row(
            "supersedes",
            C.SUPERSEDES,
            """
            {paper} ..., lapses|lapse|lapsed|retires|retired|falls ..., for|from|away|on|as
            supersede|supersedes|superseded|superseding ..., {paper}|{earlier}|all|any & !express|implied
            supersede|supersedes|superseding #
            replace|replaces|replacing|cancels|cancel|withdraws ..., {paper} & !express|implied & !{goods} ... replaces|replace & !meter|register|part|unit|item|product ... replaces
            replace|replaces|replacing|cancels ..., {earlier} ..., one|ones|warranty|warranties|guarantee|terms|{paper} & !express|implied & !meter|register|part|unit|item|product ... replaces|replace
            {earlier}|all ..., {paper}|warranty|warranties ..., superseded|replaced|withdrawn|cancelled|revoked & !express|implied
            wipes|wipe|does|do|sweeps out|away|aside ..., {paper}|{earlier} & !express|implied
            takes|take over from ..., {paper}|{earlier}|@code
            {paper} ..., is|are|were|was withdrawn|cancelled|obsolete|void|revoked
            revokes|revoke|annuls|voids ..., {paper}|{earlier}
            takes|take|taking|in ... place of ..., {paper}|{earlier} & !express|implied
            {paper} ..., ceases|cease|ceased|withdrawn|cancelled|obsolete|expires|no & apply|valid|effect|force|longer|withdrawn|cancelled|obsolete
            cancels|cancel|annuls|revokes ... all ... others|earlier|previous & {paper} & !express|implied
            @code ..., is|are hereby? revoked|withdrawn|cancelled|superseded|annulled
            form|leaflet|sheet|edition|issue|bulletin _? is|are hereby revoked|withdrawn|cancelled|superseded|annulled
            {paper} ..., lose|loses|lost ... force|effect|validity
            """,
            "This leaflet replaces edition 2",
            "We exchange a meter that fails",
            "this document replaces another",
        ),
        row(
            "supersedes.es",
            C.SUPERSEDES,
            """
            deja|dejan ..., efecto ..., version|edicion|anterior|documento|revision
            reemplaza|sustituye|anula|deroga ..., version|edicion|anterior|anteriores|documento|revision
            """,
            "anula la edición anterior",
            "sustituye el medidor",
            "the same in Spanish",
            "es",
        ),
        row(
            "supersedes.fr",
            C.SUPERSEDES,
            """
            remplace|remplacent|annule|annulent ..., indice|edition|version|precedente|precedentes|anterieure|anterieures|document
            annule|annulent|remplace|remplacent les|toutes|tous ... precedents|precedentes|anterieurs|anterieures
            """,
            "annule l'édition précédente",
            "remplace le compteur",
            "the same in French",
            "fr",
        ),
        row(
            "supersedes.de",
            C.SUPERSEDES,
            """
            ersetzt|ersetzen ..., ausgabe|fassung|stand|version|vorherige*|fruhere*|bisherige*
            fruhere*|vorherige*|altere*|bisherige* ..., ausgabe*|fassung*|version* ..., gultigkeit|ungultig|aufgehoben|ausser|verlieren|gelten|ersetzt
            """,
            "ersetzt Ausgabe 4",
            "ersetzt den Zähler",
            "the same in German",
            "de",
        ),
        row(
            "refers.elsewhere",
            C.REFERS_ELSEWHERE,
            """
            leaflet|booklet|warranty|guarantee|certificate|terms must|should|shall|is|are|may to? be? consulted|read|asked|seen & !this
            for warranty|warranties|guarantee|guarantees ..., apply|turn|write|go|ask|refer|contact to? the? manufacturer|maker|makers|supplier
            {this} ..., stand|stands|printed|stated|states|found|given|set|published|appear|appears|described|contained|holds|written ..., in|by|of ..., {paper}|agreement|contract|papers|warranty & !data sheet & !this|these agreement|contract|exhibit|policy|article|articles & !table|appendix|section|annex|schedule|clause|this {paper} & !against ... {paper} & !promise nothing
            covered|warranted|governed|subject|object ..., by|of|under ..., separate|other|another|different|own ..., {paper}|agreement|leaflet|warranty
            subject|matter of ..., {paper}
            see|refer|consult ..., separate|other|own ..., {paper}|warranty|leaflet
            refer|refers|see|consult ..., {paper} ..., for ..., {this}
            {this} ..., is|are that|those of ..., manufacturer|supplier|maker|makers|distributor
            carry|carries|have|has ..., warranty|guarantee of ..., makers|maker|manufacturer|supplier & !from ... makers|maker|manufacturer|supplier
            agreement|contract|{paper} ..., states|state|gives|contains|holds|sets ..., warranty|guarantee|terms ..., for
            {paper} & read together|with & continues|letter|amendment
            {paper} ..., continues|continue|remains|stays without change|alteration
            {paper} ..., continues|continue|remains unchanged|unaltered
            {this} ..., stands|stated|printed|found|is in @code
            any|whatever warranty|guarantee ..., given|offered|provided|made by
            see|refer|consult ..., @code & !table|figure|section|clause|step|appendix|exhibit|annex
            else|other|otherwise ..., {paper}|terms stand|stands|remain|remains
            {paper}|terms ..., contain|contains|hold|holds|carry|carries ..., warranty|guarantee & !this|no|not
            look|see|found in|into|at ..., agreement|contract|conditions
            printed warranty|guarantee & furnished
            provisions|terms ..., {paper} ..., remain|remains unchanged|unaltered|in
            covered|warranted|governed by|under|in @code
            warranted ..., by|under ..., manufacturer|maker|supplier|separate & separate|papers|own
            separate {paper}|warranty|license|agreement
            warranty|guarantee|terms ..., set|laid|spelled ... out|down ..., in ..., {paper}|@code
            """,
            "Endpoints: see the separate leaflet",
            "The warranty is printed in this form",
            "another leaflet holds the term",
        ),
        row(
            "refers.es",
            C.REFERS_ELSEWHERE,
            "garantia|terminos|condiciones & figura|figuran|consta|constan|encuentra|encuentran|establece|detalla ..., documento|hoja|folleto",
            "las condiciones del programa constan en otra hoja",
            "el documento",
            "the same in Spanish",
            "es",
        ),
        row(
            "refers.fr",
            C.REFERS_ELSEWHERE,
            "garantie|conditions ..., figure|figurent|enoncee|font|fait|precisee|relevent ..., document|notice|fiche|feuille|reference|objet & !presentes",
            "les conditions du logiciel figurent dans une autre notice",
            "la notice",
            "the same in French",
            "fr",
        ),
        row(
            "refers.de",
            C.REFERS_ELSEWHERE,
            """
            fur ..., gilt|gelten ..., druckschrift|blatt|merkblatt|dokument|garantieerklarung|bedingungen
            siehe ..., druckschrift|blatt|merkblatt|dokument
            """,
            "Für Gateways gilt die Druckschrift GE-99",
            "die Druckschrift",
            "the same in German",
            "de",
        ),
        row(
            "lot.failure",
            C.LOT_FAILURE,
            """
            percent|per & failure|failures|fail|fails|failed|defect|fault|defective|failing & lot|batch|delivery|shipment|production|despatch|consignment|order|type|same & whole|entire|all|complete|replace|replaces|replaced|replacements|exchange|investigate|remaining|balance|recall|taken|take|back|same
            lot|batch|delivery|shipment|production|despatch|consignment|order|type ..., percent|more & whole|entire|all|complete & fail|fails|failed|defect|fault
            # of|in # & fail|fails|defect|fault & all|whole|entire
            lot|batch|consignment ..., whole|entire & taken|take|replaced|replace|exchanged|exchange|recall
            whole|entire|complete ... lot|batch|consignment|production & replace|replaced|exchange|exchanged|taken|take|recall & fail|fails|failed|defect|fault|defective|same
            lot|batch|consignment|delivery & same|common|identical ..., fault|defect|cause|failure & replace|replaced|swap|exchange|recall|take|back
            percent & fail|fails|failure ..., replace|replaces|exchange|swap ..., all|every|whole|entire
            percent ..., fail|fails|failure|defective|faulty & replace|replaces|exchange|swap ..., all|every|whole|entire|lot
            # ... of|in every|each? # & fault|defect|fail|fails & lot|batch|delivery
            serial|epidemic|systemic|batch defect|defects|failure|failures
            """,
            "Where 3 percent or more of a lot fail in a year the whole lot is taken back",
            "Lot size is 36 meters",
            "remedy for a whole lot",
        ),
        row(
            "lot.es",
            C.LOT_FAILURE,
            """
            falla|fallan|fallen ..., lote & percent|ciento
            lote ..., falla|fallan|defecto|defectos & ciento|%|percent|completo|total
            cambio|reposicion|reemplazo del lote|total
            """,
            "si falla el 4 % de un lote",
            "la recepción de cada lote",
            "the same in Spanish",
            "es",
        ),
        row(
            "lot.fr",
            C.LOT_FAILURE,
            """
            percent ..., lot|livraison|serie|compteurs & defaut|defaillance|defaillances & totalite|remplace|lot|ensemble|meme
            totalite|ensemble ..., lot|livraison & defaut|remplace
            """,
            "Si plus de 3 % d'un même lot présentent le même défaut, Valmont remplace la totalité",
            "la livraison du lot",
            "the same in French",
            "fr",
        ),
        row(
            "lot.de",
            C.LOT_FAILURE,
            """
            serienfehler|serienmangel|serienschaden
            percent ..., fertigungslos*|los|loses|lieferung|charge & mangel|fehler|ausfall*|gleichartig*
            gesamte|ganze ... los|lieferung|charge & tauscht|ersetzt|ersatz|austausch
            """,
            "tauscht der Hersteller das gesamte Los",
            "das Los des Zählers",
            "the same in German",
            "de",
        ),
        *provisions.ROWS,
    ),
    WORDS | provisions.WORDS,
)

TABLES = (CONDITIONS,)
