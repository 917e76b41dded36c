"""Pure formulas, one chapter per file: no reading of files, no pictures, no widgets."""
