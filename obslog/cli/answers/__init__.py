"""What --json prints, as types, where the return type of a command does not say it.

Nothing of the program loads these at work: the schemas in docs/json are made from them, and the tests hold the answers
to them.
"""
