"""Linear algebra has one thread in the tests too, as `obslog.cli.main.run` has it for users.

The matrices here are small. Shared out among threads, which spin while they wait for one another, they take several
times the processor time of the work, and more the busier the machine is. Numpy reads this when it is imported, which a
plugin of pytest's does before any conftest is read; so this is a plugin too, named in `pyproject.toml`, and imports
nothing heavy. Processes that the tests start inherit it.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
