"""Set up Tankside and run it: the two commands a fresh machine needs.

    python3 dev.py run [WORDS...]    make .venv on first use, run `tankside WORDS` (default: demo)
    python3 dev.py test [WORDS...]   make .venv on first use, check style, types, rooms, tests
                                     (--coverage: count what they run, and hold it to a floor)
    python3 dev.py style             style, types, rooms alone; what a commit hook runs, no network
    python3 dev.py slow [WORDS...]   the slow tier: reference libraries, long properties, mutation
    python3 dev.py mutation [WORDS]  every small change of parser, amounts, limits must be noticed
    python3 dev.py site [FOLDER]     build the site of documents (build/site), check each link
    python3 dev.py fingerprints      renew the fingerprints of the knowledge files (maintainers)
    python3 dev.py lock              renew locks/*.lock (maintainers; needs uv on the path)

Only the standard library is used here, so a bare Python 3.11 or newer can start it.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
SCIENCE = ("claims", "course", "diagnose", "follow", "lifecycle", "plan", "sampling", "water")
SCIENCE_FLOOR, TREE_FLOOR = 95, 90
CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("lint-imports",),
)


def fingerprint(lock: Path) -> str:
    """Return a hash that changes when the lock, the project file or the interpreter does."""
    parts = [lock.read_bytes(), (ROOT / "pyproject.toml").read_bytes(), sys.version.encode()]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def python(*words: str) -> None:
    """Run the environment's Python, stopping on failure."""
    subprocess.run([str(BIN / "python"), *words], check=True, cwd=ROOT)


def prepare(tier: str) -> None:
    """Install the locked packages of a tier and the project itself, unless already done."""
    lock = ROOT / "locks" / f"{tier}.lock"
    stamp = VENV / f"{tier}.stamp"
    want = fingerprint(lock)
    if stamp.exists() and stamp.read_text() == want:
        return
    if not BIN.exists():
        print("Making .venv (first use only) ...", flush=True)
        venv.create(VENV, with_pip=True)
    print(f"Installing the {tier} packages ...", flush=True)
    pip = ("-m", "pip", "install", "-qq", "--disable-pip-version-check")
    # A lock names every package, so nothing is left to resolve: a release newer than the lock
    # of a package wanted with an extra would stop older versions of pip here.
    python(*pip, "--require-hashes", "--no-deps", "-r", str(lock))
    python(*pip, "--no-deps", "--no-build-isolation", "-e", str(ROOT))
    stamp.write_text(want)


def run(words: list[str]) -> int:
    """Run the main job: `tankside WORDS`, or the demo when no words are given."""
    prepare("run")
    return subprocess.call([str(BIN / "tankside"), *(words or ["demo"])])


def style(_: list[str]) -> int:
    """Run style, type and room checks in the environment as it stands; nothing is fetched."""
    if not BIN.exists():
        print("There is no .venv yet. Run: python3 dev.py test", file=sys.stderr)
        return 1
    for tool in CHECKS:
        print("==", *tool, flush=True)
        code = subprocess.call([str(BIN / tool[0]), *tool[1:]], cwd=ROOT)
        if code:
            return code
    return 0


def check(words: list[str]) -> int:
    """Run style, type and room checks, then the fast tests; `--coverage` counts what they ran."""
    prepare("test")
    count = words == ["--coverage"]
    code = style([]) if count or not words else 0
    if code:
        return code
    every = ["-n", "2", "--dist", "loadfile", *(("--cov", "--cov-report=") if count else ())]
    pytest = [str(BIN / "python"), "-m", "pytest", *(every if count or not words else words)]
    return subprocess.call(pytest, cwd=ROOT) or (coverage() if count else 0)


def coverage() -> int:
    """Hold lines and branches that the tests ran to a floor: science rooms, then the whole tree."""
    report = [str(BIN / "python"), "-m", "coverage", "report", "--precision=1"]
    science = ",".join(f"src/tankside/{room}/*" for room in SCIENCE)
    for name, words in (
        ("science rooms", [f"--include={science}", f"--fail-under={SCIENCE_FLOOR}"]),
        ("whole tree", ["--skip-covered", f"--fail-under={TREE_FLOOR}"]),
    ):
        print(f"== lines and branches run, {name}", flush=True)
        code = subprocess.call([*report, *words], cwd=ROOT)
        if code:
            return code
    return 0


def slow(words: list[str]) -> int:
    """Run the slow tier, which compares with reference libraries."""
    prepare("slow")
    return subprocess.call([str(BIN / "python"), "-m", "pytest", "-m", "slow", *words], cwd=ROOT)


def mutation(words: list[str]) -> int:
    """Change the source a little at a time and see that a test notices (`--help` for words)."""
    prepare("slow")
    return subprocess.call([str(BIN / "python"), "-m", "tests.mutation", *words], cwd=ROOT)


def site(words: list[str]) -> int:
    """Build the site of documents and check that every link leads somewhere."""
    prepare("site")
    folder = words[0] if words else str(ROOT / "build" / "site")
    return subprocess.call([str(BIN / "python"), "docs/site/make_site.py", folder], cwd=ROOT)


def lock(_: list[str]) -> int:
    """Renew the lock files so that they agree with one another."""
    base = ["uv", "pip", "compile", "-q", "--universal", "--generate-hashes", "--no-header"]
    base += ["--no-annotate", "--python-version", "3.11", "pyproject.toml"]
    base += ["--extra", "print", "--extra", "shared"]
    groups = {"slow": ("dev", "slow"), "test": ("dev",), "run": ("build",)}
    groups["site"] = ("build", "site")
    for tier, names in groups.items():
        flags = [part for name in names for part in ("--group", f"pyproject.toml:{name}")]
        pins = [] if tier == "slow" else ["-c", "locks/slow.lock"]
        target = ["-o", f"locks/{tier}.lock"]
        subprocess.run([*base, *flags, *pins, *target], check=True, cwd=ROOT)
    return 0


def fingerprints(_: list[str]) -> int:
    """Renew the list that tells a released knowledge file from one changed by hand."""
    prepare("test")
    python("-c", "from tankside.library.released import renew; renew()")
    return 0


def main() -> int:
    """Dispatch on the first word; print the usage when it is unknown."""
    commands = {"run": run, "test": check, "slow": slow, "mutation": mutation, "lock": lock}
    commands |= {"fingerprints": fingerprints, "style": style, "site": site}
    if len(sys.argv) < 2 or sys.argv[1] not in commands:
        print(__doc__)
        return 2
    try:
        return commands[sys.argv[1]](sys.argv[2:])
    except subprocess.CalledProcessError as failed:
        print(f"Stopped: {' '.join(map(str, failed.cmd[:6]))} ... failed.", file=sys.stderr)
        return failed.returncode


if __name__ == "__main__":
    sys.exit(main())
