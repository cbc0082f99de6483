//! The followed pot and what it does to food, held against worked examples, measurements and print.

mod changes;
mod vessels;

use crate::{Check, Claim};

/// Every check of the followed pot and of the changes in it.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        vessels::soup_in_a_jacketed_pan(),
        vessels::milk_boiled_down(),
        vessels::jam_yield(),
        vessels::paddle_in_a_jacketed_vessel(),
        vessels::turbine_in_a_jacketed_vessel(),
        vessels::cap_of_a_sphere(),
        vessels::syrup_viscosity(),
        vessels::quart_on_induction(),
        vessels::open_water(),
        vessels::curd_over_steam(),
        vessels::how_the_curd_moves(),
        changes::milk_holder(),
        changes::sucrose_activation(),
        changes::inversion_in_sugar_juice(),
        changes::inversion_in_hot_acid(),
        changes::invert_sugar_of_jam(),
        changes::yolk_gels(),
        changes::custard_sets(),
        changes::custard_curdles(),
        changes::vitamin_at_room_temperature(),
        changes::vitamin_in_a_jam(),
        changes::diffusion_half_times(),
        changes::porous_pieces(),
        changes::skins(),
        changes::pickled_eggs(),
    ]
}

fn or_miss<E>(value: Result<f64, E>) -> f64 {
    value.unwrap_or(f64::NAN)
}
