"""The API keeps to its description, whatever is sent: cases generated from it by Schemathesis.

Each answer is held against the status, media type, headers and shape that the description promises;
what the description forbids has to be refused, and nothing may break.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pytest
import schemathesis
from django.core.wsgi import get_wsgi_application
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from comity.desk.api.site import api
from comity.store import audit
from comity.store.cases import add_action, add_note
from comity.store.models import Account, Case
from tests.desk.editions import kept

if TYPE_CHECKING:
    from schemathesis import APIOperation

    Operation = APIOperation[Any, Any, Any, Any]
    from tests.desk.api.conftest import Program


def what_is_forbidden_is_refused(
    ctx: schemathesis.CheckContext, response: schemathesis.Response, case: schemathesis.Case[Any]
) -> bool | None:
    """Hold Schemathesis' own check, which does not count a failed precondition as a refusal."""
    if response.status_code == 412:
        return None
    return negative_data_rejection(ctx, response, case)


CHECKS = [
    what_is_forbidden_is_refused,
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]
# The token is ours, not a generated one: who gets in is tested elsewhere.
CONFIG = schemathesis.Config.from_dict({"generation": {"with-security-parameters": False}})
SCHEMA = schemathesis.openapi.from_dict(api.get_openapi_schema(), config=CONFIG)
SCHEMA.app = get_wsgi_application()
OPERATIONS = [each.ok() for each in SCHEMA.get_all_operations() if isinstance(each, Ok)]
IDS = [each.label for each in OPERATIONS]
N_EXAMPLES = 6
N_EXAMPLES_OF_THE_SOAK = 100


@pytest.fixture
def known(case: Case, adviser: Account) -> dict[str, Any]:
    """Return parts of addresses that lead somewhere."""
    edition = kept("XB", "2026")
    add_note(case, "A note.", actor=adviser)
    action = add_action(case, "Ask for the diploma", actor=adviser)
    return {
        "case_id": str(case.pk),
        "action_id": action.pk,
        "section": "practice",
        "entry": "centre",
        "authority": edition.authority,
        "edition": edition.edition,
    }


def held_against_the_description(
    operation: Operation, *, token: str, known: dict[str, Any], n_examples: int
) -> None:
    """Send generated requests; half of them to addresses that lead somewhere."""
    names = {each.name for each in operation.path_parameters}
    here = {name: value for name, value in known.items() if name in names}
    newest = partial(newest_version, case_id=known["case_id"])
    strategies = [
        operation.as_strategy(path_parameters=here or None).map(newest),
        operation.as_strategy().map(newest),
    ]
    if operation.body or operation.query:
        strategies.append(
            operation.as_strategy(GenerationMode.NEGATIVE, path_parameters=here or None)
        )

    @settings(
        max_examples=n_examples,
        deadline=None,
        database=None,
        derandomize=True,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    @given(generated=st.one_of(strategies))
    def sent(generated: schemathesis.Case[Any]) -> None:
        # An empty list would not be sent at all, and so be no other request.
        assume(all(value not in ([], {}) for value in (generated.query or {}).values()))
        generated.call_and_validate(headers={"Authorization": f"Bearer {token}"}, checks=CHECKS)

    sent()


def newest_version(generated: schemathesis.Case[Any], *, case_id: str) -> schemathesis.Case[Any]:
    """Let a body that names a version name the one there is, so that the change is tried."""
    body = generated.body
    if isinstance(body, dict) and isinstance(body.get("version"), int):
        body["version"] = Case.objects.get(pk=case_id).version
        if generated.headers:
            generated.headers.pop("If-Match", None)
    return generated


@pytest.mark.parametrize("operation", OPERATIONS, ids=IDS)
def test_answers_are_what_the_description_promises(
    operation: Operation, known: dict[str, Any], owner: Account, program: Program
) -> None:
    token = str(program(owner).token)
    held_against_the_description(operation, token=token, known=known, n_examples=N_EXAMPLES)
    assert audit.verify().is_sound


@pytest.mark.soak
@pytest.mark.parametrize("operation", OPERATIONS, ids=IDS)
def test_answers_are_what_the_description_promises_many_times(
    operation: Operation, known: dict[str, Any], owner: Account, program: Program
) -> None:
    token = str(program(owner).token)
    held_against_the_description(
        operation, token=token, known=known, n_examples=N_EXAMPLES_OF_THE_SOAK
    )
    assert audit.verify().is_sound


def test_the_description_is_one_by_the_rules_of_openapi() -> None:
    """Hold it against the schema of OpenAPI 3.1, which Schemathesis carries."""
    SCHEMA.validate()
    wrong = {**api.get_openapi_schema(), "paths": {"/x": {"get": {"responses": 3}}}}
    with pytest.raises(Exception, match="is not of type"):
        schemathesis.openapi.from_dict(wrong).validate()
