"""The brief and the checklist, learned from past nights."""
