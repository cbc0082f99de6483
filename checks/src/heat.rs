//! Heat in jars, pans and films against exact series, textbooks, general-purpose libraries and
//! published measurements.

mod changing;
mod cooling;
mod exact;
mod films;
mod jar;
mod modes;
mod textbook;

use jarwright_figure::Mark;
use jarwright_heat::HeatError;

use crate::{Check, Worst};

/// Every check of heat.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        exact::finite_cylinder_series(),
        modes::grid_series(),
        modes::modes_series(),
        exact::eigenvalues(),
        exact::eigenvalues_printed(),
        textbook::textbook_exact(),
        textbook::geankoplis_conduction(),
        textbook::cengel_conduction(),
        textbook::lienhard_apples(),
        textbook::incropera_wall(),
        textbook::holman_cylinder(),
        modes::solvers_textbook_exact(),
        modes::solvers_textbook_printed(),
        modes::grid_elements(),
        modes::modes_elements(),
        changing::series(),
        changing::rising(),
        changing::elements(),
        changing::neumann(),
        changing::plank(),
        modes::bench_grid(),
        modes::bench_grid_dose(),
        modes::bench_modes(),
        modes::bench_modes_dose(),
        jar::curd_elements(),
        jar::curd_elements_modes(),
        jar::curd_reconstruction(),
        jar::curd_poster(),
        jar::cooling_share(),
        films::still_air_table(),
        films::still_air_plate(),
        films::hot_bath(),
        films::hot_bath_radiation(),
        films::open_tank(),
        cooling::plank(),
        cooling::pan_table(),
        cooling::roberts_pans(),
        cooling::dickerson_depth(),
        cooling::two_point_chart(),
        cooling::ice_for_jars(),
    ]
}

/// What every check of a table says about itself.
pub(crate) struct Claim {
    pub(crate) name: &'static str,
    pub(crate) claim: &'static str,
    pub(crate) source: &'static str,
    pub(crate) place: &'static str,
    pub(crate) mark: Mark,
    pub(crate) tolerance: f64,
    pub(crate) unit: &'static str,
    pub(crate) why: &'static str,
    pub(crate) note: &'static str,
}

impl Claim {
    pub(crate) fn held(self, worst: &Worst) -> Check {
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
            note: self.note.into(),
        }
    }
}

/// A value, or a miss where it was refused.
pub(crate) fn or_miss(value: Result<f64, HeatError>) -> f64 {
    value.unwrap_or(f64::NAN)
}
