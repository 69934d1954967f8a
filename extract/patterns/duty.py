"""Claim duties: what whoever claims must do, and what the supplier does with the claim. Freight is told by who pays it."""

from firstcap.extract.patterns import claim_pairs
from firstcap.extract.patterns.clause import ClauseTable, row
from firstcap.schema.vocabulary import DutyKind as D

WORDS = {
    "notify": "notify|notifies|notified|notifying|notice|notices|notification|notifications|report|reports|reported|reporting|tell|tells|told|inform|informs|informed|advise|advises|advised|write|writes|claim|claims|claimed|submit|submits|submitted|send|sent|sends|state|stated|make|made|communicat*|lodge|lodged|file|files|filed|announce|announced|give|given|bring|raise|raised|registered",
    "produce": "attach|attached|enclose|enclosed|produce|produced|present|presented|see|keep|supply|supplied|furnish|submit|submitted|include|included|accompan*|proof|prove|evidence|back|support|supported|with|provide|provided|need|required|copy",
    "contact": "mail|fax|email|e-mail|phone|call|contact|write|tell|let|inform|notify|advise|drop|send|alert|warn|approach|ring",
    "spot": "discover*|notice|noticed|noticing|find|finding|found|spot|spotting|spotted|detect*|learn|learning|learned|aware|appears|appear|appeared|occurs|occurrence|seen|see|seeing|observ*|shows|showed|identified|known|noted",
    "fault": "defect|defects|defective|fail|fails|failed|failure|failures|fault|faults|faulty|nonconform*|non|discover*|claim|claims|deficien*|warranty|warrant|malfunction*|trouble|problem|breakdown|breach|guarantee",
    "ra": "authorization|authorizations|authority|approval|permission|permit|clearance|consent|rma|rga",
    "goods": "meter|meters|product|products|part|parts|unit|units|goods|item|items|register|registers|endpoint|endpoints|material|materials|equipment|module|modules|sample|samples|article|it|what|each|every|all|one|specimen|device",
    "test": "test|tests|tested|testing|examine|examines|examined|examination|inspect|inspects|inspected|inspection|investigat*|check|checks|checked|verif*|assess*|bench|evaluate|evaluates|evaluated|evaluation|analyze*",
    "standard": "awwa|m6|c700|c701|c702|c703|c704|c708|c710|c712|c713|c715|iso|oiml|nist|astm|ansi|iec|din|handbook|nch|nmp|ntp",
    "event": "startup|start-up|purchase|purchased|installation|installed|shipment|shipped|delivery|delivered|invoice|sale|sold|manufacture|commissioning|acceptance|dispatch|despatch|start|activation|service|receipt|set",
    "proof": "proof|prove|proves|proved|proven|evidence|evidenced|show|shows|shown|showing|demonstrat*|documented|establish|establishes|established|substantiat*|verify|verified|certify|certified",
    "paper": "delivery|purchase|till|invoice|invoices|receipt|receipts|bill|slip|lading|note|order|orders|packing|record|records|sheet|certificate|list|acknowledgment|documents|papers",
    "claim": "claim|claims|notice|must|shall|should|removal|given|give|gives|state|states|stated|statement|customer|report|reported|send|sent|include|included|includes|with|accompan*|return|returned|submit|required|show|shown|note|record|recorded|quote|quoted|supply|supplied|contains|contain",
    "must": "must|shall|should|will|require|required|requires|requirement|enclose|enclosed|encloses|accompan*|include|included|includes|including|with|together|provide|provides|provided|attach|attached|attaches|furnish|furnished|supply|supplies|supplied|submit|submitted|produce|produced|quote|quoted|state|states|stated|give|gives|given|show|shows|shown|send|sends|bring|present|presented|keep|retain|report|reported|forward|record|recorded|note|noted|need|needs|needed|ask|asks|contain|contains|name|names|indicate|indicates|photograph",
}

DUTIES = ClauseTable(
    (
        row(
            "notice.written",
            D.WRITTEN_NOTICE,
            """
            {notify} & in writing & {fault}
            {notify} & in written form & {fault}
            written notice|notification|claim|claims|report|advice|statement|notices
            notice|notification|claim ..., writing
            write|writes|written to supplier
            in writing & # day|days|weeks|week|month|months
            # ... day|days|weeks|week ..., {spot} & {fault}
            # ... day|days|weeks|week ..., light|surfacing|surfaces & {fault}|complaint
            letter|email & {spot}
            a note & {spot}
            on paper|letterhead & {fault}|complaint
            written ..., description|statement|details|complaint|account|report|particulars|word|advice
            written claim|claims|notice|notices
            letter|letters of claim
            write|writes|mail|mails ..., within|in|inside ..., # ... day|days|weeks|week
            notice|claim|claims ..., within|inside ..., # ... day|days|weeks & {fault}|writing|letter
            mail|post|letter|fax|email & # ... day|days|weeks|week & {fault}|complaint
            in writing & fortnight
            in writing & {fault}
            written & {fault} & # day|days
            {contact} ... supplier & {spot} & # ... day|days|weeks|week
            {contact} ... supplier & {spot} & fortnight
            {contact} ..., within|inside|later|before ..., # ... day|days|weeks|week & {spot} & {fault}
            {notify} & by letter|mail|email|fax|post|e & {fault} & # ... day|days
            claim|claims & in writing
            {notify} ..., in writing ..., within
            {notify} ..., within ..., in writing
            complaint|complaints ..., in writing
            {contact} ... supplier & {spot} & # ... month|months
            {contact} ..., within|inside|later|before ..., # ... month|months & {spot} & {fault}
            {contact} ..., within|inside|later|before a month & {spot} & {fault}
            # ... day|days|weeks|week|month|months ..., {spot} & letter|mail|email|e-mail|fax
            """,
            "Tell us in writing no later than 30 days from discovery",
            "The terms in writing between the parties prevail",
            "notice in writing of a failure",
        ),
        row(
            "notice.days",
            D.WRITTEN_NOTICE,
            """
            notify|notifies|notified|notice|report|reports|reported|tell|inform|informs|informed|notification|advise|advised|claim|claims & {fault} & # ... day|days ... of|from|after|following & discover*|noticed|notice|noticing|finding|found|detect*|detection|appears|appeared|learning|failure|occurrence|known|aware
            claims|claim ..., older|later than & day|days
            """,
            "Faults are to be reported within 20 days of being found",
            "The report lists 20 days of readings",
            "a period of notice counted from discovery, writing not named",
        ),
        row(
            "notice.es",
            D.WRITTEN_NOTICE,
            """
            avis*|notific*|comunic*|inform*|reclam*|presentar|aviso & por escrito|carta|correo
            aviso|notificacion|comunicacion escrito|escrita
            avis*|notific*|comunic*|reclam* & carta|correo|escrito
            avis*|notific*|comunic*|reclam* ..., dentro|plazo|tardar & dias
            """,
            "notificará la falla por escrito",
            "el escrito de la ley",
            "the same in Spanish",
            "es",
        ),
        row(
            "notice.fr",
            D.WRITTEN_NOTICE,
            """
            signal*|avis*|notifi*|inform*|declar*|reclam*|adress*|denonc* & par ecrit|courrier
            demande|reclamation|declaration ..., parvenir|adressee|envoyee|faite & courrier|ecrit|lettre|courriel
            signal*|avis*|notifi*|inform*|declar*|previen*|adress* & lettre|courrier|courriel|recommandee
            notification|avis|declaration|reclamation ecrit|ecrite
            signal*|avis*|declar*|notifi*|reclam*|inform*|previen* & jours|semaines & decouverte|constatation|constat|defaut
            preven* & courrier|lettre|ecrit|courriel & jours|semaines
            """,
            "déclarer le défaut par écrit",
            "par écrit et signé",
            "the same in French",
            "fr",
        ),
        row(
            "notice.de",
            D.WRITTEN_NOTICE,
            """
            schriftlich*|textform & anzeig*|anzuzeigen|meld*|rug*|mitzuteilen|mitteil*|gemeldet|gerugt|angezeigt|reklam*
            schriftliche|schriftlicher mangelanzeige|anzeige|meldung|mangelruge|mitteilung
            rugefrist|mangelruge|mangelanzeige & tage|tagen|woche|wochen
            mangel & anzeig*|anzuzeigen|meld*|melden|gerugt|rugen & tage|tagen|wochen
            """,
            "Mängel sind binnen 14 Tagen schriftlich anzuzeigen",
            "schriftliche Bestellung",
            "the same in German",
            "de",
        ),
        row(
            "return.authorisation",
            D.RETURN_AUTHORISATION,
            """
            returns|return note|notes|docket
            obtain|obtains|ask|asks|get|request|requests ..., returns|return note|number|docket|slip|form|label
            return|returns|returned|returning|material|goods ... {ra} & !no ... {ra} ... needed|required|necessary
            rma|rga|rmas & !no rma|rga
            {ra} ... for|to|of ... return|returning|send|ship & !no ... {ra}
            with ... supplier ... permission|consent|approval|leave & return|returns|returned
            service|claim|case number ..., supplier|give
            return|returns number
            return|returns _? paperwork|docket|papers|card|voucher
            returns|return _? number|reference|form|ticket|code|label|slip
            permission|leave|consent|clearance ... before ..., send|sending|return|returning|ship|shipping
            authoriz* ... return
            not ... return|returned|send|sent|shipped|accepted|ship ..., without|unless|until|before ..., {ra}|number|authorized|approved
            sent|send|return|returned|returns|shipped|mailed ..., without ... {ra}
            {ra} ..., required|needed|necessary ... before ..., return|returned|returns|returning|sent|shipped|sending
            go - ahead & return|returns|send|ship|sending|returning|returned
            say - so & return|returns|send|ship|sending|returning|returned
            not|no ... sent|returned|shipped back? before ... agreed|consented|approved
            claim|case|ticket number & box|carton|parcel|package|tag & return|returned|returns
            pack|send|return|mail|ship ..., with the ticket
            ticket & parcel|package|carton|box
            ticket ... for|before ... return|returning
            """,
            "Collect an RMA number first; mark it on the carton",
            "The authority returned the form",
            "a return authorisation first",
        ),
        row(
            "return.authorisation.es",
            D.RETURN_AUTHORISATION,
            "numero|autorizacion|codigo|permiso ... devolucion|retorno|rma",
            "pida un código de retorno",
            "la devolución del dinero",
            "the same in Spanish",
            "es",
        ),
        row(
            "return.authorisation.fr",
            D.RETURN_AUTHORISATION,
            """
            numero|autorisation|accord|bon|numero ... retour
            retour ..., sans|avec|apres ..., accord|autorisation|numero
            numero d'? accord
            """,
            "un numéro de retour",
            "le retour du compteur",
            "the same in French",
            "fr",
        ),
        row(
            "return.authorisation.de",
            D.RETURN_AUTHORISATION,
            """
            rucksendenummer|rucksendegenehmigung|retourennummer|rucksendeschein|rma|retourenschein|rucknahmenummer|rucklieferschein
            rma - nummer
            freigabe|genehmigung|zustimmung ... rucksendung|rucklieferung
            """,
            "nur mit Rücksendegenehmigung",
            "die Rücksendung",
            "the same in German",
            "de",
        ),
        row(
            "test.standard",
            D.TEST_BY_STANDARD,
            """
            {test} ..., to|by|under|per|with as|is|en|bs|une|nf #
            {test} ..., accordance|according|accordingly|procedure|procedures|manner|way|method|methods|follow|follows|following|described|describes|prescribed|under|conform*|compliance|to|by|per|as|with|at|using ..., {standard}
            {standard} ..., test|tested|tests
            check|checked|checks|examined|verified ..., to|under|per ..., {standard}
            bench|rig ..., to|under|per|as _? _? bs|en|iso|as|iec #
            check|checks|checked|test|tests|tested ..., to|under|per _? bs|en|as|is|une|din #
            check|checks|checked|test|tests|tested ..., bs|en|as|is|une|din _? #
            follow|follows|following|per|under|to ..., {standard} & bench|rig|laboratory|lab
            """,
            "Each claim is tested under ISO 4064",
            "The meter complies with AWWA C700",
            "claimed meters are tested as a standard says",
        ),
        row(
            "test.standard.es",
            D.TEST_BY_STANDARD,
            """
            evaluad*|ensay*|prueba|pruebas|verific*|contrast* ..., segun|conforme|norma|acuerdo ..., {standard}
            ensay*|prueba|pruebas ... {standard}
            """,
            "se ensaya conforme a ISO 4064",
            "según la norma ISO",
            "the same in Spanish",
            "es",
        ),
        row(
            "test.standard.fr",
            D.TEST_BY_STANDARD,
            "essay*|essai|essais|verifi*|controle*|etalonn*|examin* ..., selon|norme|conformement|suivant ..., {standard}",
            "un essai conformément à ISO 4064",
            "selon la norme",
            "the same in French",
            "fr",
        ),
        row(
            "test.standard.de",
            D.TEST_BY_STANDARD,
            "pruf*|gepruft|befundprufung|prufung|messung|messrichtigkeit ..., nach|gemass|entsprechend ..., {standard}",
            "geprüft wird nach DIN 14154",
            "nach ISO gefertigt",
            "the same in German",
            "de",
        ),
        row(
            "test.supplier",
            D.TEST_BY_SUPPLIER,
            """
            supplier ... verifies|verify|confirms|confirm|measures|measure ..., accuracy|registration|error|bench
            supplier ..., put|puts|place|places|run|runs ..., bench|rig|stand|test
            supplier ... look|looks ... at|over
            supplier ... tests|examines|inspects|investigates|checks|evaluates|analyzes|assesses
            supplier test|examine|inspect|investigate|check|evaluate|analyze|assess
            supplier ... make|makes|repeat|repeats|perform|performs|conduct|conducts|carry|carries ..., test|tests|testing|inspection|examination|evaluation
            supplier ..., own laboratory|lab|bench|rig
            supplier bench|laboratory|lab|rig|test ..., decides|final|governs|settles
            supplier & tests|tested|testing|examin*|inspect*|investigat*|checks|checked|evaluat* & !customer ..., test|tests|tested|examine|inspect|inspects|have & !independent|referee|outside|traceable laboratory|lab & !warrants|certified|guarantees & !will register & !percent & !have|has ..., tested & !inspect|examine the? installation
            supplier ..., will|shall|may ..., check|test|examine|inspect & !inspect|examine the? installation & !have ..., tested
            supplier & days|time to test|inspect|examine
            inspections|inspection|testing|tests ..., at|in|by supplier
            supplier ..., will|shall|may|must|can|to|and|then|first test|examine|inspect|investigate|check|evaluate|analyze|assess & !inspect|examine the? installation
            {test} ... by supplier
            {test} ..., by supplier
            supplier 's|' ... test|testing|inspection|examination|investigation|laboratory|lab|bench
            supplier own|quality|test|metrology|service|repair ... laboratory|test|bench|lab
            return|returned|returns|sent|send ..., for inspection|test|testing|examination|evaluation|analysis
            {test} in supplier
            """,
            "The maker inspects what comes back",
            "The customer looks at what comes back",
            "the supplier tests what comes back",
        ),
        row(
            "test.supplier.es",
            D.TEST_BY_SUPPLIER,
            """
            supplier ..., somete|someten|sometera ... ensayo|prueba|pruebas
            evaluad*|ensayad*|revisad*|examinad*|probad*|analizad* ... supplier|laboratorio
            supplier laboratorio|tecnicos|taller ... ensay*|examin*|revis*|verific*|analiz*
            supplier ... ensay*|examin*|revis*|inspeccion*|verific*|prueb*|analiz*|comprueb*
            ensayado*|examinado*|revisado*|inspeccionado* por ... supplier
            """,
            "el fabricante examina el equipo",
            "el ensayo",
            "the same in Spanish",
            "es",
        ),
        row(
            "test.supplier.fr",
            D.TEST_BY_SUPPLIER,
            """
            expertise|examen|essai|essais|controle ... dans|par|chez supplier
            supplier ..., examinent|controlent|verifient|testent|essaient|examinons|controlons|testons
            supplier ..., examine|essaie|teste|controle|expertise|verifie|inspecte|l'examine
            essaye*|examine*|controle*|expertise* par supplier
            supplier ... met|soumet ... essai|l'essai
            qui l' examine|essaie|controle
            """,
            "Valmont, qui l'examine",
            "l'examen",
            "the same in French",
            "fr",
        ),
        row(
            "test.supplier.de",
            D.TEST_BY_SUPPLIER,
            """
            supplier ... prufen|untersuchen|testen|begutachten
            supplier ... pruft|untersucht|testet|begutachtet
            gepruft|untersucht ... supplier
            pruft|untersucht ... supplier
            """,
            "wir untersuchen jeden Zähler",
            "die Prüfung",
            "the same in German",
            "de",
        ),
        row(
            "proof.date",
            D.PROOF_OF_DATE,
            """
            document|documents|evidence|evidences|prove|proves ..., date|day ..., from which|when ..., period|term|years|warranty|clock runs|run|counts|began|begins
            {proof} ..., date|day|dates|time of|on ... {event} & !from ... date|day of & !from date|day & !starts|begins|counted|measured|runs|taken ... date|day
            {must} ..., date|day of ... {event} & !from ... date|day of & !from date|day & !warrants|warranted
            date|day|dates of ... {event} ..., is|are|be|being|must|shall|was ..., {proof}
            furnish|furnishes|give|gives|state|states ..., date|day ..., {event}|began|begins|started|starts|counts & claim|claims|customer|return|returns|returned|registration|goods
            bring|show|send|keep ... bill|receipt
            with its|the card|invoice|record & send|sent|returned|return|go|goes|claim|claims|notice
            show|shows ... invoice|receipt|bill
            with ..., date of ..., shipment|installation|purchase|delivery|despatch & return|returns|returned|send|sends & !from the? date
            with ..., record of ..., date
            furnish|furnishes|supply|provide|enclose ..., bill|invoice|receipt|slip
            {proof} ... of? purchase|delivery|installation|sale|shipment|ownership
            {must} ..., invoice|invoices|receipt|receipts & !from the? date|day & !of|upon|after|on|within receipt
            {produce} & invoice|receipt|receipts|docket|dockets & !upon|of receipt & !from|of|after the|our|your? invoice & !date of invoice
            {produce} & bill of sale|lading
            {event} record|records|report|sheet|certificate|log ..., must|required|provided|enclosed|attached|supplied
            {must}|documentation ..., {event} date & claim|claims|documentation|proof|evidence & !from the? {event} date
            {produce} & delivery|dispatch|despatch|packing|sales note|docket|slip|ticket|receipt|list
            dated|original proof|receipt|invoice
            attach|enclose|include|send|keep|show|provide|supply|produce|present ..., copy|picture|photo|scan|photocopy of ..., {paper}
            back|backed|backs|support|supported|supports|substantiate* ..., {paper}
            {must} ..., copy of ... {paper}
            dated ..., {paper}
            {must} ..., bill of sale|lading
            {must} ..., {event} record|records|report|card|sheet|certificate|log
            {must} ..., start - up record|records|report|sheet|log|certificate
            {paper} ..., as|to|in proof|prove|evidence|support
            {proof} ..., when|that ... {event}
            send|provide|enclose|attach|keep ..., sales|delivery|packing slip|note|docket|ticket
            {event} date must|shall|should be {proof}
            """,
            "Proof of the date of installation is required",
            "The date of shipment starts the time",
            "the start date must be shown",
        ),
        row(
            "proof.date.es",
            D.PROOF_OF_DATE,
            """
            prueba|comprobante|acredit*|demuestr*|justific*|constancia|factura ..., fecha|compra|entrega|instalacion|recepcion
            con la|su factura|boleta
            adjunt*|present*|acompan* ..., factura|comprobante|acta|guia|boleta
            comprobante de compra|pago
            """,
            "adjunta la boleta",
            "la fecha de compra",
            "the same in Spanish",
            "es",
        ),
        row(
            "proof.date.fr",
            D.PROOF_OF_DATE,
            """
            preuve|justificatif|justifie|justifier|justification|copie ..., date|achat|facture|livraison|pose|mise|d'achat
            accompagn* ..., ticket|facture|bon|preuve
            facture|bon ..., appui|preuve|l'appui|justificatif
            accompagne|joint|joindre|fournit|presente|avec ..., facture|bon
            """,
            "un justificatif d'achat",
            "la date de livraison",
            "the same in French",
            "fr",
        ),
        row(
            "proof.date.de",
            D.PROOF_OF_DATE,
            """
            weist|nachweis*|nachzuweisen|beleg*|nachgewiesen|kaufbeleg* ..., lieferdatum*|kaufdatum*|einbaudatum*|rechnungsdatum*|lieferung|inbetriebnahme|tag|datum|einbau*|rechnung|lieferschein|zeitpunkt|kauf*
            mit lieferschein|rechnung|kaufbeleg|beleg|einbauprotokoll
            lieferschein|rechnung|einbauprotokoll|kaufbeleg|kaufnachweis ..., beizulegen|beizufugen|vorzulegen|bei|beilegen|vorlegen|beifugen|nach|nachzuweisen|beizufugen|vorzulegen|beilegen
            rechnungskopie|lieferscheinkopie|kaufbelegkopie ..., beilegen|beifugen|mitsenden|vorlegen|beizulegen|beizufugen
            """,
            "der Kaufbeleg ist vorzulegen",
            "der Tag der Lieferung",
            "the same in German",
            "de",
        ),
        row(
            "reading.record",
            D.READING_RECORD,
            """
            state|states|stated|quote|quotes ..., the reading|registration & {claim} & !record states
            need|needs|want|wants|require|requires the reading|readings of|on ..., register|meter|dial|counter & removal|claim|failure|return
            reading|readings|index of|on|from the? register|meter|registers|odometer|counter|dial|index|totalizer & {claim}
            register|meter|dial|odometer|counter index & {claim}|write
            register|meter|odometer|counter|dial|final|removal|index reading|readings & {claim} & !hourly|encoder|transmit*|network
            reading|readings ... register|meter|dial|counter|odometer & {claim}|need & !transmit*|hourly|encoder
            reading|readings at|on|upon removal|return|withdrawal & {claim}
            reading|readings ..., removal|removed|taken & {claim}
            tell|tells|furnish|furnishes|gives|give|state|supply|report ..., registration & !range|limits|limit|percent
            with its|the registration|reading & return|returns|returned|send|sends|claim|notice|proof
            record of ... registration
            show|shows|prove|proves|state|states|give|gives|report|reports|document|declare|certify ..., registration|registered|throughput & customer|claim|must|shall & !range|limits|limit|percent|guaranteed & !record states
            registration|throughput ..., must|shall ... shown|stated|given|proved|proven|reported|documented & !percent|range
            total|registered|recorded consumption|usage|throughput|registration & {claim}|indicate|indicated
            proof|evidence of ... registration|registered|throughput
            quantity|volume|gallons|gallonage passed|registered|recorded ..., by|shown|proved|proven & claim|customer|proves|proved|shown & !warrant*|guarant*|whichever|until
            what|which ... dial|register|counter|meter ... read|reads|showed|shows|said|stood
            throughput|registration|volume|quantity ..., registered|recorded|passed & substantiate*|prove|show|document|demonstrate|state|give|report & customer
            photograph|photo|picture ... register|dial|reading
            write|note|jot|mark|put ..., reading|registration on|down
            note|write|jot down what ... register|dial|counter|meter
            how much|many water|gallons ..., passed|registered|measured|through & tell|state|say|claim|customer|report
            send|tell|give ..., last|latest|final|closing reading
            number and the? reading
            """,
            "The claim gives the final reading",
            "The register is easy to read",
            "the registration must be shown",
        ),
        row(
            "reading.record.es",
            D.READING_RECORD,
            """
            lectura ... totalizador|contador|medidor|retiro|registro
            indica|indicar|informa|acompan* ..., lectura
            """,
            "anota la lectura del medidor",
            "programas de lectura",
            "the same in Spanish",
            "es",
        ),
        row(
            "reading.record.fr",
            D.READING_RECORD,
            """
            index|releve|indication|volume ..., depose|compteur|totalisateur|retrait|enregistre & indiqu*|communiqu*|mention*|transmi*|precis*|avec|joint|photo*|accompagn*
            avec|joint|joindre|indiquant|mentionnant ..., index|l'index|releve
            index|l'index releve
            """,
            "il communique l'index du compteur à la dépose",
            "l'index du texte",
            "the same in French",
            "fr",
        ),
        row(
            "reading.record.de",
            D.READING_RECORD,
            "zahlerstand|zahlerstandes|zahlerstande|ablesewert",
            "der Zählerstand ist zu melden",
            "der Zähler steht",
            "the same in German",
            "de",
        ),
        row(
            "original.only",
            D.ORIGINAL_PURCHASER_ONLY,
            """
            original|first|initial|immediate customer|party ..., only|alone|exclusively|solely
            only|solely|alone|exclusively ..., original|first|initial|immediate customer|utility|user
            warrants|warrant|guarantees|made|given|granted|extends|extended|offered|runs to|only ... original|first|initial customer
            limited|restricted|confined|personal|available to ... original|first|initial? customer
            personal|available|extended|offered only? to ... customer
            to|for ... customer only|alone|exclusively
            is|are for|to the? first|original|initial customer
            only to|for ... customer ..., bought|purchased|purchases|buys|named
            customer ..., only one|party|person ... claim
            customer alone|only ... claim|rely|benefit|enforce
            customer ... first|originally ... bought|purchased|buys ..., nobody|no|only|alone|none
            to ... customer ..., to? nobody|none|no else|other|one
            nobody|none|no _? else|other|but ... customer
            only customer|utility ... bought|purchased|named|claim|rely
            warranted to ... original|first customer
            benefit of ... original|first|initial customer
            first|original|initial ... user|owner only|alone|exclusively
            later|subsequent|second|new customer ... no|not|nor claim|claims|rights|right
            is|are for the? customer|utility ... bought ... from supplier
            """,
            "The first buyer alone may claim",
            "The original packing is kept by the buyer",
            "only the first buyer may claim",
        ),
        row(
            "original.only.es",
            D.ORIGINAL_PURCHASER_ONLY,
            """
            solo|unicamente|exclusivamente ..., customer ... original|inicial|primer
            primer|original customer ..., solo|unicamente|exclusivamente
            solo|unicamente|exclusivamente ..., customer|primer|original|inicial
            """,
            "vale únicamente para el comprador original",
            "el comprador avisa",
            "the same in Spanish",
            "es",
        ),
        row(
            "original.only.fr",
            D.ORIGINAL_PURCHASER_ONLY,
            """
            seul|uniquement|exclusivement|accordee|consentie|reservee ..., customer ..., cessible|transmissible|initial|origine|seul|cedee|d'origine|exclusivement|incessible
            seul|premier|uniquement ... customer
            """,
            "accordée au premier acheteur exclusivement",
            "l'acheteur demande",
            "the same in French",
            "fr",
        ),
        row(
            "original.only.de",
            D.ORIGINAL_PURCHASER_ONLY,
            """
            nur|ausschliesslich|allein ..., erstkaufer|ersterwerber|ersten|ersterwerbers|customer ... gegenuber|gilt|ersten
            erstkaufer|ersterwerber|ersten customer ... nur|ausschliesslich
            nur|ausschliesslich|allein ... erstkaufer|ersterwerber
            nur|ausschliesslich|allein ... ersten|erste|ersterwerber|erstkaufer customer
            """,
            "gilt nur für den Ersterwerber",
            "der Besteller zahlt",
            "the same in German",
            "de",
        ),
        *claim_pairs.ROWS,
    ),
    WORDS | claim_pairs.WORDS,
)

# A sentence that would be a duty and is about something else.
STRANGERS = ClauseTable(
    (
        row(
            "stranger.notice",
            D.WRITTEN_NOTICE,
            """
            transit|carrier|carriers|shortage|shortages
            damaged in shipment
            renew|renewal|renewals|terminate|terminates|termination|cancel|cancellation
            later owner|customer
            successor|succession|successors|assign|assigns|assigned|transferee|undertaking
            transfer|transferred|transfers|pass|passes
            vary|varied|amend|amended|modified|waiver|enlarge
            notices|notice ..., address|addresses
            cedida|ceder|cesion|transferir|cession|rechtsnachfolger*
            registration form|card
            design|price|prices
            negotiation|arbitration|infring*
            quotation|quotations|tender|tenders
            supplier reply|replies|respond|responds|confirm|confirms ... in writing
            change|changes|addition|additions|modification|modifications|amendment to ..., warranty|terms|agreement|form|leaflet
            """,
            "The buyer may transfer the warranty by written notice",
            "The buyer gives written notice of the defect",
            "notices of other things than a failure",
        ),
        row(
            "stranger.test",
            D.TEST_BY_SUPPLIER,
            """
            before|prior ... shipment|shipping|delivery|leaving|leaves|dispatch|despatch|packing
            suggests|recommended|recommends|recommend
            leaves ... works|plant|factory
            factory test
            before supplier ... ship|leave
            periodic|every # years|months
            have|has tested
            new meters ..., tested
            field tests|testing is recommended
            typical
            pilot|survey
            checked ... calibration
            built|made|designed|manufactured|assembled and|, tested
            """,
            "Every meter is tested before shipment",
            "Every returned meter is tested",
            "factory tests of new meters",
        ),
        row(
            "stranger.freight",
            D.RETURN_FREIGHT_CUSTOMER,
            """
            ordered in error
            unused
            restocking
            no fault|defect|trouble ... found
            not ... defective|covered
            without ... defect|fault
            found ... order|sound|good
            that|which|if ... conform|conforms|passes|complies
            orders above|over|under|below|exceeding
            sin defecto|falla
            sans defaut
            kein|keine mangel
            in working order
            is|are in order
            proves|prove to be sound
            within limits|tolerance
            on orders|order
            """,
            "If no fault is found the owner pays the carriage",
            "The owner sends the meter at his own cost",
            "freight of what had no fault",
        ),
    )
)

# Freight: the thing, and the phrases that tell who bears it.
FREIGHT = ClauseTable(
    (
        row(
            "freight.thing",
            "thing",
            """
            freight|carriage|transportation|shipping|postage|haulage|courier|transport|trip|mailing
            pay|pays|paid to|for _? ship|send|mail|post|return|shipping|sending|mailing
            port|porte|portes|rucktransport|transportkosten|ruckfracht|hinfracht
            shipment charges|cost|costs
            cost|costs|charge|charges|expense of|for ... shipping|sending|returning|transport|return|delivery|shipment|transporting
            prepaid|prepay|prepays|prepaying
            pre - paid
            f.o.b.|fob|f.o.b|ddp|dap|cif|fca
            return|returned|returns|send|sends|sent|ship|shipped|ships|returning|post|posts|mail|travels|goes|comes ..., expense|cost|charge
            postage
            way back|to|here|there|in|out|home
            renvoi*|retourn*|expedi*|envoi* ..., frais|charge
            envi*|remit*|devuelv*|devolv* ..., costa|costo|cargo|cuenta|expensas
            retorno|devolucion|envio|regreso ..., cuenta|cargo|costa
            send*|schick*|rucksend*|einsend*|einzusend*|zuruck ..., kosten
            collect|collects|fetch|fetches|picks ... meter|goods|it ..., charge|cost|expense|free
            prepaid|paid label|labels|waybill
            collect shipments|shipment|freight
            neither way ... costs|cost
            freight|carriage|post in|out
            send|sends|ship|ships|return|returns|bring|mail|post & at|own ... cost|expense|charge
            returned|returns|return|sends|sent|ship|shipped|ships to ... customer|supplier ..., expense|cost|charge
            expense|cost|charge , return|send|ship
            duty paid
            flete|fletes|porte|portes|transporte|envio|acarreo
            port|transport paye|du|vers|de
            frais de|d'? transport|port|envoi|expedition
            einsendung|zusendung|rucksendekosten|reexpedition|renvoi|expedition
            auf supplier|customer kosten
            ruckversand*|rucksend*|versand*|fracht*|zustell*
            frei haus
            franco
            fracht|frachtkosten|frachtfrei|porto|transportkosten|versand|versandkosten|rucksendung|portofrei|versandfrei
            frei|franko werk|haus|zu|an|lager
            way home
            """,
            "carriage to us at your cost",
            "the meter is read",
            "words for freight",
        ),
        row(
            "freight.customer",
            D.RETURN_FREIGHT_CUSTOMER,
            """
            prepay|prepays|pay|pays ..., freight|carriage|transport|transportation|postage|shipping to supplier
            send|sends|ship|ships|return|returns|mail ..., to supplier , freight|carriage|transportation|postage|shipping prepaid|paid
            paid|prepaid|borne|met|carried|covered|assumed|defrayed ..., by ... customer
            at customer cost|expense
            at ... customer ..., expense|expenses|cost|costs|charge|risk
            for|to ... account of ... customer
            customer 's|' ... account|expense|cost|charge
            for customer account
            stay|stays|rest|rests|remain|remains|lie|lies|fall|falls with|on|to ... customer
            cargo|cuenta del|de|al? customer
            cargo|cuenta del customer
            charge|frais de|du ... customer
            a customer charge|frais
            customer prend|prendra ... charge
            paga|asume|pagara|asumira|abona el|la? customer
            asumid*|pagad*|cubiert*|abonad* ... por ... customer
            supporte*|paye*|pris|prise ... par ... customer
            kosten|lasten des|der customer
            auf customer kosten
            tragt|zahlt|ubernimmt ... customer
            customer is|are|be|shall? be? responsible|liable for ..., freight|carriage|shipping|transportation|postage|cost
            customer responsible|liable|responsibility
            customer 's? own expense|cost|risk
            customer 's? to pay|bear|carry|meet
            customer 's? responsibility|risk
            is|are for? the? customer
            : customer
            at ... expense|cost|charge of ... customer
            son|es|seran del|de customer
            celle|celui|ceux du|de|de l'? customer
            at customer
            is|are|be on customer
            payable|settled|defrayed ..., by|from ... customer
            for customer 's|'
            carriage|freight|postage|shipping ... by the? customer
            collect shipments|shipment|freight ... refused|declined|rejected|not
            paid|borne|payable by the? customer
            """,
            "at the buyer's expense",
            "the buyer tells us",
            "the customer bears it",
        ),
        row(
            "freight.supplier",
            D.RETURN_FREIGHT_SUPPLIER,
            """
            paid|prepaid|borne|met|carried|covered|assumed|defrayed ..., by ... supplier
            at ... supplier ..., expense|expenses|cost|costs|charge
            for|to ... account of ... supplier
            supplier 's|' ... account|expense|cost|charge
            for supplier account
            stay|stays|rest|rests|remain|remains|lie|lies|fall|falls with|on ... supplier
            cargo|cuenta del|de supplier
            charge|frais de|du ... supplier
            a supplier charge|frais
            supplier prenons|prend ... charge
            paga|asume|pagara|asumira|abona el|la? supplier
            asumid*|pagad*|cubiert*|abonad* ... por ... supplier
            supporte*|paye*|pris|prise ... par ... supplier
            kosten|lasten des|der supplier
            auf supplier kosten
            supplier ... ubernimmt|tragt|zahlt|ubernehmen|tragen|zahlen
            tragt|zahlt|ubernimmt ... supplier
            back|return ..., at supplier
            at supplier
            supplier 's? to pay|bear|carry|meet
            supplier 's? responsibility
            supplier ... responsible|liable for ..., freight|carriage|shipping|transportation|postage
            supplier ... refund|refunds|reimburse|reimburses ..., freight|carriage|shipping|transportation|postage
            is|are for? the? supplier
            at ... expense|cost|charge of ... supplier
            son|es|seran del|de supplier
            : supplier
            celle|celui|ceux du|de supplier
            is|are|be on supplier
            payable|settled|refunded ..., by|from ... supplier
            for supplier 's|'
            carriage|freight|postage|shipping ... by the? supplier
            prepaid|paid label|labels|waybill
            neither way ... costs|cost customer
            costs|cost the? customer nothing
            not|never charged|billed to ..., customer
            no|without charge|cost to ... customer
            supplier ..., collect|collects|fetch|fetches|picks ... free|charge
            carriage|freight|shipping forward
            supplier collect|collects|fetch|fetches
            customer pay|pays no carriage|freight|postage|shipping
            supplier courier
            supplier return|returns|sends|ships ..., own cost|expense|charge
            supplier ..., at its|their own cost|expense
            por la? supplier
            """,
            "at the manufacturer's expense",
            "the maker tells you",
            "the supplier bears it",
        ),
        row(
            "freight.own",
            "own",
            """
            at|for|on its|his|her|their|the own? expense|expenses|cost|costs|charge|charges|account
            at own expense|cost|charge
            a su|sus propia|propio? costa|costo|cargo|expensas
            a ses|leurs frais
            a sa|leur charge
            auf seine|ihre|eigene kosten
            """,
            "the town sends it at its own cost",
            "the cost of the meter",
            "whoever does it pays for it",
        ),
        row(
            "freight.each",
            "each",
            "each|either side|party pays|bears|meets ..., freight|carriage|postage|shipping",
            "each side pays the freight on what it sends",
            "each side keeps a copy",
            "both pay, one each way",
        ),
        row(
            "freight.pays",
            "pays",
            """
            pay|pays|paid|paying|prepay|prepays|prepaid|prepaying|bear|bears|meet|meets|assume|assumes|arrange|arranges|absorb|absorbs|cover|covers|stand|stands|foot|foots|shoulder|shoulders|defray|defrays|carry|carries
            asume|paga|pagara|asumira|cubre|abona|pagamos|asumimos
            paie|paye|supporte|assume|payons|prenons|paierez|payez
            zahlt|tragt|ubernimmt|bezahlt|tragen|zahlen|ubernehmen
            """,
            "the customer pays",
            "the customer writes",
            "verbs of paying: the nearest party before them pays",
        ),
        row(
            "freight.prepaid",
            "prepaid",
            """
            prepaid
            pre - paid
            carriage|freight|transportation|postage|charges|shipping|transport|delivered|post paid|free
            freight|carriage|postage|shipping|delivery included
            duty paid
            portes|porte|flete|fletes pagado|pagados|prepagado
            franco
            frei haus
            port paye
            frachtfrei|portofrei
            frei|franko werk|haus|zu|an|lager
            """,
            "freight prepaid",
            "paid in full",
            "paid by whoever sends",
        ),
        row(
            "freight.sends",
            "sends",
            """
            return|returns|returned|send|sends|sent|ship|ships|shipped|dispatch|despatch|deliver|delivers|delivered|forward|forwards|returning|sending|shipping|prepay
            envia|envio|enviar|devuelve|remite|retorna
            expedie|expediee|envoie|retourne|renvoie|expediera
            sendet|schickt|liefert|einzusenden|senden|zuruckzusenden
            """,
            "the buyer ships",
            "the buyer writes",
            "verbs of sending",
        ),
        row(
            "freight.outbound",
            "outbound",
            """
            back to customer
            to ... customer
            freight|carriage|transport back
            replacement|replacements|repaired|exchanged|reconditioned
            return freight|transport|carriage
            return of ... replacement|repaired
            outbound|outward|outwards
            new|good|mended|repaired one|meter|unit|part
            ship|send|return ..., to customer
            vuelta|ruckfracht|rucktransport
            port|frais|transport|envoi ... retour
            retorno|vuelta
            rucksendung des|der|instandgesetzten
            back
            way home
            regreso|devuelto|devueltos
            """,
            "of the replacement",
            "to the works",
            "what goes from the supplier to the customer",
        ),
        row(
            "freight.inbound",
            "inbound",
            """
            to ... supplier
            to ... works|plant|factory|warehouse|office|laboratory|shop|center|depot|premises|dock|facility
            inbound|inward|inwards|here
            way|trip there|in
            ida|aller|hinfracht
            zum|an supplier
            both ways|directions
            each|either way|direction
            returned|claimed|defective|failed|rejected {goods}
            a|an|das|an werk
            hasta la|el? planta|fabrica|supplier
            a|vers la|l'|le? usine|supplier
            """,
            "to the factory",
            "of the replacement",
            "what goes from the customer to the supplier",
        ),
    ),
    WORDS,
)

TABLES = (DUTIES, STRANGERS, FREIGHT)
