"""YAML rules to experta rules: layers, compiling, firing, one wall evaluated."""
