"""Bad applicant files and rulebooks as people and programs really make them."""

from __future__ import annotations

from typing import Final

RULEBOOK: Final = """\
rulebook: "2026"
authority: {id: xa-council, name: Council of Xandria, country: XA}
read: 2026-05-01
wholly_read: yes
fictional: yes
titles:
  - id: dietitian
    name: Dietitian
    profession: "2265"
    requires:
      - id: age
        label: Twenty-one years of age
        kind: age
        at_least: 21 years
        source: {document: Rules of registration, section: "4"}
"""
APPLICANT: Final = """\
applicant: amara-n
name: Amara N.
facts:
  person: {born: 1990-05-06}
"""
LEFT_TO_THE_COUNCIL: Final = RULEBOOK.replace(
    "        kind: age\n        at_least: 21 years\n",
    "        kind: refer\n        decided_by: the Council's panel\n",
)
SPELL: Final = "applicant: amara-n\nfacts:\n  practice:\n    - {id: post-1, country: XA, "
BILLION: Final = "\n".join(
    ["a: &a [x, x, x, x, x, x, x, x, x]"]
    + [
        f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]"
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    ]
)
RING: Final = RULEBOOK.replace(
    "requires:",
    """deems:
      - {id: one, label: One, when: {kind: same as, requirement: age}, satisfies: [age]}
    requires:""",
)

BAD_APPLICANTS: Final[dict[str, tuple[bytes, str]]] = {
    "empty": (b"", "F101"),
    "only a comment": (b"# nothing\n", "F101"),
    "a list": (b"- applicant: amara-n\n", "F201"),
    "tabs": (b"applicant: amara-n\nfacts:\n\tperson: {}\n", "F104"),
    "duplicate keys": (b"applicant: amara-n\nname: A\nname: B\n", "F106"),
    "an anchor": (b"applicant: &a amara-n\nname: *a\n", "F107"),
    "a billion laughs": (BILLION.encode(), "F107"),
    "10 MB of nesting": (b"[" * 10_000_000, "F109"),
    "deep nesting": (b"a: " + b"[" * 5_000, "F110"),
    "Latin-1": ("applicant: amara-n\nname: José\n".encode("latin-1"), "F102"),
    "31 February": (f"{SPELL}start: 2020-02-31}}\n".encode(), "F413"),
    "end before start": (f"{SPELL}start: 2020-03-01, end: 2019-01-01}}\n".encode(), "F302"),
    "negative hours": (f"{SPELL}hours_a_week: -3}}\n".encode(), "F406"),
    "unknown key": (f"{SPELL}starts: 2020-01-01}}\n".encode(), "F202"),
    "unknown country": (
        b"applicant: amara-n\nfacts:\n  person: {residence: QX9}\n",
        "F409",
    ),
    "unknown currency": (
        b"applicant: amara-n\npreferences: {savings_a_month: 100 QQQ}\n",
        "F408",
    ),
    "a rulebook": (RULEBOOK.encode(), "F207"),
    "binary": (b"\x00\x01\x02PNG", "F103"),
}
"""What stands in the file, and the code of the problem."""

BAD_RULEBOOKS: Final[dict[str, tuple[bytes, str]]] = {
    "empty": (b"", "F101"),
    "a list": (b"- rulebook: x\n", "F201"),
    "unknown kind": (RULEBOOK.replace("kind: age", "kind: ages").encode(), "F205"),
    "a ring through deems": (RING.encode(), "R119"),
    "an applicant": (APPLICANT.encode(), "F207"),
    "unknown country": (RULEBOOK.replace("country: XA", "country: QQQ").encode(), "F409"),
    "no title": (RULEBOOK.split("titles:", maxsplit=1)[0].encode() + b"titles: []\n", "F303"),
}
