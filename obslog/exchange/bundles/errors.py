"""Everything that can be wrong with a bundle, each in a sentence of its own, with what to do."""

from obslog.errors import WrongInput


class BrokenBundle(WrongInput):
    """A bundle that is not taken in, whatever the reason."""
