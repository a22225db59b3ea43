"""``python -m permitgen``."""

from permitgen.cli.main import main

main()
