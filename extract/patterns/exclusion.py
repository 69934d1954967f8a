"""Exclusions: what opens a scope of exclusion, what closes it, which causes count inside it, which sentences exclude by themselves.

"Freezing" among care instructions excludes nothing; "is void if frozen" does. So a cause counts only in a scope that a
trigger has opened: forward ("does not cover …"), backward ("… is not covered") or from the heading ("Exclusions").
"""

from enum import StrEnum

from firstcap.extract.patterns import cause_pairs, denials
from firstcap.extract.patterns.clause import ClauseTable, row
from firstcap.schema.vocabulary import ExclusionKind as X

WORDS = {
    "cover": "cover|covers|covered|covering|extend|extends|apply|applies|reach|reaches|include|includes|answer|answers|pertain|pertains|relate|relates|embrace|embraces|protect|protects|insure|insures|warrant|warrants|guarantee|guarantees|respond|responds|available|hold|holds|honor|honors|run|runs",
    "this": "warranty|warranties|guarantee|guarantees|cover|coverage|certificate|protection|claim|claims",
    "event": "damage|damages|damaged|failure|failures|failed|defect|defects|loss|fault|faults|breakage",
    "wrong": "improper*|incorrect*|faulty|wrong*|defective*|bad|badly|poor|poorly|negligent*|inadequate*|insufficient*|unsuitable|careless*|inexpert*|amateur|deficient*|lacking|backward|backwards|reverse|reversed|upside|unskilled|untrained|inexperienced|incompetent*|unqualified|wrongful*|unprofessional*|inappropriate*",
    "install": "install*|reinstall*|fitting|fitted|hooked|plumbed|hookup|put|mounting|mounted|setting|assembly|connection|connected|positioning",
    "maintain": "maintenance|maintain*|upkeep|care|servicing|cleaning|service",
    "against": "contrary|against|otherwise|inconsistent|not|without|other|disregarding|ignoring",
    "repair": "repair|repairs|repaired|repairing|modif*|alter|altered|altering|alterations|alteration|alters|dismantl*|disassembl*|serviced|servicing|rebuilt|rework*|reworked|rebuilding|opened|adjusted|adjustment|overhaul*|recalibrat*|intervention|interventions|converted|changed|mended|mending|worked|fixed|stripped|tinkered|opening|taken|interfered",
    "others": "others|other|anyone|anybody|somebody|someone|person|persons|people|party|parties|third|unauthorized|unqualified|outsiders|strangers|workshop|shop|firm|whoever|stranger|hands|contractor|contractors|plumber|those",
    "solid": "solids|sand|gravel|debris|grit|scale|sediment|sediments|silt|stone|stones|pebbles|particles|particulate*|rust|dirt|swarf|chips|shavings|mud|dope|beads|sludge|slag|limescale|tuberculation",
    "limit": "flow|flows|flowrate|pressure|pressures|temperature|temperatures|rating|ratings|rated|range|ranges|maximum|limits|limit|capacity|q3|q4|qmax|bar|psi|kpa|speed|velocity|overload",
    "tens": "thirty|forty|fifty|sixty|seventy|eighty|ninety",
    "beyond": "past|above|beyond|over|outside|exceed*|excess|greater|higher|excessive|surpass*|past",
    "labor": "labor|workmen|plumber|plumbers|manpower|wages|crew|crews|digging|excavation|callout|shutoff|shutdown|travel|mileage|trenching|backfill|paving",
    "remove": "remov*|reinstall*|re|install*|dismantl*|refit*|reset|resetting|taking|replacing|replacement|changing|exchanging|excavat*|digging|fitting|putting|swapping|uninstall*|dig",
    "cost": "cost|costs|expense|expenses|charge|charges|labor|pay|work",
    "notpay": "not|nor|no|neither|never|without|excluded|excludes|excluding|exclude|outside|exclusive|except",
    "indirect": "consequential|indirect|incidental|special|punitive|exemplary|consequent|knock|resulting|ensuing|subsequent",
    "harm": "damage|damages|loss|losses|harm|costs|expense|expenses|injury",
    "gone": "defaced|removed|altered|missing|illegible|erased|obliterated|scratched|unreadable|taken|gone|lost",
    "deny": "not|no|nor|neither|never|excluded|excludes|exclude|excluding|disclaim*|waive*|without|outside|denies|rejects|reject*|decline*|none|exclusion|cannot|negated|negates|barred|customer|hook|nothing",
}


class Opens(StrEnum):
    """Which side of the trigger its scope lies on."""

    FORWARD = "forward"
    BACKWARD = "backward"
    BOTH = "both"


TRIGGERS = ClauseTable(
    (
        row(
            "scope.does_not_cover",
            Opens.FORWARD,
            """
            not|nor|never|cannot ... {cover}
            neither|nor is|are|do|does
            not|never|cannot accept|admit|consider|allow|recognize
            excludes|exclude|excluding
            without cover for
            supplier ... not|never|cannot replace|repair|mend|exchange|compensate|credit|refund|fix|help|assist|support
            not|never|cannot pay|help|answer if|when|where|with|for
            """,
            "This warranty does not extend to frost",
            "The warranty covers the meter",
            "the plain form: a negated verb of cover",
        ),
        row(
            "scope.void",
            Opens.FORWARD,
            """
            matters|matter outside|beyond|excepted
            no|without force|effect|value|validity ... with|for|if|when|where|as|in|to
            no|without force or effect
            owe|owes|do|does|pay|pays nothing for
            apart|aside from damage|damages|failure|failures|defects
            falls|fall|drops away|off|through if|when|where|once
            cease|ceases|stops|stop|expires|expire|terminates|terminate|ends|end ... if|when|where|once|should|upon
            {this} ..., lost|forfeited|withdrawn|gone|denied|refused|void ... if|when|where|by|through|should|once
            lose|loses|lost|forfeit|forfeits|losing ..., {this}
            not ... stretch|go|run to
            void|voided|lapses|lapse|forfeited|cancelled|null|invalid|inoperative|ineffective|ends ... if|when|where|for|upon|by|should|once|as
            no longer valid|applies|holds ... if|when|where
            is|are|becomes|be void
            null and void
            promise|promises|owe|owes|give|gives|pay|pays nothing where|if|when|for
            nothing ... due|owed|payable|owing
            under no liability|obligation|duty
            no liability|obligation|responsibility under|in|hereunder
            not ... stand|stands for|behind|good
            void|voided in|upon|by|for
            invalid in|if|when|upon
            voids|invalidates|forfeits _? _? _?
            {this} ..., ends|end|stops|ceases|lapses|expires|terminates the? day|moment|instant|minute|date
            nothing ... covered|warranted|promised|guaranteed
            no|not ... valid ... for|if|when|where|once
            """,
            "Cover lapses if the meter has been frozen",
            "The void between the plates is filled",
            "the warranty ends by what follows",
        ),
        row(
            "scope.no_claim",
            Opens.FORWARD,
            """
            no ... claim|claims|warranty|guarantee|cover|coverage|obligation|liability|responsibility|remedy|credit|duty ..., for|where|if|when|in|to|against|after|once|arising|because|by|that|holds|lies|exists|stands
            no ... claim|claims|guarantee|warranty|cover ... in respect of
            none ... for|where|if
            """,
            "The maker allows no claim for frost",
            "Send the claim to the office",
            "nothing is owed for what follows",
        ),
        row(
            "scope.not_liable",
            Opens.FORWARD,
            """
            not ... liable|responsible|answerable|bound|accountable
            not|nor ... obligated|obliged|obligation
            not answer for
            not ... accept ... claim|claims|liability|responsibility
            not|never ... honor
            disclaims|disclaim|declines|rejects|refuses _? _? responsibility|liability|claims|claim
            """,
            "Fenwick will not be answerable if a meter froze",
            "The supplier is responsible for freight",
            "the supplier does not answer for what follows",
        ),
        row(
            "scope.list_opener",
            Opens.BOTH,
            """
            not covered
            not included|insured|warranted|protected
            excluded
            exempt|exempted|excepted
            claims|claim ..., rejected|refused|denied|declined|disallowed|dismissed|turned
            left|ruled|leaves|leave|rules|rule|shut|counted out
            inadmissible|disallowed|barred|unavailable|disqualified|ineligible|uncovered|unprotected
            not ... honored|admissible|eligible|claimable|recoverable|entertained|allowed|admitted|considered|accepted
            are|is|falls|fall|lie|lies|remain|remains|stand|stands ... outside
            not ... part|subject ... of|to _? warranty|guarantee|certificate|cover
            exclusions
            exceptions
            not|never ... warrantable|reimbursable|compensated|repaired|replaced|exchanged|refunded|credited|indemnified
            supplier owe|owes|pay|pays|give|gives nothing
            nothing ... owed|due|payable|paid
            outside|beyond _? _? warranty|guarantee|cover|warranties|guarantees|coverage|certificate :|are|is|come|lie|fall|comes|lies|falls
            must|have to decline|refuse|reject
            """,
            "Excluded are frost and misuse",
            "Included are couplings and gaskets",
            "these words stand before or after the list of causes",
        ),
        row(
            "scope.voids",
            Opens.BACKWARD,
            """
            not a? warranty|guarantee matter|matters|question|case|affair
            not|never ... supplier ... doing|business|affair|matter|making
            void|voids|voided|invalidate|invalidates|forfeit|forfeits|cancel|cancels|end|ends|terminates _? _? warranty|guarantee|cover|certificate|protection|coverage|promise|undertaking
            no|not a? defect|defects|fault|faults|failure
            not ... ground|grounds|reason|cause for a|any? claim
            not|never ... give|gives ... rise|right|claim
            at|for ... customer ... own|sole? risk
            is|are|be on|with customer
            is|are|be|remain|remains ... customer ... responsibility|risk|lookout|problem
            is|are for customer to bear|pay|carry|meet
            end|ends|finish|finishes|kills|kill ... warranty|guarantee|cover|certificate|promise|undertaking|obligation|obligations
            carry|carries|has|have|get|gets|enjoy|enjoys|earn no warranty|cover|guarantee|coverage|protection|claim|claims|redress|recourse|remedy
            make|makes|made|render|renders ..., void|invalid|ineffective
            not|never ... supplier ... responsibility|liability|concern|account|lookout|fault|affair|business|problem|doing
            is|are to be expected
            at ... risk of ... customer
            exclude|excludes|rule|rules|kill|kills|end|ends ..., warranty|guarantee|cover|claim|claims
            is|are not warranted|guaranteed|covered|insured
            bar|bars|defeat|defeats|preclude|precludes ... claim|claims
            is|are customer to put|mend|make|repair|carry
            is|are for customer account|cost|expense
            or|otherwise|else ... {this} lapses|ends|ceases|is|falls|stops|terminates
            {this} lapses|ends|ceases|falls|fails|stops|expires .|,|;
            {this} is|becomes void|lost|forfeit|forfeited|null|invalid .|,|;
            no ... claim|claims can|may|will|shall ... be made|entertained|allowed|accepted|brought|considered
            no warranty|guarantee|cover|claim case|matter|event
            nothing to do with supplier|warranty|guarantee
            """,
            "Sand in the chamber voids the guarantee",
            "Avoid sand in the chamber",
            "the cause is the subject of the sentence",
        ),
        row(
            "scope.unless_caused",
            Opens.FORWARD,
            """
            unless|except|save ... caused|due|attributable|result|results|resulting|arising|arises|owing|traceable|been|because
            except|save|excepting for? damage|failure|failures|defects|damages|by|from
            provided|if|when|where that? ... has|have|was|were|is|are not|never been?
            other than ... caused|by|from|due ... reason|of|by|to?
            """,
            "We repair leaks free of charge unless caused by frost",
            "We repair unless we prefer to replace",
            "an exception to a promise is an exclusion",
        ),
        row(
            "scope.es",
            Opens.BOTH,
            """
            no|ni cubre|cubren|ampara|comprende|incluye|incluyen|alcanza|aplica|rige|responde|respondera|procede|garantiza
            no|ni ... cubierto|cubiertos|cubierta|cubiertas|incluido|incluidos|incluidas|comprendidos
            quedan|queda|estan|se excluido|excluidos|excluida|excluidas|excluyen|excluye|fuera
            excluye|excluyen|excluidos|excluidas
            exclusiones
            pierde|pierden|perdera|pierda ..., garantia|derecho|cobertura|validez|vigencia|efecto
            caduca|cesa|cesara|termina ... garantia|si|cuando|por
            tampoco
            garantia ..., pierde|pierden|pierda|perdera|caduca|cesa|termina|extingue
                        anula|anulan|invalida|invalidan ... garantia
            no|ni ... amparado|amparados|amparada|amparadas|garantizado|garantizados
            no|ni se? hace|hacemos|acepta|aceptan|admite|admiten|reconoce|reconocen|otorga|otorgan|atiende|atienden|tramitan|asume|asumen responsable|responsables|responsabilidad|reclamo|reclamos|reclamacion|reclamaciones|garantia
            exceptua|exceptuan|exceptuado|exceptuados|exceptuadas
            sin|ningun efecto|valor|validez ... si|cuando|por|en|al
            """,
            "La garantía no cubre los daños por helada",
            "La garantía cubre el cuerpo",
            "Spanish forms",
            "es",
        ),
        row(
            "scope.fr",
            Opens.BOTH,
            """
            ne|n' ... couvre|couvrent|couvert|couverts|couverte|couvertes|applique|s'applique|etend|repond|garantit pas|ni|point?
            ne ... pas ... couvert|couverts|couvertes|garantis
            sont|est|reste|restent ... exclu|exclus|exclue|exclues
            exclus|exclues|exclut|excluent|exclu
            exclusions
            cesse|perd|caduque|nulle|decheance
            aucune|toute garantie ... en cas|si|lorsque|pour
            n'est|n'sont|ne|n'|sont|est pas garanti|garantis|garantie|garanties|couvert|couverte|indemnise|indemnises|indemnisee|indemnisees
            n'est|sont|est ... pas garanti|garantis|couvert|couverts|couvertes|couverte
            ne|n' joue|jouent|vaut|valent|repond|repondent|repondons|couvrons|garantissons|prenons pas|ni
            met|mettent|mettra fin ... garantie
            garantie ... tombe|cesse|disparait|prend si|lorsque|fin|des
            """,
            "Les dégâts de gel ne sont pas couverts",
            "La garantie couvre le corps",
            "French forms",
            "fr",
        ),
        row(
            "scope.de",
            Opens.BOTH,
            """
            keine|kein|keinerlei _? garantie|gewahrleistung|haftung|anspruch|anspruche|garantieanspruch|garantieanspruche|mangel|ersatz
            nicht ... abgedeckt|erfasst|umfasst|gedeckt|gedeckt|garantiert
            nicht ... unter|fur|auf ... garantie|gewahrleistung
            ausgeschlossen|ausgenommen|ausschlusse|ausschluss
            erlischt|entfallt|verfallt|erloschen
            haftet|haften ... nicht
            nicht haftet|haften
            nicht ... ersetzt|gewahrt|ubernommen|vergutet|anerkannt ... bei|fur|wenn
            nicht unter ... garantie|gewahrleistung
            kein|keine ersatz|vergutung|leistung|leistungen|deckung bei|fur|wenn
            """,
            "Keine Garantie besteht bei Frost",
            "Die Garantie besteht",
            "German forms",
            "de",
        ),
    ),
    WORDS,
)

TERMINATORS = ClauseTable(
    (
        row(
            "scope.except",
            True,
            """
            except|excepting
            save
            unless
            other than where|when|if
            salvo|excepto
            sauf
            ausser
            """,
            "not covered, except where we agreed",
            "exceptional service",
            "an exception turns the scope round",
        ),
        row(
            "scope.but",
            True,
            """
            but
            however
            instead
            pero
            mais
            jedoch
            """,
            "frost is not covered but sand is",
            "button",
            "the sentence turns; `but not limited to` and `but also` do not",
        ),
    )
)
CONTINUATIONS = (
    "but not limited",
    "but not confined",
    "but also",
    "but without limitation",
    "but only",
    "but not solely",
)

# Sentences that would open a scope and are about something else: delay in delivery, returns of unused goods.
STRANGERS = ClauseTable(
    (
        row(
            "stranger.delay",
            True,
            """
            excused
            prevent|prevents|preventing performance
            delay|delays|delayed|nonperformance|embargo|embargoes|lockout|lockouts
            non - performance
            excused for|from
            failure|failures to|in perform|performance|deliver|delivery
            retraso|retrasos|huelga|fuerza mayor
            retard|retards|greve
            verzug|streik|hohere gewalt|lieferverzogerung*
            strikes & !lightning|that|which strikes
            """,
            "A flood excuses delay in delivery",
            "Flood damage is not covered",
            "force majeure excuses delay; it takes nothing from the warranty",
        ),
        row(
            "stranger.shop",
            True,
            """
            restocking|cancellation|discount|export|patent|patents|confidential*
            accept ... order|orders for|of
            not ... included|include in ... price|prices
            price|prices ... not|excludes|exclusive ..., include|includes|of|installation|labor
            """,
            "No credit for goods returned without the restocking fee",
            "No credit for frozen meters",
            "the order desk's rules",
        ),
    )
)

HEADINGS = ClauseTable(
    (
        row(
            "heading.exclusions",
            True,
            """
            exclusion|exclusions|excluded|exceptions
            not|nor ... cover|covered|covers|include|included|apply|warranted
            left|leave|leaves|ruled out
            fall|falls|drops away
            ends|lapse|lapses|loss|lose|losing ... cover|warranty|guarantee|protection
            outside _? _? warranty|guarantee|cover
            insufficient grounds
            void|voids|voiding
            decline|declined|refuse|refused|reject|rejected|denied
            not|never|cannot ... help|pay|accept|replace|repair|promise|answer|owe|honor
            nothing ... owed|due|payable
            exclusiones|excluido|excluida
            no cubre|cubierto
            ausschluss|ausschlusse|garantieausschluss|haftungsausschluss
            exclus|exclues
            """,
            "What lies outside the warranty",
            "What this warranty covers",
            "a heading puts what stands under it outside",
        ),
    ),
    WORDS,
)

CAUSES = ClauseTable(
    (
        row(
            "cause.freezing",
            X.FREEZING,
            """
            ice ... formed|forms|form
            freez*|frozen|froze|frost|frosts|frosted|ice|icing|iced
            freeze - up|ups
            winter|cold damage|damages|burst|bursts
            burst|split|cracked by|in|through|from the? cold|winter
            sub - zero
            below zero
            subzero
            """,
            "damage from freeze-ups",
            "a free replacement",
            "frost is the commonest cause named",
        ),
        row(
            "cause.freezing.es",
            X.FREEZING,
            """
            helada|heladas|hielo|congelacion|congelamiento|congelado|congelados|heladura
            congelad*
            bajas temperaturas
            """,
            "daños por helada",
            "el agua fría",
            "frost",
            "es",
        ),
        row(
            "cause.freezing.fr",
            X.FREEZING,
            """
            gel|gelee|gelees|gele|geles|givre|congelation
            gele|gelee|geles|gelees
            """,
            "dus au gel",
            "la gamme",
            "frost",
            "fr",
        ),
        row(
            "cause.freezing.de",
            X.FREEZING,
            "frost*|eis|einfrieren|eingefroren*|gefrier*|vereis*",
            "Schäden durch Frost",
            "die Frist",
            "frost",
            "de",
        ),
        row(
            "cause.misuse",
            X.MISUSE,
            """
            misus*|abus*|vandal*|misappl*|mishandl*|mistreat*|maltreat*
            ill - treatment
            {wrong} ... use|usage|application|handling|operation|treatment|storage
            use|used|usage|application|applied|employment|operated|operation ... purpose|purposes|application|service|manner other|not|for|which
            use|used ... other than|for ... intended|designed|sold|meant|purpose
            use other than
            ill - used|use|usage
            used|operated|handled|treated wrongly|badly|roughly|carelessly|harshly
            unintended|unfit|abnormal|unusual use|usage|purpose|application
            not ... intended|designed|suited ... use|purpose|application
            force|violence|brutality
            hammer blows
            used|use|run outside
            used|run with other than
            malicious|willful|deliberate|intentional ... damage|destruction|act|acts
            rough handling|treatment
            used|use|run|applied ... anything|something but|other|else
            used|use|run|applied ... liquids|liquid|fluids|fluid other|than
            use|purpose|service|duty for which
            applied outside|beyond
            sabotage|theft|stolen
            misused|abused|vandalised
            """,
            "use for purposes not intended by the maker",
            "normal use and service",
            "misuse, abuse, vandalism, misapplication",
        ),
        row(
            "cause.misuse.es",
            X.MISUSE,
            """
            vandalismo|vandalicos|abuso|maltrato
            mal|indebido|inadecuado|incorrecto|inapropiado uso|empleo
            uso|empleo|utilizacion ... indebido|indebida|inadecuado|inadecuada|incorrecto|incorrecta|anormal|distinto|impropio
            """,
            "uso indebido",
            "buen uso",
            "misuse",
            "es",
        ),
        row(
            "cause.misuse.fr",
            X.MISUSE,
            """
            vandalisme|malveillance|abus
            utilisation|usage|emploi non|contraire
            utilisation|usage|emploi ... anormale|anormal|abusive|abusif|contraire|impropre|inapproprie|inadapte|incorrecte
            mauvaise|mauvais utilisation|usage|emploi
            """,
            "une utilisation anormale",
            "utilisation normale",
            "misuse",
            "fr",
        ),
        row(
            "cause.misuse.de",
            X.MISUSE,
            """
            missbrauch*|vandalismus|zweckentfremd*|fehlgebrauch|fehlanwendung|fehlbedienung
            unsachgemasse*|bestimmungswidrig*|unzulassige*|falsche* ... gebrauch|verwendung|behandlung|nutzung|bedienung|anwendung
            mutwillig*
            """,
            "bestimmungswidriger Gebrauch",
            "der Gebrauch des Zählers",
            "misuse",
            "de",
        ),
        row(
            "cause.tampering",
            X.TAMPERING,
            """
            opened|open cases|case|casing|housings|housing
            seal|seals broken|broke
            tamper*|manipulat*|meddl*
            seal|seals|sealing ... cut|torn|forced|interfered|disturbed|snapped
            pried|prised|forced|levered open|off
            opening of ... housing|register|case|cover|module|endpoint|meter
            forced|force or|and opened|open
            was|were|been opened
            misused|damaged|flooded , opened
            interfer*|interference ... seal|seals|register|meter|with
            broken|cut|forced|torn|snapped|pried|prised into|open
            serial|name ... label|plate|tag ... {gone}
            broken|opened|missing|damaged|defaced|removed|open|altered|cut|violated|absent|breached ... seal|seals|sealing
            seal|seals ... broken|opened|missing|removed|cut|absent|damaged|altered|breached|violated
            opening|breaking|removal|removing|removes|alteration|altering|cutting|breakage|defacing|defacement|violation ..., seal|seals|serial|nameplate
            serial number|numbers|no ... removed|altered|defaced|missing|illegible|unreadable|erased|changed|lost|obliterated
            removed|altered|defaced|missing|illegible|erased|alteration|removal|obliterated ..., serial
            date code ... removed|altered|defaced|missing|illegible
            interfered|interfering|interferes with ... seal|seals|meter|register
            marking|identification|id|rating|data|type|maker|label|name plate|plates|tag|label ... {gone}
            {gone} ... label|plate|nameplate|tag
            serial ... cannot|not ... read|legible|readable|made
            bypass|bypassed|bypassing
            magnet|magnets
            magnetic interference|influence|tampering
            fraud|fraudulent|fraudulently
            break|breaks|cut|cuts|remove|removes|open|opens ... seal|seals|sealing
            opened up
            """,
            "a serial plate that has been defaced",
            "the seal of the register keeps moisture out",
            "tampering, broken seals, altered numbers",
        ),
        row(
            "cause.tampering.es",
            X.TAMPERING,
            """
            manipula*
            precinto|precintos|sello|sellos ... adulterad*|retirad*|violad*|roto|rotos|violado|violados|violentados|alterados
            rotura|violacion|alteracion|retiro ... precinto|precintos|sello|sellos
            """,
            "manipulación de los precintos",
            "el precinto del medidor",
            "tampering",
            "es",
        ),
        row(
            "cause.tampering.fr",
            X.TAMPERING,
            """
            manipulation|fraude|falsification|alteration|alteree|altere
            deterioration|degradation|rupture|bris|brise|brises|ouverture|enlevement|violation ... plombage|plomb|plombs|scelle|scelles
            plombage|plomb|plombs|scelles|scelle ... arrache|arraches|retire|retires|manquant|rompu|rompus|brise|brises|casse|absent
            """,
            "la rupture du plombage",
            "le plombage du compteur",
            "tampering",
            "fr",
        ),
        row(
            "cause.tampering.de",
            X.TAMPERING,
            """
            manipul*
            verletz*|beschadig*|entfern*|bruch|offnen|verletzung|offnung ... plombe|plomben|plombierung|siegel|siegels|stempel|eichsiegel|typenschild
            plombe|plomben|siegel ... verletzt|beschadigt|entfernt|gebrochen|geoffnet
            geoffnet wurde|wurden|worden
            """,
            "Verletzung der Plombe",
            "die Plombe ist blau",
            "tampering",
            "de",
        ),
        row(
            "cause.accident",
            X.ACCIDENT,
            """
            vehicular|traffic|collision damage|impact
            vehicular
            accident|accidents|accidental|accidentally|collision|collisions|mishap|mishaps
            dropped|dropping|crushed|crushing|crash|crashes|impact|impacts|knocked
            hit|struck|damaged|run by|over ... truck|car|vehicle|machine|machinery|plow|mower|excavator|tractor|backhoe
            blow|blows|fall|falls from|by|of|or
            mechanical|physical|impact damage|shock
            struck by a|any? vehicle|vehicles|truck|plow|plough|equipment
            bumps|knocks|dents|blows|crushed
            who|that|which|customer ... drop|drops|hit|hits|strike|strikes|knock|crush
            hit , drop|drops
            falls and|or|are
            run over
            driven over|into
            """,
            "collision or other accident",
            "meters packed six to a carton",
            "accident and collision",
        ),
        row(
            "cause.accident.es",
            X.ACCIDENT,
            "golpead*|accidentad*|accidente|accidentes|accidental|accidentales|golpe|golpes|choque|colision|caida|caidas",
            "daños por accidente",
            "el acceso",
            "accident",
            "es",
        ),
        row(
            "cause.accident.fr",
            X.ACCIDENT,
            "accident|accidents|accidentel|accidentelle|accidentels|choc|chocs|chute|chutes|collision",
            "un choc ou une chute",
            "l'accès",
            "accident",
            "fr",
        ),
        row(
            "cause.accident.de",
            X.ACCIDENT,
            """
            unfall*|unfalle|stoss|sturz|anprall|gewalteinwirkung|gewaltsam*|gewalt
            aussere* einwirkung*
            """,
            "Schäden durch Unfall",
            "der Umfang",
            "accident",
            "de",
        ),
        row(
            "cause.installation",
            X.IMPROPER_INSTALLATION,
            """
            wired|rewired|wiring|cabled ... contrary|against|otherwise|wrong|wrongly
            install*|installation|mounted|set out of level|plumb|line|true
            install*|installation|fitting|mounting against|contrary|otherwise
            {wrong} ..., install*
            {wrong} ... fitting|mounting|setting|mounted|fitted|assembly|connection
            {install} ... {wrong}
            install* ..., contrary|against|otherwise
            install*|fitted|mounted|set ... contrary|against|otherwise|inconsistent|disregarding
            set|put|fitted in against|contrary|otherwise
            fault|faults|error|errors|mistake|mistakes of|in|during installation|fitting|mounting|setting
            install* ... other than
            install* ..., outside ... guidelines|instructions|manual|guide|rules|guidance|requirements
            install* ..., not ... according|accordance|follow|follows|following|conform*|comply|complies|as|by|per
            install* ..., without ... following|regard|strainer|observ*
            not|never ..., install* ... in|according|as|properly|correctly|per|by
            not|never ... properly|correctly|rightly ..., install*|fitted|mounted
            failure|failing|fails to|of? ..., install|installation
            omission|absence|lack of ... strainer|screen|filter
            failure|failing|fails ..., follow|observe|obey|heed|comply ..., instructions|manual|guide|directions
            not|without ... following|observing|obeying|heeding ..., instructions|manual|guide|directions
            installation|installed or|and maintenance|maintained
            wrong way|side round|up|around
            {wrong} hands|persons|labor|workmen ..., install*|fit|fitted|fitting
            install*|fitted|fitting|set|hooked|plumbed|connected by ... {wrong}
            not|without|ignoring|disregarding|disregard|breach|violation ..., following|of? ..., installation|fitting|mounting|assembly ... guide|instructions|manual|sheet|rules
            install*|fitted|mounted|hooked|connected ..., breach|violation|disregard|defiance|contravention|conflict
            install* ..., other|otherwise than
            installation error|errors|mistake|mistakes|fault|faults
            line|service|pipe|main ... not flushed
            no|without|omitted|missing ... strainer|screen ... fitted|installed|provided|used|upstream|was
            strainer|screen ... not|missing|omitted ... fitted|installed|provided|used
            misalign*
            unsupported piping|pipework|pipes|lines|meter|meters
            fault|faults|error|errors|mistake|mistakes|workmanship|negligence|work of|by ... installer|installers|plumber|plumbers|fitter|fitters
            wiring|wired|piped|plumbed ..., contrary|against|otherwise|wrong*|incorrect*
            fitted|set|installed|mounted|placed otherwise
            install* ..., not ... in line|keeping|conformity|compliance|agreement|the|a
            """,
            "a meter fitted contrary to the leaflet",
            "installation is covered by the utility",
            "installation against the instructions",
        ),
        row(
            "cause.installation.es",
            X.IMPROPER_INSTALLATION,
            """
            instalad*|montad*|instalacion|montaje ... sin|contra|contrario|contraria|fuera
            instala*|montaje|colocacion ... incorrect*|indebid*|inadecuad*|defectuos*|deficiente|contraria|impropi*|inapropiad*|erron*
            incorrect*|mala|indebida|inadecuada|defectuosa|deficiente|erronea instalacion|montaje|colocacion
            montaje|montajes|instalacion|instalaciones|colocacion ..., ajeno|ajenos|ajena|ajenas|contrario|contrarios|contrarias ... manual|instructivo|instrucciones|guia|norma
            montaje|montajes|instalacion|instalaciones que|sin|no ..., manual|instrucciones|guia
            malas instalaciones
            """,
            "instalación incorrecta",
            "la instalación del medidor",
            "wrong installation",
            "es",
        ),
        row(
            "cause.installation.fr",
            X.IMPROPER_INSTALLATION,
            """
            pose|installation|montage|mise|raccordement ... contraire|incorrect|incorrecte|inadequate|inadequat|defectueuse|defectueux|non|mauvaise|fautive|inappropriee|inadaptee|errone|erronee
            mauvaise|mauvais|defaut|erreur|vice|incorrecte ... pose|installation|montage
            """,
            "une mauvaise installation",
            "la pose du compteur",
            "wrong installation",
            "fr",
        ),
        row(
            "cause.installation.de",
            X.IMPROPER_INSTALLATION,
            """
            unsachgemass*|fehlerhaft*|falsch*|mangelhaft*|unrichtig*|unfachmannisch*|nicht ... einbau*|eingebaut*|montage|montier*|installation|einbaus
            einbaufehler*|montagefehler*|installationsfehler*
            einbau|montage entgegen
            """,
            "unsachgemäßer Einbau",
            "der Einbau des Zählers",
            "wrong installation",
            "de",
        ),
        row(
            "cause.maintenance",
            X.IMPROPER_MAINTENANCE,
            """
            neglect|neglected|neglectful
            negligence|negligent|carelessness in|of|with ..., maintenance|care|upkeep|servicing
            misuse|abuse|accident|accidents|mishandling|vandalism|care ..., negligence
            negligence ..., misuse|abuse|accident|vandalism|customer|care
            {wrong}|lack|want|absence|omitted|omission|missing|failing|failure ..., maintenance|upkeep|servicing|maintain|maintained|care
            maintained|serviced|cleaned ... {wrong}
            maintained|serviced|kept ... otherwise|contrary|against|other
            maintained|serviced|kept ..., other|otherwise than
            negligent|careless|sloppy maintenance|upkeep|servicing
            installation|installed|use|used|operation|operated|handling or|and maintenance|maintained
            starved|deprived|short of ... maintenance|care|servicing
            without|no|skipped ... maintenance|upkeep|servicing
            unserviced|unmaintained
            not|never been|be? regularly? maintained|serviced|cleaned ... in|according|as|properly|correctly|per|by
            not|never ... properly|correctly ..., maintained|serviced
            failure to ..., maintain|service|clean|flush
            not ... kept ... repair|order|clean
            negligence|neglect|carelessness of|by|on ... user|customer|operator
            strainer|screen|filter|strainers ... not|never ... cleaned|serviced|emptied
            left ... without ... maintenance|attention|care|upkeep
            """,
            "want of proper maintenance",
            "maintenance is easy",
            "neglect and lack of maintenance",
        ),
        row(
            "cause.maintenance.es",
            X.IMPROPER_MAINTENANCE,
            """
            falta|ausencia|mal|incorrecto|inadecuado|deficiente|insuficiente ... mantenimiento|conservacion
            mantenimiento|conservacion ... incorrecto|inadecuado|deficiente|insuficiente
            negligencia|descuido
            """,
            "falta de mantenimiento",
            "el mantenimiento anual",
            "lack of maintenance",
            "es",
        ),
        row(
            "cause.maintenance.fr",
            X.IMPROPER_MAINTENANCE,
            """
            defaut|manque|absence|mauvais|insuffisance ... entretien|maintenance
            entretien|maintenance ... insuffisant|insuffisante|inadequat|incorrect|defectueux|inadequate
            negligence|negligences
            """,
            "un défaut d'entretien",
            "l'entretien annuel",
            "lack of maintenance",
            "fr",
        ),
        row(
            "cause.maintenance.de",
            X.IMPROPER_MAINTENANCE,
            """
            mangelhaft*|fehlend*|unterlassen*|unzureichend*|unsachgemass*|ungenugend* ... wartung|pflege|instandhaltung
            vernachlassig*|wartungsmangel|wartungsfehler
            """,
            "mangelhafte Wartung",
            "die Wartung",
            "lack of maintenance",
            "de",
        ),
        row(
            "cause.repair",
            X.UNAUTHORISED_REPAIR,
            """
            work|works on ..., by anyone|anybody|somebody|someone|persons|any but|other
            filed|bored|drilled|ground|machined|sawn|cut|bent to fit
            unauthorized|unapproved|unskilled|amateur|foreign|independent ... {repair}
            unauthorized|unapproved ..., repair|repairs|modification|modifications|alteration|alterations
            {repair} ..., by|through ... {others}
            {repair} ..., without ... consent|approval|authorization|permission|knowledge|agreement|authority
            {repair} ... outside|elsewhere
            firmware|software|program change|changes|changed|altered|modified ... {others}
            attempt|attempts|attempted ... repair|open|service|modify
            not ... performed|carried|done|made by supplier
            {repair} by ... but supplier
            {repair} attempted|tried
            home - made repair|repairs
            repair|repairs|work in|by other|strange|foreign hands
            change|changes|work made|done|carried by ... {others}
            another|other than ... supplier ... has|have opened|repaired
            repair|repairs|modification|alteration by customer
            {repair} other than by|at
            {repair} ..., not ... authorized|approved|carried|done|made|performed
            taken|taking|took|takes apart|down
            {others} ..., has|have|had opened|repaired|altered|modified|dismantled|serviced|worked|adjusted
            serviced|repaired|modified|altered|opened by ... other|not|outside
            not|never ... taken apart|opened|repaired|altered|modified
            {repair} by the customer|user|householder|tenant|occupier|yourself|oneself|consumer
            customer|user ... open|opens|repair|repairs|modify|modifies|dismantle|dismantles|alter|alters ... yourself|himself|itself|themselves
            self|own|home - repair|repairs|service
            do - it - yourself
            change|changes|work made|done|carried ..., by ... {others}
            {others}|somebody|anybody has|have|had ... opened|repaired|altered|modified
            opened|repaired|altered|modified|dismantled|serviced by persons|anyone|anybody|someone other|but|outside
            """,
            "dismantling or repair outside an approved shop",
            "we replace whatever fails",
            "work on the meter by others",
        ),
        row(
            "cause.repair.es",
            X.UNAUTHORISED_REPAIR,
            """
            abiert*|intervenid*|desarmad*|repara*|modifica*|desmonta*|intervencion|intervenciones|alteracion|alteraciones ... tercero|terceros|ajeno|no|sin
            repara*|modifica* ... autorizad*
            apertura ... sin|tercero|terceros|ajeno|no
            abiert*|desarmad*|reparad*|modificad* por terceros|otros|ajenos|otro|tercero
            """,
            "reparado por un tercero",
            "la reparación gratuita",
            "work by others",
            "es",
        ),
        row(
            "cause.repair.fr",
            X.UNAUTHORISED_REPAIR,
            "reparation|reparations|repare|reparee|modification|modifications|modifie|demontage|intervention|interventions|ouverture|transformation ... tiers|non|sans|autre|autres|autorise|autorisee",
            "une réparation par des tiers",
            "la réparation gratuite",
            "work by others",
            "fr",
        ),
        row(
            "cause.repair.de",
            X.UNAUTHORISED_REPAIR,
            """
            eingriff|eingriffe|eingriffen|reparatur|reparaturen|instandsetzung*|veranderung|veranderungen|anderung|anderungen|umbau|umbauten ... dritte*|fremde*|nicht|ohne|eigenmachtig*|unbefugt*|unberechtigt*|andere
            offnen|offnung|geoffnet|zerlegen|zerlegt ..., unbefugt*|dritte*|nicht|fremde*
            unbefugt*|eigenmachtig*|unsachgemass*|unautorisiert* ... eingriff*|reparatur*|anderung*|veranderung*|umbau*|offnen|instandsetzung*
            """,
            "Eingriffe Dritter",
            "die Reparatur des Zählers",
            "work by others",
            "de",
        ),
        row(
            "cause.water",
            X.WATER_QUALITY,
            """
            solvent|solvents|oil|oils|detergent|detergents in|through|from ..., water|line|pipe
            caustic|lye|chlorine|chlorinated|chloramine|alkali
            corrosive|aggressive|acid|acids|acidic|corroding|dezincif*|dezincifying|alkaline|brackish|saline|undrinkable
            corrosion|corroded|corrode|corrodes|electrolysis
            chemical|chemicals|chemically ... attack|aggressive|dosing|injection|treatment|action|agent|agents|corrosion
            attack ... by|of chemical|chemicals|acid|acids
            water ... quality|chemistry|composition|chemicals
            quality|chemistry|composition|hardness|ph of _? water
            unsuitable|contaminated|polluted|bore|salt|sea|swimming water
            water ... eats|eat|attacks|attack|dissolves|pits|corrodes
            pitting|dezincification
            electrolytic|galvanic|electrochemical
            stray current|currents
            ph ... below|above|under|over|outside|falls|of
            saltwater|seawater
            water conditions
            """,
            "an acid water supply",
            "cold water is metered",
            "aggressive or corrosive water",
        ),
        row(
            "cause.water.es",
            X.WATER_QUALITY,
            """
            agresiva|agresivas|agresivo|corrosiva|corrosivas|corrosion|acida|acidas
            calidad del? agua
            agua|aguas dura|duras|blanda|blandas|salobre|salobres|salada|saladas
            """,
            "agua agresiva",
            "agua fría",
            "aggressive water",
            "es",
        ),
        row(
            "cause.water.fr",
            X.WATER_QUALITY,
            """
            agressive|agressives|agressif|corrosive|corrosives|corrosion|corrosif|acide|acides
            qualite de|d' ... eau
            """,
            "une eau corrosive",
            "eau froide",
            "aggressive water",
            "fr",
        ),
        row(
            "cause.water.de",
            X.WATER_QUALITY,
            "aggressiv*|korrosiv*|korrosion|sauer*|saurem|sauren|saures|saure|wasserqualitat|wasserbeschaffenheit|entzink*",
            "aggressives Wasser",
            "kaltes Wasser",
            "aggressive water",
            "de",
        ),
        row(
            "cause.foreign_matter",
            X.FOREIGN_MATTER,
            """
            foreign|solid|extraneous|abrasive|suspended matter|matters|material|materials|object|objects|body|bodies|particle|particles|substance|substances|elements
            {solid}
            pipe _? compound|dope|tape
            joint|jointing compound
            weed|shells|mussels|jute|fibers|fibres|leaves in|from|of
            clogged|clogging|plugged|plugging|blocked|blockage|obstruct*
            impurities|impurity|deposits|incrustation|incrustations|encrustation
            thread|ptfe|teflon|sealing|joint tape|sealant|sealants|sealer|compound
            sealant|sealants
            sandy|muddy|gritty|silty water|supply|supplies|or|and
            stopped|jammed|stuck by ... dirt|matter|tape|objects
            """,
            "scale, sand or weld beads",
            "the price of the meter",
            "sand, scale, debris",
        ),
        row(
            "cause.foreign_matter.es",
            X.FOREIGN_MATTER,
            """
            arena|arenas|sarro|sedimento|sedimentos|impurezas|suciedad|piedras|solidos|particulas|grava|oxido|incrustaciones
            cuerpos|cuerpo|elementos|materias|materiales extranos|extrano|extranas|solidos|solidas
            """,
            "presencia de arena",
            "el arenal",
            "sand, scale, debris",
            "es",
        ),
        row(
            "cause.foreign_matter.fr",
            X.FOREIGN_MATTER,
            """
            sable|gravier|gravillons|debris|tartre|calcaire|impuretes|particules|boue|boues|sediments|limaille|depots|rouille
            corps|matieres|matiere etranger|etrangers|etrangeres|etrangere|solides
            """,
            "du gravier dans la conduite",
            "le corps en laiton",
            "sand, scale, debris",
            "fr",
        ),
        row(
            "cause.foreign_matter.de",
            X.FOREIGN_MATTER,
            "sand|sandes|kies|fremdkorper|fremdkorpern|fremdstoff*|schmutz|verschmutz*|ablagerung*|kalk|kalkablagerung*|rost|spane|schlamm|partikel|partikeln|verunreinigung*|feststoff*|steine",
            "Sand oder andere Fremdkörper",
            "der Samstag",
            "sand, scale, debris",
            "de",
        ),
        row(
            "cause.over_range",
            X.OVER_RANGE,
            """
            {beyond} ..., {limit}
            {limit} ... {beyond}
            overload*|overspeed*|overpressur*|overheat*|overrun*
            over - pressure|range|speed|load|temperature|loading
            hot water
            {beyond} # degrees|psi|bar|gpm|kpa|f|c|m3
            above|beyond|over|exceeding #
            more|higher|hotter than # degrees|psi|bar|f|c
            more than {tens} degrees
            hotter|harder|faster than
            speed|speeds|flow|flows|pressure|load past|beyond|above
            {beyond} ... {limit}
            more than ... rated|rating|nameplate|allows|published|q3|q4|design
            rated|rating|nameplate|published ... exceeded|ignored|passed
            {limit} ... higher|greater|more|larger than
            water hammer
            not ..., within|observ* ... {limit}
            # ° f|c
            """,
            "a sustained run above Q3",
            "flows are read by radio",
            "beyond rated flow, pressure or temperature",
        ),
        row(
            "cause.over_range.es",
            X.OVER_RANGE,
            """
            caudal|caudales|presion|presiones|temperatura|temperaturas ... encima|superior|superiores|excesiv*|exceda|excedan|fuera|mayores|mayor
            exceso|superior|encima|sobre ... caudal|presion|temperatura|q3|q4
            sobrecarga|sobrepresion|golpe de ariete
            agua caliente
            """,
            "una presión superior a 16 bar",
            "el caudal nominal",
            "beyond rating",
            "es",
        ),
        row(
            "cause.over_range.fr",
            X.OVER_RANGE,
            """
            debit|debits|pression|pressions|temperature|temperatures ... superieur|superieure|superieurs|superieures|excessif|excessive|excessifs|depassant|hors|dela
            depassement|exces|surcharge|surpression|surpressions|surdebit
            coup|coups de belier
            eau chaude
            """,
            "une pression excessive",
            "le débit nominal",
            "beyond rating",
            "fr",
        ),
        row(
            "cause.over_range.de",
            X.OVER_RANGE,
            """
            zu hoh* druck*|temperatur*|durchfluss*
            uberhoht*|uberhohung
            uberlast*|uberdruck|uberhitz*|druckstoss*|druckschlag*|wasserschlag
            uberschreit* ... druck*|durchfluss*|temperatur*|nenn*|grenz*|q3|q4|zulassig*
            betrieb|durchfluss|druck|temperatur uber|ausserhalb|oberhalb
            heisswasser|warmwasser|heisses
            """,
            "Überlastung über Q4",
            "der Durchfluss",
            "beyond rating",
            "de",
        ),
        row(
            "cause.foreign_parts",
            X.FOREIGN_PARTS,
            """
            part|parts|component|components|battery|batteries|register|registers|accessories|spares|accessory|equipment|attachment|attachments|device|devices|head|heads|chambers|element|elements ... not|other|never|another|others ... supplied|made|manufactured|furnished|approved|provided|sold|genuine|original|listed|supplier|source|sources|make|makes|makers|maker|manufacture|brand|manufacturers|produced|originating|purchased|bought|obtained
            part|parts|component|components|batteries|battery|equipment|spares|accessories ... by|of|from|made ... others|another|third|other|different|outside|foreign|strangers
            part|parts|component|components|batteries|equipment that|which ... supplier ... not ... make|made|supply|supplied|approve|sell|furnish|provide|manufacture|deliver|recommend|authorize|list
            antenna|antennas|attachment|attachments|attaching|devices|parts|chargers ..., not ... approved|authorized|supplied|made|sold
            substitute|replacement parts not|by|from
            part|parts|component|components|accessories|batteries of|from|by|made other|another|different|foreign supplier
            foreign|unapproved|unauthorized|nongenuine|imitation|counterfeit|copied|substitute|unsuitable|alien|unlisted part|parts|component|components|attachment|attachments|equipment|accessories|spares|register|head|batteries
            non|not - genuine|original|listed|approved|oem|supplier|standard _? _? part|parts|component|components|head|register|spares|antenna|antennas|battery|batteries|accessory|accessories|equipment|device|devices
            parts|components|registers|batteries of another|other|foreign|different
            other than|those? genuine|original ... part|parts|component|components
            other than its|their|the own|original ... cell|battery|batteries|part|parts|register
            other supplier|suppliers ... part|parts
            anyone|anybody|someone|somebody else 's|' part|parts|register|registers|battery|batteries|spares|head|components
            third - party|parties ... part|parts|component|components|accessory|accessories|register|registers|battery|batteries|equipment
            part|parts|component|components|spares|batteries ..., not come|from|of ... supplier
            equipment|parts|components|devices|products of|from others
            part|parts|spares|components ... not come from
            """,
            "spares made by others",
            "parts and labor for one year",
            "parts of another make",
        ),
        row(
            "cause.foreign_parts.es",
            X.FOREIGN_PARTS,
            """
            piezas|repuestos|partes|componentes|recambios ... no|ajenos|ajenas|otra|otras|otro|otros|terceros ... originales|original|marca|marcas|fabricante|fabricantes|suministrad*|procedencia|supplier|autorizad*
            repuestos|piezas|partes|recambios ajenos|ajenas|extranas
            """,
            "uso de piezas no originales",
            "las piezas originales",
            "parts of another make",
            "es",
        ),
        row(
            "cause.foreign_parts.fr",
            X.FOREIGN_PARTS,
            """
            piece|pieces|composants|elements ... autre|autres|non|etrangere|etrangeres|tiers|adaptables|tierces ... origine|marque|provenance|origines|d'origine|fabrication|supplier?
            pieces qui|non ... supplier|fournies|origine
            """,
            "des pièces non d'origine",
            "les pièces d'origine",
            "parts of another make",
            "fr",
        ),
        row(
            "cause.foreign_parts.de",
            X.FOREIGN_PARTS,
            """
            fremde|fremder|fremden|fremd|nicht|andere|anderer|ungeeignete* ... ersatzteile|ersatzteilen|teile|teilen|bauteile|bauteilen|zubehor
            ersatzteile|ersatzteilen|teile|teilen|bauteilen anderer|fremder|dritter
            fremdteile|fremdteilen|fremdfabrikat*
            """,
            "Verwendung fremder Ersatzteile",
            "Ersatzteile ab Werk",
            "parts of another make",
            "de",
        ),
        row(
            "cause.wear",
            X.NORMAL_WEAR,
            """
            normal|ordinary|fair|usual|natural|reasonable|expected|regular|gradual|customary wear|tear|deterioration|ageing|aging|abrasion
            wear and|& tear
            wear ... normal|ordinary|natural|usual|expected|use|age
            worn|wear|wearing out|parts|items ... ordinary|normal|use|age
            wear|wears ... ordinary|normal|way|course|time
            wear
            deterioration|ageing|aging
            wearing|wear part|parts|item|items
            consumables|consumable
            """,
            "fair wear of the piston",
            "gloves are to be worn",
            "normal wear and tear",
        ),
        row(
            "cause.wear.es",
            X.NORMAL_WEAR,
            """
            desgaste|envejecimiento|deterioro ... normal|natural|ordinario|uso|habitual
            desgaste
            """,
            "el desgaste normal",
            "el despacho",
            "wear",
            "es",
        ),
        row(
            "cause.wear.fr",
            X.NORMAL_WEAR,
            """
            usure|vieillissement|vetuste ... normale|naturelle|ordinaire|normal|naturel
            l'? usure normale|naturelle
            vetuste
            """,
            "l'usure normale",
            "l'usage normal",
            "wear",
            "fr",
        ),
        row(
            "cause.wear.de",
            X.NORMAL_WEAR,
            """
            naturlich*|normal*|gewohnlich*|ublich*|betriebsublich* ... verschleiss*|abnutzung|alterung
            verschleiss|abnutzung|verschleissteile
            """,
            "natürlicher Verschleiß",
            "der Verschluss",
            "wear",
            "de",
        ),
        row(
            "cause.disaster",
            X.NATURAL_DISASTER,
            """
            act|acts|force|forces of god|nature
            lightning|flood|floods|flooded|flooding|earthquake|earthquakes|storm|storms|hurricane|hurricanes|tornado|tornadoes|bushfire|wildfire|landslide|landslides|tsunami|tempest|cyclone|typhoon
            submerged|submersion|submersed|immersion|inundat*|underwater|drowned
            natural disaster|disasters|catastrophe|catastrophes|calamity|calamities|event|events|hazards|cause|causes|forces
            deluge|gale|gales|subsidence|landslip|lightening|thunderstorm|blizzard|volcano|avalanche|quake|quakes|twister|wildfires
            power|voltage|electrical surge|spike|spikes|surges
            force majeure
            by|from|through|of|to|, fire ,|and|or
            by|from|to|of|through fire
            surge|surges
            under water
            disasters|disaster
            lightning strike|strikes
            """,
            "earthquake, storm or lightning",
            "fire service meters",
            "acts of God, flood, lightning",
        ),
        row(
            "cause.disaster.es",
            X.NATURAL_DISASTER,
            """
            rayo|rayos|inundacion|inundaciones|sismo|sismos|terremoto|terremotos|tormenta|tormentas|incendio|huaico
            fuerza mayor
            desastre|desastres|catastrofe|catastrofes|fenomeno|fenomenos|hecho|hechos|causas de|la|natural|naturales ... la?
            hechos|actos|fuerzas de la naturaleza
            fenomenos|desastres|catastrofes naturales
            """,
            "sismo, inundación o rayo",
            "la radio",
            "natural disaster",
            "es",
        ),
        row(
            "cause.disaster.fr",
            X.NATURAL_DISASTER,
            """
            foudre|inondation|inondations|seisme|seismes|tempete|tempetes|incendie|submersion
            force majeure
            catastrophe|catastrophes|evenement|evenements naturelle|naturelles|naturels
            """,
            "la foudre ou une inondation",
            "la foule",
            "natural disaster",
            "fr",
        ),
        row(
            "cause.disaster.de",
            X.NATURAL_DISASTER,
            """
            blitz*|hochwasser|uberschwemmung*|uberflutung*|erdbeben|sturm|unwetter|brand|naturkatastroph*|naturereignis*|elementar*|gewitter
            hohere gewalt
            hoherer gewalt
            """,
            "durch Blitzschlag und Hochwasser",
            "der Bereich",
            "natural disaster",
            "de",
        ),
        row(
            "cause.labor",
            X.LABOUR_COST,
            """
            labor
            cost|costs|expense|expenses|charge|charges|price ... remov*|reinstall*|install|installing|installation|dismantl*|refit*|taking|excavat*|exchanging|changing|replacing|digging|re - install*
            removal|removing|remove ..., reinstall*|install*|refitting|replacement|setting|resetting|re|refit
            removal or|and|nor install*|reinstall*|replacement|re
            removal|reinstallation|installation cost|costs|expense|expenses|charge|charges|labor
            cost|costs|expense|expenses|charge|charges ... disconnect*|reconnect*|exchange|access
            cost|costs|charge|charges|bill|bills|hire of ... plumber|plumbers|crew|crews|contractors|labor
            customer ... crew|crews|time
            """,
            "the cost of removal and installation",
            "removal of the seal",
            "taking out and putting in is not paid",
        ),
        *cause_pairs.ROWS,
    ),
    {**WORDS, **cause_pairs.WORDS},
)

# Causes of two or three words, one of which would name another cause by itself: "golpe de ariete" is no blow.
COMPOUNDS = ClauseTable(
    (
        row(
            "compound.over_range",
            X.OVER_RANGE,
            """
            pressure surge|surges|shock|shocks|spike|spikes
            surge|surges of|in pressure
            water hammer
            """,
            "pressure surges",
            "voltage surges",
            "a surge of pressure is none of lightning or current",
        ),
        row(
            "compound.over_range.es",
            X.OVER_RANGE,
            "golpe|golpes de ariete",
            "golpes de ariete",
            "golpes y caídas",
            "water hammer",
            "es",
        ),
        row(
            "compound.over_range.fr",
            X.OVER_RANGE,
            "coup|coups de belier",
            "coups de bélier",
            "un coup",
            "water hammer",
            "fr",
        ),
    ),
    WORDS,
)

# Sentences that exclude by themselves, wherever they stand: each states the negation with the thing.
STATEMENTS = ClauseTable(
    (
        row(
            "labor.not_paid",
            X.LABOUR_COST,
            """
            neither|nor|no field labor
            not|nor ... pay|paid|answer ..., fitting|taking|putting|pulling|resetting|lifting|refitting out|in|and|or
            not|nor ... pay|paid|reimburs*|bear|borne|borne|compensat*|cover|covered|meet|met|allow*|allowed|assume|refund|contribute|accept|responsible|liable|include|included|owe ..., {labor}|removal|removing|remove|reinstall*|refitting|refit|dismantling|excavation|uninstall*
            {labor}|removal|removing|remove|reinstall*|refitting|dismantling|excavation|exchanging|refit|reset ..., not|nor|never ... pay|paid|reimburs*|bear|borne|compensat*|cover|covered|met|allowed|included|assumed|refunded|part|accepted|responsibility|charged|chargeable
            owe|owes|pay|pays|cover|covers nothing for ..., {labor}|removal|remov*|reinstall*|opening|digging
            labor & not made good
            installation|install* cost|costs|labor|charges|expense ..., not|nor|never ... paid|borne|covered|reimbursed
            not|nor|never ..., pay|reimburse|cover|bear ..., installation|install|installing
            no|nor _? labor ..., paid|reimbursed|allowed|allowance|covered|reimbursement|accepted|borne
            not|nor|without ... cost|costs|expense|expenses|charges ... of|for|to ..., remov*|reinstall*|dismantl*|refit*|taking|excavat*|install*
            cost|costs|expense|expenses|charge|charges|labor ..., uninstall*|reinstall*|removal|removing|install*|labor|exchange ..., customer
            no ... liability|responsibility|obligation ..., {labor}|removal|reinstall*|refitting|access|excavation|reinstatement
            labor|removal|reinstallation ..., responsibility|expense|account|cost ... customer
            neither|not|nor|never ..., lifting|putting|taking|removing|refitting|digging|fitting ..., supplier ... expense|cost|charge|account
            no case|event|circumstances ..., pay|bear|reimburse|cover|accept ..., {labor}|removal|removing|reinstall*|refitting|installation
            no ... charge|charges|bill|bills|invoice|invoices|claim|claims for ..., {labor}|removal|reinstallation|travel
            not|cannot|never accept|pay|honor ..., bill|bills|charges|invoices ..., {labor}|removal|reinstallation
            no money|sum|charge ..., paid|allowed|due ..., digging|refitting|{labor}|removal
            no allowance|payment|credit|reimbursement|compensation ..., for|towards ..., {labor}|removal|installation|reinstallation
            pay|pays|paying ..., never|not for ... labor|removal|installation
            never|not for ... field|outside labor
            not|nor ..., pay|paid for ... customer ... time
            nor|not ..., pay ... wages|labor
            no ... cover ..., cost|costs of ... labor|removal
            nor for ..., labor|removal|cranes|excavation
            no|without ... field? labor ... paid
            cost|costs|expense|expenses|charges ... taking|putting|remov*|dismantl*|install* & not ... compensated|paid|borne|reimbursed|covered|met|refunded
            not|nor|never ..., work|task|job of|in ... changing|exchanging|taking|replacing|removing|fitting
            not|never|nor ... pay|meet|bear|cover ..., cost|costs of exchange|exchanging|disconnection|access|getting
            not|nor|never ... pay|pays|cover|covers|meet|include|included ..., customer ... crew|crews|staff|time
            no|nor _? labor ..., included|include
            no contribution ..., wages|labor|removal|reinstallation
            customer ... crew|crews ... time ... not|excluded
            """,
            "We do not pay the labor of a meter change",
            "We pay the labor of exchanging meters",
            "the supplier does not pay the work",
        ),
        row(
            "labor.on_customer",
            X.LABOUR_COST,
            """
            {labor}|removal|removing|reinstall*|refitting|dismantling|excavation|installing|installation ..., customer ... expense|cost|account|responsibility|charge & !installation error|errors|mistake|mistakes|fault|faults
            {labor}|removal|reinstall*|refitting|dismantling|excavation|taking|putting ..., stay|stays|remain|remains|rest|rests|lie|lies|fall|falls|be|are|is with|on|upon|for|at|to|borne ... customer
            {labor}|removal|removing|reinstall*|refitting|dismantling|installation|taking ..., borne|paid|met|carried ... by ... customer
            customer ..., bear|bears|pay|pays|responsible|meet|meets|assume|assumes|carries|carry ..., {labor}|removal|removing|reinstall*|refitting|dismantling|excavation
            taking|putting|restoring|removing|digging ..., customer ... expense|cost|account
            cost|costs|expense|expenses|charge|charges of ..., taking|putting|lifting|refitting|removing|removal|reinstall*|exchanging|getting ..., is|are customer
            customer ..., bear|bears|pay|pays|meet|meets ..., cost|costs of ..., getting|taking|putting|lifting|exchanging|refitting
            customer ..., removes|remove|exchanges|exchange|refits|digs|sets|installs ..., own|customer ... expense|cost|charge & !return*|send|sends|ship|ships
            taking|putting|lifting|digging|refitting|refit|exchanging ..., is|are|for|at ... customer
            """,
            "The cost of removal stays with the buyer",
            "The cost of removal is for the supplier's account",
            "the customer pays the work",
        ),
        row(
            "labor.es",
            X.LABOUR_COST,
            """
            no ..., abonan|abona|pagan|paga ..., mano|desmontaje|montaje
            tampoco ..., mano|desmontaje|montaje
            no|ni ..., desinstalacion|desinstalar|reinstalacion
            desmontaje|montaje|retiro|reinstalacion|mano|instalacion ..., customer
            no|ni ..., desmontaje|montaje|reinstalacion|mano de? obra?
            gastos|costes|costos ... desmontaje|montaje|retiro|reinstalacion|mano ..., customer|no|excluid*
            desmontaje|mano de obra? ..., no|excluid*
            """,
            "No se reconoce la reinstalación",
            "El montaje es sencillo",
            "work not paid",
            "es",
        ),
        row(
            "labor.fr",
            X.LABOUR_COST,
            """
            depose|repose|main|demontage|remontage|pose|reinstallation ..., pas|charge|exclus|exclues|customer|non
            depose|repose|pose & pas ... payees|paye|payes|remboursees|remboursee|prises
            pas|exclus|exclues|non ..., depose|repose|main|main - d'œuvre|demontage|remontage
            frais|couts ..., depose|repose|main|demontage|remontage & !supplier ... prend|paie & !couvre|couvrent|comprend|inclut
            """,
            "La dépose du compteur reste à la charge du client",
            "La pose est facile",
            "work not paid",
            "fr",
        ),
        row(
            "labor.de",
            X.LABOUR_COST,
            """
            einbaukosten|ausbaukosten|montagekosten|arbeitskosten & nicht|customer|keine
            aus|einbau|ausbau|einbaus|ausbaus|arbeitszeit|arbeitskosten|lohnkosten|arbeitslohn|montagekosten|wegezeiten|wiedereinbau|demontage|ein ..., customer|nicht|ausgeschlossen
            kosten|aufwand|aufwendungen ..., einbau|ausbau|einbaus|ausbaus|arbeitszeit|demontage|wiedereinbau & customer
            customer ... tragt|zahlt|ubernimmt ..., einbau|ausbau|demontage|arbeitszeit
            """,
            "Die Demontage ersetzen wir nicht",
            "Der Einbau ist einfach",
            "work not paid",
            "de",
        ),
        row(
            "loss.consequential",
            X.CONSEQUENTIAL_LOSS,
            """
            {indirect} ..., {harm} & {deny}
            {harm} ..., {indirect} & {deny}
            consequential|indirect|incidental & {deny} & liable|liability|responsible|answerable|owes|owe|compensate|compensates|recover|claim|claims|excluded|disclaim*|damages|damage|loss|losses
            {indirect} ..., loss|losses|damage|damages ..., customer ... bear|risk|account
            lost revenue|profit|billing|billings|income|sales & outside|excluded|not|nor|no|neither
            loss|losses that|which follow|follows|results|flows & no|not|never|outside
            no consequential|indirect|incidental damages|loss|losses|damage
            loss|lost ... trade|business|profit|profits|revenue|use|goodwill & outside|beyond|excluded|not|no|never|nor ..., responsibility|liability|cover|warranty|guarantee
            loss|lost ... sales|water|profit|profits|revenue|revenues|income|earnings|production|billing|billings & not|no|nor|neither|excluded ... liable|liability|responsible|answerable|compensate|compensates|claim|pay|owes
            unbilled|unregistered|unmeasured water|consumption|use & {deny}
            damage|damages|injury|loss to ... other|customer property & {deny}
            revenue|revenues|income|earnings|billings ... lost & {deny}
            lost billings|billing|income|sales|earnings|revenue|revenues|production|profit|profits & not|no|nor|neither|never
            revenue|water ..., not bill|billed|invoiced & not|never made|paid|covered|supplier
            bills ... never|not ... sent|issued
            damages that|which follow|follows|flow & no|not|nor|never
            """,
            "The maker is never liable for indirect loss",
            "The consequential test follows in May",
            "indirect, incidental or consequential loss, lost revenue",
        ),
        row(
            "loss.es",
            X.CONSEQUENTIAL_LOSS,
            """
            danos|dano|perjuicios|perdidas ... indirectos|indirecto|consecuenciales|emergentes|indirectas|consecuentes & no|ni|excluy*|excluid*|ningun|exclusion
            lucro cesante & no|ni|excluy*|excluid*|ningun
            """,
            "se excluye el lucro cesante",
            "los daños directos",
            "indirect loss",
            "es",
        ),
        row(
            "loss.fr",
            X.CONSEQUENTIAL_LOSS,
            """
            dommage|dommages|perte|pertes|prejudice|prejudices ... indirect|indirects|indirectes|consecutif|consecutifs|consecutives|immateriel|immateriels & ne|n'|pas|exclu*|aucun|aucune|exclusion
            perte|pertes|manque ... exploitation|recettes|gagner|profit|benefice & ne|n'|pas|exclu*|aucun
            """,
            "les pertes indirectes sont exclues",
            "les dommages directs",
            "indirect loss",
            "fr",
        ),
        row(
            "loss.de",
            X.CONSEQUENTIAL_LOSS,
            """
            folgeschaden|mangelfolgeschaden|folgekosten & ausgeschlossen|nicht|keine|keinerlei|ausschluss
            mittelbar*|indirekt* ... schaden & ausgeschlossen|nicht|keine|keinerlei|ausschluss
            entgangen* gewinn* & ausgeschlossen|nicht|keine|keinerlei|ausschluss
            """,
            "Die Haftung für Folgeschäden ist ausgeschlossen",
            "die Folge",
            "indirect loss",
            "de",
        ),
        row(
            "implied.disclaimed",
            X.IMPLIED_WARRANTIES,
            """
            expressly|express|stated ..., by|or ..., implication|implied & {deny}
            nothing ..., assured|promised|warranted|guaranteed ..., implication|implied
            implied ..., warranty|warranties|guarantee|guarantees|condition|conditions|term|terms|merchantability|fitness & {deny}
            warranty|warranties|guarantee|guarantees|conditions ..., implied & {deny}
            merchantability|merchantable & {deny}
            warranty|warranties|guarantee|guarantees ... implied & lieu|place|replaces|replace|instead|supersedes|supersede|exclusive|sole
            other|further warranties|warranty|guarantees & none & there|given|made|is
            none|nothing|no ... implied
            no other ... warranty|guarantee
            terms|conditions|warranties|warranty|guarantees implied by|at & {deny}
            implied & stand|stands in ... for
            implied & lieu|place|instead|replaces|supersedes & warranty|warranties|guarantee|guarantees|conditions
            express|expressed ..., implied & lieu|place|replaces|replace|instead|supersedes|supersede|{deny}
            in|takes|take lieu|place|stead ..., all|any|every other warranty|warranties|guarantee|guarantees|conditions
            in lieu of ... all|any|every|other
            no|not|any other warranty|warranties|guarantee|guarantees ..., given|made|express|expressed|implied|exists|exist|apply|applies|is|are & {deny}
            fitness for ... purpose & {deny}
            only|sole|exclusive warranty|warranties|guarantee|guarantees|promise|promises supplier? give|gives|make|makes|given|made|offered|offer
            no ... warranties|warranty|guarantees|guarantee ..., extend|extends|beyond|outside ..., description|face|hereof|herein|page|form|paper|leaflet|sheet|described
            replaces|replace all|every|any other|others|warranties & oral|written|express|implied|warranty|warranties
            beyond ..., warrant|warrants|promise|guarantee nothing|no
            nothing further|else|more is|are warranted|promised|guaranteed|given
            law 's? implied warranties|terms|conditions & left|excluded|out|not|no
            implied warranties|terms|conditions|guarantees & left ... out
            """,
            "There is no implied warranty of merchantability",
            "It was implied that the meter would be read",
            "implied warranties disclaimed, the express one in place of all others",
        ),
        row(
            "implied.es",
            X.IMPLIED_WARRANTIES,
            """
            garantia|garantias ..., implicita|implicitas|tacita|tacitas & no|ni|excluy*|excluid*|ninguna|renuncia
            ningun*|otra garantia ..., implicita|tacita|expresa|explicita
            """,
            "queda excluida toda garantía implícita",
            "la garantía expresa",
            "implied warranties",
            "es",
        ),
        row(
            "implied.fr",
            X.IMPLIED_WARRANTIES,
            "garantie|garanties|condition|conditions ..., implicite|implicites|tacite|tacites & exclu*|aucune|ne|remplace|lieu|pas",
            "aucune garantie tacite n'est donnée",
            "la garantie expresse",
            "implied warranties",
            "fr",
        ),
        row(
            "implied.de",
            X.IMPLIED_WARRANTIES,
            """
            stillschweigend* ..., garantie*|gewahrleistung*|zusicherung*|zusage* & keine|keinerlei|nicht|ausgeschlossen
            weitere|weitergehende|weiteren|weitergehenden|sonstige ... garantien|gewahrleistung*|zusicherungen|garantieanspruche & keine|keinerlei|nicht|ausgeschlossen
            """,
            "Stillschweigende Zusicherungen sind ausgeschlossen",
            "eine Zusicherung",
            "implied warranties",
            "de",
        ),
        *denials.ROWS,
    ),
    {**WORDS, **denials.WORDS},
)

TABLES = (TRIGGERS, TERMINATORS, STRANGERS, HEADINGS, CAUSES, COMPOUNDS, STATEMENTS)
