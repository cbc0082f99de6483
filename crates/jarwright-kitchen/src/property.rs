//! The properties of a food that an assay tells, each with its unit and equation.
//!
//! A [`Reading`] holds one food at one temperature and computes what is asked of it, sharing the
//! steps that several properties need. Plain numbers; `assay.rs` puts them in the graph.

use std::cell::OnceCell;

use jarwright_figure::{Equation, Output, Unit};
use jarwright_matter::{self as matter, Acid, Balance, Food, MatterError, Mixing, Thermal};

use crate::mixture::ASSAY;

/// A property of a food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Property {
    /// Mass of it all [g].
    Mass,
    /// Water [% by mass].
    Water,
    /// All sugars [%].
    Sugars,
    /// Sucrose [%].
    Sucrose,
    /// Glucose and fructose [%].
    GlucoseFructose,
    /// Lactose, maltose and other sugars of two rings [%].
    OtherSugars,
    /// Starch and what no column names [%].
    Starch,
    /// Fibre [%].
    Fibre,
    /// Fat [%].
    Fat,
    /// Protein [%].
    Protein,
    /// Salt [%].
    Salt,
    /// Ash without the salt [%].
    Ash,
    /// Alcohol [%].
    Alcohol,
    /// All acids, as themselves [%].
    Acids,
    /// One acid [%].
    OneAcid(Acid),
    /// Soluble solids of the whole mass [°Brix].
    Brix,
    /// What a refractometer shows of the water phase [°Brix].
    Refractometer,
    /// Water activity at 25 °C [-].
    WaterActivity,
    /// Boiling point under the air's pressure here [°C].
    BoilsAt,
    /// Temperature at which ice first forms [°C].
    FreezesAt,
    /// Equilibrium pH at 25 °C.
    Ph,
    /// Ionic strength [mol/kg water].
    IonicStrength,
    /// Titratable acidity as citric acid [g/100 g].
    TitratableAcidity,
    /// Ice at the asked temperature [% of the water].
    Ice,
    /// Density [kg/m³], with the ice that there is.
    Density,
    /// Thermal conductivity [W/(m K)].
    Conductivity,
    /// Heat capacity [J/(kg K)]; below the freezing point with the melting.
    HeatCapacity,
    /// Thermal diffusivity [m²/s].
    Diffusivity,
}

impl Property {
    /// Whether it needs every ingredient's acidity.
    pub(crate) const fn needs_acidity(self) -> bool {
        matches!(self, Self::Ph | Self::IonicStrength | Self::TitratableAcidity)
    }

    /// Name, unit and equation.
    pub(crate) const fn output(self) -> Output {
        const fn output(name: &'static str, unit: Unit, equation: &'static Equation) -> Output {
            Output { name, unit, equation }
        }
        const fn part(name: &'static str) -> Output {
            output(name, Unit::Percent, &ASSAY)
        }
        match self {
            Self::Mass => output("mass", Unit::Gram, &matter::FOOD_MASS),
            Self::Water => part("water"),
            Self::Sugars => part("sugars"),
            Self::Sucrose => part("sucrose"),
            Self::GlucoseFructose => part("glucose and fructose"),
            Self::OtherSugars => part("other sugars"),
            Self::Starch => part("starch and the like"),
            Self::Fibre => part("fibre"),
            Self::Fat => part("fat"),
            Self::Protein => part("protein"),
            Self::Salt => part("salt"),
            Self::Ash => part("ash"),
            Self::Alcohol => part("alcohol"),
            Self::Acids => part("acids"),
            Self::OneAcid(acid) => part(acid.words()),
            Self::Brix => output("soluble solids", Unit::Brix, &matter::BRIX),
            Self::Refractometer => output("refractometer shows", Unit::Brix, &matter::REFRACTOMETER),
            Self::WaterActivity => output("water activity", Unit::WaterActivity, &matter::WATER_ACTIVITY),
            Self::BoilsAt => output("boils here at", Unit::Celsius, &matter::FOOD_BOILS),
            Self::FreezesAt => output("begins to freeze at", Unit::Celsius, &matter::FREEZES),
            Self::Ph => output("equilibrium pH", Unit::Ph, &matter::PH),
            Self::IonicStrength => output("ionic strength", Unit::MolePerKilogram, &matter::PH),
            Self::TitratableAcidity => output(
                "titratable acidity as citric acid",
                Unit::GramPer100Gram,
                &matter::TITRATABLE_ACIDITY,
            ),
            Self::Ice => output("frozen share of the water", Unit::Percent, &matter::ICE),
            Self::Density => output("density", Unit::KilogramPerCubicMetre, &matter::THERMAL),
            Self::Conductivity => output("thermal conductivity", Unit::WattPerMetreKelvin, &matter::CONDUCTIVITY),
            Self::HeatCapacity => output("heat capacity", Unit::JoulePerKilogramKelvin, &matter::THERMAL),
            Self::Diffusivity => output("thermal diffusivity", Unit::SquareMetrePerSecond, &matter::DIFFUSIVITY),
        }
    }
}

/// What the models of a food miss its measured values by: drawn with everything else.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Misses {
    /// Of the pH.
    pub(crate) ph: f64,
    /// Of the water activity.
    pub(crate) water_activity: f64,
}

/// One food at one temperature, being read.
pub(crate) struct Reading<'a> {
    food: &'a Food,
    at_c: f64,
    pressure_pa: f64,
    misses: Misses,
    mass_kg: f64,
    water_activity: OnceCell<Result<f64, MatterError>>,
    balance: OnceCell<Result<Balance, MatterError>>,
    thermal: OnceCell<Result<Thermal, MatterError>>,
}

impl<'a> Reading<'a> {
    /// A food at `at_c` [°C] under `pressure_pa` [Pa].
    pub(crate) fn new(food: &'a Food, at_c: f64, pressure_pa: f64, misses: Misses) -> Self {
        Self {
            food,
            at_c,
            pressure_pa,
            misses,
            mass_kg: food.mass_kg(),
            water_activity: OnceCell::new(),
            balance: OnceCell::new(),
            thermal: OnceCell::new(),
        }
    }

    /// One property.
    ///
    /// # Errors
    /// The model's own refusal.
    pub(crate) fn value(&self, property: Property) -> Result<f64, MatterError> {
        let food = self.food;
        let percent = |kg: f64| Ok(100.0 * kg / self.mass_kg);
        if property.needs_acidity() {
            // Where water is too scarce to have an activity, nothing is dissolved that could have a pH.
            self.water_activity()?;
        }
        match property {
            Property::Mass => Ok(1000.0 * self.mass_kg),
            Property::Water => percent(food.water_kg),
            Property::Sugars => percent(food.sugars_kg()),
            Property::Sucrose => percent(food.sucrose_kg),
            Property::GlucoseFructose => percent(food.hexose_kg),
            Property::OtherSugars => percent(food.other_sugar_kg),
            Property::Starch => percent(food.starch_kg),
            Property::Fibre => percent(food.fibre_kg),
            Property::Fat => percent(food.fat_kg),
            Property::Protein => percent(food.protein_kg),
            Property::Salt => percent(food.salt_kg),
            Property::Ash => percent(food.ash_kg),
            Property::Alcohol => percent(food.alcohol_kg),
            Property::Acids => percent(food.acid_kg()),
            Property::OneAcid(acid) => percent(food.acid(acid) * acid.molar_mass_kg_mol()),
            Property::Brix => Ok(food.brix()),
            Property::Refractometer => matter::refractometer_reading(food),
            Property::WaterActivity => self.water_activity(),
            Property::BoilsAt => {
                matter::no_alcohol_to_boil(food)?;
                matter::water_boils_c(self.pressure_pa / self.water_activity()?)
            }
            Property::FreezesAt => matter::food_freezes_c(food),
            Property::Ph => Ok(self.balance()?.ph + self.misses.ph),
            Property::IonicStrength => Ok(self.balance()?.ionic_strength_mol_kg),
            Property::TitratableAcidity => food.titratable_acidity_pct_citric(),
            Property::Ice => Ok(100.0 * matter::ice_kg(food, self.at_c)? / food.water_kg),
            Property::Density => Ok(self.thermal()?.density_kg_m3),
            Property::Conductivity => Ok(self.thermal()?.conductivity_w_mk),
            Property::HeatCapacity => Ok(self.thermal()?.heat_capacity_j_kgk),
            Property::Diffusivity => Ok(self.thermal()?.diffusivity_m2_s()),
        }
    }

    /// Water activity with the model's miss, at most that of water.
    fn water_activity(&self) -> Result<f64, MatterError> {
        once(&self.water_activity, || {
            Ok((matter::water_activity(self.food)? + self.misses.water_activity).min(1.0))
        })
    }

    fn balance(&self) -> Result<Balance, MatterError> {
        once(&self.balance, || matter::balance(self.food, 25.0))
    }

    fn thermal(&self) -> Result<Thermal, MatterError> {
        once(&self.thermal, || {
            if self.at_c < 0.0 {
                let frozen = matter::frozen(self.food, self.at_c, Mixing::default())?;
                Ok(Thermal {
                    // With the melting: what a freezer has to take away.
                    heat_capacity_j_kgk: frozen.apparent_heat_capacity_j_kgk,
                    ..frozen.thermal
                })
            } else {
                matter::thermal(self.food, self.at_c)
            }
        })
    }
}

fn once<T: Copy>(
    cell: &OnceCell<Result<T, MatterError>>,
    compute: impl FnOnce() -> Result<T, MatterError>,
) -> Result<T, MatterError> {
    match cell.get_or_init(compute) {
        Ok(value) => Ok(*value),
        Err(error) => Err(error.clone()),
    }
}
