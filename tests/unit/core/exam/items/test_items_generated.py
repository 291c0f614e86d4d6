"""What item models draw is an item that can be written to a file and read again."""

from __future__ import annotations

from comity.bank.resources import load_models
from comity.core.exam.item_models.generating import item_of_seed
from comity.core.exam.items import Bank
from comity.core.exam.items_generated import item_from_generated
from comity.files.dumping import dump_yaml
from comity.files.item_bank import load_blueprint, read_bank
from tests.unit.files.test_item_bank import OUTLINE


def test_a_draw_of_every_model_is_an_item_of_the_outline_that_reads_as_the_same() -> None:
    drawn = [item_of_seed(model, 7) for model in load_models().models]
    bank = Bank(bank="drawn", items=tuple(map(item_from_generated, drawn)))
    read = read_bank(dump_yaml(bank), "drawn.yaml", blueprint=load_blueprint(OUTLINE).value)
    assert read.problems == ()
    assert read.value == bank


def test_the_key_and_the_named_errors_come_along() -> None:
    drawn = item_of_seed(load_models().models[0], 7)
    item = item_from_generated(drawn)
    assert item.options[item.answer] == drawn.key.text
    assert set(item.errors.values()) == {o.error for o in drawn.options if not o.is_key}
    assert item.generated is not None
    assert (item.generated.model, item.generated.seed) == (drawn.model, 7)
