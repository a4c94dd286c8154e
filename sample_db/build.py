"""Build the sample season from its sources: python sample_db/build.py [--check].

With --check the book in the repository is left alone and compared with a new one.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path


def main(arguments: list[str]) -> int:
    """Build the sample book, or check that it is what its sources say."""
    # Started as a script, Python looks only in this folder.
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from sample_db.making.book import BOOK, build
    from sample_db.making.compare import differences

    with tempfile.TemporaryDirectory() as folder:
        fresh = Path(folder) / BOOK.name
        begun = time.perf_counter()
        entries = build(fresh)
        took = time.perf_counter() - begun
        size = fresh.stat().st_size / 1e6
        print(f"{entries} entries, {size:.1f} MB, {took:.1f} s")
        if "--check" in arguments:
            found = list(differences(fresh, BOOK))
            print("\n".join(found) or f"{BOOK.name} is what its sources say.")
            return 1 if found else 0
        BOOK.write_bytes(fresh.read_bytes())
        print(f"Written: {BOOK}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
