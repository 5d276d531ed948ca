/* The water jet: flow, velocity and power from pressure and orifice.
 *
 * Basis: Bernoulli and continuity at ambient density (US form of the velocity: Water Jet Conference
 * proceedings, printed p. 175, eqs 4-14, published); the compressibility coefficient is recalled, Hashish, J.
 * Eng. Mater. Technol. 111 (1989) 154-162, and agrees within 0.1 % with an IAPWS-95 enthalpy balance. All
 * functions are pure; a pressure or bore that is not known (NaN) gives NaN. */
#ifndef SANDGLASS_JET_H
#define SANDGLASS_JET_H

#define SG_WATER_DENSITY 1000.0 /* kg/m3, ambient */

/* Flow in L/min of one orifice: Cd pi/4 do^2 sqrt(2 P / rho). pressure in MPa, bore in mm. Cd is measured at
 * ambient density and already holds compressibility: do not multiply by sg_jet_compressibility. */
double sg_jet_flow(double pressure, double orifice, double discharge);

/* Jet velocity in m/s: psi sqrt(2 P / rho). */
double sg_jet_velocity(double pressure);

/* psi, the velocity of the compressible jet over Bernoulli's; L = 300 MPa, n = 0.1368. 1 at pressure 0. */
double sg_jet_compressibility(double pressure);

/* Hydraulic power of the jet in kW: P Q, with flow in L/min. Shaft power is this over the pump's efficiency.
 */
double sg_jet_power(double pressure, double flow);

/* Force in N on a sheet that stops the jet, ideal flow: (pi/2) do^2 P. */
double sg_jet_thrust(double pressure, double orifice);

/* Garnet over water, by mass: Ma / (rho Q). garnet in g/min, flow in L/min of the same head. */
double sg_loading_ratio(double garnet, double flow);

#endif
