"""What a standard asks of the very meter of a term, for a band that only names the standard (settled question 3)."""

from firstcap.schema.terms import AccuracyBand, Term
from firstcap.schema.vocabulary import AccuracyLevel, MeterCondition

_CONDITION = {
    AccuracyLevel.NEW_METER: MeterCondition.NEW,
    AccuracyLevel.REPAIRED_METER: MeterCondition.REPAIRED,
}


def resolved(band: AccuracyBand, term: Term) -> tuple[AccuracyBand, ...]:
    """Bands with the standard's numbers, their basis unchanged; none where they are printed or cannot be told."""
    condition = _CONDITION.get(term.accuracy_level) if term.accuracy_level is not None else None
    printed = band.lower_pct is not None or band.upper_pct is not None
    if printed or condition is None or band.basis == "stated":
        return ()
    from firstcap.schema.baselines import bands_for, canonical_standard, edition_named

    standard = canonical_standard(band.basis)
    if standard is None:
        return ()
    edition = edition_named(standard, f"{band.basis} {band.band_text}")
    rows = bands_for(standard, term.meter_type, term.size_label, condition, edition)
    return tuple(
        AccuracyBand(
            flow_role=row.flow_role,
            flow_from_usgpm=row.flow_from_usgpm,
            flow_to_usgpm=row.flow_to_usgpm,
            lower_pct=row.lower_pct,
            upper_pct=row.upper_pct,
            basis=band.basis,
            band_text=band.band_text,
        )
        for row in rows
        if band.flow_role in (None, row.flow_role)
    )
