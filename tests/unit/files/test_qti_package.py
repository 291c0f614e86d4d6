"""Banks out as packages and in again, and archives that are refused."""

from __future__ import annotations

import stat
from dataclasses import replace
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given, settings
from hypothesis import strategies as st

from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK, INDEPENDENT
from comity.core.exam.items import Bank, BestAnswer, Case, SeveralAnswers
from comity.files import qti_archive
from comity.files.item_bank import load_bank
from comity.files.qti_archive import MAX_FILES, open_archive
from comity.files.qti_package import export_package, import_package, load_package
from comity.files.qti_writing import SIDECAR
from tests.unit.files.qti_items import an_item as a_qti_item
from tests.unit.files.test_item_bank import EVERY_KIND, ROOT

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

STARTER = sorted((ROOT / "src" / "comity" / "bank" / "items").glob("*.yaml"))
MANIFEST = """<manifest xmlns="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1" identifier="m">
  <resources><resource identifier="r" type="imsqti_item_xmlv3p0" href="{href}"/></resources>
</manifest>"""
# Names of the information model, 1EdTech QTI 3.0 (2022), and of its packages.
QTI = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
PACKAGE = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"
LOM = "{http://ltsc.ieee.org/xsd/LOM}"


def bank_of(path: Path) -> Bank:
    bank = load_bank(path).value
    assert bank is not None
    return bank


def packed(files: Mapping[str, str | bytes]) -> bytes:
    stream = BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return stream.getvalue()


def unpacked(data: bytes) -> dict[str, bytes]:
    with ZipFile(BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def one_item(**values: object) -> Bank:
    made = BestAnswer(
        **{
            "id": "1-iron",
            "domain": "assessment",
            "level": "recall",
            "stem": "Which falls first?",
            "source": "made up, 2026",
            "options": {"a": "Ferritin", "1": "Iron"},
            "answer": "a",
            **values,
        }  # type: ignore[arg-type]
    )
    return Bank(bank="small", items=(made,))


@pytest.mark.parametrize("path", [EVERY_KIND, *STARTER], ids=lambda path: path.stem)
def test_a_bank_comes_back_as_it_went_out(path: Path) -> None:
    bank = bank_of(path)
    back = import_package(export_package(bank).data, "bank.zip")
    assert back.problems == ()
    assert back.bank == bank
    assert back.left_out == {}


TEXTS = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs"), include_characters="\n"),
    min_size=1,
    max_size=40,
).map(lambda text: text.strip() or "x")


@settings(max_examples=40, deadline=None)
@given(stem=TEXTS, right=TEXTS, wrong=TEXTS, explanation=TEXTS)
def test_any_text_of_an_item_comes_back_from_the_qti_alone(
    stem: str, right: str, wrong: str, explanation: str
) -> None:
    options = {"a": f"right {right}", "1": f"wrong {wrong}"}
    bank = one_item(stem=stem, options=options, explanation=explanation, errors={"1": wrong})
    files = unpacked(export_package(bank).data)
    del files[SIDECAR]
    back = import_package(packed(files), "small.zip").bank
    assert back is not None
    found, asked = back.items[0], bank.items[0]
    assert isinstance(found, BestAnswer)
    assert isinstance(asked, BestAnswer)
    same = replace(asked, domain="imported", level=found.level, source=found.source)
    assert found == same


def test_a_change_made_elsewhere_is_read_and_what_is_ours_is_kept() -> None:
    files = unpacked(export_package(bank_of(EVERY_KIND)).data)
    changed = files["items/iron-stores.xml"].replace(b"Haemoglobin<", b"Serum iron<")
    back = import_package(packed({**files, "items/iron-stores.xml": changed}), "x.zip").bank
    assert back is not None
    item = back.items[0]
    assert isinstance(item, BestAnswer)
    assert item.options["c"] == "Serum iron"
    assert item.reviews[0].by == "second-reader"


def test_the_same_bank_gives_the_same_bytes() -> None:
    bank = bank_of(EVERY_KIND)
    assert export_package(bank).data == export_package(bank).data


def test_another_reader_finds_question_options_and_key_where_the_standard_puts_them() -> None:
    bank = bank_of(EVERY_KIND)
    files = unpacked(export_package(bank).data)
    resources = fromstring(files["imsmanifest.xml"]).findall(f".//{PACKAGE}resource")
    types = {r.get("href"): r.get("type") for r in resources}
    assert types == {
        "items/iron-stores.xml": "imsqti_item_xmlv3p0",
        "items/fat-soluble.xml": "imsqti_item_xmlv3p0",
        SIDECAR: "webcontent",
    }
    for item in bank.items[:2]:
        root = fromstring(files[f"items/{item.id}.xml"])
        assert root.tag == f"{QTI}qti-assessment-item"
        assert {"identifier", "title", "time-dependent"} <= {*root.keys()}
        declared = root.find(f"{QTI}qti-response-declaration")
        assert declared is not None
        values = declared.findall(f"{QTI}qti-correct-response/{QTI}qti-value")
        assert {value.text for value in values} == item.keys
        is_one = isinstance(item, BestAnswer)
        assert declared.get("cardinality") == ("single" if is_one else "multiple")
        choice = root.find(f"{QTI}qti-item-body/{QTI}qti-choice-interaction")
        assert choice is not None
        assert choice.get("response-identifier") == declared.get("identifier")
        assert choice.get("max-choices") == ("1" if is_one else "0")
        assert choice.findtext(f"{QTI}qti-prompt") == item.stem
        texts = {c.get("identifier"): c.text for c in choice.findall(f"{QTI}qti-simple-choice")}
        assert texts == {option.id: option.text for option in item.choices}
        processing = root.find(f"{QTI}qti-response-processing")
        assert processing is not None
        assert (processing.get("template") or "").endswith("/v3p0/rptemplates/match_correct.xml")
        order = [child.tag.removeprefix(QTI) for child in root]
        assert order == sorted(order, key=ORDER.index)


# The order that the information model gives to the parts of an item.
ORDER = [
    "qti-response-declaration",
    "qti-outcome-declaration",
    "qti-item-body",
    "qti-response-processing",
    "qti-modal-feedback",
]


def test_the_manifest_says_title_domain_and_level_for_catalogues() -> None:
    files = unpacked(export_package(bank_of(EVERY_KIND)).data)
    root = fromstring(files["imsmanifest.xml"])
    words = [e.text for e in root.findall(f".//{LOM}keyword/{LOM}string")]
    assert words == ["assessment", "recall", "nutrients", "recall"]
    described = root.findtext(f".//{LOM}description/{LOM}string")
    assert described == f"{EDUCATION} {INDEPENDENT}"


def test_the_cautions_stand_before_each_question_and_the_source_is_for_tutors() -> None:
    bank = one_item(high_risk=True, source="Guideline on insulin, 2024")
    root = fromstring(unpacked(export_package(bank).data)["items/1-iron.xml"])
    blocks = root.findall(f".//{QTI}qti-rubric-block")
    shown = ["".join(block.itertext()) for block in blocks if block.get("view") == "candidate"]
    assert len(shown) == 1
    for caution in (EDUCATION, INDEPENDENT, HIGH_RISK):
        assert caution in shown[0]
    assert "Guideline on insulin" not in shown[0]
    rest = ["".join(b.itertext()) for b in blocks if b.get("view") == "scorer tutor"]
    assert [text.strip() for text in rest] == ["Guideline on insulin, 2024"]


def test_cautions_of_a_model_stand_in_place_of_the_common_ones() -> None:
    made = export_package(one_item(), cautions={"1-iron": ("Only of this equation.",)})
    text = unpacked(made.data)["items/1-iron.xml"].decode()
    assert "<p>Only of this equation.</p>" in text
    assert EDUCATION not in text


def test_what_a_case_tells_stands_before_its_question_for_other_programs() -> None:
    bank = replace(
        one_item(case="ward"), cases=(Case(id="ward", vignette="An invented man.\nHe is 40."),)
    )
    files = unpacked(export_package(bank).data)
    del files[SIDECAR]
    back = import_package(packed(files), "ward.zip")
    assert back.bank is not None
    assert back.bank.items[0].stem == "An invented man.\nHe is 40.\nWhich falls first?"
    whole = import_package(export_package(bank).data, "ward.zip")
    assert whole.bank == bank


def test_numbers_and_matchings_are_told_and_kept() -> None:
    made = export_package(bank_of(EVERY_KIND))
    assert [(p.code, p.message.split()[2], p.got) for p in made.problems] == [
        ("X413", "ward-bmi", "it asks for a number"),
        ("X413", "signs", "it is a matching"),
    ]


def test_an_item_that_stays_outside_keeps_its_file_and_the_others_are_read() -> None:
    manifest = MANIFEST.replace(
        "</resources>",
        '<resource identifier="s" type="imsqti_item_xmlv3p0" href="essay.xml"/></resources>',
    )
    choice = a_qti_item().decode()
    essay = choice.replace("qti-choice-interaction", "qti-upload-interaction")
    files = {"imsmanifest.xml": manifest.format(href="a.xml"), "a.xml": choice, "essay.xml": essay}
    found = import_package(packed(files), "mixed.zip")
    assert found.bank is not None
    assert [item.id for item in found.bank.items] == ["fat-soluble"]
    assert found.left_out == {"essay.xml": essay}
    assert [problem.code for problem in found.problems] == ["X414", "X406"]
    assert found.is_sound


def test_two_items_of_one_id_are_told() -> None:
    manifest = MANIFEST.replace(
        "</resources>",
        '<resource identifier="s" type="imsqti_item_xmlv3p0" href="b.xml"/></resources>',
    )
    item = a_qti_item()
    files: dict[str, str | bytes] = {"a.xml": item, "b.xml": item}
    files["imsmanifest.xml"] = manifest.format(href="a.xml")
    found = import_package(packed(files), "twice.zip")
    assert [(p.code, p.got) for p in found.problems if p.severity == "error"] == [
        ("X204", "fat-soluble")
    ]


def test_a_package_is_read_from_its_file_and_a_missing_one_is_told(tmp_path: Path) -> None:
    path = tmp_path / "bank.zip"
    assert [p.code for p in load_package(path).problems] == ["F111"]
    bank = bank_of(EVERY_KIND)
    path.write_bytes(export_package(bank).data)
    assert load_package(path).bank == bank


def entry(name: str, *, mode: int = 0, flags: int = 0) -> bytes:
    stream = BytesIO()
    info = ZipInfo(name)
    info.external_attr = mode << 16
    with ZipFile(stream, "w") as archive:
        archive.writestr(info, "x")
    data = bytearray(stream.getvalue())
    for mark, place in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + place] |= flags
    return bytes(data)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (entry("/etc/passwd"), "'/etc/passwd', which begins at the root of a disk"),
        (entry("C:/evil"), "'C:/evil', which begins at the root of a disk"),
        (entry("a/../../evil"), "'a/../../evil', which leads out of the package"),
        (entry("..\\evil"), "'..\\evil', with a backslash"),
        (entry("link", mode=stat.S_IFLNK | 0o777), "'link', which is a link"),
        (entry("pipe", mode=stat.S_IFIFO | 0o600), "'pipe', which is no ordinary file"),
        (entry("a/" * 13 + "x"), f"'{'a/' * 13}x', which is more than 12 folders deep"),
        (entry("secret", flags=1), "'secret', which is locked by a password"),
        (entry("inner.ZIP"), "'inner.ZIP', which is an archive itself"),
        (entry("a\u202eb"), "'a\u202eb', with a sign that cannot be seen"),
    ],
)
def test_a_file_that_is_not_safe_is_refused_before_anything_is_unpacked(
    data: bytes, reason: str
) -> None:
    archive, problems = open_archive(data, "evil.zip")
    assert archive is None
    assert [(p.code, p.got) for p in problems] == [("X411", reason)]


def test_too_many_files_are_refused() -> None:
    stream = BytesIO()
    with ZipFile(stream, "w") as archive:
        for number in range(MAX_FILES + 1):
            archive.writestr(ZipInfo(f"{number}"), b"")
    assert [(p.code, p.got) for p in open_archive(stream.getvalue(), "many.zip")[1]] == [
        ("X410", "10,001 files")
    ]


def test_many_files_that_are_small_packed_and_large_together_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(qti_archive, "MAX_UNPACKED", 100_000)
    data = packed({f"{number}.txt": "0" * 60_000 for number in range(2)})
    assert [p.got for p in open_archive(data, "a.zip")[1]] == ["120,000 bytes, unpacked"]


def with_lie_of_size(data: bytes) -> bytes:
    """Return an archive whose headers say that its first file is a hundred bytes."""
    lying = bytearray(data)
    for mark, place in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        at = lying.index(mark) + place
        lying[at : at + 4] = (100).to_bytes(4, "little")
    return bytes(lying)


def test_an_archive_that_lies_about_its_sizes_is_found_out_while_reading() -> None:
    archive, problems = open_archive(with_lie_of_size(packed({"a.xml": "0" * 900_000})), "a.zip")
    assert problems == ()
    assert archive is not None
    data, found = archive.read("a.xml")
    assert data == b""
    assert [problem.code for problem in found] == ["X401"]


def test_a_file_too_large_to_be_an_item_is_not_read_to_its_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    archive, _problems = open_archive(packed({"a.xml": "0" * 90_000}), "a.zip")
    assert archive is not None
    monkeypatch.setattr(qti_archive, "MAX_BYTES", 70_000)
    data, found = archive.read("a.xml")
    assert data == b""
    assert [(p.code, p.got) for p in found] == [("X410", "more than 90,000 bytes")]


def test_a_package_too_large_to_be_opened_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(qti_archive, "MAX_PACKED", 10)
    archive, found = open_archive(packed({"a.xml": "0"}), "a.zip")
    assert archive is None
    assert found[0].got.endswith("bytes, packed")


def test_a_package_made_of_a_folder_is_told_where_its_manifest_stands() -> None:
    found = import_package(packed({"quiz/imsmanifest.xml": "<manifest/>"}), "quiz.zip")
    assert [(p.code, p.got) for p in found.problems] == [
        ("X412", "it stands in a folder: quiz/imsmanifest.xml")
    ]


def test_a_manifest_without_items_or_that_is_no_xml_is_told() -> None:
    empty = import_package(packed({"imsmanifest.xml": "<manifest/>"}), "empty.zip")
    assert [(p.code, p.message) for p in empty.problems] == [("X412", "the manifest names no item")]
    broken = import_package(packed({"imsmanifest.xml": "<manifest>"}), "broken.zip")
    assert [p.code for p in broken.problems] == ["X403"]


def test_what_is_ours_in_a_package_may_be_broken_and_the_items_are_read_all_the_same() -> None:
    files = unpacked(export_package(bank_of(EVERY_KIND)).data)
    found = import_package(packed({**files, SIDECAR: b"bank: [\n"}), "broken.zip")
    assert found.bank is not None
    assert [item.id for item in found.bank.items] == ["iron-stores", "fat-soluble"]
    assert {p.code for p in found.problems} == {"F105", "X414"}


def cut_off(data: bytes) -> bytes:
    return data[: len(data) // 2]


def with_other_content(data: bytes) -> bytes:
    """Return a package whose manifest was changed after it was packed."""
    changed = bytearray(data)
    at = changed.index(b"imsmanifest.xml") + len("imsmanifest.xml") + 5
    changed[at] ^= 0xFF
    return bytes(changed)


@pytest.mark.parametrize("harm", [cut_off, with_other_content])
def test_a_damaged_package_is_told_in_one_message(harm: Callable[[bytes], bytes]) -> None:
    found = import_package(harm(export_package(bank_of(EVERY_KIND)).data), "damaged.zip")
    assert [problem.code for problem in found.problems if problem.code == "X401"] == ["X401"]


@cache
def every_kind_packed() -> bytes:
    return export_package(bank_of(EVERY_KIND)).data


@settings(max_examples=50, deadline=None)
@given(at=st.integers(0, 3000), byte=st.integers(0, 255))
def test_no_change_of_a_byte_raises(at: int, byte: int) -> None:
    changed = bytearray(every_kind_packed())
    changed[at] = byte
    found = import_package(bytes(changed), "changed.zip")
    assert found.bank is not None or found.problems


def test_several_answers_keep_the_order_of_their_options() -> None:
    bank = bank_of(EVERY_KIND)
    back = import_package(export_package(bank).data, "bank.zip").bank
    assert back is not None
    item = back.items[1]
    assert isinstance(item, SeveralAnswers)
    assert list(item.options) == ["a", "b", "c", "d"]
