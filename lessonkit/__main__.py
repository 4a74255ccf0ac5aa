"""Start the kit with ``python -m lessonkit``."""

import sys

from lessonkit.app.commandline import main

if __name__ == "__main__":
    sys.exit(main())
