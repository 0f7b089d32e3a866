"""Charts made of what the engines gave: no formulas, only lines, words and colours."""
