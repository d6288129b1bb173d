"""Whether given cuts can be cut from given rolls: found, disproved by weights, or disproved by trying."""
