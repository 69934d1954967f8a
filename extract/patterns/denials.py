"""What a supplier says it does not pay or does not promise, told by the thing and the denial in one sentence."""

from firstcap.extract.patterns.clause import row
from firstcap.schema.vocabulary import ExclusionKind as X

WORDS = {
    "site work": "labor|wages|crew|crews|digging|excavation|excavating|dismounting|reinstallation|reinstalling|refitting|resetting|re-setting|paving|cranes|crane",
    "putting in": "removing|removal|remove|dismounting|dismount|taking|take|changing|exchanging|exchange|change|changes|exchanges|setting|resetting|re-setting|reset|pulling|putting|digging|digs|lifting|swapping",
    "unpaid": "not|nor|neither|no|never|nothing|none|excluded|excludes|outside|without|cannot|refuse|refuses|decline|declines",
    "paying": "pay|pays|paid|payable|cover|covered|covers|reimburse|reimburses|reimbursed|reimbursement|bear|borne|bears|compensate|compensated|contribute|contributes|contribution|allow|allows|allowed|meet|met|honor|honored|account|expense|include|included|liable|responsible|responsibility|refund|refunded|credit|credited|owed|owes|accept|accepts|accepted|allowance|obligation|bill|bills",
    "cost of it": "cost|costs|expense|expenses|charge|charges|labor|wages",
    "further loss": "revenue|revenues|income|profit|profits|earnings|billing|billings|sales|goodwill|production|crop|crops",
    "denied": "not|no|nor|neither|never|none|nothing|excluded|excludes|exclude|excluding|disclaim*|waive*|without|outside|reject*|decline*|deny|denies|denied|negate*|negative|negatived|disown*|disavow*|renounce*|cannot|refuse*",
    "promise": "warranty|warranties|guarantee|guarantees|condition|conditions|promise|promises|undertaking|undertakings|obligation|obligations",
}

ROWS = (
    row(
        "denied.labor",
        X.LABOUR_COST,
        """
        {site work} ~ {unpaid} & {paying} & !seal|seals|label & !without|no ... charge|cost|expense for|of ... labor & !free
        {putting in} ~ {cost of it} ~ {unpaid} & {paying} & !seal|seals|label
        {putting in} ~ {unpaid} ~ {paying} & meter|meters|unit|units|product|products|goods|it|part|endpoint & !seal|seals|label
        time|people|staff|personnel|men|crews ~ {unpaid}|cannot ~ pay|paid|compensated|reimbursed & spend|spent|work|working|changing|removing|labor|time
        expense|expenses|cost|costs|charges ~ {putting in} & excluded|excepted|outside|exempt
        pay|pays|paid|bill|bills|invoice|invoices|hire ~ plumber|plumbers & {unpaid}
        part|parts ~ not ~ work|labor & cover|covers|covered|warranty|guarantee|pay|pays
        """,
        "The wages of the crew that digs are not met",
        "The crew digs in the morning",
        "work on site, and that it is not paid",
    ),
    row(
        "denied.labor_left",
        X.LABOUR_COST,
        """
        {site work} ~ customer|user & {paying}|charge|own|up & !free & !supplier ... pay|pays|reimburse|reimburses|bear|bears
        {site work} ~ up to|for|on|at|with ~ customer & !free & !supplier ... pay|pays|reimburse|reimburses|bear|bears
        {cost of it}|charges|expense ~ {putting in} ~ customer & !{putting in} ... seal & !return|returned|returns|freight|ship|send
        customer ~ {putting in} ~ own ~ expense|cost|charge|account & !return|returned|returns|ship|send
        expense|expenses|cost|costs|charges ~ removing|removal|resetting|reinstalling|dismounting & borne|paid|met|carried|account|responsibility & customer
        """,
        "The town changes the meter at its own expense",
        "The town changes the meter",
        "work on site, and that the customer bears it",
    ),
    row(
        "denied.loss",
        X.CONSEQUENTIAL_LOSS,
        """
        loss|lost|losses|unbilled|short ~ {further loss}|bills & {denied}
        loss|lost|losses ~ {further loss} & customer ~ loss|risk|account|bear|bears
        water ~ not|never|un ~ billed|bill|charged|charge|invoiced|invoice|sold|sell & {denied} & claim|claims|liable|pay|paid|good|answer|met|owes|compensate*
        water ~ lost|unbilled & customer|{denied} & bill|bills|billed|claim|liable|pay|paid|loss|revenue
        indirect|secondary|further|consequential|incidental|special ~ loss|losses|damage|damages|harm|costs & {denied}
        loss|losses|damage|damages|harm that|which ... follow|follows|flow|flows|ensue|ensues & {denied} & !caused
        loss|losses flowing|following from & {denied}
        property damage & {denied}
        damage to|of property|premises|basement|basements|building|buildings & {denied}
        wrong|inaccurate|faulty|missed reading|readings|registration ~ cost|costs|cause|causes|lose|loses & {denied}
        bills|billing ~ estimated|short|refunds|refunded & {denied}|loss
        """,
        "We do not make good what short bills cost",
        "The bills are printed here",
        "loss besides the meter, and that it is not made good",
    ),
    row(
        "denied.promise",
        X.IMPLIED_WARRANTIES,
        """
        {promise} ~ stand|stands alone
        every|any|all|each ~ other ~ {promise} & {denied}|lieu|place|instead|exclusive|replace|replaces|stead
        no|nothing|none ~ {promise} ~ but|beyond|except|save|else|besides|apart ~ this|these|those|one|above|here|that|what|stated
        beyond|besides|outside ~ no|nothing|none ~ {promise} & !defects
        law|statute|statutes|court|courts|trade|usage ~ imply|implies|implied|add|adds|read & {denied} & !right|rights
        implied|implication ~ law|{promise} & {denied} & !right|rights
        {promise} ~ statutory|implied ~ {denied}
        sold|supplied|bought as is
        place|lieu|stead|instead of ... every|all|any ~ {promise}|obligation
        exclusive of ... all|any|every
        no|nothing ~ other|further|else ~ promise|promised|warranty|warranted|guaranteed|guarantee & implication|implied|read|oral|given|made|expressly|description|is
        """,
        "The maker disowns every other warranty",
        "No other maker gives this warranty",
        "any further promise, and that it is denied",
    ),
    row(
        "denied.labor.es",
        X.LABOUR_COST,
        """
        mano|desmontaje|montaje|retiro|reinstalacion|colocacion|excavacion ~ no|ni|tampoco|exclu*|fuera
        gastos|costos|costes ~ retiro|colocacion|desmontaje|montaje|mano|instalacion & no|ni|tampoco|exclu*|customer|cuenta
        """,
        "los gastos de retiro corren por cuenta del cliente",
        "el retiro se anota",
        "the same in Spanish",
        "es",
    ),
    row(
        "denied.labor.fr",
        X.LABOUR_COST,
        """
        depose|repose|demontage|remontage|terrassement|main-d'œuvre ~ pas|non|exclu*|customer|charge
        main ... œuvre|oeuvre ~ pas|non|exclu*|customer|charge
        """,
        "la dépose n'est pas remboursée",
        "la dépose du compteur",
        "the same in French",
        "fr",
    ),
    row(
        "denied.labor.de",
        X.LABOUR_COST,
        """
        ausbau*|einbau*|aus-|wiedereinbau*|demontage*|tiefbau*|arbeitszeit|lohnkosten ~ nicht|kein*|ausgeschlossen|customer & kosten|aufwand|aufwendungen|ersetzt|ubernommen|vergutet|erstattet|getragen|tragt
        kosten ~ ausbau*|einbau*|demontage*|montage* & nicht|kein*|ausgeschlossen|customer
        """,
        "Kosten für Ausbau und Einbau werden nicht ersetzt",
        "die Kosten des Zählers",
        "the same in German",
        "de",
    ),
)
