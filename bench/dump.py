"""Reads files and writes each Reading as JSON beside the others: `python bench/dump.py FOLDER FILE…`.

Run by bench/readings.py with the code of any revision on the path, so it asks of that code only `read(path)`.
"""

import hashlib
import json
import sys
from pathlib import Path


def main() -> None:
    from firstcap.extract.reading import read
    from firstcap.schema.errors import DocumentError

    folder, *files = map(Path, sys.argv[1:])
    for path in files:
        try:
            told = read(path).model_dump(mode="json")
        except DocumentError as error:
            told = {"failed": error.code, "message": str(error)}
        except Exception as error:
            told = {"failed": "crash", "message": f"{type(error).__name__}: {error}"}
        target = folder / f"{hashlib.sha256(path.read_bytes()).hexdigest()}.json"
        part = target.with_suffix(".part")
        part.write_text(json.dumps(told))
        part.replace(target)


if __name__ == "__main__":
    main()
