"""Causes that two words near each other tell, in whichever order: what was done, and what was wrong with it.

"Placement that departs from the handbook" and "departing from the handbook in placing it" are one cause in many words.
"""

from firstcap.extract.patterns.clause import row
from firstcap.schema.vocabulary import ExclusionKind as X

WORDS = {
    "set up": "install*|reinstall*|mount*|placement|placed|placing|plumb*|hookup|wired|wiring|positioned|positioning|grounding|piping",
    "set in": "set|setting|put|placed|placing|placement|position|positioned|positions|connect|connected|connecting|connection|connections|fitted|fitting|fittings|install*|mount*",
    "guide": "instruction|instructions|manual|sheet|leaflet|guide|guides|handbook|drawing|drawings|directions|requirements|guidance|guidelines|specification|specifications|practice",
    "defying": "contrary|against|disregard*|disregarding|ignor*|depart*|departing|deviat*|contradict*|conflict*|contraven*|violat*|breach*|forbid*|forbids|forbidden|prohibit*|otherwise|defiance|disobey*|unlike|disagree*|differ|differs|differing|defies",
    "wrongly": "wrong*|improper*|incorrect*|faulty|bad|badly|poor|poorly|backward|backwards|sideways|upside|reversed|tilted|crooked|overtighten*|overtightened|inadequate*|insufficient*|careless*|defective*|inexpert*|unskilled|sloppy|slipshod|unsuitable",
    "lacking": "without|lack|lacking|absence|missing|omission|omitted|omitting|want|no",
    "beside it": "strainer|screen|support|supports|gasket|gaskets|filter|straight|valve|grounding|bracket",
    "upkeep": "maintenance|maintain*|upkeep|cleaning|cleaned|servicing|serviced|service|lubrication|lubricated",
    "let go": "skip*|skipping|neglect*|omit*|omission|omitting|miss|missed|overlook*|fail*|failing|poor|poorly|lack|want|absence|insufficient*|inadequate*|improper*|incorrect*|irregular*|contrary|depart*|faulty|never",
    "worked on": "repair*|modif*|alter|alters|altered|altering|alteration|alterations|dismantl*|disassembl*|serviced|servicing|rebuilt|rebuilding|rework*|overhaul*|recalibrat*|tinker*|mend|mended|mending|work|works|worked|conversion|converted|refurbish*|reprogram*|interven*",
    "strangers": "another|anyone|anybody|someone|somebody|third|outsider|outsiders|stranger|strangers|unauthorized|unqualified|unapproved|untrained|contractor|contractors|plumber|plumbers|householder|tenant|elsewhere|yourself|themselves|user|users|whoever",
    "unallowed": "sanction|sanctioned|approve|approved|authorize|authorized|appoint|appointed|train|trained|allow|allowed|permit|permitted|agreed|licensed|consented|engaged|sanctioning",
    "leave": "consent|approval|authorization|permission|leave|knowledge|sanction|agreement|say-so|blessing|assent",
    "sealing": "seal|seals|sealing|wire|lead|plomb|tamperproof",
    "undone": "broken|broke|breaks|break|cut|cuts|torn|missing|opened|removed|intact|damaged|disturbed|forced|violated|lost|absent|whole|snapped",
    "plate": "label|labels|tag|tags|nameplate|nameplates|plate|plates|identification|serial|marking|markings|dial|face",
    "erased": "removal|removed|erased|altered|defaced|obliterated|illegible|unreadable|missing|tampered|scratched|changed|alteration",
    "spares": "part|parts|component|components|spare|spares|accessory|accessories|attachment|attachments|radio|radios|transmitter|transmitters|endpoint|endpoints|antenna|antennas|battery|batteries|cell|cells|chamber|chambers|piston|equipment|device|devices|cable|cables|hardware|head|heads|pack|packs",
    "approved": "approved|approve|supplied|supply|made|make|manufactured|furnished|sold|authorized|recommended|listed|ours|come|provided|genuine|original|accepted",
    "machine": "vehicle|vehicles|truck|trucks|car|cars|mower|mowers|plow|plows|backhoe|backhoes|excavator|excavators|digger|machine|machinery|tractor|shovel|pickaxe|forklift|bulldozer",
    "strikes": "hit|hits|struck|strike|strikes|drive|drives|driven|driving|drove|ran|run|damage|damaged|damages|crush*|collide*|knock*|blow|blows|impact*|harm*|force",
    "metal": "metal|metals|brass|bronze|iron|alloy|alloys|copper|rubber|polymer|resin|body|bodies|casing|casings|housing",
    "eats": "attack|attacks|attacked|eat|eats|eaten|corrode*|dissolve*|etch*|pitted|pits|leach*",
}

ROWS = (
    row(
        "pair.freezing",
        X.FREEZING,
        """
        winter|cold ~ full|drained|undrained|unheated|burst*|bursting|crack*|cracking|split*|exposed|exposure|damage*
        cold - weather
        below|under|beneath 32|zero
        congealed|solidified water
        drained|emptied ~ winter
        """,
        "meters not drained before the winter",
        "cold water meters",
        "cold, told by what it does",
    ),
    row(
        "pair.misuse",
        X.MISUSE,
        """
        use|used|using|put|applied|application|applications ~ not|other|outside|nor ~ intended|intend|meant|made|designed|sold|recommended
        use|used ~ other than ~ water|purpose|metering|measuring
        used|use to|for|as pump|compress|blow|drive|anvil|step
        mischief|mischievous|malicious|malice|sabotage|theft|stolen|gunshot|bullets|vandal|vandals
        storage|stored|kept ~ open|outdoors|damp|improper*|wrong*|poor|poorly|careless*
        """,
        "meters put to a use for which they were not made",
        "meters used by towns",
        "use for what the meter was not made for",
    ),
    row(
        "pair.tampering",
        X.TAMPERING,
        """
        {sealing} ~ {undone}
        {plate} ~ {erased}
        register|registers|dial|counter|counters ~ forced|pried|altered|interfere*|interfering
        tamper switch|alarm
        turned|turning|wound back
        """,
        "meters whose seals are no longer intact",
        "the wire of the register",
        "a seal or a plate, and what has become of it",
    ),
    row(
        "pair.accident",
        X.ACCIDENT,
        """
        {machine} ~ {strikes}
        excavating|digging|construction|earthmoving|heavy equipment|machinery|plant
        """,
        "a truck that has driven over the pit",
        "the truck brings the meters",
        "a machine, and that it struck",
    ),
    row(
        "pair.installation",
        X.IMPROPER_INSTALLATION,
        """
        {set up}|fitting|fitted|connecting|connection ~ {defying}
        {set in} ~ {defying} ~ {guide}
        {set up} ~ {wrongly}
        fitting|setting|connection|connections ~ {wrongly}
        put|set|fitted in|on|it|them? backward|backwards|sideways|upside|reversed|crooked|tilted
        {set in} ~ {lacking} ~ {beside it}
        not|never ~ {set in} ~ {guide}
        not|never ~ {set in} ~ properly|correctly|level|horizontal|horizontally|vertical|vertically|upright|leveled
        {set in} ~ other than ~ {guide}|horizontal*|vertical*|upright|permitted|allowed|shown
        {set in} ~ not ~ permit|permits|allow|allows|shown|show|prescribed|prescribe|described|describe|directed
        {lacking} ~ {beside it} ~ {guide}|prescribe|prescribed|require|required|require*|call*
        failure|failing|omission|neglect|failed to|of ... flush|flushing|level|ground|support|set|vent|bleed|mount|fit
        position|positions|orientation ~ other than
        leveled|overtightened|overtightening|misaligned|misalignment|unsupported
        error|errors|mistake|mistakes|blunder|fault|faults ~ installer|installers|fitter|fitters|plumber
        """,
        "placement that departs from the handbook",
        "the plumber reads the manual",
        "how it was put in, and what was wrong with that",
    ),
    row(
        "pair.maintenance",
        X.IMPROPER_MAINTENANCE,
        """
        {upkeep} ~ {let go}
        upkeep|maintenance ~ not ~ {guide}|keeping|proper
        {defying} ~ upkeep|maintenance|servicing
        """,
        "upkeep that departs from the handbook",
        "the service lasts for years",
        "upkeep, and that it was left or done wrong",
    ),
    row(
        "pair.repair",
        X.UNAUTHORISED_REPAIR,
        """
        {worked on} ..., by|through|at|from ... {strangers}
        {worked on} of ... {strangers}
        {worked on} ~ hand|hands|anyone|anybody|somebody|persons|people|those|shop|shops|party|parties ~ but|other|not|except|foreign|outside
        {worked on} ~ not ~ {unallowed}
        {worked on}|change|changes|changed|opening ~ without ~ {leave}
        {strangers} ~ has|have|had|may ~ {worked on}|opened
        {worked on} ~ field|home
        taken|took apart
        unauthorized|unapproved|home-made|amateur|inexpert ~ {worked on}
        """,
        "repairs that the maker did not sanction",
        "repairs by the maker",
        "work on the meter, and that it was none of the maker's",
    ),
    row(
        "pair.water",
        X.WATER_QUALITY,
        """
        chemically|chemical ~ active|aggressive|attack*|reactive
        {eats} ~ {metal}|water
        ph ~ #|lower|higher|low|high|acid
        stray ~ current|currents
        acidity|alkalinity|hardness|salinity|chlorine|chloramine|chloramines|chlorides|sulfides
        water ~ unfit|unsuitable|nonpotable|impure|untreated|soft ~ metal|brass|bronze|contact|quality
        """,
        "water that eats the brass",
        "water passes the body",
        "water that attacks the meter",
    ),
    row(
        "pair.matter",
        X.FOREIGN_MATTER,
        """
        rubbish|trash|refuse|leaves|twigs|weeds|algae|shells|slime|biofilm|solder|flux|swarf|filings|cement|mortar|concrete|lime|clay|roots|snails|mussels|fish|hair|string|rags
        dirty|turbid|muddy|unfiltered|unscreened water|supply
        dirt|bits|pieces|lumps|chips|fragments of|in ... pipe|gasket|solder|metal|wood|rubber|line|water|plastic
        plug|plugged|plugging|clog*|clogging|block*|jam*|foul*|choke* ~ with|by
        wire|wood|metal ~ rotor|propeller|impeller|chamber|strainer
        """,
        "weeds and pieces of pipe in the rotor",
        "clean water passes the strainer",
        "what the water carries into the meter",
    ),
    row(
        "pair.range",
        X.OVER_RANGE,
        """
        faster|hotter|harder ~ than
        too small|large ~ demand|flow|use
        overwork*|overrun|overrunning
        more than # psi|bar|gpm|kpa|degrees
        water|temperature|temperatures|pressure|pressures|flow|flows|heads ~ warmer|above|over|beyond|exceeding|past ~ #
        """,
        "water warmer than 40 degrees",
        "more than 40 towns",
        "more than the meter is rated for",
    ),
    row(
        "pair.parts",
        X.FOREIGN_PARTS,
        """
        {spares} ~ not|nor|never ~ {approved}
        aftermarket|counterfeit|imitation|pirated|generic|look-alike|nonoriginal ... {spares}
        {spares} ~ copied|imitated|cloned
        {spares} by|of|from others|strangers|competitors|outsiders
        {spares} ... made|furnished|supplied|sold|copied by others|another|competitors|outsiders
        foreign|strange|alien|unapproved|unauthorized {spares}
        """,
        "radios that the maker has not approved",
        "radios that the maker sells",
        "parts, and that they are none of the maker's",
    ),
    row(
        "pair.wear",
        X.NORMAL_WEAR,
        """
        fading|discoloration|tarnish*|yellowing|cosmetic|finish|finishes|luster ~ age|time|use|years|loss
        aging|ageing of
        """,
        "discoloration with age",
        "the age of the meter",
        "what time does to any meter",
    ),
    row(
        "pair.disaster",
        X.NATURAL_DISASTER,
        """
        event|events|cause|causes|forces|force|act|acts|whim|whims of nature|god
        cover|covers|by|from|of|to fire
        fire ,|.|;|and|or
        fires|wildfires|bushfires|mudslide|mudslides|hail
        under|beneath ... flood|water ~ longer|deeper|time|flood
        """,
        "events of nature",
        "fire service meters",
        "what nature does",
    ),
    row(
        "pair.implied",
        X.IMPLIED_WARRANTIES,
        """
        implied|implies|imply ~ law|statute|usage|trade|merchantability|fitness|warranty|warranties|condition|conditions
        merchantability
        """,
        "anything implied by law",
        "a test by law",
        "implied warranties, where a list excludes them",
    ),
    row(
        "pair.loss",
        X.CONSEQUENTIAL_LOSS,
        """
        consequential|indirect|incidental|secondary ~ damage|damages|loss|losses|harm|cost|costs
        loss|lost|losses ~ revenue|revenues|income|profit|profits|earnings|billing|billings|production|crop|crops|sales|business
        water ~ lost|unbilled|billed|charged|invoiced|unmetered
        unbilled|unmetered water|consumption
        crop|pumping losses|loss|charges|costs
        """,
        "water lost or billed short, and other consequential loss",
        "the loss of pressure",
        "what a failure costs besides the meter, where a list excludes it",
    ),
    row(
        "pair.labor",
        X.LABOUR_COST,
        """
        plumber 's
        wages|crane|cranes|excavation|paving|backfill|callout|call-out|travel
        time ~ crew|crews|staff|people|personnel
        cost|costs|expense|expenses|charge|charges|work|job of|for|to|in ..., dismount*|remov*|reinstall*|reset*|refit*|exchang*|dig*|excavat*
        """,
        "the wages of a crew",
        "a part for a register",
        "work on site, where a list excludes it",
    ),
    row(
        "pair.installation.es",
        X.IMPROPER_INSTALLATION,
        """
        instala*|montaje|montad*|colocacion|colocad* ~ contrari*|indebid*|incorrect*|inadecuad*|defectuos*|deficiente|mal|mala|malas|erron*|distint*|inobservancia|incumpl*
        instala*|montaje|montad*|colocacion|colocad* ~ no|sin|fuera ~ manual|instructivo|instrucciones|guia|norma|normas|indica*|indicado|filtro
        mal|mala|indebid*|incorrect* ~ instalad*|instalacion|montaje|colocad*
        """,
        "colocado sin atender las instrucciones",
        "el instalador lee el manual",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.repair.es",
        X.UNAUTHORISED_REPAIR,
        """
        repara*|modifica*|intervencion|intervenciones|intervenid*|desarm*|desmont*|abiert*|apertura ~ tercero|terceros|ajen*|otro|otros|otras|extran*|particular*
        repara*|modifica*|intervencion|intervenciones|intervenid*|desarm*|abiert*|apertura ~ no|sin ~ autoriza*|permiso|consentimiento
        """,
        "intervenciones de personal ajeno a la fábrica",
        "reparamos el medidor",
        "the same in Spanish",
        "es",
    ),
    row(
        "pair.installation.fr",
        X.IMPROPER_INSTALLATION,
        """
        pose|poses|montage|installation|raccordement|monte|installe ~ contraire|contraires|incorrect*|defectueu*|inadapte*|inadequat*|fautif|fautive|mauvais|mauvaise|erron*|meconnaissance
        pose|posee?|pose*|montage|installation|raccordement|monte|installe ~ non|pas|sans ~ conforme|notice|instructions|regles|filtre|respect*
        non - respect ... notice|instructions|pose
        non-respect ... notice|instructions|pose
        """,
        "un montage en méconnaissance de la notice",
        "la pose est rapide",
        "the same in French",
        "fr",
    ),
    row(
        "pair.repair.fr",
        X.UNAUTHORISED_REPAIR,
        """
        repar*|modif*|demont*|interven*|ouvert|ouverts|ouverture|transform* ~ tiers|autrui|autre|autres|personne|etranger*|quiconque
        repar*|modif*|demont*|interven*|ouvert|ouverts|ouverture|transform* ~ non|sans ~ autoris*|accord|agre*|habilit*
        """,
        "les appareils ouverts ou réparés par un tiers",
        "nous réparons le compteur",
        "the same in French",
        "fr",
    ),
    row(
        "pair.installation.de",
        X.IMPROPER_INSTALLATION,
        """
        einbau*|eingebaut*|montage|montiert*|installation|installiert*|einbaulage ~ entgegen|unsachgemass*|fehlerhaft*|falsch*|mangelhaft*|unrichtig*|abweich*|missacht*|nichtbeacht*|unzulassig*
        einbau*|eingebaut*|montage|montiert*|installation|installiert* ~ nicht ~ anleitung|einbauanleitung|vorschrift|vorschriften|fachgerecht*|sachgemass*|vorgaben
        nichtbeachtung|missachtung|verstoss ... anleitung|einbauanleitung|montageanleitung|einbauvorschrift*
        """,
        "Nichtbeachtung der Einbauanleitung",
        "der Einbau ist leicht",
        "the same in German",
        "de",
    ),
    row(
        "pair.repair.de",
        X.UNAUTHORISED_REPAIR,
        """
        eingriff*|reparatur*|reparier*|instandsetz*|verander*|anderung*|umbau*|geoffnet*|offn*|zerleg* ~ dritt*|fremd*|unbefugt*|unberechtigt*|eigenmachtig*|andere|anderen|anderer|jemand
        eingriff*|reparatur*|reparier*|instandsetz*|verander*|umbau* ~ nicht|ohne ~ zustimmung|genehmig*|autorisiert*|einwilligung|ermachtigt*
        """,
        "von Dritten reparierte Zähler",
        "wir reparieren den Zähler",
        "the same in German",
        "de",
    ),
)
