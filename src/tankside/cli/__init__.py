"""The command line: read input, call one service, show the result.

Nothing installed beside the program has a say in how input is validated; looking for such plugins
would take a part of every start.
"""

import os

os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
