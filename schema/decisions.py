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


class NewDecision(Model):
    """An act about to be written; the store adds the time and the old value.

    item_id: a term_id, or a document_id for facts (`supplier`, `title`, `document_code`, `revision`, `effective_from`,
    `region`) and clauses (`exclusion.freezing`, `duty.written_notice`, `condition.governing_law`).
    new_value: JSON text. `correct` takes the field's value (`180`, `"shipment"`, `null`; `limits`, `starts`, `bands`,
    `credits` take an array of the schema's models); `add` takes a whole Term with the document_id as item_id (the
    store then makes the term_id) or a new item_id and `document_id`.
    `strike` takes its reason in `note`.
    expected_version: the version of the item the person was looking at; old_value: the value they were looking at, as
    JSON text. Where either no longer holds the act is refused with ConflictError. None is no check.
    """

    reviewer: str
    item_id: str
    action: DecisionAction
    field: str | None = None
    new_value: str | None = None
    old_value: str | None = None
    note: str | None = None
    document_id: str | None = None
    expected_version: int | None = None
