"""Where numbers cross the border: text with a unit in, SI floats out, and back again for people.

Inside the house every number is an SI float with its unit in the name (``length_m``,
``area_mm2`` being the one customary exception, as conductors are sold by mm²). Forms, sheets
and readings speak feet, inches, °F, mA and so on; this module is the only place that knows them.
"""
