"""From what an item model drew to an item that a form can hold."""

from __future__ import annotations

from string import ascii_lowercase
from typing import TYPE_CHECKING

from comity.core.declaring.texts import slug
from comity.core.exam.items import BestAnswer, Generated, Level

if TYPE_CHECKING:
    from comity.core.exam.item_models.item import GeneratedItem


def item_from_generated(drawn: GeneratedItem) -> BestAnswer:
    """Return what a model drew as an item with one best answer.

    The stem ends with the lines to go by, and the explanation is the worked solution; cautions
    are shown wherever an item goes, and are no part of it.
    """
    by_id = dict(zip(ascii_lowercase, drawn.options, strict=False))
    return BestAnswer(
        id=slug(drawn.id),
        domain=drawn.domain,
        level=Level(drawn.level),
        stem="\n".join((drawn.stem, *drawn.use)),
        explanation="\n".join(drawn.solution) or None,
        source=drawn.source,
        author=drawn.author,
        generated=Generated(
            model=drawn.model,
            version=drawn.version,
            seed=drawn.seed,
            draw=drawn.draw,
            equations=drawn.equations,
        ),
        options={id_: option.text for id_, option in by_id.items()},
        answer=next(id_ for id_, option in by_id.items() if option.is_key),
        errors={id_: option.error for id_, option in by_id.items() if option.error is not None},
    )
