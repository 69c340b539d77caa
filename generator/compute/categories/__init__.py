"""Legal categories of electric bicycles, as dated rules over a few stated figures.

A result says where a bike would fall *on the figures given*, or that the figures given are not
enough. It never says that a bike is legal: where it may be ridden, by whom, and with what plate,
insurance or helmet is local law. One region's result implies nothing about another's.
"""

from generator.compute.categories.japan import ratio_limit, ratio_limit_before_2008
from generator.compute.categories.judge import NOTICE, RULES, applies, judge, judge_all
from generator.compute.categories.model import INPUT_WORDS, Category, Inputs, Result, Rule

__all__ = [
    "INPUT_WORDS",
    "NOTICE",
    "RULES",
    "Category",
    "Inputs",
    "Result",
    "Rule",
    "applies",
    "judge",
    "judge_all",
    "ratio_limit",
    "ratio_limit_before_2008",
]
