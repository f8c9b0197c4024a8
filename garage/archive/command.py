"""The commands backup, restore, check, export and import."""

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path

from garage.archive.check import Report
from garage.archive.check import check as look_over
from garage.archive.export import export as write_archive
from garage.archive.importing import take_in
from garage.arguments import Arguments
from garage.db.backup import write_backup
from garage.db.folder_lock import held, made
from garage.db.kept_backups import ASKED_FOR, backup_path
from garage.db.restore import restore as put_back
from garage.errors import UnusableData
from garage.paths import BACKUPS_NAME, data_folder
from garage.settings import local_now


def backup(arguments: list[str]) -> int:
    """Back up to one file, and say where it is."""
    parser = _parser("backup", "Keep a copy of everything in one file. The garage may be served meanwhile.")
    where = f"the file to make (default: in {BACKUPS_NAME}/ of the folder)"
    parser.add_argument("file", nargs="?", type=Path, help=where)
    options = parser.parse_args(arguments)
    now, folder = local_now(), _folder(options)
    target = options.file or backup_path(folder, ASKED_FOR, now)
    if target.exists():
        raise UnusableData(f"{target} is there already; nothing was written over.")
    manifest = write_backup(folder, target, ASKED_FOR, now)
    print(f"{target}: {len(manifest.entries)} files, {target.stat().st_size / 1e6:.1f} MB, read back and found whole.")
    for fault in manifest.faults:
        print(fault, file=sys.stderr)
    if target.parent == folder / BACKUPS_NAME:
        print("It lies on the same disk as the garage: copy it to another one as well.")
    return 1 if manifest.faults else 0


def restore(arguments: list[str]) -> int:
    """Put a backup in the place of what is there."""
    parser = _parser("restore", "Put a backup in the place of what is there; that is backed up first.")
    parser.add_argument("file", type=Path, help="the backup")
    options = parser.parse_args(arguments)
    folder = _folder(options)
    with held(made(folder)):
        done = put_back(options.file, folder, local_now())
    count = len(done.manifest.entries)
    print(f"{folder} is as it was at {done.manifest.made_at}: {count} files, each held against its hash.")
    if done.kept_before:
        print(f"What was there before is kept: {done.kept_before}")
    for line in [*done.manifest.faults, *(f"Swept: {swept}" for swept in done.swept)]:
        print(line)
    return 0


def export(arguments: list[str]) -> int:
    """Write everything in open formats to one archive."""
    parser = _parser("export", "Write everything in open formats (CSV, JSON, GPX, photos, logs) to one archive.")
    parser.add_argument("file", type=Path, help="the archive to make")
    options = parser.parse_args(arguments)
    if options.file.exists():
        raise UnusableData(f"{options.file} is there already; nothing was written over.")
    done = write_archive(_folder(options), options.file, local_now())
    print(f"{options.file}: {sum(done.rows.values())} rows of {len(done.rows)} tables, {len(done.entries)} files.")
    return 0


def import_(arguments: list[str]) -> int:
    """Take an archive of everything into an empty garage."""
    about = "Take an archive of everything into an empty garage. Past runs of a spreadsheet go in on a page: /import."
    parser = _parser("import", about)
    parser.add_argument("file", type=Path, help="the archive that garage export made")
    options = parser.parse_args(arguments)
    folder = made(_folder(options))
    with held(folder):
        done = take_in(options.file, folder)
        report = look_over(folder)
    print(f"{folder}: {sum(done.rows.values())} rows and {done.files} files were taken in.")
    if not report.is_good:
        print("What came in is not all as it was written:", *_lines(report), sep="\n", file=sys.stderr)
    return 0 if report.is_good else 1


def check(arguments: list[str]) -> int:
    """Look a garage over; the exit code is 1 if anything is wrong."""
    parser = _parser("check", "Look a garage over; nothing is changed, and it may be served meanwhile.")
    parser.add_argument("--json", action="store_true", help="say it as JSON")
    options = parser.parse_args(arguments)
    report = look_over(_folder(options))
    if options.json:
        print(json.dumps({"good": report.is_good} | asdict(report), indent=1))
    else:
        print("\n".join(_lines(report)))
    return 0 if report.is_good else 1


def _lines(report: Report) -> list[str]:
    lines = []
    for finding in report.findings:
        lines.append(f"{finding.what} ({finding.looked_at}): {len(finding.faults) or 'nothing'} wrong")
        lines += [f"  {fault}" for fault in finding.faults]
    verdict = "All is well." if report.is_good else "Something is wrong; a backup can be restored."
    return [*lines, *report.notes, verdict]


def _parser(command: str, about: str) -> argparse.ArgumentParser:
    parser = Arguments(prog=f"garage {command}", description=about)
    parser.add_data_folder()
    return parser


def _folder(options: argparse.Namespace) -> Path:
    return options.data or data_folder("garage")
