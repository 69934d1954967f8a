"""The public table macros told in words, for docs/catalogue.md; what they compute stands in the .sql files."""

_DAY = "the day to reckon for"
_PROPOSED = "whether promises that nobody has confirmed count too"

# Table macros: name -> what it answers, and its arguments, each with its meaning; those after `:=` may be left out.
MACROS: dict[str, tuple[str, dict[str, str]]] = {
    "cover_at": (
        "How long every promise covers an account of steady use, and which limit ends it",
        {
            "usgal_a_year": "US gallons a year",
            "stored_months := 0": "months between shipment, manufacture, delivery or purchase and the first use",
        },
    ),
    "customer_pays_at": (
        "What the customer pays for a unit that fails at an age, one row per promise with a time limit",
        {"age_months": "months since the start"},
    ),
    "exposure_at": (
        "What a meter may fail to register within each accuracy promise, and what is not protected, in per cent of the "
        "water; a promise for low flow alone is joined to the document's own promise for the flows above it",
        {
            "of_size": "the size, as in view sizes",
            "demand := NULL": "a list of {'low': …, 'high': …, 'share': …}: US gallons per minute and per cent; "
            "15/70/15 at the test flows of AWWA C700 unless given",
            "spread := 0": "points by which each share may be higher or lower",
            "registered := false": "whether shares are of registered volume, not of true demand",
        },
    ),
    "asked": (
        "What every promise answers to one ask of a tender: promised values, margins and the verdict",
        {
            "of_component": "as in view terms",
            "of_promise": "as in view terms",
            "of_level := NULL": "accuracy level",
            "of_size := NULL": "the size, as in view sizes",
            "months_asked := NULL": "at least so many months",
            "usgal_asked := NULL": "at least so many US gallons",
            "starts_asked := NULL": "a list of start events, one of which starts the time",
            "usgpm_asked := NULL": "at this flow in US gallons per minute …",
            "lower_asked := NULL": "… a lower limit of at least so many per cent of true volume",
            "upper_asked := NULL": "… and an upper limit of at most so many",
            "age_asked := NULL": "for a unit that fails at this age in months …",
            "pays_asked := NULL": "… the customer pays at most so many per cent of the price",
        },
    ),
    "meter_cover_on": (
        "View meter_cover on a day: every promise of every meter of the list that `firstcap fleet` read last",
        {"day": _DAY, "include_proposed := false": _PROPOSED},
    ),
    "meter_totals_on": (
        "View meter_totals on a day: how many meters have a promise, by supplier, size and year of shipment",
        {"day": _DAY, "include_proposed := false": _PROPOSED},
    ),
    "test_first_on": (
        "Meters whose accuracy cover holds on a day and ends soon after, each by the promise that ends first, with its "
        "use a year and the highest lower limit of that promise",
        {"day": _DAY, "within_months": "how soon, in months", "include_proposed := false": _PROPOSED},
    ),
    "test_lots_on": (
        "The same by lot: supplier, model, size and year of shipment",
        {"day": _DAY, "within_months": "how soon, in months", "include_proposed := false": _PROPOSED},
    ),
}
