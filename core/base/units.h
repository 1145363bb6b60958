/* Conversions, target first. Exact where the definition is exact (SP 811: NIST Special Publication 811, 2008). */
#ifndef CORE_BASE_UNITS_H
#define CORE_BASE_UNITS_H

static inline double K_from_C(double t) { return t + 273.15; }
static inline double C_from_K(double t) { return t - 273.15; }
static inline double K_from_F(double t) { return (t + 459.67) / 1.8; }
static inline double F_from_K(double t) { return t * 1.8 - 459.67; }
static inline double delta_K_from_F(double d) { return d / 1.8; }
static inline double delta_F_from_K(double d) { return d * 1.8; }
static inline double m3_from_L(double v) { return v * 1e-3; }
static inline double L_from_m3(double v) { return v * 1e3; }
static inline double m3_from_gal(double v) { return v * 3.785411784e-3; } /* US gallon = 231 in3, exact */
static inline double gal_from_m3(double v) { return v / 3.785411784e-3; }
static inline double m3_s_from_L_min(double q) { return q / 60e3; }
static inline double L_min_from_m3_s(double q) { return q * 60e3; }
static inline double m_from_in(double d) { return d * 0.0254; } /* exact */
static inline double in_from_m(double d) { return d / 0.0254; }
static inline double m_from_ft(double d) { return d * 0.3048; } /* exact */
static inline double ft_from_m(double d) { return d / 0.3048; }
static inline double kg_from_lb(double m) { return m * 0.45359237; } /* exact */
static inline double lb_from_kg(double m) { return m / 0.45359237; }
static inline double J_from_kWh(double e) { return e * 3.6e6; }
static inline double kWh_from_J(double e) { return e / 3.6e6; }
static inline double J_from_Btu(double e) { return e * 1055.05585262; } /* International Table */
static inline double Btu_from_J(double e) { return e / 1055.05585262; }
static inline double J_from_therm(double e) { return e * 105505585.262; } /* 100,000 Btu(IT) */
static inline double therm_from_J(double e) { return e / 105505585.262; }
static inline double W_from_Btu_h(double p) { return p * 1055.05585262 / 3600.0; }
static inline double Btu_h_from_W(double p) { return p * 3600.0 / 1055.05585262; }
static inline double Pa_from_psi(double p) { return p * 6894.757293168; }
static inline double psi_from_Pa(double p) { return p / 6894.757293168; }
static inline double s_from_day(double d) { return d * 86400.0; }
static inline double day_from_s(double s) { return s / 86400.0; }
static inline double mol_from_mg_caco3(double mg) { return mg / 100086.9; } /* molar mass of CaCO3 100.0869 g */
static inline double mg_caco3_from_mol(double n) { return n * 100086.9; }
static inline double mg_L_caco3_from_gpg(double g) { return g * 17.1181; } /* grain per US gallon: 64.79891 mg in 3.785411784 L */
static inline double gpg_from_mg_L_caco3(double c) { return c / 17.1181; }

#endif
