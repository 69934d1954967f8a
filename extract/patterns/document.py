"""Document furniture: labels of codes, revisions and dates; words of supplier names; kinds of paper; places.

Codes, marks and dates are shapes of characters, so they are read by short expressions at the place where a label, which
is a token pattern, or a position on the page announces them.
"""

import re
from enum import StrEnum

from firstcap.extract.patterns.clause import ClauseTable, row

LABELS = ClauseTable(
    (
        row(
            "label.code",
            "code",
            """
            form|document|doc|bulletin|publication|sheet|leaflet|certificate|literature|brochure|ref|reference|circular|schedule|paper|pub|folder|policy|catalog|booklet|part|item|drawing|stock|print .? no|number|num|nr|# .|:?
            form|document|doc|bulletin|publication|sheet|leaflet|certificate|literature|brochure|ref|reference|circular|pub|booklet|memo|notice|technical|data .|:?
            bid|tender|contract|solicitation|rfp|rfq|itb|specification|project|invitation no|number|nr|# .|:?
            no|nr|# .|:?
            documento|formulario|hoja|codigo|referencia|folleto|certificado n|no|num|numero? º|.|:?
            formulaire|reference|notice|fiche|document|imprime n|no? °|º|.|:?
            druckschrift|dokument|blatt|formular|merkblatt|formblatt|dok nr|nummer? .|:?
            """,
            "Form WX-10",
            "a formal letter",
            "what announces a form or document code",
        ),
        row(
            "label.revision",
            "revision",
            """
            rev|revision|issue|edition|version|ed|iss|ver .? no? .|:?
            v .?
            ausgabe|fassung|auflage|indice|ind|edicion|version|revision|edition|indice .? n? °|º?
            """,
            "Rev. C",
            "revised in May",
            "what announces a revision mark",
        ),
        row(
            "label.amendment",
            "amendment",
            """
            amendment|supplement no? .?
            enmienda|adenda|avenant|nachtrag no|n|nr? .|°|º?
            """,
            "Amendment 2",
            "an amended order",
            "an amendment is a revision by name",
        ),
        row(
            "label.effective",
            "effective",
            """
            effective|effectivity date|from|on|for|as? of? :?
            effective
            in|into force|effect|operation|use from|since|on?
            last? updated|reviewed :?
            valid|applicable|applies|apply|good from|as|since|to? of? ..., from|on|since?
            on or after
            with effect from
            sold|shipped|ordered|orders|shipments|deliveries|sales|invoices|delivered ..., on|from or|and after
            vigencia|vigente|vigor|valido|valida|rige|aplicable ..., desde|partir|del|el?
            a partir del|de
            vigueur le|depuis|du?
            a compter du|de
            gultig|wirksam|gilt|gultigkeit ..., ab|seit|vom?
            in kraft
            """,
            "Effective May 1, 2020",
            "the effect of frost",
            "the date the paper takes effect",
        ),
        row(
            "label.issued",
            "issued",
            """
            issued|dated|date|published|adopted|released|approved|printed .|:?
            issue date|of :?
            stand|fecha|date|datum|emitido|emision|fait|du|del|publicado|ausgabedatum :?
            """,
            "Issued 12 May 2020",
            "the issue is closed",
            "the date it was issued",
        ),
        row(
            "label.revised",
            "revised",
            """
            revised|updated|amended|revision|rev date|on|in? .|:?
            revisado|actualizado|revise|mis|uberarbeitet ..., el|le|a|am|jour?
            """,
            "Revised May 2020",
            "a review",
            "the month it was revised",
        ),
        row(
            "label.other",
            "other",
            """
            supersede|supersedes|superseded|superseding|replaces|replaced|replacing|replace|cancels|former|formerly|previous|previously|earlier
            first issued|published|printed
            ersetzt|reemplaza|sustituye|remplace|remplacent|annule|deja|anula|dejan
            price|prices|quotation|quotations|discount
            price list
            until|through|expires|expire|ends|ending|bis|hasta|jusqu|jusqu'au
            since|founded|established|est|built|seit|desde|depuis
            standard|awwa|iso|oiml|nsf|ansi|directive|approval|approved under|patent|din|astm
            before|prior|avant|antes|vor
            takes|take|in the? place of
            tel|telephone|phone|fax|call|abn|vat|hrb|rcs|zip
            issued as
            """,
            "replaces issue 6",
            "the place of sale",
            "dates and marks of something else follow these words",
        ),
    )
)

WARRANTS = ClauseTable(
    (
        row(
            "warrantor.verb",
            "warrants",
            """
            warrants|guarantees|certifies|undertakes|pledges|promises|assures|garantiza|garantit|garantiert
            hereby? warrants|guarantees
            gives|grants|makes|offers|issues|provides|extends ..., warranty|guarantee|warranties|certificate|promise
            ubernimmt ..., garantie
            accorde ..., garantie
            otorga ..., garantia
            """,
            "Penderwick Meters warrants each meter",
            "the meter is warranted",
            "what the warrantor does",
        ),
    )
)

PROMISES = ClauseTable(
    (
        row(
            "promise.verb",
            "verb",
            """
            warrants|warranted|guarantees|guaranteed|certifies
            undertakes|undertake|pledges|pledge|promises|promise|assures|vouches|vouch
            stand|stands behind
            supplier warrant|guarantee
            free from|of ..., defect|defects|flaw|flaws|fault|faults
            garantiza*
            garanti|garantis|garantit
            garantiert
            """,
            "is warranted for five years",
            "the warranty is long",
            "the act of promising",
        ),
        row(
            "promise.made",
            "promise",
            """
            warrant|warrants|warranted|guarantee|guarantees|guaranteed|certifies|warranty|warranties
            undertakes|undertake|pledges|pledge|promises|assures|vouches
            free from|of ..., defect|defects|flaw|flaws|fault|faults
            garantiza*|garantia|garantias
            garanti|garantie|garanties|garantis|garantit
            garantiert|garantie|garantiezeit|gewahrleistung*
            """,
            "is warranted for five years",
            "a warning",
            "words of promise",
        ),
        row(
            "promise.time",
            "time",
            """
            # -? calendar|full|consecutive|service? year|years|yr|yrs|month|months|mo|mos|day|days
            ) -? year|years|yr|yrs|month|months|day|days
            ano|anos|mes|meses
            an|ans|annee|annees|mois
            jahr|jahre|jahren|monat|monate|monaten
            # decade|decades
            # ... gallons|ccf|m3|kl|kgal|litres|liters|kiloliters|kilolitres
            # cubic feet|meters|metres
            life of|time
            working|service|useful|entire|whole|its life
            while|whilst ..., owns|own|remains|remain|stays|belongs|continues|retains|keeps|property
            as|so long as
            a|first|initial|one decade|year|century
            lifetime
            half years
            years
            months
            """,
            "for five (5) years",
            "yearly",
            "a period or a registered volume",
        ),
        row(
            "promise.clock",
            "clock",
            """
            years|year|months|month|days from|after|of|following ..., shipment|installation|purchase|delivery|commissioning|invoice|manufacture|acceptance
            """,
            "15 years from shipment",
            "months of the year",
            "a period with its start",
        ),
        row(
            "promise.denied",
            "denied",
            """
            no|not|nor|neither|without|never ..., warranty|warranties|warranted|guarantee|guaranteed|promise|promises
            not ... a|an? warranty|guarantee|promise
            implied
            optional|priced|purchased separately
            warranty|guarantee ..., stated|printed|found|see ..., elsewhere|separate|other
            ninguna|sin|no ... garantia|garantiza
            pas|sans|aucune ... garantie|garantit
            keine|keinerlei|nicht ... garantie|garantiezeit|zusicherung
            """,
            "This is not a warranty",
            "the warranty is long",
            "words that take a promise away",
        ),
    )
)


class Paper(StrEnum):
    """What kind of paper a document says it is."""

    WARRANTY = "a warranty"
    MANUAL = "instructions"
    PRICES = "a price list"
    DATA = "a data sheet"
    LICENCE = "a licence or service agreement"
    TERMS = "terms of sale"
    BID = "a bid specification"
    OTHER = "another paper"


PAPERS = ClauseTable(
    (
        row(
            "paper.warranty",
            Paper.WARRANTY,
            "warrant*|guarant*|garantia*|garantie*|garanti|gewahrleistung*",
            "Limited Warranty",
            "Price List",
            "its title names a warranty",
        ),
        row(
            "paper.manual",
            Paper.MANUAL,
            """
            manual|instructions|instruction|handbook
            installation|operating|operation|user|fitting guide|sheet|manual|instructions
            manual|instrucciones|notice|mode|bedienungsanleitung|betriebsanleitung|einbauanleitung|anleitung
            """,
            "Installation Instructions",
            "Limited Warranty",
            "care and use",
        ),
        row(
            "paper.prices",
            Paper.PRICES,
            """
            price|prices|pricing|quotation|tariff
            lista|lista de precios
            preisliste|tarif|tarifs
            """,
            "Price List 2024",
            "Limited Warranty",
            "what things cost",
        ),
        row(
            "paper.data",
            Paper.DATA,
            """
            data sheet
            technical|product data|information|specification|description
            datasheet|datenblatt|brochure
            ficha tecnica
            fiche technique
            """,
            "Technical Data",
            "Limited Warranty",
            "what a product is",
        ),
        row(
            "paper.licence",
            Paper.LICENCE,
            """
            license|licensing|subscription|hosted
            service|services agreement
            software agreement
            lizenz*|licencia|licence
            """,
            "License Agreement",
            "Limited Warranty",
            "a right to use something",
        ),
        row(
            "paper.terms",
            Paper.TERMS,
            """
            terms|conditions of? and? conditions? of sale|supply|trade|business|delivery
            terms and conditions
            general terms|conditions
            condiciones generales|venta
            conditions generales|vente
            verkaufsbedingungen|lieferbedingungen
            """,
            "Terms of Sale",
            "Terms of Warranty",
            "the whole of a sale",
        ),
        row(
            "paper.bid",
            Paper.BID,
            """
            bid|bids|tender|rfp|proposal|proposals|solicitation|procurement
            technical specification|specifications
            specification|specifications for
            invitation to bid|tender
            licitacion|ausschreibung|appel
            """,
            "Invitation to Bid",
            "Limited Warranty",
            "what a buyer asks of bidders",
        ),
    )
)

# Words that end or mark the name of a firm. The legal forms first.
LEGAL_FORMS = frozenset(
    "inc incorporated llc ltd limited corp corporation co company gmbh ag kg sa sas sarl srl lda ltda bv nv plc pty oy ab as spa "
    "ltée ltee cia slu sl s.a. s.a.s. s.l. s.r.l. a.s.".split()
)
TRADE_WORDS = frozenset(
    "meters metering works industries systems technologies technology products controls control instruments instrument "
    "office supply measurement telemetry networks devices group manufacturing manufacturers brothers sons foundry services "
    "service water waterworks fluidics utility utilities engineering solutions international enterprises registers shop pumps store association "
    "instrumentation laboratories factory contadores medidores compteurs wasserzähler messtechnik zählertechnik".split()
)
# Public bodies are customers of this trade, not warrantors.
PUBLIC_WORDS = frozenset(
    "township city town county district department authority board village commission municipality state bureau".split()
)

CODE = re.compile(
    r"(?:[A-Z]{1,5}[-–/ ]?){0,3}\d[\w]*(?:[-–/.][A-Z0-9]+)*"  # PX 6-20, WR-210, 52-B, QLM 210.04
    r"|[A-Z]{2,}(?:[-–/][A-Z0-9]+)+"  # RVT-GAR, PQ-INF-120
    r"|[A-Z](?:[-–/][A-Z0-9]+)+(?: \d+)?"  # B-T 450
)
BARE_CODE = re.compile(
    r"(?<![\w/.-])(?:"
    r"(?=[A-Z0-9/–-]*[A-Z])[A-Z0-9]{1,6}(?:[-–/][A-Z0-9]+){1,4}(?:\.\d+)?(?: \d{2,5})?"
    r"|[A-Z]{2,5} \d{1,5}(?:[-–/.][A-Z0-9]+){0,3}"
    r"|[A-Z]{1,2}-[A-Z] \d{2,4}"
    r")(?![\w/-])"
)
GLUED_VERSION = re.compile(r"(?<![\w.])[vV]\.?(\d{1,3}(?:\.\d{1,3})*)(?![\w])")  # v2.3
MARK = re.compile(
    r"(?:\d{4}[-.]\d{1,2}|\d{1,2}[-/]\d{2,4}|R?\d{1,4}(?:\.\d{1,3}){0,2}[A-Za-z]?|[A-Z]{1,2}\d{0,2})(?![\w])"
)
LANGUAGE_SUFFIX = re.compile(r"^(.*\d.*?)[-–/](EN|ES|FR|DE|US|UK|PT|IT)(?:[-–/](\d{1,3}))?$")
# Standards, registers and telephones look like codes; a hyphen or bar after two or three letters makes a code of its own.
NOT_CODES = re.compile(
    r"^(?:AWWA|ISO|NSF|ANSI|OIML|ASTM|IEC|NIST|NMP)\b"
    r"|^(?:EN|DIN|MID|AS|BS|UL|IP|DN|PO|US|VAT|ABN|HRB|RCS|R49|PN|FCC|UTC|ID|TEL|FAX|ZIP|NSW)\b(?![-–/])"
    r"|^C7\d\d|^[A-Z]{2} \d{5}(?:-\d{4})?$|^\d+M \d|^\d+[A-Z]?/\d+$|^M6$|^Q\d|^\d{1,2}-[A-Z][a-z]",
)

FIGURES = re.compile(r"(?<![\d/])(?P<a>\d{1,2})[/-](?P<b>\d{1,2})[/-](?:19|20)\d\d(?!\d)")
SHORT_MONTH = re.compile(
    r"(?<![\w/.-])(?P<m>0?[1-9]|1[0-2])[-/.](?P<yy>(?:19|20)?\d\d)(?![\w/-]|\.\d)"
)  # print marks: 4M 6-18, (02/21)

PLACES = (
    "United States of America|United States|U.S.A.|USA|U.S.|US|Canada|Mexico|North America|South America|Latin America|Central America|"
    "United Kingdom|Great Britain|England|Scotland|Wales|Northern Ireland|Ireland|Australia|New Zealand|South Africa|India|"
    "European Union|European Economic Area|EEA|Europe|Germany|Austria|Switzerland|France|Belgium|Netherlands|Spain|Portugal|Italy|"
    "Peru|Perú|Chile|Bolivia|Ecuador|Colombia|Argentina|México|España|Uruguay|Paraguay|Caribbean|Africa|Asia|Middle East|"
    "France métropolitaine|Suisse|Belgique|Canadá|Allemagne|Espagne|Deutschland|Österreich|Schweiz|Frankreich|Unión Europea|"
    "Union européenne|Europäische Union|Europäischen Union|Québec|Puerto Rico|District of Columbia|fifty states|fifty United States|worldwide"
)
_PLACE = (
    "(?:the )?(?:" + "|".join(sorted((re.escape(p) for p in PLACES.split("|")), key=len, reverse=True)) + r")(?!\w)"
)
REGION = re.compile(
    r"(?<![\w])(?P<outside>outside )?(?P<first>"
    + _PLACE
    + r")(?P<rest>(?:(?:,| and| or| y| e| et| und|, and)? ?(?:"
    + _PLACE
    + r"|(?:its|their) (?:territories|possessions)))*)"
)
