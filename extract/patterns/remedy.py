"""Remedies, and prorated credits: who pays what share of which price in which year."""

from typing import TYPE_CHECKING, Any

from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.schema.vocabulary import PriceBasis as B
from firstcap.schema.vocabulary import Remedy as R

if TYPE_CHECKING:
    from spacy.tokens import Doc


def _row(
    name: str, value: Any, phrases: str, example: str, counter: str, why: str = "", language: str = "en"
) -> Wording:
    return Wording(name, tuple(p.strip() for p in phrases.split(";")), value, example, counter, why, language)


# Single verbs; which of them stand together in one promise of a remedy is settled in assembly.
REMEDIES = PhraseTable(
    Family.REMEDY,
    (
        _row("remedy.repair", R.REPAIR, "repair|repairs|repaired|repairing|mend|mends|mended|mending|fix|fixes|fixed|rectify|rectifies|rectified|remedied; réparé|réparés|réparée|réparées; reparado|reparada|reparados|reparadas; instandgesetzt|nachgebessert; put|puts _? right; correct the|it|any|such|or|them|defects; make|makes|made good; make|makes it|them|this|that good; to? recondition; restore; put right; répare|réparer|réparera|réparons; reparamos; repara|reparar|reparará; bessert|bessern; nachbessern|nachbessert; beheben|behebt; nachbesserung; instand; repariert|reparieren; make good; répare|réparer|réparera; bessert ... nach", "we will repair it", "a repairman"),
        _row("remedy.replace", R.REPLACE, "replace|replaces|replaced|replacing|replacement|swap|swaps|swapped|exchange|exchanges|exchanged|substituted|renewed; change|changes|changed ... for a|another new|good|sound|fresh; remplacé|remplacés|remplacée|remplacées|remplacement; reemplazado|reemplazada|reemplazados|sustituido|sustituida|sustituidos|sustituye|sustituyen|sustituirá|sustituirán|sustituir|sustituimos|cambia|cambiará|cambiamos|reponen|reposición|reemplazo; ausgetauscht|umgetauscht|ersatz; supply of a|the new|replacement; replacement|new _? _? will|shall|are|is be? supplied|given|furnished|sent|provided; provide|provides|give|gives|supply|supplies|furnish replacement parts|units|meters?; furnish a|the replacement; send|sends|give|gives|supply|supplies|provide|provides|deliver|delivers you|him|it|them|the? customer|utility|buyer|owner? a|another new|fresh|second? one|meter|unit|part|item|product|register|instead; give|gives|send|sends|supply|supplies|let|lets you|him|it|them|the? customer|utility|buyer|owner? have? another; supply a|the replacement|new; supply|supplies|send|sends|provide|provides|furnish|furnishes|deliver|delivers another|others; another in its|their place; échange|échangeons|échangé|remplaçons; reponemos|reemplazamos|repuesto por; tauschen ... aus; ersatz liefern; in exchange; substitute; remplace|remplacer|remplacera; repone|reponer|repondrá|reemplaza|reemplazar; liefert|liefern ersatz; ersatzlieferung; ersetzt|ersetzen; tauscht; furnish|furnishes|furnished|supply|supplies|send|sends|provide|provides a|the new; a new _ _? is|are supplied|furnished|sent|provided|given; liefert ersatz", "we will replace it", "the places"),
        _row("remedy.refund", R.REFUND, "refund|refunds|refunded|refunding; money back; give|gives|pay|pays|hand|hands you? back what; price|money refunded|returned|repaid; get|gets|have your|its|the money|price back; give|gives|return|returns ... money; take|takes|taken it? back at the price; remboursons; devolvemos; reimburse|reimburses|repay|repays ... price; reimburse|reimburses|reimbursed the|its|your|that? purchase|invoice|contract|unit|full? price|amount; return the purchase? price; price paid for it? back; give back the price; rembourse|rembourser|remboursera; reembolsa|reembolsar|devuelve el precio; erstattet den kaufpreis; refund|refunds|refunded the|its|your|that? purchase|invoice|contract|unit|full? price|cost|amount; reimburse|reimburses|reimbursed the|its|your purchase|invoice|contract|unit|full? price; refund|refunds|refunded what", "we refund the price", "funds"),
        _row("remedy.credit", R.CREDIT, "credit|credits|credited note?; receive|receives|get|gets a credit; issue|issues|give|gives|grant|grants|allow|allows a credit; credit the customer|owner|account; avoir; nota de crédito; gutschrift*", "we issue a credit", "incredible"),
    ),
)  # fmt: skip

PRICE_BASES = PhraseTable(
    Family.PRICE_BASIS,
    (
        _row("price.list_then_current", B.LIST_PRICE_THEN_CURRENT,
             "then -? current|prevailing list? price*|list; price* ... then in|current|prevailing force|effect?; list price* in|then force|effect|current ... when|on|at|then|claim; list|price* in force|effect on|at|when ... claim; price ... at the time of the? claim; list price* ... when the claim; current list? price*; list price* of the day; list price* then in force; price* in force on the return date; list price*; price list; percent of list price; half of list; list then current; "
             "tarif en vigueur; prix courant; listenpreis*; precio de lista; prix ... en vigueur; net price to distributors",
             "the then-current list price", "a list of parts"),
        _row("price.list_at_sale", B.LIST_PRICE_AT_SALE, "list price* at|on the? time|date|day of ,? sale|purchase|shipment; list price* ... when sold|bought|purchased; original list price*; list price* at sale; price in ... list at the time of sale", "the list price at the time of sale", "the time of the claim"),
        _row("price.purchase", B.PURCHASE_PRICE, "purchase|invoiced?|contract|bid|original|unit price*; price paid; price* which|that? the? customer|purchaser|owner|buyer|you paid|has; price ... paid for; price that you paid; price* actually paid; bid price; price of purchase; invoice price*; prix d'achat|facturé; precio de compra|facturado; kaufpreis*", "the purchase price", "the sale of goods"),
        _row("price.other", B.OTHER, "net|distributor price* to|distributors?; net price; distributor* net? price*; cost price*", "net price to distributors", "the network"),
    ),
)  # fmt: skip

# Who pays: a share beside these words is the customer's, or the supplier's.
PAYERS = PhraseTable(
    Family.SHARE,
    (
        _row("share.customer", False,
             "customer|purchaser|buyer|owner|utility|user|township|city|district|importer|client|you|it|district pay|pays|bears|contributes|contribution|share|takes; customer's|purchaser's|buyer's|owner's|importer's|utility's share|contribution|part; customer|purchaser|buyer|owner then? pays|may buy|buys; at|for _? share of; payable by; pays; pay; customer cost; customer price; for payment of; against payment of; deduct|deducted|deduct from the price; is charged; surcharge; "
             "à sa charge; paie; prend à sa charge; selbstbehalt; trägt der besteller|käufer|kunde; paga|pagará; asume el; discount from list; rising contribution",
             "the customer pays", "payment terms"),
        _row("share.supplier", True,
             "credit|credits|credited; allowance; allows a? credit; discount|discounts off?; reduction of; grants a credit; rebate; supplier's|maker's|our share; we pay|bear; reduced by; crédit; bonificación; abono; gutschrift*; remise; credit of",
             "a credit of 40 % is granted", "incredible"),
        _row("share.free", None,
             "free of charge|cost; free; no charge; without charge|cost; at no cost|charge; no cost; full cover|credit|replacement|cost; fully covered; in full; sans frais; gratuit|gratuite|gratuitement; sin costo|cargo|coste; kostenlos|kostenfrei|unentgeltlich; all|full warranty; at our expense; not prorated; full; non - prorated; nothing",
             "replaced free of charge", "charged at cost"),
    ),
)  # fmt: skip

DECLINES = PhraseTable(
    Family.SHARE,
    (
        _row("decline.prorated", "prorated", "prorated|prorate|pro-rated|prorata; pro -? rata|rated; declining basis|scale|rate; sliding scale|basis; sliding; on a declining; reduced price; degressive|dégressive|dégressif; proporcional|prorrateo|prorrateada; anteilig|degressiv; diminishing basis", "on a prorated basis", "professional"),
    ),
)  # fmt: skip


def find(doc: "Doc") -> list[Mention]:
    """Remedy verbs and price bases."""
    return [*REMEDIES.find(doc), *PRICE_BASES.find(doc)]
