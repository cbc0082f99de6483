//! Heat that a cubic metre of food holds and how it conducts, against temperature: warm, freezing
//! or frozen.
//!
//! Between rows heat and conductivity run in straight lines of temperature, so that both rise and
//! fall as the rows do and what a solver takes out is what the rows say the food gave.
//!
//! Read next: `changing.rs`, which marches a jar of it.

use jarwright_figure::{Equation, OutOfRange};
use jarwright_matter::{Food, Mixing, enthalpy_j_kg, food_freezes_c, frozen, thermal_by};

use crate::HeatError;
use crate::case::Contents;

/// Registry entry of [`FoodCurves`].
pub static FOOD_CURVES: Equation = Equation {
    key: "food-curves",
    title: "Heat content and conductivity against temperature",
    text: "H(T) = rho h(T) with rho unfrozen at 20 °C, k(T), theta = integral of k dT; straight lines between rows",
    source: "choi_okos_1986",
};

/// Temperatures [°C] a food's own rows span; a salty food's begin at its eutectic.
const FOOD_ENDS_C: (f64, f64) = (-30.0, 120.0);
/// Temperatures [°C] that rows may have at all.
const ENDS_C: (f64, f64) = (-60.0, 200.0);
/// Warmest temperature [°C] of `matter`'s enthalpy; above it heat capacity is summed.
const ENTHALPY_TO_C: f64 = 100.0;
/// Distance of rows where nothing freezes [K]: straight lines are within 0.001 K.
const ROW_K: f64 = 2.5;
/// The first row below the freezing point lies this far from it [K], ...
const FIRST_BELOW_K: f64 = 0.01;
/// ... and each further one this many times as far.
const FURTHER: f64 = 1.12;
/// A stretch that takes this many times the least heat a kelvin is one of melting.
const SHARP: f64 = 4.0;
/// Temperatures this close have one conductivity [K].
const SAME_K: f64 = 1e-6;
/// Density is taken at [°C].
const DENSITY_AT_C: f64 = 20.0;

/// A row: what the food is at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoodAt {
    /// Temperature [°C].
    pub c: f64,
    /// Heat [J/m³] above any level of one's choice.
    pub heat_j_m3: f64,
    /// Conductivity [W/(m K)].
    pub k_w_mk: f64,
}

/// A food's heat and conductivity against temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodCurves {
    rows: Vec<FoodAt>,
    /// Integral of conductivity from the first row [W/m].
    theta_w_m: Vec<f64>,
}

/// A cell of food by its heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct State {
    pub(crate) c: f64,
    pub(crate) k_w_mk: f64,
    /// Integral of conductivity over temperature [W/m].
    pub(crate) theta_w_m: f64,
    /// Warming by heat [K m³/J]; 0 where all heat melts.
    pub(crate) warming: f64,
}

impl FoodCurves {
    /// From rows by rising temperature. Two rows of one temperature and different heat melt there.
    ///
    /// * `rows`: at least 2; -60 to 200 °C; heat rises from row to row; conductivity 0.05 to 5 W/(m K)
    ///
    /// # Errors
    /// [`HeatError::BadShape`] for fewer than 2 rows, [`HeatError::OutOfRange`] outside the ranges above.
    pub fn from_rows(rows: Vec<FoodAt>) -> Result<Self, HeatError> {
        let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, FOOD_CURVES.key);
        if rows.len() < 2 {
            return Err(HeatError::BadShape {
                what: "rows of a food's heat",
                got: rows.len(),
                needed: 2,
            });
        }
        let (mut theta, mut theta_w_m) = (0.0, Vec::with_capacity(rows.len()));
        let mut before: Option<&FoodAt> = None;
        for row in &rows {
            range("temperature of a row", row.c, ENDS_C.0, ENDS_C.1, "°C")?;
            range("heat of a row", row.heat_j_m3, -1e12, 1e12, "J/m3")?;
            range("conductivity of a row", row.k_w_mk, 0.05, 5.0, "W/(m K)")?;
            if let Some(before) = before {
                range("temperature after the row before", row.c - before.c, 0.0, 260.0, "K")?;
                let rise = row.heat_j_m3 - before.heat_j_m3;
                range("heat after the row before", rise, 1.0, 1e12, "J/m3")?;
                theta += 0.5 * (before.k_w_mk + row.k_w_mk) * (row.c - before.c);
            }
            theta_w_m.push(theta);
            before = Some(row);
        }
        Ok(Self { rows, theta_w_m })
    }

    /// Of a food that does not change with temperature, -60 to 200 °C, heat above 0 °C.
    ///
    /// # Errors
    /// As [`FoodCurves::from_rows`].
    pub fn constant(contents: &Contents) -> Result<Self, HeatError> {
        let row = |c| FoodAt {
            c,
            heat_j_m3: contents.density_kg_m3 * contents.heat_capacity_j_kgk * c,
            k_w_mk: contents.conductivity_w_mk,
        };
        Self::from_rows(vec![row(ENDS_C.0), row(ENDS_C.1)])
    }

    /// Of a food by its composition, -30 to 120 °C, with the ice it holds at equilibrium; heat
    /// above the food at 0 °C with no ice in it. A salty food's rows begin above its eutectic.
    ///
    /// A cubic metre is one of unfrozen food at 20 °C: the food neither swells nor shrinks here,
    /// or its cells would lose mass.
    ///
    /// # Errors
    /// Those of [`frozen`], but for the cold end.
    ///
    /// # Source
    /// As [`frozen`] and [`thermal_by`]: `choi_okos_1986`, `ice_melting`.
    pub fn food(food: &Food, mixing: Mixing) -> Result<Self, HeatError> {
        let density = thermal_by(food, DENSITY_AT_C, mixing)?.density_kg_m3;
        let mut rows = Vec::new();
        for c in cold_marks(food_freezes_c(food).ok()) {
            match frozen(food, c, mixing) {
                Ok(at) => rows.push(FoodAt {
                    c,
                    heat_j_m3: density * at.enthalpy_j_kg,
                    k_w_mk: at.thermal.conductivity_w_mk,
                }),
                // Colder than the ice is known.
                Err(_) if c < 0.0 => rows.clear(),
                Err(error) => return Err(error.into()),
            }
        }
        // Water melts all at once.
        let mut heat_j_kg = enthalpy_j_kg(food, 0.0)?;
        let rows_warm = (FOOD_ENDS_C.1 / ROW_K) as usize;
        for i in 0..=rows_warm {
            let c = ROW_K * i as f64;
            let at = thermal_by(food, c, mixing)?;
            if c > 0.0 {
                heat_j_kg = if c <= ENTHALPY_TO_C {
                    enthalpy_j_kg(food, c)?
                } else {
                    heat_j_kg + ROW_K * thermal_by(food, c - 0.5 * ROW_K, mixing)?.heat_capacity_j_kgk
                };
            }
            rows.push(FoodAt {
                c,
                heat_j_m3: density * heat_j_kg,
                k_w_mk: at.conductivity_w_mk,
            });
        }
        Self::from_rows(rows)
    }

    /// Coldest and hottest temperature of the rows [°C].
    #[must_use]
    pub fn ends_c(&self) -> (f64, f64) {
        let c = |row: Option<&FoodAt>| row.map_or(f64::NAN, |row| row.c);
        (c(self.rows.first()), c(self.rows.last()))
    }

    /// The rows.
    #[must_use]
    pub fn rows(&self) -> &[FoodAt] {
        &self.rows
    }

    /// Heat [J/m³] at a temperature between the ends; where it melts, all melted.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside the rows.
    pub fn heat_j_m3(&self, c: f64) -> Result<f64, HeatError> {
        let (low, high) = self.ends_c();
        OutOfRange::check("temperature of the food", c, low, high, "°C", FOOD_CURVES.key)?;
        let i = self.stretch(|row| row.c <= c);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        Ok(if b.c > a.c {
            a.heat_j_m3 + (c - a.c) / (b.c - a.c) * (b.heat_j_m3 - a.heat_j_m3)
        } else {
            b.heat_j_m3
        })
    }

    /// Temperature [°C] and conductivity [W/(m K)] at a heat [J/m³]; beyond the ends along their rows.
    #[must_use]
    pub fn at_heat(&self, heat_j_m3: f64) -> (f64, f64) {
        let state = self.state(heat_j_m3);
        (state.c, state.k_w_mk)
    }

    pub(crate) fn state(&self, heat_j_m3: f64) -> State {
        let i = self.stretch(|row| row.heat_j_m3 <= heat_j_m3);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        let warming = (b.c - a.c) / (b.heat_j_m3 - a.heat_j_m3);
        let part = (heat_j_m3 - a.heat_j_m3) / (b.heat_j_m3 - a.heat_j_m3);
        let c = a.c + part * (b.c - a.c);
        let k_w_mk = a.k_w_mk + part.clamp(0.0, 1.0) * (b.k_w_mk - a.k_w_mk);
        State {
            c,
            k_w_mk,
            theta_w_m: self.theta_w_m[i] + 0.5 * (a.k_w_mk + k_w_mk) * (c - a.c),
            warming,
        }
    }

    /// Mean conductivity [W/(m K)] from a state to another temperature [°C].
    pub(crate) fn mean_k_w_mk(&self, from: &State, to_c: f64) -> f64 {
        if (to_c - from.c).abs() < SAME_K {
            return from.k_w_mk;
        }
        let i = self.stretch(|row| row.c <= to_c);
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        let part = if b.c > a.c { (to_c - a.c) / (b.c - a.c) } else { 1.0 };
        let k_w_mk = a.k_w_mk + part.clamp(0.0, 1.0) * (b.k_w_mk - a.k_w_mk);
        let theta = self.theta_w_m[i] + 0.5 * (a.k_w_mk + k_w_mk) * (to_c - a.c);
        (theta - from.theta_w_m) / (to_c - from.c)
    }

    /// Least heat that warms a cubic metre by a kelvin [J/(m³ K)].
    pub(crate) fn least_capacity_j_m3k(&self) -> f64 {
        let warming = |two: &[FoodAt]| (two[1].c - two[0].c) / (two[1].heat_j_m3 - two[0].heat_j_m3);
        1.0 / self.rows.windows(2).map(warming).fold(f64::MIN_POSITIVE, f64::max)
    }

    /// Whether ice forms or melts, or anything else bends the curves sharply, above a temperature.
    pub(crate) fn breaks_above(&self, c: f64) -> bool {
        let least = self.least_capacity_j_m3k();
        let sharp =
            |two: &[FoodAt]| two[1].heat_j_m3 - two[0].heat_j_m3 > SHARP * least * (two[1].c - two[0].c).max(1e-6);
        self.rows.windows(2).any(|two| two[1].c >= c && sharp(two))
    }

    fn stretch(&self, below: impl Fn(&FoodAt) -> bool) -> usize {
        self.rows
            .partition_point(below)
            .saturating_sub(1)
            .min(self.rows.len() - 2)
    }
}

/// Temperatures [°C] of rows below 0, rising: closest where ice forms fastest.
fn cold_marks(freezes_c: Option<f64>) -> Vec<f64> {
    let mut marks = vec![FOOD_ENDS_C.0];
    let freezes_c = freezes_c.unwrap_or(FOOD_ENDS_C.0);
    let mut below_k = FIRST_BELOW_K;
    while freezes_c - below_k > FOOD_ENDS_C.0 {
        marks.push(freezes_c - below_k);
        below_k = (below_k * FURTHER).min(below_k + ROW_K);
    }
    let warm = (-freezes_c / ROW_K).ceil().max(1.0);
    let warmer = (0..warm as usize).map(|i| freezes_c * (1.0 - i as f64 / warm));
    // A freezing point of zero is the first warm row.
    marks.extend(warmer.filter(|c| *c < -1e-6));
    marks.sort_by(f64::total_cmp);
    marks.dedup_by(|a, b| (*a - *b).abs() < 1e-7);
    marks
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn a_foods_curves_give_back_its_own_heat_and_conductivity(
            sucrose_kg in 0.02f64..1.0, fat_kg in 0.0f64..0.5, protein_kg in 0.0f64..0.2, c in -29.0f64..99.0,
        ) {
            let food = Food { water_kg: 1.0, sucrose_kg, fat_kg, protein_kg, ..Food::default() };
            let fail = |e: String| TestCaseError::fail(e);
            let curves = FoodCurves::food(&food, Mixing::Parallel).map_err(|e| fail(e.to_string()))?;
            let heat = curves.heat_j_m3(c).map_err(|e| fail(e.to_string()))?;
            let (back_c, k) = curves.at_heat(heat);
            prop_assert!((back_c - c).abs() < 1e-9);
            let own = frozen(&food, c, Mixing::Parallel).map_err(|e| fail(e.to_string()))?;
            let density = thermal_by(&food, 20.0, Mixing::Parallel).map_err(|e| fail(e.to_string()))?.density_kg_m3;
            // Where most ice forms a hundredth of a kelvin is much heat: held to the temperature.
            let (own_c, _) = curves.at_heat(density * own.enthalpy_j_kg);
            prop_assert!((own_c - c).abs() < 0.05, "{own_c} {c}");
            prop_assert!((k / own.thermal.conductivity_w_mk - 1.0).abs() < 0.01);
        }
    }

    #[test]
    fn water_melts_at_zero_and_a_brine_begins_at_its_eutectic() -> Result<(), HeatError> {
        let water = Food {
            water_kg: 1.0,
            ..Food::default()
        };
        let curves = FoodCurves::food(&water, Mixing::Parallel)?;
        let gap = curves.heat_j_m3(0.0)? - curves.heat_j_m3(-0.02)?;
        assert!((gap / (995.7 * 333.6e3) - 1.0).abs() < 2e-3, "{gap}");
        let brine = Food { salt_kg: 0.05, ..water };
        let (coldest, _) = FoodCurves::food(&brine, Mixing::Parallel)?.ends_c();
        assert!((-22.0..-18.0).contains(&coldest), "{coldest}");
        Ok(())
    }

    #[test]
    fn rows_that_do_not_rise_are_refused() {
        let row = |c, heat_j_m3| FoodAt {
            c,
            heat_j_m3,
            k_w_mk: 0.5,
        };
        for rows in [
            vec![row(0.0, 0.0)],
            vec![row(0.0, 0.0), row(10.0, 0.0)],
            vec![row(0.0, 0.0), row(-1.0, 10.0)],
            vec![row(0.0, 0.0), row(f64::NAN, 10.0)],
            vec![row(0.0, f64::NAN), row(1.0, 10.0)],
        ] {
            assert!(FoodCurves::from_rows(rows).is_err());
        }
    }
}
