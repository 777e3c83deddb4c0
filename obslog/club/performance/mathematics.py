"""The version of the mathematics: results that another version computed are computed again."""

MATHEMATICS = "1"
