"""Legal categories of electric bicycles, as dated rules over a few stated figures.

A result says where a bike would fall *on the figures given*, or that the figures given are not
enough. It never says that a bike is legal: where it may be ridden, by whom, and with what plate,
insurance or helmet is local law. One region's result implies nothing about another's.
"""
