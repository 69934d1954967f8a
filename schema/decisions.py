"""What a person did: to which value, when, why. Decisions are appended, never changed."""

from datetime import datetime

from firstcap.schema.quantities import Model
from firstcap.schema.vocabulary import DecisionAction


class Decision(Model):
    """One human act. `field` is None where the act concerns the whole item; values are JSON text."""

    decided_at: datetime
    reviewer: str
    item_id: str
    field: str | None = None
    action: DecisionAction
    old_value: str | None = None
    new_value: str | None = None
    note: str | None = None
