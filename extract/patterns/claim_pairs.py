"""Duties of a claim that words near each other tell, in whichever order: the thing asked for and what is done with it."""

from firstcap.extract.patterns.clause import row
from firstcap.schema.vocabulary import DutyKind as D

WORDS = {
    "leave": "authorization|authorized|approval|approved|permission|consent|leave|clearance|instruction|instructions|rma|rga|assent",
    "back": "return|returns|returned|returning|send|sends|sent|sending|ship|ships|shipped|shipping|back|truck",
    "box": "carton|cartons|box|boxes|parcel|parcels|package|packages|crate|label",
    "bar": "no|not|never|nothing|without|until|unless|only|before|refuse|refused",
    "mark": "number|tag|label|order|slip|docket|reference|ticket|code|note|form",
    "issue": "issue|issues|issued|give|gives|given|obtain|obtains|ask|asks|apply|applies|wait|need|needs|needed|request|requests|requested|supply|supplies|supplied|send|sends|get|gets|receive|received|bear|bears|write|written|assign|assigns|assigned|call|without",
    "reading": "reading|readings|registration|index|indication|registered",
    "dial": "register|registers|dial|meter|meters|counter|odometer|totalizer|totalizers",
    "write": "write|writes|written|note|notes|noted|state|states|stated|give|gives|given|report|reports|reported|enclose|enclosed|include|includes|included|furnish|furnishes|furnished|accompany|accompanies|accompanied|photograph|photographed|record|records|recorded|tell|quote|quotes|quoted|supply|supplies|send|sends|submit|submits|provide|provides|declare|document|enter|entered|indicate|indicates|jot",
    "off": "removal|removed|remove|dismounting|dismounted|withdrawal|failure|failed|claim|claims|tag|results|out|return|returned|application|exchange|exchanged|complaint",
    "promising": "warrant|warrants|warranted|guarantee|guarantees|guaranteed|transmit|transmits|hourly|interval|limits|percent|whichever|sooner|earlier|ends|expires|until",
    "handed in": "claim|claims|must|shall|send|sends|sent|enclose*|attach*|accompan*|submit*|copy|keep|comes|goes|with|return|returns|returned|customer|require*|need|needed|produce*|present*|put",
    "proof paper": "invoice|invoices|docket|receipt|receipts|paperwork|lading|sale",
    "dated paper": "order|sheet|record|records|report|certificate|log|card|note|slip|papers|receipt|docket",
    "proving": "show|shows|showing|shown|prove|proves|proved|proving|evidence|evidences|evidenced|establish|establishes|document|documents|documented|demonstrate|demonstrates|substantiate|substantiates|proof|state|states|stated|certify",
    "happening": "purchase|purchased|bought|sale|sold|installation|installed|delivery|delivered|shipment|shipped|setting|set|fitted|fitting|service|use|commissioning|commissioned|startup|start-up|dispatch|despatch|invoice|put|manufacture",
    "testing": "test|tests|tested|testing|examine|examined|examination|inspect|inspected|inspection|check|checked|checks|bench|trial|evaluated|evaluation",
    "judging": "judged|judge|determined|determine|decided|decides|decide|settled|settle|established|resolved|ascertained|measured|proved|verified",
    "by which": "method|methods|procedure|procedures|manner|way|flows|volumes|rules|program|practice|steps",
    "norm": "awwa|m6|c700|c701|c702|c703|c704|c708|c710|c712|c713|c715|iso|oiml|nist|astm|ansi|iec|din|en|sans|ntc|nbr|une|nf|bs|nmi|r49|jis|abnt|handbook|standard",
    "bench": "laboratory|lab|bench|rig|shop|works|plant|factory|workshop|station|facility|laboratories",
    "first": "original|first|initial|named|immediate",
    "alone": "only|alone|solely|exclusively|nobody|none|else|belongs|belong|issued|granted|runs|extends|benefits|protects|given|exclusive",
}

ROWS = (
    row(
        "pair.notice",
        D.WRITTEN_NOTICE,
        """
        report|reports|reported|notify|notified|claim|claims|claimed|lodge|lodged|enter|entered|submit|submitted ~ portal|online|website|form|web|app & # ... day|days|weeks|week & fail*|fault*|defect*|claim*|trouble|problem
        # ... day|days|weeks|week ~ send|sends|write|report|tell|file|lodge & fail*|fault*|defect*|claim*|trouble|problem & writing|letter|mail|e-mail|email|form|written
        have|has|had it|this|them in writing
        due in|within # ... day|days & written|claim|notice
        hear|heard ... from ... customer & writing
        """,
        "Failures are reported on our web form within 30 days",
        "The form has 30 lines",
        "a period for a claim, whatever it is sent by",
    ),
    row(
        "pair.return",
        D.RETURN_AUTHORISATION,
        """
        {bar} ~ {back} ~ {leave} & !no ... needed|required|necessary
        {bar} ~ accepted|received|taken ~ {leave} & return*|back|goods|meter|meters
        return|returns ~ approved|authorized|agreed|allowed|cleared ~ beforehand|first|before|prior|advance|only
        return|returns|case|claim|shipping|rma|rga|ra ~ {mark} ~ {issue} & {back}|{box} & !no ... needed|required
        {mark} ~ {box} & {back} & call|ask|obtain|get|wait|issue*|give*|case|claim
        call|ask|phone|write ~ for ~ number|tag|label|reference & {back}|{box}
        {bar} ~ rma|rga|rmas
        not|never ~ {back} ~ until|unless|before ~ told|asked|agreed|said|instructed|issued|heard|given
        shipping|return instructions ~ obtain|ask|issue*|given|wait|request*|await
        applies|apply|applied ~ for ~ rma|rga|authorization
        {back} ~ without|against ~ {leave}|number|tag|order
        """,
        "Wait for our return tag before you ship anything",
        "The tag on the meter names the size",
        "leave that must be had before goods are sent back",
    ),
    row(
        "pair.standard",
        D.TEST_BY_STANDARD,
        """
        {testing} ~ {norm} ~ #|m6|manual|describes|lays|prescribes|sets|procedure|method|- & !test|tests inside|within ... limits|bounds|band
        {testing} ~ m6
        {testing} ~ by which|{by which} ~ {norm}
        accuracy|accurate|registration|error|limits ~ {judging} & {norm} & {by which}|{testing}
        {judging} ~ {by which} ~ {norm}
        {by which} ~ {norm} & {testing}|dispute|disputed|contested
        sans|ntc|nbr|une|bs|nf|en|as|is # & {testing}
        """,
        "Whether a meter is accurate is decided by the method of AWWA M6",
        "The meter is made to AWWA C700",
        "a test or a judgment, and the standard it follows",
    ),
    row(
        "pair.laboratory",
        D.TEST_BY_SUPPLIER,
        """
        {testing} that supplier performs|makes|conducts|runs|carries
        {testing} ~ at|in|on|by ~ supplier|our ~ {bench}
        supplier ~ {bench} ~ {testing}|finds|establishes|determines|decides|looks|judges & !independent|referee|outside|third|neutral ... {bench}
        returned|claimed|disputed|meter|meters|goods|products|it ~ {testing} ~ at|in the? {bench} & !customer ... {bench} & !independent|before|leaves|leave|leaving|m6
        supplier engineers|technicians|people|experts|inspectors ~ look|examine|inspect|test|study
        supplier ~ look|looks|looking into|at ~ fail*|fault*|cause|meter|goods
        {testing} ~ undergo|undergoes|subject ~ supplier|factory|our
        {judging} ~ supplier ~ {bench}|{testing}
        supplier test station|shop|house
        accredited|verification|own laboratory|lab|bench ~ supplier
        """,
        "Accuracy is judged by a test that the maker performs at its laboratory",
        "The laboratory of the town tests the water",
        "a test that the supplier makes of what comes back",
    ),
    row(
        "pair.proof",
        D.PROOF_OF_DATE,
        """
        {proof paper} ~ enclose|enclosed|attach|attached|include|includes|included|accompany|accompanied|copy|produce|produces|produced|present|presented|with|together|without|put|ready|keep|retain|need|needed|required & !of|from|after|on|upon the|our|your|its? receipt|invoice
        {dated paper} ~ {proving} ~ {happening} & {handed in} & !{promising} & !start|starts|begin|begins|runs|measured|means & !show|shows ... defect|fault|failure
        {dated paper} ~ {proving} ~ date|dates|day|when & {happening} & !{promising} & !start|starts|begin|begins|runs|measured|means
        date|day|dates|when ~ {happening} ~ {proof paper}|{dated paper} & {proving}|accompany|accompanied|enclose|enclosed|submit|submitted|see|supported & !start|starts|begin|begins|runs|measured|means
        record|records|note|proof|evidence of|with ... date|day of|when|on & accompan*|enclose*|submit*|claim|claims|with & !test & !from ... date
        {proving} ~ date|day|when ~ {happening} & must|shall|claim|has to|burden|customer ..., {proving} & !{promising} & !counted|starts|begins|runs|measured|period ... shown|supplier ... state|states
        prove|proves|proving the date
        {dated paper} that|which shows|proves|states when|the ~ {happening}
        {happening}|packing|work|works|delivery|job slip|order|sheet|note|docket|ticket|card ~ send|sent|enclose|enclosed|ready|goes|copy|along|include|included|attach|attached|produce
        see|know|shown|told when|date ~ {happening} & need|must|want|wants|has|have & customer|supplier
        dated work|works|job|delivery|purchase order|sheet|note|slip
        bill of sale|lading & without|copy|include*|enclose*|show*|need*|with
        """,
        "The work sheet that shows when the meter was fitted goes with it",
        "The warranty begins on the date of shipment shown here",
        "a paper and what it shows of the start",
    ),
    row(
        "pair.reading",
        D.READING_RECORD,
        """
        {reading} ~ {write} & {dial}|{off} & !{promising}
        {reading} ~ {off} ~ {write} & !{promising}
        note|record|statement of ... reading|registration|index
        {reading} ~ must|shall|has to|have to ~ see|seen|shown|show|appear|stand & !{promising}
        {write} ~ what|which|figure|figures|gallons|volume|total|throughput ~ {dial} & !{promising} & !serial
        number|figure|figures|gallons on the? dial|register|counter & {write}|must|shall|has & !{promising}
        how much|many|far ~ registered|passed|measured|counted & {write}|must|shall & !{promising}
        photograph|photo|picture ~ register|dial|reading|counter|display & {write}|claim|claims|removal|removed|return|returned|with|attach*|together
        what ... register|dial|counter|meter showed|shows|read|reads|said & !{promising}
        total|volume|throughput|registration ~ registered|passed|measured ~ {write}|claim|claims|results & !{promising}
        test|record|report|sheet ~ show|shows|state|states ~ registration|reading|registered & {handed in} & !{promising}
        """,
        "Write the reading on the tag",
        "The radio sends a reading each hour",
        "the reading of a claimed meter, and that it is told",
    ),
    row(
        "pair.original",
        D.ORIGINAL_PURCHASER_ONLY,
        """
        {first} customer|user|owner|party|one ~ {alone}
        {first} customer|user|owner ~ nobody|none|no ~ else|other|after
        customer ~ bought|buys|purchased|purchases ~ nobody|none|no|only|alone|solely
        belongs|belong|runs|run|given|issued|granted|for ~ customer ~ nobody|none|no ~ else|other|person|one|another
        claim|claims|claimed ~ only|solely ~ by|whoever ~ customer|bought|purchased
        no|none|nobody ~ but|other|except|save ~ {first} customer|owner|user
        customer|utility that|which|who first ~ belongs|only|alone|pass
        belongs|belong to the? customer|utility that|which|who & warranty|guarantee|rights|certificate ~ belongs|belong & !long as
        """,
        "The warranty belongs to the town that bought the meter and to nobody else",
        "The town bought the first meter",
        "the first buyer, and nobody after",
    ),
    row(
        "pair.standard.es",
        D.TEST_BY_STANDARD,
        "ensay*|prueb*|verific*|contrast*|evalu* ~ segun|conforme|norma|ntc|une|iso|awwa ~ #|ntc|iso|awwa|une|m6",
        "se prueba conforme a la NTC 1063",
        "el equipo cumple la norma",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.laboratory.es",
        D.TEST_BY_SUPPLIER,
        """
        ensay*|prueb*|verific*|examin*|revis*|inspecc*|contrast* ~ laboratorio|banco|taller|planta|fabrica ~ supplier
        laboratorio|banco|taller|tecnicos ~ supplier ~ ensay*|prueb*|verific*|examin*|revis*|decid*|determin*
        supplier ~ ensay*|prueb*|verifica|verificara|examin*|revis*|inspecc* & medidor*|contador*|equipo*|unidad*|pieza*|lo & !garantiza
        """,
        "los equipos se ensayan en el banco del fabricante",
        "el banco del parque",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.proof.es",
        D.PROOF_OF_DATE,
        """
        copia|con|junto|adjunt*|acompan*|presen*|incluy*|inclu*|envi* ~ factura|albaran|remision|remito|guia|boleta|comprobante|acta & !precio ... factura & !desde|partir ... factura
        fecha ~ acredit*|justific*|demuestr*|demostr*|comprueb*|comprob*|prueb* ~ factura|albaran|remision|guia|acta|documento|compra|entrega
        """,
        "enviará el contador con copia del albarán",
        "el plazo corre desde la factura",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.reading.es",
        D.READING_RECORD,
        """
        lectura ~ indic*|anot*|inform*|inclu*|acompan*|junto|con|envi*|adjunt*|comunic*|foto*
        foto|fotografia ~ lectura|totalizador|registro
        """,
        "anote la lectura al retirarlo",
        "la lectura a distancia",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.reading.fr",
        D.READING_RECORD,
        """
        index|l'index|releve ~ accompagn*|indiqu*|mention*|communiqu*|joint|joindre|avec|not*|transmet*|photograph*
        """,
        "accompagné du relevé de l'index",
        "l'index est noir",
        "the same in French",
        "fr",
    ),
    row(
        "pair.proof.fr",
        D.PROOF_OF_DATE,
        """
        facture|bon|justificatif|bordereau|ticket ~ joint|joindre|jointe|copie|accompagn*|avec|presente|presenter|fournit|fournir|produit|muni & !prix ... facture
        date ~ justifi*|prouv*|attest*|etabli* ~ facture|bon|bordereau|livraison|achat|pose
        """,
        "il joint le bordereau de livraison",
        "la facture est payable à trente jours",
        "the same in French",
        "fr",
    ),
    row(
        "pair.laboratory.fr",
        D.TEST_BY_SUPPLIER,
        """
        essa*|examin*|controle*|expertis*|verifi* ~ banc|laboratoire|atelier|usine ~ supplier
        supplier ~ examine|examinent|essaie|teste|controle|expertise|verifie ~ compteur|appareil|materiel|piece|l'appareil
        """,
        "le compteur est essayé au banc du fabricant",
        "le banc public",
        "the same in French",
        "fr",
    ),
    row(
        "pair.proof.de",
        D.PROOF_OF_DATE,
        """
        lieferschein*|rechnung|rechnungskopie|kaufbeleg*|einbauprotokoll*|beleg ~ kopie|beizulegen|beizufugen|beilegen|beifugen|fugt|legt|mit|vorzulegen|vorlegen|anbei|beigefugt|nachweis* & !ab|seit der? rechnung
        tag|datum|zeitpunkt ~ nachweis*|nachzuweisen|belegen|belegt ~ lieferschein*|rechnung|lieferung|einbau*|beleg*
        """,
        "beizulegen ist eine Kopie des Lieferscheins",
        "die Rechnung ist in 30 Tagen fällig",
        "the same in German",
        "de",
    ),
    row(
        "pair.reading.de",
        D.READING_RECORD,
        "zahlerstand*|ablesewert*|zahlwerkstand*|stand ~ angabe|angeben|anzugeben|mitteil*|mitzuteilen|beizulegen|notier*|melde*|fotograf*|vermerk*",
        "die Angabe des Zählerstands ist beizulegen",
        "der Stand der Technik",
        "the same in German",
        "de",
    ),
    row(
        "pair.laboratory.de",
        D.TEST_BY_SUPPLIER,
        """
        supplier ~ prufstelle|prufstand|labor|werk|prufstande ~ pruf*|stellt|untersuch*|gepruft|ermittel*|festgestellt|entscheid*
        pruf*|untersuch*|gepruft|stellt|festgestellt|entscheid* ~ supplier ~ prufstelle|prufstand|labor
        supplier prufstelle|prufstand|labor
        """,
        "unsere Prüfstelle stellt fest, ob die Grenzen eingehalten sind",
        "die Prüfstelle eicht den Zähler",
        "the same in German",
        "de",
    ),
)
