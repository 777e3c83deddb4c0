"""How people write an evening down: a line an act, `[time] VERB TARGET [where | ; text]`. No terminal, no database."""
