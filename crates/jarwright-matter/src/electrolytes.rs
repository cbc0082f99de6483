//! What salts do to the activity of water: Pitzer's equation with the parameters of single salts.
//!
//! Each pair of a cation and an anion brings what it brings alone; the small terms for unlike
//! cations or unlike anions side by side are left out.

use jarwright_figure::{Equation, OutOfRange};

use crate::{Acid, Food, Ion, MatterError, debye_huckel_a};

/// Water activity over salts.
pub static SALTS: Equation = Equation {
    key: "water-activity-of-salts",
    title: "Water activity over salts",
    text: "ln a_w = -0.018015 [sum m + 2 (-A I^1.5/(1 + 1.2 I^½) + sum_c sum_a m_c m_a (B + Z C))];  \
           B = b_0 + b_1 exp(-2 I^½), with two charges on both ions b_0 + b_1 exp(-1.4 I^½) + b_2 exp(-12 I^½);  Z = sum m |z|;  \
           mixing terms left out",
    source: "pitzer_mayorga_1973",
};

/// Molar mass of water [kg/mol].
const WATER_KG_MOL: f64 = 0.018_015;
/// Molar mass of sodium chloride [kg/mol].
const SALT_KG_MOL: f64 = 0.058_443;
/// Slope at 25 °C [(kg/mol)^½] with which the parameters were fitted.
const A_PHI_25: f64 = 0.391_5;
/// Reference temperature [K].
const REFERENCE_K: f64 = 298.15;

/// An anion of a salt: carbonate is an acid's, the others are named ions.
#[derive(Clone, Copy, PartialEq)]
enum Anion {
    Of(Ion),
    Carbonate,
}

/// A parameter at 25 °C and how it moves with temperature:
/// p + t0 (1/T - 1/Tr) + t1 ln(T/Tr) + t2 (T - Tr) + t3 (T² - Tr²).
#[derive(Clone, Copy)]
struct Parameter {
    at_25: f64,
    moves: [f64; 4],
}

impl Parameter {
    fn at(self, kelvin: f64) -> f64 {
        let [inverse, log, linear, square] = self.moves;
        self.at_25
            + inverse * (1.0 / kelvin - 1.0 / REFERENCE_K)
            + log * (kelvin / REFERENCE_K).ln()
            + linear * (kelvin - REFERENCE_K)
            + square * (kelvin * kelvin - REFERENCE_K * REFERENCE_K)
    }
}

const fn fixed(at_25: f64) -> Parameter {
    linear(at_25, 0.0)
}

const fn linear(at_25: f64, per_k: f64) -> Parameter {
    Parameter {
        at_25,
        moves: [0.0, 0.0, per_k, 0.0],
    }
}

/// One salt.
struct Salt {
    cation: Ion,
    anion: Anion,
    /// The salt in words, with where it is.
    words: &'static str,
    b0: Parameter,
    b1: Parameter,
    b2: Parameter,
    c_phi: Parameter,
    /// Greatest molality of the fit, or of saturation where a check reaches it [mol/kg].
    fitted: f64,
    /// What dissolves at 25 °C [mol/kg].
    dissolves: f64,
}

/// A salt by its parameters at 25 °C and their slopes by temperature [1/K].
const fn salt(
    (cation, anion): (Ion, Ion),
    words: &'static str,
    at_25: [f64; 3],
    per_k: [f64; 3],
    (fitted, dissolves): (f64, f64),
) -> Salt {
    Salt {
        cation,
        anion: Anion::Of(anion),
        words,
        b0: linear(at_25[0], per_k[0]),
        b1: linear(at_25[1], per_k[1]),
        b2: fixed(0.0),
        c_phi: linear(at_25[2], per_k[2]),
        fitted,
        dissolves,
    }
}

/// Parameters of the salts.
///
/// Salts of charges 2-1 and 1-2 are printed as 4/3 b0, 4/3 b1 and 2^(5/2)/3 C; here they are
/// b0, b1, C. Ranges and solubilities (`crc_handbook`) are from memory.
///
/// # Source
/// `pitzer_mayorga_1973`, tables I and VI; `pitzer_1991`, chapter 3, tables 12 and 13, for the
/// slopes; the temperature law of sodium chloride, the 2-2 salts and sodium carbonate
/// `phreeqc_pitzer`; potassium carbonate `simonson_1987`, from memory.
static SALTS_KNOWN: [Salt; 17] = [
    Salt {
        cation: Ion::Sodium,
        anion: Anion::Of(Ion::Chloride),
        words: "sodium chloride in the water",
        b0: Parameter {
            at_25: 0.0765,
            moves: [-777.03, -4.4706, 0.008_946, -3.3158e-6],
        },
        b1: Parameter {
            at_25: 0.2664,
            moves: [0.0, 0.0, 6.1608e-5, 1.0715e-6],
        },
        b2: fixed(0.0),
        c_phi: Parameter {
            at_25: 0.001_27,
            moves: [33.317, 0.094_21, -4.655e-5, 0.0],
        },
        fitted: 6.2,
        dissolves: 6.2,
    },
    salt(
        (Ion::Potassium, Ion::Chloride),
        "potassium chloride in the water",
        [0.048_35, 0.2122, -0.000_84],
        [5.794e-4, 10.71e-4, -5.095e-5],
        (4.85, 4.85),
    ),
    salt(
        (Ion::Ammonium, Ion::Chloride),
        "ammonium chloride in the water",
        [0.0522, 0.1918, -0.003_01],
        [0.0; 3],
        (6.0, 7.4),
    ),
    salt(
        (Ion::Magnesium, Ion::Chloride),
        "magnesium chloride in the water",
        [0.352_35, 1.6815, 0.005_19],
        [-1.943e-4, 3.6525e-3, -1.649e-4],
        (5.9, 5.9),
    ),
    salt(
        (Ion::Calcium, Ion::Chloride),
        "calcium chloride in the water",
        [0.3159, 1.614, -0.000_34],
        [-1.725e-4, 3.9e-3, 0.0],
        (2.5, 7.4),
    ),
    salt(
        (Ion::Sodium, Ion::Nitrate),
        "sodium nitrate in the water",
        [0.0068, 0.1783, -0.000_72],
        [12.66e-4, 20.6e-4, -23.16e-5],
        (6.0, 10.9),
    ),
    salt(
        (Ion::Potassium, Ion::Nitrate),
        "potassium nitrate in the water",
        [-0.0816, 0.0494, 0.0066],
        [2.06e-4, 64.5e-4, 39.7e-5],
        (3.8, 3.8),
    ),
    salt(
        (Ion::Ammonium, Ion::Nitrate),
        "ammonium nitrate in the water",
        [-0.0154, 0.112, -0.000_03],
        [0.0; 3],
        (6.0, 26.0),
    ),
    salt(
        (Ion::Magnesium, Ion::Nitrate),
        "magnesium nitrate in the water",
        [0.367_13, 1.584_75, -0.020_62],
        [5.15e-4, 4.49e-3, 0.0],
        (2.0, 4.9),
    ),
    salt(
        (Ion::Calcium, Ion::Nitrate),
        "calcium nitrate in the water",
        [0.210_83, 1.409_25, -0.020_14],
        [5.3e-4, 9.19e-3, 0.0],
        (2.0, 8.4),
    ),
    salt(
        (Ion::Sodium, Ion::Sulfate),
        "sodium sulfate in the water",
        [0.019_58, 1.113, 0.004_97],
        [2.367e-3, 5.6325e-3, -4.879e-4],
        (4.0, 4.0),
    ),
    salt(
        (Ion::Potassium, Ion::Sulfate),
        "potassium sulfate in the water",
        [0.049_95, 0.7793, 0.0],
        [1.44e-3, 6.6975e-3, 0.0],
        (0.7, 0.7),
    ),
    salt(
        (Ion::Ammonium, Ion::Sulfate),
        "ammonium sulfate in the water",
        [0.040_88, 0.6585, -0.001_16],
        [0.0; 3],
        (5.8, 5.8),
    ),
    Salt {
        cation: Ion::Magnesium,
        anion: Anion::Of(Ion::Sulfate),
        words: "magnesium sulfate in the water",
        b0: linear(0.221, -0.69e-3),
        b1: linear(3.343, 1.53e-2),
        b2: linear(-37.23, -0.253),
        c_phi: linear(0.025, 0.523e-3),
        fitted: 3.0,
        dissolves: 3.1,
    },
    Salt {
        cation: Ion::Calcium,
        anion: Anion::Of(Ion::Sulfate),
        words: "calcium sulfate in the water",
        b0: fixed(0.2),
        b1: linear(3.1973, 5.46e-2),
        b2: linear(-54.24, -0.516),
        c_phi: fixed(0.0),
        // Water alone dissolves 0.015; a brine of 3 mol/kg of salt four times as much.
        fitted: 0.06,
        dissolves: 0.06,
    },
    Salt {
        cation: Ion::Sodium,
        anion: Anion::Carbonate,
        words: "sodium carbonate in the water",
        b0: linear(0.0399, 1.79e-3),
        b1: linear(1.389, 2.05e-3),
        b2: fixed(0.0),
        c_phi: fixed(0.0044),
        fitted: 2.8,
        dissolves: 2.8,
    },
    Salt {
        cation: Ion::Potassium,
        anion: Anion::Carbonate,
        words: "potassium carbonate in the water",
        b0: fixed(0.1288),
        b1: fixed(1.433),
        b2: fixed(0.0),
        c_phi: fixed(0.0005),
        fitted: 8.1,
        dissolves: 8.1,
    },
];

/// A food's salts, molal in its water: the ions that named ions of the other charge balance.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Brine {
    cations: [f64; 5],
    anions: [f64; 3],
    carbonate: f64,
    /// Ions [mol/kg] left without a named partner: they go with the acids' anions, or with
    /// hydrogen and hydroxyl ions.
    pub(crate) single: f64,
    /// Acid [mol/kg] that is carbonate here and must not be counted twice.
    pub(crate) as_carbonate: f64,
}

impl Brine {
    /// Sorts a food's named ions into salts and single ions.
    pub(crate) fn of(food: &Food) -> Self {
        let per = 1.0 / food.water_kg;
        let salt = food.salt_kg * per / SALT_KG_MOL;
        let molal = |ion: Ion| {
            let beside = if matches!(ion, Ion::Sodium | Ion::Chloride) {
                salt
            } else {
                0.0
            };
            beside + per * food.minerals_mol.amount(ion)
        };
        let mut cations = CATIONS.map(molal);
        let mut anions = ANIONS.map(molal);
        let charge = |ions: &[Ion], molal: &[f64]| -> f64 {
            ions.iter().zip(molal).map(|(ion, m)| ion.charge().abs() * m).sum()
        };
        let plus = charge(&CATIONS, &cations);
        let minus = charge(&ANIONS, &anions);
        let carbonic = per * food.acid(Acid::Carbonic);
        // Carbonate is what cations are left for once every other acid has given off all it
        // gives off more easily, and carbonic acid its first hydrogen ion.
        let easier: f64 = Acid::ALL
            .iter()
            .filter(|&&acid| acid != Acid::Carbonic)
            .map(|&acid| acid.steps().iter().filter(|step| step.pk < 10.0).count() as f64 * per * food.acid(acid))
            .sum();
        let spare = plus + per * food.strong_ion_mol - minus - easier - carbonic;
        // No clamp: a drop of water overflows to NaN, on which it panics.
        let carbonate = spare.min(carbonic).max(0.0);
        let minus = minus + 2.0 * carbonate;
        let share = |mine: f64, other: f64| if mine > other { other / mine } else { 1.0 };
        let (of_cations, of_anions) = (share(plus, minus), share(minus, plus));
        let single = (1.0 - of_cations) * cations.iter().sum::<f64>()
            + (1.0 - of_anions) * (anions.iter().sum::<f64>() + carbonate);
        cations.iter_mut().for_each(|m| *m *= of_cations);
        anions.iter_mut().for_each(|m| *m *= of_anions);
        Self {
            cations,
            anions,
            carbonate: of_anions * carbonate,
            single,
            as_carbonate: carbonate,
        }
    }

    fn of_anion(&self, anion: Anion) -> (f64, f64) {
        match anion {
            Anion::Carbonate => (self.carbonate, 2.0),
            Anion::Of(ion) => (place(&ANIONS, ion, &self.anions), ion.charge().abs()),
        }
    }

    /// A salt's molality if its ions were all its own, with the product of its ions'.
    fn salt(&self, salt: &Salt) -> (f64, f64) {
        let cation = place(&CATIONS, salt.cation, &self.cations);
        let (anion, minus) = self.of_anion(salt.anion);
        let plus = salt.cation.charge();
        // A neutral salt has one ion of the greater charge.
        let most = plus.max(minus);
        ((cation * plus / most).min(anion * minus / most), cation * anion)
    }

    /// Water activity [-] over these salts at a temperature [°C].
    pub(crate) fn water_activity(&self, at_c: f64) -> Result<f64, OutOfRange> {
        let kelvin = at_c + 273.15;
        let (mut sum, mut charge, mut square) = (0.0, 0.0, 0.0);
        let ions = CATIONS.iter().zip(&self.cations).chain(ANIONS.iter().zip(&self.anions));
        for (z, m) in ions
            .map(|(ion, m)| (ion.charge().abs(), *m))
            .chain([(2.0, self.carbonate)])
        {
            sum += m;
            charge += m * z;
            square += m * z * z;
        }
        if sum <= 0.0 {
            return Ok(1.0);
        }
        let root = (0.5 * square).sqrt();
        let mut pairs = 0.0;
        for salt in &SALTS_KNOWN {
            let (molal, product) = self.salt(salt);
            if product <= 0.0 {
                continue;
            }
            OutOfRange::check(salt.words, molal, 0.0, salt.fitted, "mol/kg", "pitzer_mayorga_1973")?;
            let (_, minus) = self.of_anion(salt.anion);
            let two_two = minus > 1.5 && salt.cation.charge() > 1.5;
            let decay = if two_two { 1.4 } else { 2.0 };
            let mut b = salt.b0.at(kelvin) + salt.b1.at(kelvin) * (-decay * root).exp();
            if two_two {
                b += salt.b2.at(kelvin) * (-12.0 * root).exp();
            }
            let c = salt.c_phi.at(kelvin) / (2.0 * (salt.cation.charge() * minus).sqrt());
            pairs += product * (b + charge * c);
        }
        let long_range = -a_phi(at_c)? * root.powi(3) / (1.0 + 1.2 * root);
        Ok((-WATER_KG_MOL * (sum + 2.0 * (long_range + pairs))).exp())
    }
}

const CATIONS: [Ion; 5] = [Ion::Sodium, Ion::Potassium, Ion::Ammonium, Ion::Magnesium, Ion::Calcium];
const ANIONS: [Ion; 3] = [Ion::Chloride, Ion::Nitrate, Ion::Sulfate];

fn place(ions: &[Ion], ion: Ion, molal: &[f64]) -> f64 {
    ions.iter()
        .zip(molal)
        .find(|(other, _)| **other == ion)
        .map_or(0.0, |(_, m)| *m)
}

/// Debye-Hückel slope of the osmotic coefficient; below 0 °C it goes on as it left.
fn a_phi(at_c: f64) -> Result<f64, OutOfRange> {
    let slope = |c: f64| {
        debye_huckel_a(c).map_err(|error| match error {
            MatterError::OutOfRange(range) => range,
            _ => OutOfRange {
                quantity: "temperature",
                got: c,
                min: 0.0,
                max: 100.0,
                unit: "°C",
                source: "iapws_permittivity",
            },
        })
    };
    let a = if at_c < 0.0 {
        slope(0.0)? + at_c / 5.0 * (slope(5.0)? - slope(0.0)?)
    } else {
        slope(at_c)?
    };
    Ok(A_PHI_25 * a / slope(25.0)?)
}

/// `Ok` where every salt that a food's named ions could be dissolves in its water at 25 °C.
///
/// # Errors
/// [`MatterError::NoWater`]; [`MatterError::NotAnAmount`]; [`OutOfRange`] naming the salt.
///
/// # Source
/// `crc_handbook`, solubilities, from memory.
pub fn salts_dissolve(food: &Food) -> Result<(), MatterError> {
    food.check()?;
    if food.water_kg <= 0.0 {
        return Err(MatterError::NoWater);
    }
    let brine = Brine::of(food);
    for salt in &SALTS_KNOWN {
        let (molal, _) = brine.salt(salt);
        OutOfRange::check(salt.words, molal, 0.0, salt.dissolves, "mol/kg", "crc_handbook")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn food(ions: &[(Ion, f64)]) -> Food {
        let mut food = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        for &(ion, mol) in ions {
            food.minerals_mol.add(ion, mol);
        }
        food
    }

    fn aw(ions: &[(Ion, f64)]) -> f64 {
        Brine::of(&food(ions)).water_activity(25.0).unwrap_or(f64::NAN)
    }

    #[test]
    fn sodium_and_chloride_named_are_the_salt_they_make() {
        let salt = Food {
            water_kg: 1.0,
            salt_kg: 2.0 * SALT_KG_MOL,
            ..Food::default()
        };
        let salt = Brine::of(&salt).water_activity(25.0).unwrap_or(f64::NAN);
        assert!((aw(&[(Ion::Sodium, 2.0), (Ion::Chloride, 2.0)]) - salt).abs() < 1e-12);
    }

    #[test]
    fn a_dilute_salt_lowers_the_activity_by_its_ions() {
        // Debye and Hückel's limiting law: ln aw = -0.018015 (2 m - 2 A m^1.5).
        let m: f64 = 1e-4;
        let limit = (-WATER_KG_MOL * 2.0 * (m - A_PHI_25 * m.powf(1.5))).exp();
        assert!((aw(&[(Ion::Potassium, m), (Ion::Nitrate, m)]) - limit).abs() < 1e-8);
    }

    #[test]
    fn ions_without_a_partner_stay_single() {
        let brine = Brine::of(&food(&[(Ion::Potassium, 0.3), (Ion::Chloride, 0.1)]));
        assert!((brine.single - 0.2).abs() < 1e-12);
        let acid = Brine::of(&food(&[(Ion::Chloride, 0.1)]));
        assert!((acid.single - 0.1).abs() < 1e-12);
        assert!(acid.water_activity(25.0).is_ok_and(|aw| (aw - 1.0).abs() < 1e-12));
    }

    #[test]
    fn carbonate_forms_only_from_cations_no_other_acid_holds() {
        let mut soda = food(&[(Ion::Potassium, 2.0)]);
        soda.acid_mol[Acid::Carbonic.index()] = 1.0;
        assert!((Brine::of(&soda).as_carbonate - 1.0).abs() < 1e-12);
        soda.acid_mol[Acid::Citric.index()] = 0.2;
        assert!((Brine::of(&soda).as_carbonate - 0.4).abs() < 1e-12);
        soda.acid_mol[Acid::Citric.index()] = 1.0;
        assert!(Brine::of(&soda).as_carbonate.abs() < 1e-12);
    }

    #[test]
    fn every_pair_of_a_cation_and_an_anion_has_parameters() {
        let missing: Vec<(Ion, Ion)> = CATIONS
            .into_iter()
            .flat_map(|c| ANIONS.map(|a| (c, a)))
            .filter(|&(c, a)| !SALTS_KNOWN.iter().any(|s| s.cation == c && s.anion == Anion::Of(a)))
            .collect();
        assert_eq!(missing, []);
    }

    #[test]
    fn more_than_dissolves_is_told_with_the_salt() {
        let brine = food(&[(Ion::Potassium, 5.5), (Ion::Chloride, 5.5)]);
        let said = salts_dissolve(&brine).err().map(|e| e.to_string()).unwrap_or_default();
        assert!(said.contains("potassium chloride"), "{said}");
        assert_eq!(
            salts_dissolve(&food(&[(Ion::Calcium, 1.0), (Ion::Chloride, 2.0)])),
            Ok(())
        );
        assert_eq!(salts_dissolve(&Food::default()), Err(MatterError::NoWater));
    }
}
