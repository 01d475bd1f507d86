"""Rules as data: expressions, limits, layers and their folding, evaluation of one rule, cases and their proof."""
