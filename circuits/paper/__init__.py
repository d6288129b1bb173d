"""The page kit of every PDF: frame, title block, fonts, tables."""
