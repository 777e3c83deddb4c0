"""The history of all records: who changed what, and what the records are by all that the log of acts says."""
