//! The changes heat makes in what people put in jars, each by a law of its own.

use jarwright_figure::{Equation, Mark};

use crate::rate_law::{Fit, Order, RateLaw};

/// Registry entry of [`Change::YolkSets`].
pub static YOLK_SETS: Equation = Equation {
    key: "yolk-sets",
    title: "Egg yolk setting",
    text: "first order, k = 0.0040/s at 70 °C, E = 470 kJ/mol; above 75 °C as at 75 °C",
    source: "vega_mercade_prieto_2011",
};

/// Registry entry of [`Change::EggCurdles`].
pub static EGG_CURDLES: Equation = Equation {
    key: "egg-curdles",
    title: "Egg scrambling: egg white clumping",
    text: "first order, k = 0.033/s at 88 °C (white thickens there in a scan), E = 430 kJ/mol",
    source: "photchanachai_2002",
};

/// Registry entry of [`Change::AscorbicAcidLost`].
pub static ASCORBIC_ACID_LOST: Equation = Equation {
    key: "ascorbic-acid-lost",
    title: "Ascorbic acid lost in hot juice with air",
    text: "first order, k = 0.005/min at 85 °C, E = 22 kJ/mol (14 to 30)",
    source: "dhakal_2018",
};

/// Registry entry of [`Change::Browns`].
pub static BROWNS: Equation = Equation {
    key: "browns",
    title: "Browning without enzymes, as minutes at 100 °C",
    text: "zero order, 1/min at 100 °C, E = 111 kJ/mol (74 to 148)",
    source: "koca_2003",
};

/// A calorie in joules, thermochemical: the papers print kcal/mol.
const CAL_J: f64 = 4.184;

/// A change that time and temperature make.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Egg yolk sets: a curd thickens.
    YolkSets,
    /// Egg white clumps: a curd scrambles.
    EggCurdles,
    /// Ascorbic acid is lost, as a share.
    AscorbicAcidLost,
    /// The food browns, counted as minutes at 100 °C.
    Browns,
}

impl Change {
    /// Every change with a law of its own; sucrose has [`crate::inversion_rate_per_s`].
    pub const ALL: [Self; 4] = [Self::YolkSets, Self::EggCurdles, Self::AscorbicAcidLost, Self::Browns];

    /// Its law.
    #[must_use]
    pub const fn law(self) -> RateLaw {
        match self {
            Self::YolkSets => RateLaw {
                order: Order::First,
                ref_c: 70.0,
                rate_per_s: 4.0e-3,
                activation_j_mol: 470e3,
                activation_range_j_mol: (470e3, 470e3),
                measured_c: (56.0, 75.0),
                // Gelation stops quickening there (kwon_2023_yolk).
                levels_off_c: Some(75.0),
                fit: Fit::Forced,
                measured_in: "plain yolk",
                source: "vega_mercade_prieto_2011",
                place: "abstract: 470 kJ/mol from 56 °C up; the rate is set so that a slow heating of 1 K/min gels \
                        at 72 °C, hidalgo_1996, and is this project's reading",
                mark: Mark::Seen,
            },
            Self::EggCurdles => RateLaw {
                order: Order::First,
                ref_c: 88.0,
                rate_per_s: 3.3e-2,
                activation_j_mol: 430e3,
                activation_range_j_mol: (386e3, 586e3),
                measured_c: (80.0, 95.0),
                levels_off_c: None,
                fit: Fit::Forced,
                measured_in: "ovalbumin, 6 % in water",
                source: "photchanachai_2002",
                place: "abstract: unfolds at 80 °C, thickens suddenly above 88 °C by clumping; the rate is that of \
                        a scan of 5 K/min there, and 430 kJ/mol is from memory; 586 kJ/mol is printed for damage to \
                        white in pasteurising (garibaldi_1968)",
                mark: Mark::Memory,
            },
            Self::AscorbicAcidLost => RateLaw {
                order: Order::First,
                ref_c: 85.0,
                rate_per_s: 0.005 / 60.0,
                activation_j_mol: 22e3,
                activation_range_j_mol: (14.22e3, 29.78e3),
                measured_c: (75.0, 95.0),
                levels_off_c: None,
                fit: Fit::Straight,
                measured_in: "fresh pineapple juice",
                source: "dhakal_2018",
                place: "abstract: 0.004 to 0.006 per minute at 75 to 95 °C and 0.1 MPa, 14.22 to 29.78 kJ/mol; the \
                        middles of both",
                mark: Mark::Seen,
            },
            Self::Browns => RateLaw {
                order: Order::Zero,
                ref_c: 100.0,
                rate_per_s: 1.0 / 60.0,
                activation_j_mol: 26.44e3 * CAL_J,
                activation_range_j_mol: (17.60e3 * CAL_J, 35.27e3 * CAL_J),
                measured_c: (28.0, 45.0),
                levels_off_c: None,
                fit: Fit::Straight,
                measured_in: "stored citrus concentrates",
                source: "koca_2003",
                place: "abstract: absorbance at 420 nm, 17.60 to 35.27 kcal/mol; the middle. Its unit is a minute at \
                        100 °C, since the colour a minute makes depends on the juice",
                mark: Mark::Seen,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rate_law::{Standing, rate_at_scan_peak_per_s};

    #[test]
    fn the_curdling_rate_is_the_one_of_its_scan() {
        let law = Change::EggCurdles.law();
        let rate = rate_at_scan_peak_per_s(law.ref_c, 5.0 / 60.0, law.activation_j_mol);
        assert!(rate.is_ok_and(|rate| (rate / law.rate_per_s - 1.0).abs() < 0.01));
    }

    #[test]
    fn every_law_lies_inside_its_printed_range_and_speeds_up_with_heat() {
        for change in Change::ALL {
            let law = change.law();
            let (least, greatest) = law.activation_range_j_mol;
            assert!((least..=greatest).contains(&law.activation_j_mol), "{change:?}");
            assert!(law.rate_per_s(60.0) > law.rate_per_s(50.0), "{change:?}");
            assert_eq!(law.standing(law.measured_c.0), Standing::Measured);
            assert_eq!(law.standing(150.0), Standing::OtherTemperatures);
        }
    }

    #[test]
    fn a_split_history_comes_as_far_as_a_whole_one() {
        for change in Change::ALL {
            let law = change.law();
            let whole = law.after(0.1, 60.0, 90.0, 600.0);
            let half = law.after(law.after(0.1, 60.0, 75.0, 300.0), 75.0, 90.0, 300.0);
            assert!((whole - half).abs() < 1e-5 * whole, "{change:?} {whole} {half}");
        }
    }
}
