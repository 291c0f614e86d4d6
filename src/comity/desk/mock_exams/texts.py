"""Sheets to begin with: a bank of one item, and a small item model."""

from __future__ import annotations

from typing import Final

BLANK_BANK: Final = """\
# Items of your own. Lines that begin with # are remarks; everything below is an example.
bank: my-items
title: My items
author: your name
items:
  - id: iron-stores
    domain: assessment
    level: recall
    stem: Which measure falls first when iron stores run out?
    options:
      a: Ferritin
      b: Transferrin
      c: Haemoglobin
    answer: a
    errors:
      b: takes the carrier for the store
      c: waits until the store is empty
    explanation: Ferritin follows the store; haemoglobin falls once the store is empty.
    source: WHO ferritin guideline, 2020
"""

BLANK_MODEL: Final = """\
# A calculation that is asked with other numbers each time. Everything below is an example.
model: my-body-mass-index
version: 1
title: Body-mass index from weight and height
group: A
domain: assessment
level: apply
life_stage: adult
source: WHO, Obesity, Technical Report Series 894, 2000
parameters:
  height: {from: 158, to: 178, unit: cm}
  weight: {from: 50, to: 95, unit: kg}
values:
  metres: {formula: height / 100, unit: m, places: 2}
stem: An invented adult of {height} weighs {weight}. What is the body-mass index?
key: {formula: "bmi(weight_kg = weight, height_cm = height)", unit: kg/m², places: 1}
solution:
  - "Height in metres: {height} ÷ 100 = {metres}."
  - "Body-mass index = {weight} ÷ ({metres} × {metres}) = {key}."
distractors:
  - {formula: weight / metres, family: step omitted, error: height not squared}
  - {formula: metres ^ 2 / weight * 1000, family: inverted ratio, error: height over weight}
  - {formula: weight / (metres * 0.9) ^ 2, family: unit, error: height read a tenth too low}
"""
