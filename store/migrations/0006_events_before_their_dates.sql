-- Whether the event itself may lie before the date of the list that stands for it.
ALTER TABLE base.event_dates ADD COLUMN may_be_earlier BOOLEAN;
