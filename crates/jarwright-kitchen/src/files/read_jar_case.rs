//! Reading one jar on the bench: its size, its food, and the phases it goes through.
//!
//! Read next: `read_jar_study.rs`, what is uncertain about it.

use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase, range};

use super::problem::{Fault, Problem};
use super::read_jar_study::study;
use super::section::Section;
use super::walk::Need::{May, Must};
use super::walk::Walk;
use crate::jar_fill::GLASS;
use crate::sure::JarStudy;

const CASE: &[&str] = &[
    "radius_mm",
    "fill_mm",
    "glass_mm",
    "k_glass_w_mk",
    "rho_glass_kg_m3",
    "cp_glass_j_kgk",
    "k_w_mk",
    "rho_kg_m3",
    "cp_j_kgk",
    "start_c",
    "phase",
    "target",
    "uncertain",
];
const PHASE: &[&str] = &[
    "name",
    "seconds",
    "ambient_start_c",
    "ambient_end_c",
    "h_side_w_m2k",
    "h_base_w_m2k",
    "h_top_w_m2k",
];

/// Temperatures a dose can be computed for [°C].
pub(super) const TEMPERATURE_C: (f64, f64) = (-40.0, 160.0);
/// Most coefficient a person would write [W/(m² K)].
pub(super) const FILM_W_M2K: (f64, f64) = (0.0, 1e6);

/// A jar on the bench, from TOML; see [`read_jar_study`].
///
/// Lengths are mm: `radius_mm` (inner), `fill_mm`, `glass_mm` (side and base; 0 for none). With glass
/// its `k_glass_w_mk`, `rho_glass_kg_m3` and `cp_glass_j_kgk` may be named; else it is the container
/// glass that plans take. `start_c` is food and glass. Each `[[phase]]` has `seconds`,
/// `ambient_start_c`, `ambient_end_c` and three films, 0 where a face is insulated, and may have a
/// `name`.
///
/// # Errors
/// Every fault of the text at once, with its place.
pub fn read_jar_case(file: &str, text: &str) -> Result<Case, Vec<Problem>> {
    read_jar_study(file, text).map(|study| study.case)
}

/// A jar on the bench, from TOML, with the target its middle is held to and what is uncertain.
///
/// Keys as [`read_jar_case`]. `[target]` has `reference_c`, `z_k`, `d_min` and `decimal_reductions`;
/// `hold` names the phase whose length may be changed. `[uncertain]` and `[uncertain.phase.NAME]` have a
/// `{ low, high, band }` for any of the keys they list.
///
/// # Errors
/// Every fault of the text at once, with its place.
pub fn read_jar_study(file: &str, text: &str) -> Result<JarStudy, Vec<Problem>> {
    let (mut walk, table) = Walk::open(file, text, "radius_mm = 32.5 and the other keys of a jar's case")?;
    let walk_ref = &mut walk;
    let root = walk_ref.root(table.get_ref(), "a jar's case", CASE);
    let case = case(walk_ref, &root);
    let study = study(walk_ref, &root, case);
    let study = walk.finish(study)?;
    // Without a fault there is a case.
    study.ok_or_else(|| {
        let fault = Fault::new("no case in the file", "the keys of a jar's case");
        vec![Problem::at(file, text, 0..0, fault)]
    })
}

/// A case and the names of its phases.
fn case<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<(Case, Vec<Option<String>>)> {
    let millimetres = |(low, high): (f64, f64)| (low * 1000.0, high * 1000.0);
    let radius_mm = number(walk, root, "radius_mm", millimetres(range::RADIUS_M), "mm");
    let fill_mm = number(walk, root, "fill_mm", millimetres(range::HEIGHT_M), "mm");
    let glass_mm = glass_mm(walk, root);
    let glass = |walk: &mut Walk<'t>, key, limits, unit, usual| {
        if !root.has(key) {
            return Some(usual);
        }
        number(walk, root, key, limits, unit)
    };
    let k = range::CONDUCTIVITY_W_MK;
    let rho = range::DENSITY_KG_M3;
    let cp = range::HEAT_CAPACITY_J_KGK;
    let glass_k = glass(walk, "k_glass_w_mk", k, "W/(m K)", GLASS.conductivity_w_mk);
    let glass_rho = glass(walk, "rho_glass_kg_m3", rho, "kg/m³", GLASS.density_kg_m3);
    let glass_cp = glass(walk, "cp_glass_j_kgk", cp, "J/(kg K)", GLASS.heat_capacity_j_kgk);
    let food_k = number(walk, root, "k_w_mk", k, "W/(m K)");
    let food_rho = number(walk, root, "rho_kg_m3", rho, "kg/m³");
    let food_cp = number(walk, root, "cp_j_kgk", cp, "J/(kg K)");
    let start_c = number(walk, root, "start_c", TEMPERATURE_C, "°C");
    let sections = root.tables(walk, "phase", Must, "a phase", PHASE);
    let name =
        |section: &Section<'_, 't>, walk: &mut Walk<'t>| section.words(walk, "name", May, "a name, such as boil");
    let names = sections.iter().map(|section| name(section, walk)).collect();
    let phases: Vec<Option<Phase>> = sections.iter().map(|section| phase(walk, section)).collect();
    let glass_m = glass_mm? / 1000.0;
    let case = Case {
        body: JarBody {
            inner_radius_m: radius_mm? / 1000.0,
            food_height_m: fill_mm? / 1000.0,
            wall_m: glass_m,
            base_m: glass_m,
            glass_k_w_mk: glass_k?,
            glass_density_kg_m3: glass_rho?,
            glass_cp_j_kgk: glass_cp?,
        },
        contents: Contents {
            conductivity_w_mk: food_k?,
            density_kg_m3: food_rho?,
            heat_capacity_j_kgk: food_cp?,
        },
        food_start_c: start_c?,
        glass_start_c: start_c?,
        phases: phases.into_iter().collect::<Option<Vec<Phase>>>()?,
    };
    Some((case, names))
}

/// Glass of a thickness, or none.
fn glass_mm<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Option<f64> {
    let (thin, thick) = (1000.0 * range::GLASS_M.0, 1000.0 * range::GLASS_M.1);
    let expected = format!("0 for no glass, or {thin} to {thick} mm");
    let met = root.number(walk, "glass_mm", Must, (0.0, thick), &expected)?;
    if met > 0.0 && met < thin {
        let what = format!("\"glass_mm\" is {met}");
        walk.fault(root.place(walk, "glass_mm"), Fault::new(what, expected));
        return None;
    }
    Some(met)
}

fn phase<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Option<Phase> {
    let seconds = number(walk, section, "seconds", range::DURATION_S, "s (five weeks)");
    let from_c = number(walk, section, "ambient_start_c", TEMPERATURE_C, "°C");
    let to_c = number(walk, section, "ambient_end_c", TEMPERATURE_C, "°C");
    let mut film = |key| number(walk, section, key, FILM_W_M2K, "W/(m² K); 0 insulates");
    let (side, base, top) = (film("h_side_w_m2k"), film("h_base_w_m2k"), film("h_top_w_m2k"));
    Some(Phase {
        duration_s: seconds?,
        ambient_start_c: from_c?,
        ambient_end_c: to_c?,
        side: Film::Apart {
            side_w_m2k: side?,
            base_w_m2k: base?,
        },
        top_w_m2k: top?,
    })
}

pub(super) fn number<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    key: &'static str,
    limits: (f64, f64),
    unit: &str,
) -> Option<f64> {
    let round = |value: f64| (value * 1e6).round() / 1e6;
    let (low, high) = (round(limits.0), round(limits.1));
    section.number(
        walk,
        key,
        Must,
        (low, high),
        &format!("a number from {low} to {high} {unit}"),
    )
}
