//! Heat that a cubic metre of food holds, against its temperature, with conductivity and ice.
//!
//! Straight lines between rows: what a grid takes out is what the table says the food gave.
//!
//! Read next: `slow_grid.rs`, which marches it.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::{Food, Mixing, food_freezes_c, frozen};

use crate::HeatError;
use crate::jar::Contents;

/// Registry entry of [`HeatTable`].
pub static HEAT_TABLE: Equation = Equation {
    key: "heat-content-table",
    title: "Heat in a cubic metre of food, frozen or not",
    text: "H(T) by straight lines between rows; constants: rho c_u (T - T_f) above T_f, rho (c_f (T - T_f) - L ice) below, \
           ice all at T_f or 1 - T_f/T",
    source: "ashrae_refrigeration_2006",
};

/// Ends of a table made of constants [°C].
const CONSTANT_ENDS_C: (f64, f64) = (-200.0, 200.0);
/// Ends of a food's own table [°C]; `matter` tells ice down to -30.
const FOOD_ENDS_C: (f64, f64) = (-30.0, 100.0);
/// Conductivity of a food that is stirred [W/(m K)]: no food's, so great that it does not count.
const STIRRED_W_MK: f64 = 100.0;
/// Above this the food's properties, which change little, stay as they are [°C].
const COLD_C: f64 = 1.0;

/// How the latent heat of a food of constant properties comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Freezes {
    /// All at the freezing point, as Plank has it.
    AtOnce,
    /// As its water freezes out: ice share 1 - Tf/T, as in an ideal dilute solution.
    ByAndBy,
}

/// Properties that jump at the freezing point and are constant on both sides of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// Density [kg/m³], the same frozen.
    pub density_kg_m3: f64,
    /// Heat capacity unfrozen [J/(kg K)].
    pub unfrozen_cp_j_kgk: f64,
    /// Heat capacity frozen [J/(kg K)].
    pub frozen_cp_j_kgk: f64,
    /// Conductivity unfrozen [W/(m K)].
    pub unfrozen_k_w_mk: f64,
    /// Conductivity frozen [W/(m K)].
    pub frozen_k_w_mk: f64,
    /// Latent heat of the food [J/kg].
    pub latent_j_kg: f64,
    /// Where it begins to freeze [°C].
    pub freezes_c: f64,
    /// How the latent heat comes out.
    pub freezes: Freezes,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Row {
    c: f64,
    heat_j_m3: f64,
    k_w_mk: f64,
    ice_share: f64,
}

/// Heat, conductivity and ice against temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatTable {
    rows: Vec<Row>,
    density_kg_m3: f64,
    freezes_c: Option<f64>,
}

impl HeatTable {
    /// Of something that does not freeze here.
    ///
    /// * `contents`: conductivity 0.05 to 500 W/(m K), density 100 to 9000 kg/m³, heat capacity 300 to
    ///   6000 J/(kg K)
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    pub fn constant(contents: &Contents) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, HEAT_TABLE.key);
        let k_w_mk = range("conductivity", contents.conductivity_w_mk, 0.05, 500.0, "W/(m K)")?;
        let density_kg_m3 = range("density", contents.density_kg_m3, 100.0, 9000.0, "kg/m3")?;
        let cp = range("heat capacity", contents.heat_capacity_j_kgk, 300.0, 6000.0, "J/(kg K)")?;
        let row = |c| Row {
            c,
            heat_j_m3: density_kg_m3 * cp * c,
            k_w_mk,
            ice_share: 0.0,
        };
        Ok(Self {
            rows: vec![row(CONSTANT_ENDS_C.0), row(CONSTANT_ENDS_C.1)],
            density_kg_m3,
            freezes_c: None,
        })
    }

    /// Of a food with constant properties on both sides of its freezing point.
    ///
    /// * `p`: as for Plank and Pham; `freezes_c` -20 to -0.05 °C
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the ranges above.
    ///
    /// # Source
    /// Ice share 1 - Tf/T: `ashrae_refrigeration_2006`, without bound water.
    pub fn freezing(p: &Constants) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, HEAT_TABLE.key);
        let density_kg_m3 = range("density", p.density_kg_m3, 100.0, 3000.0, "kg/m3")?;
        let unfrozen = range("heat capacity unfrozen", p.unfrozen_cp_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
        let frozen = range("heat capacity frozen", p.frozen_cp_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
        let warm_k = range("conductivity unfrozen", p.unfrozen_k_w_mk, 0.05, 5.0, "W/(m K)")?;
        let cold_k = range("conductivity frozen", p.frozen_k_w_mk, 0.05, 5.0, "W/(m K)")?;
        let latent = range("latent heat", p.latent_j_kg, 1e4, 3.4e5, "J/kg")?;
        let freezes_c = range("freezing point", p.freezes_c, -20.0, -0.05, "°C")?;
        let below = |c: f64, ice_share: f64| Row {
            c,
            heat_j_m3: density_kg_m3 * (frozen * (c - freezes_c) - latent * ice_share),
            k_w_mk: warm_k + (cold_k - warm_k) * ice_share,
            ice_share,
        };
        let mut rows = match p.freezes {
            Freezes::AtOnce => vec![below(CONSTANT_ENDS_C.0, 1.0), below(freezes_c, 1.0)],
            Freezes::ByAndBy => {
                // Even steps of ice, so that every row carries as much latent heat.
                const STEPS: i32 = 240;
                let coldest = 1.0 - freezes_c / CONSTANT_ENDS_C.0;
                (0..STEPS)
                    .map(|i| coldest * f64::from(STEPS - i) / f64::from(STEPS))
                    .map(|ice| below(freezes_c / (1.0 - ice), ice))
                    .collect()
            }
        };
        rows.push(below(freezes_c, 0.0));
        rows.push(Row {
            c: CONSTANT_ENDS_C.1,
            heat_j_m3: density_kg_m3 * unfrozen * (CONSTANT_ENDS_C.1 - freezes_c),
            k_w_mk: warm_k,
            ice_share: 0.0,
        });
        Ok(Self {
            rows,
            density_kg_m3,
            freezes_c: Some(freezes_c),
        })
    }

    /// Of a food by its composition, with the ice it holds at equilibrium.
    ///
    /// Density is the unfrozen food's: it swells as it freezes, and a grid of fixed size would lose mass.
    ///
    /// # Errors
    /// Those of [`frozen`]. A food that does not freeze above -30 °C has no freezing point here.
    ///
    /// # Source
    /// As [`frozen`].
    pub fn food(food: &Food) -> Result<Self, HeatError> {
        let freezes_c = food_freezes_c(food).ok();
        let density_kg_m3 = frozen(food, 20.0, Mixing::Parallel)?.thermal.density_kg_m3;
        let mut marks = vec![100.0, 80.0, 60.0, 40.0, 20.0, 10.0, 5.0, COLD_C, 0.05];
        if let Some(tf) = freezes_c {
            marks.extend([tf + 0.01, tf]);
            // Closer where the ice forms fastest.
            let mut below = 0.02;
            while tf - below > FOOD_ENDS_C.0 {
                marks.push(tf - below);
                below *= 1.18;
            }
        }
        marks.push(FOOD_ENDS_C.0);
        marks.sort_by(f64::total_cmp);
        marks.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let mut rows = Vec::new();
        for c in marks {
            match frozen(food, c, Mixing::Parallel) {
                Ok(at) => rows.push(Row {
                    c,
                    heat_j_m3: density_kg_m3 * at.enthalpy_j_kg,
                    k_w_mk: at.thermal.conductivity_w_mk,
                    ice_share: at.ice_share_of_water,
                }),
                // Below a salt's eutectic the ice is not known; the table begins above it.
                Err(_) if c < 0.0 => rows.clear(),
                Err(error) => return Err(error.into()),
            }
        }
        rows.dedup_by(|next, before| next.heat_j_m3 <= before.heat_j_m3);
        Ok(Self {
            rows,
            density_kg_m3,
            freezes_c,
        })
    }

    /// The same food kept stirred: its own resistance to heat is gone, and the films decide.
    #[must_use]
    pub fn stirred(mut self) -> Self {
        for row in &mut self.rows {
            row.k_w_mk = STIRRED_W_MK;
        }
        self
    }

    /// Coldest temperature of the table [°C].
    #[must_use]
    pub fn coldest_c(&self) -> f64 {
        self.rows.first().map_or(f64::NAN, |row| row.c)
    }

    /// Hottest temperature of the table [°C].
    #[must_use]
    pub fn hottest_c(&self) -> f64 {
        self.rows.last().map_or(f64::NAN, |row| row.c)
    }

    /// Where it begins to freeze [°C], if it does.
    #[must_use]
    pub const fn freezes_c(&self) -> Option<f64> {
        self.freezes_c
    }

    /// Density of the unfrozen food [kg/m³].
    #[must_use]
    pub const fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }

    /// Heat [J/m³] at a temperature of the table; all of the latent heat still in it at the freezing point.
    #[must_use]
    pub fn heat_j_m3(&self, c: f64) -> f64 {
        let i = self.segment(|row| row.c <= c);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        if b.c > a.c {
            a.heat_j_m3 + (c - a.c) / (b.c - a.c) * (b.heat_j_m3 - a.heat_j_m3)
        } else {
            b.heat_j_m3
        }
    }

    /// Conductivity [W/(m K)] at a temperature of the table.
    #[must_use]
    pub fn k_w_mk(&self, c: f64) -> f64 {
        self.at(self.heat_j_m3(c)).1
    }

    /// Share of the water that is ice where the heat is `heat_j_m3`.
    #[must_use]
    pub fn ice_share(&self, heat_j_m3: f64) -> f64 {
        let (i, part) = self.place(heat_j_m3);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        (a.ice_share + part * (b.ice_share - a.ice_share)).clamp(0.0, 1.0)
    }

    /// Temperature [°C], conductivity [W/(m K)] and dT/dH [K m³/J] where the heat is `heat_j_m3`.
    pub(crate) fn at(&self, heat_j_m3: f64) -> (f64, f64, f64) {
        let (i, part) = self.place(heat_j_m3);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        (
            a.c + part * (b.c - a.c),
            a.k_w_mk + part.clamp(0.0, 1.0) * (b.k_w_mk - a.k_w_mk),
            (b.c - a.c) / (b.heat_j_m3 - a.heat_j_m3),
        )
    }

    fn place(&self, heat_j_m3: f64) -> (usize, f64) {
        let i = self.segment(|row| row.heat_j_m3 <= heat_j_m3);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        (i, (heat_j_m3 - a.heat_j_m3) / (b.heat_j_m3 - a.heat_j_m3))
    }

    fn segment(&self, below: impl Fn(&Row) -> bool) -> usize {
        let last = self.rows.len().saturating_sub(2);
        self.rows.partition_point(below).saturating_sub(1).min(last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_gives_back_the_temperature_it_was_asked_for() -> Result<(), HeatError> {
        let food = Food {
            water_kg: 0.8,
            sucrose_kg: 0.15,
            protein_kg: 0.05,
            ..Food::default()
        };
        let table = HeatTable::food(&food)?;
        for c in [-29.0, -10.0, -3.3, 0.5, 21.0, 80.0] {
            assert!((table.at(table.heat_j_m3(c)).0 - c).abs() < 1e-9, "{c}");
        }
        assert!(table.ice_share(table.heat_j_m3(-18.0)) > 0.7);
        assert!(table.ice_share(table.heat_j_m3(5.0)).abs() < 1e-12);
        Ok(())
    }

    #[test]
    fn all_latent_heat_lies_between_freezing_point_and_frozen() -> Result<(), HeatError> {
        for freezes in [Freezes::AtOnce, Freezes::ByAndBy] {
            let table = HeatTable::freezing(&Constants {
                density_kg_m3: 1000.0,
                unfrozen_cp_j_kgk: 3600.0,
                frozen_cp_j_kgk: 1900.0,
                unfrozen_k_w_mk: 0.5,
                frozen_k_w_mk: 1.4,
                latent_j_kg: 250_000.0,
                freezes_c: -1.0,
                freezes,
            })?;
            let gap = table.heat_j_m3(-1.0 + 1e-9) - table.heat_j_m3(-199.0);
            let expected =
                1000.0 * (1900.0 * 198.0 + 250_000.0 * if freezes == Freezes::AtOnce { 1.0 } else { 198.0 / 199.0 });
            assert!((gap / expected - 1.0).abs() < 1e-4, "{freezes:?} {gap} {expected}");
        }
        Ok(())
    }

    #[test]
    fn nothing_without_heat_capacity_is_taken() {
        for cp in [0.0, -1.0, f64::NAN] {
            let contents = Contents {
                conductivity_w_mk: 0.5,
                density_kg_m3: 1000.0,
                heat_capacity_j_kgk: cp,
            };
            assert!(HeatTable::constant(&contents).is_err());
        }
    }
}
