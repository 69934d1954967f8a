"""The measuring tools of bench/ are scripts beside each other; their tests import them the same way."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "bench"))
