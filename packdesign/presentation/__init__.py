"""Words and pictures: command line, page, drawings, printable sheet, exports. No formulas."""
