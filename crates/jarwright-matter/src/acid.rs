//! Acids of food: molar masses, dissociation steps and how these move with temperature.

use jarwright_figure::{Equation, OutOfRange};

use crate::MatterError;

/// Temperature law of a dissociation step.
pub static PK_LADDER: Equation = Equation {
    key: "pk-temperature",
    title: "Dissociation constant at a temperature",
    text: "ln K(T) = ln K_25 - Delta H/R (1/T - 1/298.15) + Delta C_p/R (298.15/T - 1 + ln(T/298.15))",
    source: "goldberg_2002",
};

/// Molar gas constant [J/(mol K)] (CODATA 2018).
const GAS_J_MOL_K: f64 = 8.314_462_618;
/// Reference temperature of the constants [K].
const REFERENCE_K: f64 = 298.15;
/// 0 °C [K].
const ZERO_C_K: f64 = 273.15;

/// How many acids a [`crate::Food`] counts.
pub const ACIDS: usize = 14;

/// An acid a food may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Acid {
    /// Citric acid, of citrus and most berries.
    Citric,
    /// Malic acid, of apples and stone fruit.
    Malic,
    /// Tartaric acid, of grapes and tamarind.
    Tartaric,
    /// Acetic acid, of vinegar.
    Acetic,
    /// Lactic acid, of ferments and soured milk.
    Lactic,
    /// Ascorbic acid.
    Ascorbic,
    /// Phosphoric acid.
    Phosphoric,
    /// Carbonic acid and dissolved carbon dioxide, with bicarbonate.
    Carbonic,
    /// Oxalic acid, of rhubarb.
    Oxalic,
    /// Succinic acid, of ferments and unripe fruit.
    Succinic,
    /// Benzoic acid, a preservative and of cranberries.
    Benzoic,
    /// Sorbic acid, a preservative.
    Sorbic,
    /// Phthalic acid, of the pH 4 standard; not in food.
    Phthalic,
    /// Boric acid, of the pH 9 standard; not in food.
    Boric,
}

/// One dissociation step at 25 °C and zero ionic strength, molal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// pK.
    pub pk: f64,
    /// Enthalpy of dissociation [J/mol].
    pub dh_j_mol: f64,
    /// Change of heat capacity [J/(mol K)]; 0 where none is known.
    pub dcp_j_mol_k: f64,
}

pub(crate) const fn step(pk: f64, dh_kj_mol: f64, dcp_j_mol_k: f64) -> Step {
    Step {
        pk,
        dh_j_mol: dh_kj_mol * 1000.0,
        dcp_j_mol_k,
    }
}

impl Acid {
    /// Every acid, in the order of [`crate::Food::acid_mol`].
    pub const ALL: [Self; ACIDS] = [
        Self::Citric,
        Self::Malic,
        Self::Tartaric,
        Self::Acetic,
        Self::Lactic,
        Self::Ascorbic,
        Self::Phosphoric,
        Self::Carbonic,
        Self::Oxalic,
        Self::Succinic,
        Self::Benzoic,
        Self::Sorbic,
        Self::Phthalic,
        Self::Boric,
    ];

    /// Place in [`crate::Food::acid_mol`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The acid as people name it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Citric => "citric acid",
            Self::Malic => "malic acid",
            Self::Tartaric => "tartaric acid",
            Self::Acetic => "acetic acid",
            Self::Lactic => "lactic acid",
            Self::Ascorbic => "ascorbic acid",
            Self::Phosphoric => "phosphoric acid",
            Self::Carbonic => "carbonic acid",
            Self::Oxalic => "oxalic acid",
            Self::Succinic => "succinic acid",
            Self::Benzoic => "benzoic acid",
            Self::Sorbic => "sorbic acid",
            Self::Phthalic => "phthalic acid",
            Self::Boric => "boric acid",
        }
    }

    /// Molar mass [kg/mol] of the anhydrous acid.
    ///
    /// # Source
    /// `iupac_atomic_weights`.
    #[must_use]
    pub const fn molar_mass_kg_mol(self) -> f64 {
        match self {
            Self::Citric => 0.192_124,
            Self::Malic => 0.134_087,
            Self::Tartaric => 0.150_086,
            Self::Acetic => 0.060_052,
            Self::Lactic => 0.090_078,
            Self::Ascorbic => 0.176_124,
            Self::Phosphoric => 0.097_994,
            Self::Carbonic => 0.062_024,
            Self::Oxalic => 0.090_034,
            Self::Succinic => 0.118_088,
            Self::Benzoic => 0.122_123,
            Self::Sorbic => 0.112_128,
            Self::Phthalic => 0.166_132,
            Self::Boric => 0.061_831,
        }
    }

    /// Dissociation steps, strongest first.
    ///
    /// # Source
    /// `goldberg_2002` (from memory, seen in `nist_46` for all but the heat capacities; the third
    /// step of phosphoric acid is `nist_46`'s), malic
    /// `eden_bates_1959`; lactic, ascorbic and sorbic from tables without temperature terms, so
    /// their pK is taken as constant (lactic: enthalpy only).
    #[must_use]
    pub const fn steps(self) -> &'static [Step] {
        match self {
            Self::Citric => {
                const {
                    &[
                        step(3.128, 4.07, -131.0),
                        step(4.761, 2.23, -178.0),
                        step(6.396, -3.38, -254.0),
                    ]
                }
            }
            Self::Malic => const { &[step(3.459, 2.96, -155.0), step(5.097, -1.18, -221.0)] },
            Self::Tartaric => const { &[step(3.036, 3.19, -147.0), step(4.366, 0.93, -218.0)] },
            Self::Acetic => const { &[step(4.756, -0.41, -142.0)] },
            Self::Lactic => const { &[step(3.86, -0.33, 0.0)] },
            Self::Ascorbic => const { &[step(4.17, 0.0, 0.0)] },
            Self::Phosphoric => {
                const {
                    &[
                        step(2.148, -8.0, -141.0),
                        step(7.198, 3.6, -230.0),
                        step(12.375, 15.0, -242.0),
                    ]
                }
            }
            Self::Carbonic => const { &[step(6.351, 9.15, -371.0), step(10.329, 14.7, -249.0)] },
            Self::Oxalic => const { &[step(1.27, -3.9, -231.0), step(4.266, 7.0, -231.0)] },
            Self::Succinic => const { &[step(4.207, 3.0, -121.0), step(5.636, -0.5, -217.0)] },
            Self::Benzoic => const { &[step(4.204, 0.46, 0.0)] },
            Self::Sorbic => const { &[step(4.76, 0.0, 0.0)] },
            Self::Phthalic => const { &[step(2.95, -2.7, -91.0), step(5.408, -2.17, -295.0)] },
            Self::Boric => const { &[step(9.237, 13.8, -240.0)] },
        }
    }
}

/// How a step's constant moves from 25 °C to a temperature: the two factors all steps share.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shift {
    enthalpy: f64,
    heat_capacity: f64,
}

impl Shift {
    /// Factors at `at_c` [°C], 0 to 100.
    pub(crate) fn to(at_c: f64) -> Result<Self, MatterError> {
        let at_k = OutOfRange::check("temperature", at_c, 0.0, 100.0, "°C", "goldberg_2002")? + ZERO_C_K;
        Ok(Self {
            enthalpy: -(1.0 / at_k - 1.0 / REFERENCE_K) / GAS_J_MOL_K,
            heat_capacity: (REFERENCE_K / at_k - 1.0 + (at_k / REFERENCE_K).ln()) / GAS_J_MOL_K,
        })
    }

    /// Natural logarithm of a step's constant.
    pub(crate) fn ln_k(self, step: &Step) -> f64 {
        -step.pk * std::f64::consts::LN_10 + step.dh_j_mol * self.enthalpy + step.dcp_j_mol_k * self.heat_capacity
    }
}

impl Step {
    /// pK at a temperature.
    ///
    /// ```text
    /// ln K(T) = ln K25 - dH/R (1/T - 1/298.15) + dCp/R (298.15/T - 1 + ln(T/298.15))
    /// ```
    ///
    /// * `at_c`: temperature [°C], 0 to 100. The law was fitted up to 77 °C: above that it
    ///   extrapolates.
    ///
    /// # Errors
    /// [`OutOfRange`] outside that.
    ///
    /// # Source
    /// `goldberg_2002`.
    pub fn pk_at(&self, at_c: f64) -> Result<f64, MatterError> {
        Ok(-Shift::to(at_c)?.ln_k(self) / std::f64::consts::LN_10)
    }
}

/// Ion product of water as a step.
///
/// # Source
/// `goldberg_2002`, from memory.
const WATER: Step = step(13.995, 55.81, -224.6);

/// Negative decimal logarithm of water's ion product at a temperature.
///
/// * `at_c`: temperature [°C], 0 to 100
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `goldberg_2002`.
pub fn pk_water(at_c: f64) -> Result<f64, MatterError> {
    WATER.pk_at(at_c)
}

pub(crate) const fn water_step() -> &'static Step {
    &WATER
}

/// A kind of charged group on protein, as it stands in a food at its own ionic strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideChain {
    /// Carboxyl of aspartate.
    Aspartate,
    /// Carboxyl of glutamate.
    Glutamate,
    /// Imidazole of histidine.
    Histidine,
    /// Amine of lysine.
    Lysine,
    /// Second step of a phosphate ester.
    PhosphateEster,
}

impl SideChain {
    /// pK of the group in protein at 25 °C; used at every temperature.
    ///
    /// # Source
    /// `protein_side_chains`, from memory.
    #[must_use]
    pub const fn pk(self) -> f64 {
        match self {
            Self::Aspartate => 4.0,
            Self::Glutamate => 4.4,
            Self::Histidine => 6.5,
            Self::Lysine => 10.4,
            Self::PhosphateEster => 6.0,
        }
    }
}

/// Share of aspartate among the side-chain carboxyls of egg: 9.2 of 19.7 mmol/100 g in white,
/// 11.6 of 25.0 in yolk (`usda_sr28`, NDB 01124 and 01125).
pub(crate) const ASPARTATE_SHARE: f64 = 0.465;

/// Debye-Hückel slope A [(kg/mol)^½] for decimal logarithms.
///
/// ```text
/// A = 1.8248e6 rho^½ / (eps T)^(3/2)
/// ```
///
/// Interpolated over the temperatures at which it was computed from IAPWS density and
/// permittivity.
///
/// * `at_c`: temperature [°C], 0 to 100
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// # Source
/// `iapws_permittivity`.
pub fn debye_huckel_a(at_c: f64) -> Result<f64, MatterError> {
    const TABLE: [(f64, f64); 9] = [
        (0.0, 0.4904),
        (5.0, 0.4939),
        (20.0, 0.5055),
        (25.0, 0.5098),
        (40.0, 0.5237),
        (60.0, 0.5453),
        (80.0, 0.5704),
        (90.0, 0.5842),
        (100.0, 0.5988),
    ];
    OutOfRange::check("temperature", at_c, 0.0, 100.0, "°C", "iapws_permittivity")?;
    let after = TABLE
        .iter()
        .position(|&(c, _)| at_c <= c)
        .unwrap_or(TABLE.len() - 1)
        .max(1);
    let ((c0, a0), (c1, a1)) = (TABLE[after - 1], TABLE[after]);
    Ok(a0 + (a1 - a0) * (at_c - c0) / (c1 - c0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_acid_stands_at_its_own_place() {
        for (place, acid) in Acid::ALL.iter().enumerate() {
            assert_eq!(acid.index(), place);
        }
    }

    #[test]
    fn steps_weaken_down_every_ladder() {
        for acid in Acid::ALL {
            assert!(acid.steps().windows(2).all(|two| two[0].pk < two[1].pk), "{acid:?}");
        }
    }

    #[test]
    fn malic_steps_follow_the_measured_temperature_law() -> Result<(), MatterError> {
        // Eden & Bates 1959: -log K1 = 1358.85/T - 5.1382 + 0.013550 T, and its second step.
        for at_c in [0.0, 10.0, 25.0, 40.0, 50.0] {
            let t = at_c + 273.15;
            let steps = Acid::Malic.steps();
            let first = 1358.85 / t - 5.1382 + 0.013_550 * t;
            let second = 1658.53 / t - 6.2364 + 0.019_353 * t;
            assert!((steps[0].pk_at(at_c)? - first).abs() < 0.003, "{at_c}");
            assert!((steps[1].pk_at(at_c)? - second).abs() < 0.003, "{at_c}");
        }
        Ok(())
    }

    #[test]
    fn a_temperature_outside_the_law_is_refused() {
        assert!(Acid::Citric.steps()[0].pk_at(-1.0).is_err());
        assert!(debye_huckel_a(f64::NAN).is_err());
        assert!(debye_huckel_a(0.0).is_ok_and(|a| (a - 0.4904).abs() < 1e-12));
    }
}
