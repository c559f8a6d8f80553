"""How long `import soilx` takes: `python -m tests.benchmarks.imports`. The aim is 0.35 s on a quiet machine.

Processor time of a new process, the least and the median of several; the first one may compile.
"""

import statistics
import subprocess
import sys

TIMES = 9
CODE = "import time; start = time.process_time(); import soilx; print(time.process_time() - start)"


def main() -> None:
    """Print the least and the median."""
    seconds = [
        float(subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=True).stdout)
        for _ in range(TIMES)
    ]
    sys.stdout.write(f"import soilx: least {min(seconds):.3f} s, median {statistics.median(seconds):.3f} s\n")


if __name__ == "__main__":
    main()
