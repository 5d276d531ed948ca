/* Piercing: seconds until the jet is through. All constants are estimates with an error of a factor of 3;
 * they are fields of the machine, to be calibrated first. */
#ifndef SANDGLASS_PIERCE_H
#define SANDGLASS_PIERCE_H

/* t0 + kappa h / u_sep: base in s, factor without unit, height in mm, separation in mm/min at the pressure of
 * the pierce. With a factor of 0 (drilled) the speed does not matter and may be not known. */
double sg_pierce_time(double base, double factor, double height, double separation);

/* Water-only head: 0.5 s + h / u, traverse in mm/min. */
double sg_pierce_time_water(double height, double traverse);

#endif
