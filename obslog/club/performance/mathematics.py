"""The version of the mathematics: what another version computed and kept is computed again.

It is a fingerprint of all code and tables that kept results come from, and a test holds it to them: nobody has to
remember to raise it.
"""

MATHEMATICS = "a3e6e073583f"
