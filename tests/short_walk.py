"""A short ruleset to walk by: five questions, two faults, a deal-breaker, a caution for safety."""

from __future__ import annotations

__all__ = ["RULES"]

RULES = """\
ruleset "A short walk"
    currency USD

station "At home"
    danger "Somebody knows where you are."

ask asking: money from $0 to $20,000
    "What does the seller ask?"
    takes  0.2 min

station "At the car"

ask body: one of hatch, coupe, convertible
    "What kind of body is it?"
    how    "As it stands before you."
    why    "It decides which questions follow."
    takes  0.2 min
    usually hatch 60%, coupe 20%, convertible 20%
    unsure assume hatch

ask rust: one of none, surface, holes
    "Where does it rust?"
    takes  1 min
    usually none 60%, surface 30%, holes 10%
    fine   none
    unsure assume surface
    refused assume holes

ask tread: in from 0 in to 1 in
    "How deep is the shallowest tread?"
    takes  1 min
    usually 1/32 in .. 5/32 in .. 10/32 in
    unsure assume 3/32 in

ask top: one of sound, torn
    "And its top?"
    takes  0.5 min
    usually sound 80%, torn 20%
    fine   sound
    unsure assume sound
    only when body is convertible, else sound

setting highest_offer = $9,000
    source house figure

fault worn_tires when tread < 3/32 in
    "Worn tires"
    parts  $240
    shop   $0
    labor  1 h
    wait   1 day
    must be fixed
    source house figure

fault torn_top when top is torn
    "Torn top"
    parts  $400
    shop   $0
    labor  6 h
    wait   5 days
    must be fixed
    source house figure

let profit = $4,000 - offer - sum(parts)

refuse holed when rust is holes
    because "A holed shell is not repaired in a driveway."
    source common practice

caution thin_tires when tread < 2/32 in
    because "On these tires nobody drives it."
    source "49 CFR 570.9"
    for safety

require pays: profit >= $800
    because "Below this the weekend is better spent."
    source house figure

verdict
    buy         when ceiling >= asking
    renegotiate when ceiling >= 80% * asking
    pass        otherwise
    source common practice
"""
