//! Ions of minerals and salts: charges, molar masses, and the amounts a food holds.

use crate::acid::{Step, step};

/// An ion a food may hold besides those of its acids.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ion {
    /// Sodium, beyond the salt.
    Sodium,
    /// Potassium, the base of most juices.
    Potassium,
    /// Ammonium, with the ammonia it gives in alkaline water.
    Ammonium,
    /// Magnesium.
    Magnesium,
    /// Calcium, of firmers and hard water.
    Calcium,
    /// Chloride, beyond the salt.
    Chloride,
    /// Nitrate.
    Nitrate,
    /// Sulfate, with the hydrogen sulfate it gives in very sour water.
    Sulfate,
}

/// How many ions there are.
const IONS: usize = 8;

impl Ion {
    /// Every ion, cations first.
    pub const ALL: [Self; IONS] = [
        Self::Sodium,
        Self::Potassium,
        Self::Ammonium,
        Self::Magnesium,
        Self::Calcium,
        Self::Chloride,
        Self::Nitrate,
        Self::Sulfate,
    ];

    /// Charge.
    #[must_use]
    pub const fn charge(self) -> f64 {
        match self {
            Self::Sodium | Self::Potassium | Self::Ammonium => 1.0,
            Self::Magnesium | Self::Calcium => 2.0,
            Self::Chloride | Self::Nitrate => -1.0,
            Self::Sulfate => -2.0,
        }
    }

    /// Molar mass [kg/mol].
    ///
    /// # Source
    /// `iupac_atomic_weights`.
    #[must_use]
    pub const fn molar_mass_kg_mol(self) -> f64 {
        match self {
            Self::Sodium => 0.022_990,
            Self::Potassium => 0.039_098,
            Self::Ammonium => 0.018_038,
            Self::Magnesium => 0.024_305,
            Self::Calcium => 0.040_078,
            Self::Chloride => 0.035_453,
            Self::Nitrate => 0.062_005,
            Self::Sulfate => 0.096_063,
        }
    }

    /// The ion as people name it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sodium => "sodium",
            Self::Potassium => "potassium",
            Self::Ammonium => "ammonium",
            Self::Magnesium => "magnesium",
            Self::Calcium => "calcium",
            Self::Chloride => "chloride",
            Self::Nitrate => "nitrate",
            Self::Sulfate => "sulfate",
        }
    }

    /// The step by which the ion takes part in the balance of hydrogen ions, with the charge of
    /// its sour side, if it does.
    ///
    /// # Source
    /// `goldberg_2002`, from memory.
    pub(crate) const fn step(self) -> Option<(i32, &'static [Step])> {
        match self {
            Self::Ammonium => Some((1, const { &[step(9.245, 51.95, 8.0)] })),
            Self::Sulfate => Some((-1, const { &[step(1.987, -22.4, -258.0)] })),
            _ => None,
        }
    }
}

/// Named ions of a food [mol], beyond the ions of its acids and of its sodium chloride.
///
/// Whoever names minerals takes their mass out of the ash.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Minerals {
    /// Sodium beyond the salt.
    pub sodium: f64,
    /// Potassium.
    pub potassium: f64,
    /// Ammonium and ammonia.
    pub ammonium: f64,
    /// Magnesium.
    pub magnesium: f64,
    /// Calcium.
    pub calcium: f64,
    /// Chloride beyond the salt.
    pub chloride: f64,
    /// Nitrate.
    pub nitrate: f64,
    /// Sulfate and hydrogen sulfate.
    pub sulfate: f64,
}

impl Minerals {
    /// Amount [mol] of one ion.
    #[must_use]
    pub const fn amount(&self, ion: Ion) -> f64 {
        match ion {
            Ion::Sodium => self.sodium,
            Ion::Potassium => self.potassium,
            Ion::Ammonium => self.ammonium,
            Ion::Magnesium => self.magnesium,
            Ion::Calcium => self.calcium,
            Ion::Chloride => self.chloride,
            Ion::Nitrate => self.nitrate,
            Ion::Sulfate => self.sulfate,
        }
    }

    /// Adds an amount [mol] of an ion.
    pub const fn add(&mut self, ion: Ion, mol: f64) {
        let amount = match ion {
            Ion::Sodium => &mut self.sodium,
            Ion::Potassium => &mut self.potassium,
            Ion::Ammonium => &mut self.ammonium,
            Ion::Magnesium => &mut self.magnesium,
            Ion::Calcium => &mut self.calcium,
            Ion::Chloride => &mut self.chloride,
            Ion::Nitrate => &mut self.nitrate,
            Ion::Sulfate => &mut self.sulfate,
        };
        *amount += mol;
    }

    /// Mass [kg].
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.sum(Ion::molar_mass_kg_mol)
    }

    /// Charge [mol]: positive where the cations outweigh.
    #[must_use]
    pub fn charge_mol(&self) -> f64 {
        self.sum(Ion::charge)
    }

    fn sum(&self, of: impl Fn(Ion) -> f64) -> f64 {
        Ion::ALL.iter().map(|&ion| of(ion) * self.amount(ion)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_added_to_an_ion_is_found_under_it_alone() {
        for ion in Ion::ALL {
            let mut minerals = Minerals::default();
            minerals.add(ion, 2.0);
            for other in Ion::ALL {
                assert!((minerals.amount(other) - if other == ion { 2.0 } else { 0.0 }).abs() < 1e-15);
            }
            assert!((minerals.charge_mol() - 2.0 * ion.charge()).abs() < 1e-15);
            assert!((minerals.mass_kg() - 2.0 * ion.molar_mass_kg_mol()).abs() < 1e-15);
        }
    }

    #[test]
    fn sodium_and_chloride_weigh_what_salt_weighs() {
        let both = Ion::Sodium.molar_mass_kg_mol() + Ion::Chloride.molar_mass_kg_mol();
        assert!((both - 0.058_443).abs() < 1e-9);
    }
}
