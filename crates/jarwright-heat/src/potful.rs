//! What a pot holds: heat against temperature, with water leaving and food coming in.

use jarwright_matter::{Component, Food, food_boils_c, latent_heat_j_kg, thermal, water_activity};

use crate::HeatError;

/// Temperatures [°C] that a quadratic is laid through. Choi and Okos' heat capacities are
/// quadratic in temperature, so for them it is exact.
const NODES_C: [f64; 3] = [10.0, 60.0, 110.0];

/// `a + b T + c T²` in °C.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Quadratic([f64; 3]);

impl Quadratic {
    /// The one that `f` has at three temperatures.
    pub(crate) fn through(f: impl Fn(f64) -> Result<f64, HeatError>) -> Result<Self, HeatError> {
        let [x0, x1, x2] = NODES_C;
        let (y0, y1, y2) = (f(x0)?, f(x1)?, f(x2)?);
        let d01 = (y1 - y0) / (x1 - x0);
        let d12 = (y2 - y1) / (x2 - x1);
        let c = (d12 - d01) / (x2 - x0);
        let b = d01 - c * (x0 + x1);
        Ok(Self([y0 - x0 * (b + c * x0), b, c]))
    }

    pub(crate) fn at(self, c: f64) -> f64 {
        let [a, b, q] = self.0;
        a + c * (b + c * q)
    }

    /// Integral from 0 °C.
    pub(crate) fn integral(self, c: f64) -> f64 {
        let [a, b, q] = self.0;
        c * (a + c * (b / 2.0 + c * q / 3.0))
    }

    fn plus(self, other: Self) -> Self {
        let ([a, b, c], [d, e, f]) = (self.0, other.0);
        Self([a + d, b + e, c + f])
    }
}

/// Heat capacity of a food [J/K].
fn capacity(food: &Food) -> Result<Quadratic, HeatError> {
    let mass_kg = food.mass_kg();
    Quadratic::through(|c| Ok(mass_kg * thermal(food, c)?.heat_capacity_j_kgk))
}

/// Food and pot at one temperature, some water gone since the food last changed.
#[derive(Debug, Clone)]
pub(crate) struct Potful {
    /// Food as it was before `gone_kg` left.
    food: Food,
    /// Food with all its water, and pot [J/K].
    full: Quadratic,
    /// Water [J/(kg K)].
    water: Quadratic,
    /// Latent heat [J/kg].
    latent: Quadratic,
    /// Water that left [kg].
    pub(crate) gone_kg: f64,
    /// Temperature [°C].
    pub(crate) c: f64,
    /// Water activity of the food as it was.
    pub(crate) activity: f64,
}

impl Potful {
    pub(crate) fn new(food: &Food, pot_j_k: f64, c: f64) -> Result<Self, HeatError> {
        // Also refuses a temperature or a food outside the properties' range.
        thermal(food, c)?;
        Ok(Self {
            food: food.clone(),
            full: capacity(food)?.plus(Quadratic([pot_j_k, 0.0, 0.0])),
            water: Quadratic::through(|c| Ok(Component::Water.alone(c)?.heat_capacity_j_kgk))?,
            latent: Quadratic::through(|c| Ok(latent_heat_j_kg(c)?))?,
            gone_kg: 0.0,
            c,
            activity: activity(food)?,
        })
    }

    /// A food known by its mass and heat capacity alone; its vapour is water's.
    pub(crate) fn of_water_like(
        mass_kg: f64,
        heat_capacity_j_kgk: f64,
        pot_j_k: f64,
        c: f64,
    ) -> Result<Self, HeatError> {
        let water = Food {
            water_kg: mass_kg,
            ..Food::default()
        };
        Ok(Self {
            full: Quadratic([mass_kg * heat_capacity_j_kgk + pot_j_k, 0.0, 0.0]),
            ..Self::new(&water, 0.0, c)?
        })
    }

    /// The food as it is now.
    pub(crate) fn food_now(&self) -> Result<Food, HeatError> {
        Ok(self.food.minus_water(self.gone_kg)?)
    }

    /// Heat capacity with `gone_kg` of water gone [J/K].
    pub(crate) fn capacity_j_k(&self, c: f64, gone_kg: f64) -> f64 {
        self.full.at(c) - gone_kg * self.water.at(c)
    }

    /// Enthalpy above 0 °C with `gone_kg` of water gone [J].
    pub(crate) fn enthalpy_j(&self, c: f64, gone_kg: f64) -> f64 {
        self.full.integral(c) - gone_kg * self.water.integral(c)
    }

    pub(crate) fn latent_j_kg(&self, c: f64) -> f64 {
        self.latent.at(c)
    }

    /// Enthalpy of vapour above liquid water of 0 °C [J/kg].
    pub(crate) fn vapour_j_kg(&self, c: f64) -> f64 {
        self.latent.at(c) + self.water.integral(c)
    }

    /// Boiling point with `gone_kg` of water gone [°C]; none for a food without water.
    pub(crate) fn boils_c(&self, gone_kg: f64, pressure_pa: f64) -> Result<Option<f64>, HeatError> {
        if self.food.water_kg <= 0.0 {
            return Ok(None);
        }
        Ok(Some(food_boils_c(&self.food.minus_water(gone_kg)?, pressure_pa)?))
    }

    /// Water activity with `gone_kg` of water gone; 0 for a food without water.
    pub(crate) fn activity_at(&self, gone_kg: f64) -> Result<f64, HeatError> {
        activity(&self.food.minus_water(gone_kg)?)
    }

    /// Water in the food as it was before `gone_kg` left [kg].
    pub(crate) fn water_kg(&self) -> f64 {
        self.food.water_kg
    }

    /// Stirs a food of another temperature in; enthalpies add.
    pub(crate) fn stir_in(&mut self, food: &Food, c: f64) -> Result<(), HeatError> {
        thermal(food, c)?;
        let added = capacity(food)?;
        let enthalpy_j = self.enthalpy_j(self.c, self.gone_kg) + added.integral(c);
        let mut whole = self.food_now()?;
        whole.add(food);
        // The water gone takes its capacity along, so that only what is there remains.
        let [a, b, q] = self.water.0;
        let gone = Quadratic([-self.gone_kg * a, -self.gone_kg * b, -self.gone_kg * q]);
        self.full = self.full.plus(gone).plus(added);
        self.gone_kg = 0.0;
        self.activity = activity(&whole)?;
        self.food = whole;
        self.c = self.temperature_c(enthalpy_j, 0.5 * (self.c + c));
        Ok(())
    }

    /// Temperature of an enthalpy [°C]; Newton's steps on a curve that is nearly straight.
    fn temperature_c(&self, enthalpy_j: f64, guess_c: f64) -> f64 {
        let mut c = guess_c;
        for _ in 0..8 {
            c -= (self.enthalpy_j(c, self.gone_kg) - enthalpy_j) / self.capacity_j_k(c, self.gone_kg);
        }
        c
    }
}

/// Water activity, 0 for a food without water: nothing evaporates from it.
fn activity(food: &Food) -> Result<f64, HeatError> {
    if food.water_kg <= 0.0 {
        Ok(0.0)
    } else {
        Ok(water_activity(food)?)
    }
}
