"""A few invented meters of the Pinyon Ridge Water District in a catalogue, as importing their list leaves them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from firstcap.store.catalogue import Catalogue
from firstcap.store.rows import Batch


@dataclass(frozen=True)
class ListedMeter:
    meter_id: str
    supplier: str
    size: str
    shipped_on: date | None
    reading_usgal: float | None = None
    reading_on: date | None = None
    year_usgal: float | None = None
    installed_on: date | None = None


def put_fleet(catalogue: Catalogue, meters: Sequence[ListedMeter]) -> Catalogue:
    """The meters in the place of those held before; every supplier's name matches the catalogue's."""
    names = list(dict.fromkeys(meter.supplier for meter in meters))
    with catalogue.writing() as connection:
        connection.execute("DELETE FROM base.meters; DELETE FROM base.meter_names; DELETE FROM base.meter_matches")
        batch = Batch()
        for line, meter in enumerate(meters, 2):
            dates = (meter.shipped_on, meter.installed_on)
            use = (meter.reading_usgal, meter.reading_on, meter.year_usgal)
            name = names.index(meter.supplier) + 1
            batch.add("base.meters", (line, meter.meter_id, name, meter.size, *dates, *use))
        for number, name in enumerate(names, 1):
            batch.add("base.meter_names", (number, name, None, 1))
            match = (number, "2026-01-05", "R. Ortega", "supplier", name, None, name, None, None, 100)
            batch.add("base.meter_matches", match)
        batch.write(connection)
    return catalogue
