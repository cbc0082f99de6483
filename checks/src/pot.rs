//! The followed pot and what it does to food, held against worked examples, measurements and print.

mod changes;
mod vessels;

use jarwright_figure::Mark;

use crate::{Check, Worst};

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

/// What a check says about itself.
struct Claim {
    name: &'static str,
    claim: &'static str,
    source: &'static str,
    place: &'static str,
    mark: Mark,
    tolerance: f64,
    unit: &'static str,
    why: &'static str,
}

impl Claim {
    fn held(self, worst: &Worst, note: impl Into<String>) -> Check {
        Check {
            name: self.name,
            claim: self.claim,
            source: self.source,
            place: self.place,
            mark: self.mark,
            measured_or_printed: matches!(self.mark, Mark::Seen | Mark::ThirdPartyCopy),
            points: worst.points,
            worst_miss: worst.miss,
            tolerance: self.tolerance,
            unit: self.unit,
            why: self.why,
            passed: worst.points > 0 && worst.miss <= self.tolerance,
            note: note.into(),
        }
    }
}

fn or_miss<E>(value: Result<f64, E>) -> f64 {
    value.unwrap_or(f64::NAN)
}
