from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator

from comity.demo.caseload import demo_applicants
from comity.files.applicants import LoadedApplicant, read_applicant
from comity.service.applicant_json import applicant_as_json
from comity.service.rulebooks import applicant_schema

APPLICANTS = demo_applicants()
SCHEMA = Draft202012Validator(applicant_schema())


@pytest.mark.parametrize("loaded", APPLICANTS, ids=lambda each: each.file[11:-5])
def test_the_plain_data_reads_back_as_the_same_applicant(loaded: LoadedApplicant) -> None:
    """JSON is YAML, so the reader of files can read it."""
    assert loaded.applicant is not None
    plain = applicant_as_json(loaded.applicant)
    again = read_applicant(json.dumps(plain, ensure_ascii=False), "x.yaml")
    assert again.applicant == loaded.applicant, again.problems


def test_it_follows_the_published_schema() -> None:
    for loaded in APPLICANTS:
        assert loaded.applicant is not None
        errors = [each.message for each in SCHEMA.iter_errors(applicant_as_json(loaded.applicant))]
        assert errors == []


def test_only_what_was_said_is_in_it() -> None:
    applicant = read_applicant("applicant: x\nfacts: {practice: []}\n", "x.yaml").applicant
    assert applicant is not None
    assert applicant_as_json(applicant) == {"applicant": "x", "facts": {"practice": []}}
