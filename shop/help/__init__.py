"""The in-app help: how the work goes, the circuit sheet, every finding, the basis of every figure."""
