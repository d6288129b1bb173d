"""Pure core: lay out, then paint. One description goes to SVG for the page and to PDF for paper."""
