"""The file of a backup: a zip of rows as JSON lines, keys, and a manifest of what they are."""

from __future__ import annotations

import hashlib
import hmac
import io
import json
import zipfile
import zlib
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, NoReturn

from comity.store.errors import StoreError
from comity.store.keys import derived

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

FORMAT: Final = "comity backup"
VERSION: Final = 1
MANIFEST: Final = "manifest.json"
SIGN: Final = "manifest.hmac"
MOST_BYTES: Final = 4 << 30
"""More than any office's rows; a file that swells beyond is no backup."""
_CHUNK: Final = 1 << 20


class BackupError(StoreError):
    """A backup cannot be made or restored; nothing was changed."""


@dataclass(frozen=True, slots=True)
class Member:
    """What the manifest says of one file in the archive."""

    sha256: str
    n_bytes: int
    n_rows: int = 0


class Writer:
    """Writes an archive, member after member, and its manifest at the end."""

    def __init__(self, file: zipfile.ZipFile) -> None:
        self._file = file
        self.members: dict[str, Member] = {}

    @contextmanager
    def member(self, name: str) -> Iterator[_Counting]:
        """Open a member to write into; it is listed in the manifest when it is closed."""
        with self._file.open(name, "w", force_zip64=True) as stream:
            counting = _Counting(stream)
            yield counting
        self.members[name] = counting.member()

    def close(self, facts: Mapping[str, Any], sealing: bytes) -> None:
        """Write the manifest, and its sign under the office's sealing key."""
        listed = {
            name: {"sha256": each.sha256, "bytes": each.n_bytes, "rows": each.n_rows}
            for name, each in self.members.items()
        }
        manifest = {"format": FORMAT, "version": VERSION, **facts, "members": listed}
        text = json.dumps(manifest, indent=2, ensure_ascii=False).encode("utf-8")
        self._file.writestr(MANIFEST, text)
        self._file.writestr(SIGN, sign_of(text, sealing))


class _Counting(io.RawIOBase):
    """Passes bytes on while it hashes and counts them."""

    def __init__(self, stream: Any) -> None:  # noqa: ANN401 - zipfile names no public type
        super().__init__()
        self._stream = stream
        self._hash = hashlib.sha256()
        self._n_bytes = 0
        self.n_rows = 0

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:  # noqa: ANN401 - any buffer
        self._hash.update(data)
        self._n_bytes += len(data)
        self._stream.write(data)
        return len(data)

    def member(self) -> Member:
        return Member(self._hash.hexdigest(), self._n_bytes, self.n_rows)


class Archive:
    """A backup's file whose every byte has been looked at."""

    def __init__(self, path: Path, file: zipfile.ZipFile) -> None:
        self._path = path
        self._file = file
        self._manifest_text = self._read(MANIFEST)
        self.manifest = self._manifest()
        self.members = {
            name: Member(each["sha256"], each["bytes"], each["rows"])
            for name, each in self.manifest["members"].items()
        }
        self._check_members()

    def check_sign(self, sealing: bytes) -> None:
        """Refuse a manifest that was not written under this sealing key.

        Raises
        ------
        BackupError
            When the sign is another one.
        """
        if not hmac.compare_digest(self._read(SIGN), sign_of(self._manifest_text, sealing)):
            self._refuse("its manifest was changed after it was made")

    def content(self, name: str) -> bytes:
        """Return what a small member holds."""
        return self._read(name)

    def lines(self, name: str) -> Iterator[str]:
        """Yield the lines of a member."""
        with self._file.open(name) as stream:
            yield from io.TextIOWrapper(stream, encoding="utf-8")

    def _manifest(self) -> dict[str, Any]:
        try:
            manifest = json.loads(self._manifest_text)
            is_ours = manifest["format"] == FORMAT and isinstance(manifest["members"], dict)
        except (ValueError, KeyError, TypeError):
            is_ours = False
        if not is_ours:
            self._refuse("its manifest cannot be read")
        if manifest["version"] != VERSION:
            self._refuse(
                f"its format is {manifest['version']}, this version of Comity reads {VERSION}"
            )
        return dict(manifest)

    def _check_members(self) -> None:
        found = set(self._file.namelist())
        wanted = {*self.members, MANIFEST, SIGN}
        for name in sorted(wanted ^ found):
            what = "is missing" if name in wanted else "does not belong to it"
            self._refuse(f"{name} {what}")
        if sum(each.file_size for each in self._file.infolist()) > MOST_BYTES:
            self._refuse("it holds more than any office has")
        for name, member in self.members.items():
            if self._member(name) != (member.sha256, member.n_bytes):
                self._refuse(f"{name} was changed after it was made")

    def _member(self, name: str) -> tuple[str, int]:
        digest, n_bytes = hashlib.sha256(), 0
        with self._file.open(name) as stream:
            while chunk := stream.read(_CHUNK):
                digest.update(chunk)
                n_bytes += len(chunk)
        return digest.hexdigest(), n_bytes

    def _read(self, name: str) -> bytes:
        try:
            return self._file.read(name)
        except KeyError:
            self._refuse(f"{name} is missing")

    def _refuse(self, why: str) -> NoReturn:
        raise refusal(self._path, why) from None


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """Open a backup's file, looked through from end to end.

    Raises
    ------
    BackupError
        When it is no backup, cut off, or changed.
    """
    with ExitStack() as closing:
        try:
            file = closing.enter_context(zipfile.ZipFile(path))
            archive = Archive(path, file)
        except OSError as error:
            raise refusal(path, error.strerror or str(error)) from error
        except _BROKEN as error:
            raise refusal(path, "it is no backup, or part of it is missing") from error
        yield archive


_BROKEN: Final = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,  # a way of packing that we never use
    RuntimeError,  # an encrypted member
    ValueError,  # a name or a number that cannot be
)


def refusal(path: Path, why: str) -> BackupError:
    """Return the refusal of a backup."""
    return BackupError(f"{path} is not restored, and nothing was changed: {why}")


def sign_of(manifest: bytes, sealing: bytes) -> bytes:
    """Return what shows that a manifest was written by who has the sealing key."""
    sign = hmac.new(derived(sealing, b"backup"), manifest, hashlib.sha256)
    return sign.hexdigest().encode("ascii")


def fingerprint_of(sealing: bytes) -> str:
    """Return by what a sealing key is known without telling it."""
    return derived(sealing, b"fingerprint").hex()[:16]
