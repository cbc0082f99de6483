//! How much warm food a refrigerator takes before its own air is too warm.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;

/// Registry entry of [`warmest_air_c`].
pub static COLD_STORE: Equation = Equation {
    key: "cold-store-budget",
    title: "Air of a refrigerator with warm food in it",
    text: "C dT_air/dt = m a h (T_food - T_air) - P, P the spare watts while the air is above its setting; \
           m c dT_food/dt = -m a h (T_food - T_air)",
    source: "heat_balance",
};

/// Steps over the food's own time of cooling.
const STEPS_PER_TIME: f64 = 200.0;
/// Steps in all.
const MAX_STEPS: usize = 4000;
/// Most food asked for [kg].
const MOST_KG: f64 = 2000.0;
/// Halvings of the search.
const HALVINGS: usize = 50;

/// A refrigerator or cold room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdStore {
    /// Cooling left over when it is at its setting [W].
    pub spare_w: f64,
    /// Its setting [°C].
    pub set_c: f64,
    /// Heat capacity of air, shelves and lining that warm with the air [J/K].
    pub capacity_j_k: f64,
}

/// Warm food as it comes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarmFood {
    /// Temperature [°C].
    pub start_c: f64,
    /// Heat capacity [J/(kg K)].
    pub cp_j_kgk: f64,
    /// Conductance between food and air [W/(kg K)]: film times surface of a kilogram.
    pub conductance_w_kgk: f64,
}

/// Warmest air [°C] after food comes in.
///
/// ```text
/// C dTair/dt = m a h (Tfood - Tair) - P     m c dTfood/dt = -m a h (Tfood - Tair)
/// ```
///
/// The food counts as one lump, which gives its heat fastest at first: the peak is on the careful side.
/// Doors stay shut.
///
/// * `store`: spare 1 W to 100 kW, setting -30 to 10 °C, capacity 100 J/K to 100 MJ/K
/// * `food`: start above the setting to 100 °C, heat capacity 500 to 6000 J/(kg K), conductance 1e-4 to 100 W/(kg K)
/// * `kg`: 0 to 2000
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// Balance of heat.
pub fn warmest_air_c(store: &ColdStore, food: &WarmFood, kg: f64) -> Result<f64, HeatError> {
    let range = |what, got, min, max, unit| OutOfRange::check(what, got, min, max, unit, COLD_STORE.key);
    let spare = range("spare cooling", store.spare_w, 1.0, 1e5, "W")?;
    let set = range("setting", store.set_c, -30.0, 10.0, "°C")?;
    let capacity = range("heat capacity of the store", store.capacity_j_k, 100.0, 1e8, "J/K")?;
    let start = range("food coming in", food.start_c, set, 100.0, "°C")?;
    let cp = range("heat capacity of the food", food.cp_j_kgk, 500.0, 6000.0, "J/(kg K)")?;
    let conductance = range("conductance", food.conductance_w_kgk, 1e-4, 100.0, "W/(kg K)")?;
    let kg = range("food", kg, 0.0, MOST_KG, "kg")?;
    let (between, holds) = (kg * conductance, kg * cp);
    let step_s = f64::min(cp / conductance, capacity / between.max(1e-9)).min(1e5) / STEPS_PER_TIME;
    let (mut air, mut warm, mut most) = (set, start, set);
    for _ in 0..MAX_STEPS {
        let flow = between * (warm - air);
        if flow <= spare && air <= set {
            break;
        }
        // Implicit: both temperatures at the step's end, the compressor at its spare watts.
        let (a, b) = (step_s * between / capacity, step_s * between / holds.max(1e-9));
        let cooled = air - step_s * spare / capacity;
        let next_air = (cooled * (1.0 + b) + a * warm) / (1.0 + a + b);
        warm = (warm + b * next_air) / (1.0 + b);
        let falling = next_air < air;
        air = next_air.max(set);
        most = most.max(air);
        if falling {
            // Once the air falls the food gives less and less: the peak is past.
            break;
        }
    }
    Ok(most)
}

/// Most warm food [kg] that leaves the air at or under a limit.
///
/// * `limit_c`: above the setting, up to 20 °C
///
/// # Errors
/// Those of [`warmest_air_c`].
///
/// # Source
/// Balance of heat; 5 °C is `fda_food_code`'s limit of cold holding.
pub fn most_warm_food_kg(store: &ColdStore, food: &WarmFood, limit_c: f64) -> Result<f64, HeatError> {
    OutOfRange::check("limit of the air", limit_c, store.set_c, 20.0, "°C", COLD_STORE.key)?;
    let fits = |kg| warmest_air_c(store, food, kg).map(|c| c <= limit_c);
    if fits(MOST_KG)? {
        return Ok(MOST_KG);
    }
    let (mut good, mut bad) = (0.0, MOST_KG);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good + bad);
        if fits(middle)? { good = middle } else { bad = middle }
    }
    Ok(good)
}

#[cfg(test)]
mod tests {
    use super::*;

    const STORE: ColdStore = ColdStore {
        spare_w: 500.0,
        set_c: 3.0,
        capacity_j_k: 20_000.0,
    };
    const SAUCE: WarmFood = WarmFood {
        start_c: 57.0,
        cp_j_kgk: 3800.0,
        conductance_w_kgk: 0.4,
    };

    #[test]
    fn a_store_without_buffer_takes_what_its_watts_carry_at_the_limit() -> Result<(), HeatError> {
        let bare = ColdStore {
            capacity_j_k: 100.0,
            ..STORE
        };
        let kg = most_warm_food_kg(&bare, &SAUCE, 5.0)?;
        let watts = 500.0 / (0.4 * (57.0 - 5.0));
        assert!((kg / watts - 1.0).abs() < 0.01, "{kg} {watts}");
        Ok(())
    }

    #[test]
    fn more_watts_colder_food_and_more_shelf_take_more() -> Result<(), HeatError> {
        let base = most_warm_food_kg(&STORE, &SAUCE, 5.0)?;
        let more = |store: ColdStore, food: WarmFood| most_warm_food_kg(&store, &food, 5.0);
        assert!(
            more(
                ColdStore {
                    spare_w: 800.0,
                    ..STORE
                },
                SAUCE
            )? > base
        );
        assert!(more(STORE, WarmFood { start_c: 21.0, ..SAUCE })? > base);
        assert!(
            more(
                ColdStore {
                    capacity_j_k: 80_000.0,
                    ..STORE
                },
                SAUCE
            )? > base
        );
        assert!(
            more(
                ColdStore {
                    spare_w: f64::NAN,
                    ..STORE
                },
                SAUCE
            )
            .is_err()
        );
        Ok(())
    }

    #[test]
    fn no_food_leaves_the_air_at_its_setting() -> Result<(), HeatError> {
        assert!((warmest_air_c(&STORE, &SAUCE, 0.0)? - 3.0).abs() < 1e-12);
        Ok(())
    }
}
