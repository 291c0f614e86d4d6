"""Bring the browser's libraries in: ``python tools/vendor.py``.

`vendor.toml` names each package with its exact version, the digest of its archive and the files
wanted. The archive comes from npm (``npm pack``), is compared with the digest, and only the named
files are unpacked. With ``--renew`` the digests found are written down instead of compared: for a
new version, whose change one then reads.
"""

from __future__ import annotations

import base64
import hashlib
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
import tomllib
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LIST = ROOT / "tools" / "vendor.toml"
RENEW = "--renew"


@dataclass(frozen=True, slots=True)
class Package:
    """A package of npm: what of it we want, and where it goes."""

    name: str
    version: str
    licence: str
    integrity: str
    into: Path
    files: dict[str, str]

    @property
    def folder(self) -> Path:
        """Return the folder of this version; a scope's slash becomes a dash."""
        return self.into / f"{self.name.lstrip('@').replace('/', '-')}-{self.version}"


class VendorError(Exception):
    """An archive is not what the list says."""


def packages(listed: str) -> tuple[Package, ...]:
    """Return the packages of the list's text."""
    return tuple(
        Package(**{**each, "into": ROOT / each["into"]})
        for each in tomllib.loads(listed)["package"]
    )


def digest_of(content: bytes) -> str:
    """Return a digest as npm writes it: sha512 in base64."""
    return "sha512-" + base64.b64encode(hashlib.sha512(content).digest()).decode("ascii")


def unpacked(archive: Path, package: Package) -> dict[str, bytes]:
    """Return the contents of the wanted files; nothing else of the archive is looked at."""
    contents = {}
    with tarfile.open(archive) as tar:
        for name in package.files:
            member = tar.extractfile(f"package/{name}")
            if member is None:
                message = f"{package.name} {package.version} has no file {name}"
                raise VendorError(message)
            contents[name] = member.read()
    return contents


def fetch(package: Package, folder: Path) -> Path:
    """Return the package's archive, as npm hands it out."""
    spec = f"{package.name}@{package.version}"
    command = ["npm", "pack", spec, "--silent", "--pack-destination", str(folder)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return next(folder.glob("*.tgz"))


def bring(package: Package, *, is_new: bool) -> tuple[str, dict[str, str]]:
    """Unpack a package into its folder; return the digests of the archive and of its files."""
    with tempfile.TemporaryDirectory() as folder:
        archive = fetch(package, Path(folder))
        integrity = digest_of(archive.read_bytes())
        if not is_new and integrity != package.integrity:
            message = (
                f"{package.name} {package.version}: the archive's digest is {integrity}, "
                f"expected {package.integrity}"
            )
            raise VendorError(message)
        contents = unpacked(archive, package)
    digests = {name: digest_of(content) for name, content in contents.items()}
    if not is_new and digests != package.files:
        message = f"{package.name} {package.version}: its files are not those of the list"
        raise VendorError(message)
    for old in package.into.glob(f"{package.folder.name.rpartition('-')[0]}-[0-9]*"):
        shutil.rmtree(old)
    package.folder.mkdir(parents=True)
    for name, content in contents.items():
        (package.folder / Path(name).name).write_bytes(content)
    return integrity, digests


def renewed(listed: str, package: Package, found: tuple[str, dict[str, str]]) -> str:
    """Return the list's text with a package's digests as they were found."""
    integrity, digests = found
    head = f'name = "{package.name}"\n'
    before, _, block = listed.partition(head)
    block, mark, after = block.partition("[[package]]")
    block = re.sub(r'^integrity = ".*"$', f'integrity = "{integrity}"', block, flags=re.MULTILINE)
    for name, digest in digests.items():
        block = re.sub(
            rf'^"{re.escape(name)}" = ".*"$', f'"{name}" = "{digest}"', block, flags=re.MULTILINE
        )
    return before + head + block + mark + after


def main(arguments: list[str]) -> int:
    """Bring every package of the list; say what was brought, or what is wrong."""
    listed = LIST.read_text(encoding="utf-8")
    is_new = RENEW in arguments
    try:
        for package in packages(listed):
            found = bring(package, is_new=is_new)
            listed = renewed(listed, package, found) if is_new else listed
            print(f"{package.name} {package.version} in {package.folder.relative_to(ROOT)}")
    except (VendorError, subprocess.CalledProcessError, FileNotFoundError, KeyError) as error:
        print(f"nothing more was brought: {error}", file=sys.stderr)
        return 1
    LIST.write_text(listed, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
