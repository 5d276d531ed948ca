/* The definitions that the US units are built from, all exact: the international yard and pound agreement of
 * 1959, the standard gravity of 1901, the gallon of 231 cubic inches. */
#ifndef SANDGLASS_DEFINITIONS_H
#define SANDGLASS_DEFINITIONS_H

#define INCH_MM 25.4L
#define FOOT_MM (12 * INCH_MM)
#define POUND_KG 0.45359237L
#define GRAVITY_M_S2 9.80665L
#define GALLON_L 3.785411784L
/* 550 foot pounds of force a second, in kW */
#define HORSEPOWER_KW (550 * FOOT_MM * POUND_KG * GRAVITY_M_S2 / 1e6L)
/* a pound of force on a square inch, in N/mm2, which is MPa */
#define PSI_MPA (POUND_KG * GRAVITY_M_S2 / (INCH_MM * INCH_MM))

#endif
