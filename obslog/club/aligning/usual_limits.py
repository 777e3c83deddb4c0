"""What a star to sync on satisfies where nobody asks for something else: the same in every command.

It imports nothing, for the options of commands are made from it.
"""

LOWEST_ALT_DEG = 20.0
HIGHEST_ALT_DEG = 85.0
FAINTEST_MAG = 3.0
