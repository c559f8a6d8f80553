"""How long `import soilx` takes: `python -m tests.benchmarks.imports`. It exits 1 above 0.35 s.

Processor time of a new process, the least and the median of several; the first one may compile.
"""

import statistics
import subprocess
import sys

LIMIT_SECONDS = 0.35
TIMES = 9
CODE = "import time; start = time.process_time(); import soilx; print(time.process_time() - start)"


def main() -> int:
    """Print the least and the median; 1 if the least is over the limit."""
    seconds = [
        float(subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=True).stdout)
        for _ in range(TIMES)
    ]
    sys.stdout.write(f"import soilx: least {min(seconds):.3f} s, median {statistics.median(seconds):.3f} s\n")
    return 0 if min(seconds) <= LIMIT_SECONDS else 1


if __name__ == "__main__":
    raise SystemExit(main())
