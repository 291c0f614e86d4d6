from __future__ import annotations

import io
import re
import tarfile
from dataclasses import replace
from pathlib import Path

import pytest

from tools import vendor
from tools.vendor import LIST, ROOT, Package, VendorError, digest_of, packages

LISTED = packages(LIST.read_text(encoding="utf-8"))
TEMPLATES = ROOT / "src" / "comity" / "desk" / "templates"
VENDORED = re.compile(r"vendor/([\w.-]+)/([\w.-]+)")


def name_of(package: Package) -> str:
    return package.name


@pytest.mark.parametrize("package", LISTED, ids=name_of)
def test_vendored_files_are_those_of_the_list(package: Package) -> None:
    there = {file.name: digest_of(file.read_bytes()) for file in package.folder.iterdir()}
    assert there == {Path(name).name: digest for name, digest in package.files.items()}


def test_every_package_brings_its_licence() -> None:
    assert [package.name for package in LISTED if "LICENSE" not in package.files] == []


def test_nothing_else_lies_among_the_vendored_files() -> None:
    expected = {package.folder for package in LISTED}
    assert {each for into in {p.into for p in LISTED} for each in into.iterdir()} == expected


def test_only_the_assets_template_names_vendored_files() -> None:
    naming = [
        path.relative_to(TEMPLATES).as_posix()
        for path in TEMPLATES.rglob("*.html")
        if "vendor/" in path.read_text(encoding="utf-8")
    ]
    assert naming == ["_assets.html"]


def test_the_assets_template_names_no_other_version() -> None:
    named = set(VENDORED.findall((TEMPLATES / "_assets.html").read_text(encoding="utf-8")))
    listed = {(each.folder.name, Path(name).name) for each in LISTED for name in each.files}
    assert named == {(folder, file) for folder, file in named if (folder, file) in listed}
    assert len(named) == 3


def archive_of(files: dict[str, bytes], path: Path) -> Path:
    with tarfile.open(path, "w:gz") as tar:
        for name, content in files.items():
            entry = tarfile.TarInfo(f"package/{name}")
            entry.size = len(content)
            tar.addfile(entry, io.BytesIO(content))
    return path


@pytest.fixture
def small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Package:
    archive = archive_of(
        {"a.js": b"1;", "LICENSE": b"free", "../out.js": b"0;"}, tmp_path / "s.tgz"
    )
    monkeypatch.setattr(vendor, "fetch", lambda *_given: archive)
    return Package(
        name="@team/small",
        version="1.0.0",
        licence="0BSD",
        integrity=digest_of(archive.read_bytes()),
        into=tmp_path / "vendor",
        files={"a.js": digest_of(b"1;"), "LICENSE": digest_of(b"free")},
    )


def test_only_the_named_files_are_unpacked(small: Package) -> None:
    vendor.bring(small, is_new=False)
    assert sorted(each.name for each in small.folder.iterdir()) == ["LICENSE", "a.js"]
    assert small.folder.name == "team-small-1.0.0"


def test_a_new_version_takes_the_place_of_the_old_one(small: Package) -> None:
    vendor.bring(small, is_new=False)
    vendor.bring(replace(small, version="1.1.0"), is_new=False)
    assert [each.name for each in small.into.iterdir()] == ["team-small-1.1.0"]


def test_an_archive_with_another_digest_is_refused_and_nothing_unpacked(small: Package) -> None:
    with pytest.raises(VendorError, match="the archive's digest is sha512-"):
        vendor.bring(replace(small, integrity="sha512-other"), is_new=False)
    assert not small.into.exists()


def test_a_file_with_another_digest_is_refused(small: Package) -> None:
    with pytest.raises(VendorError, match="its files are not those of the list"):
        vendor.bring(replace(small, files={"a.js": "sha512-other"}), is_new=False)
    assert not small.into.exists()


def test_renewing_writes_the_found_digests_of_one_package_down(small: Package) -> None:
    listed = '[[package]]\nname = "{}"\nintegrity = ""\n[package.files]\n"a.js" = ""\n'
    text = listed.format("@team/small") + listed.format("other")
    found = vendor.renewed(text, small, ("sha512-whole", {"a.js": "sha512-one"}))
    assert found == text.replace('""', '"sha512-whole"', 1).replace('""', '"sha512-one"', 1)
