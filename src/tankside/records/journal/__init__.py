"""The journal: many cases in one database, as one chain of entries that is only added to."""
