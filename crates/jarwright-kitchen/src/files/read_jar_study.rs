//! Reading what a jar's middle is held to, and what is uncertain about its case.

use jarwright_dose::{Distribution, SpreadShape};
use jarwright_figure::BandKind;
use jarwright_heat::case::{Case, Film, range};

use super::problem::Fault;
use super::read_jar_case::{FILM_W_M2K, TEMPERATURE_C, number};
use super::section::Section;
use super::spell;
use super::walk::Need::{May, Must};
use super::walk::Walk;
use crate::sure::{JarStudy, OfPhase, SureTarget, Uncertain, What, heats};

const TARGET: &[&str] = &["reference_c", "z_k", "d_min", "decimal_reductions", "hold"];
const UNCERTAIN: &[&str] = &[
    "k_w_mk",
    "rho_kg_m3",
    "cp_j_kgk",
    "start_c",
    "thermometer_k",
    "d_min",
    "z_k",
    "h_bath_w_m2k",
    "phase",
];
const OF_PHASE: &[&str] = &[
    "seconds",
    "ambient_start_c",
    "ambient_end_c",
    "h_side_w_m2k",
    "h_base_w_m2k",
    "h_water_w_m2k",
    "h_top_w_m2k",
];
const BAND: &[&str] = &["low", "high", "band", "shape"];

/// Times a decimal reduction can take [min].
const D_MIN: (f64, f64) = (1e-6, 1e6);
/// Slopes a dose can be computed for [K].
const Z_K: (f64, f64) = (1.0, 100.0);
/// Decimal reductions that can be asked for.
const REDUCTIONS: (f64, f64) = (0.01, 100.0);
/// How far a thermometer can be off [K].
const OFF_K: (f64, f64) = (-20.0, 20.0);
/// Any number: what a band's own limits are told from.
const ANY: (f64, f64) = (f64::MIN, f64::MAX);

/// The case with its target and what is uncertain; none where the text has faults.
pub(super) fn study<'t>(
    walk: &mut Walk<'t>,
    root: &Section<'_, 't>,
    case: Option<(Case, Vec<Option<String>>)>,
) -> Option<JarStudy> {
    let target = root.table(walk, "target", "a target", TARGET);
    let unsure = root.table(walk, "uncertain", "what is uncertain", UNCERTAIN);
    let (case, names) = case?;
    let target = match target {
        Some(section) => Some(target_of(walk, &section, &case, &names)?),
        None => None,
    };
    let mut uncertain = Vec::new();
    if let Some(section) = unsure {
        let mut read = |walk: &mut Walk<'t>, key, what, nominal, limits| {
            uncertain.extend(band(walk, &section, key, what, nominal, limits));
        };
        let food = &case.contents;
        let k = range::CONDUCTIVITY_W_MK;
        read(walk, "k_w_mk", What::Conductivity, food.conductivity_w_mk, k);
        read(
            walk,
            "rho_kg_m3",
            What::Density,
            food.density_kg_m3,
            range::DENSITY_KG_M3,
        );
        let cp = range::HEAT_CAPACITY_J_KGK;
        read(walk, "cp_j_kgk", What::HeatCapacity, food.heat_capacity_j_kgk, cp);
        read(walk, "start_c", What::Start, case.food_start_c, TEMPERATURE_C);
        read(walk, "thermometer_k", What::Thermometer, 0.0, OFF_K);
        if let Some(target) = &target {
            read(walk, "d_min", What::D, target.d_min, D_MIN);
            read(walk, "z_k", What::Z, target.z_k, Z_K);
        } else if section.has("d_min") || section.has("z_k") {
            let key = if section.has("d_min") { "d_min" } else { "z_k" };
            let fault = Fault::new(
                format!("\"{key}\" of no target"),
                "a [target] with its own d_min and z_k",
            );
            walk.fault(section.place(walk, key), fault);
        }
        uncertain.extend(bath(walk, &section, &case));
        phases(walk, &section, &case, &names, &mut uncertain);
    }
    Some(JarStudy {
        case,
        phases: names,
        target,
        uncertain,
    })
}

/// The film of the bath: one in all phases that heat, drawn once for all of them.
fn bath<'t>(walk: &mut Walk<'t>, unsure: &Section<'_, 't>, case: &Case) -> Option<Uncertain> {
    let key = What::Bath.key();
    let mut films = case
        .phases
        .iter()
        .filter(|phase| heats(phase, case.food_start_c))
        .map(|phase| phase.side);
    let first = films.next();
    let alike = films.all(|film| Some(film) == first);
    match first {
        Some(Film::Apart { side_w_m2k, base_w_m2k }) if alike && (side_w_m2k - base_w_m2k).abs() <= 0.0 => {
            band(walk, unsure, key, What::Bath, side_w_m2k, FILM_W_M2K)
        }
        _ if unsure.has(key) => {
            let what = format!("\"{key}\" of phases that heat under more than one film, or of none");
            let expected = "one film on side and base in every phase that heats, or bands in [uncertain.phase.NAME]";
            walk.fault(unsure.place(walk, key), Fault::new(what, expected));
            None
        }
        _ => None,
    }
}

/// The phase of a name; a fault where there is none or more than one.
fn phase_named<'t>(
    walk: &mut Walk<'t>,
    at: &std::ops::Range<usize>,
    name: &str,
    names: &[Option<String>],
) -> Option<usize> {
    let is = |other: &Option<String>| other.as_deref() == Some(name);
    let found = names.iter().position(is);
    let again = names.iter().filter(|other| is(other)).count() > 1;
    if found.is_none() || again {
        let known: Vec<&str> = names.iter().flatten().map(String::as_str).collect();
        let shown: String = name.chars().take(60).collect();
        let what = if again {
            format!("more than one phase is named \"{shown}\"")
        } else {
            format!("no phase is named \"{shown}\"")
        };
        let expected = if known.is_empty() {
            "a name = \"...\" in the [[phase]] that is meant".into()
        } else {
            spell::list(known.iter().copied())
        };
        let nearest = (!again).then(|| spell::nearest(name, known)).flatten();
        walk.fault(at.clone(), Fault::new(what, expected).near(nearest));
        return None;
    }
    found
}

fn target_of<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    case: &Case,
    names: &[Option<String>],
) -> Option<SureTarget> {
    let reference_c = number(walk, section, "reference_c", TEMPERATURE_C, "°C");
    let z_k = number(walk, section, "z_k", Z_K, "K");
    let d_min = number(walk, section, "d_min", D_MIN, "min");
    let decimal_reductions = number(walk, section, "decimal_reductions", REDUCTIONS, "");
    let hold = match section.words(walk, "hold", May, "the name of a phase") {
        Some(name) => {
            let at = section.place(walk, "hold");
            phase_named(walk, &at, &name, names)
        }
        // The last phase in surroundings hotter than the food's start.
        None if !section.has("hold") => case.phases.iter().rposition(|phase| heats(phase, case.food_start_c)),
        None => None,
    };
    Some(SureTarget {
        reference_c: reference_c?,
        z_k: z_k?,
        d_min: d_min?,
        decimal_reductions: decimal_reductions?,
        hold,
    })
}

fn phases<'t>(
    walk: &mut Walk<'t>,
    unsure: &Section<'_, 't>,
    case: &Case,
    names: &[Option<String>],
    uncertain: &mut Vec<Uncertain>,
) {
    let expected = "a table for each phase by its name: [uncertain.phase.boil]";
    for (name, value) in unsure.entries(walk, "phase", May, expected) {
        let Some(table) = value.get_ref().as_table() else {
            walk.wrong_type(value, name.value, expected);
            continue;
        };
        let section = walk.section(table, value.span(), "an uncertain phase", OF_PHASE);
        let Some(index) = phase_named(walk, &name.at, name.value, names) else {
            continue;
        };
        let phase = &case.phases[index];
        let (side, base) = match phase.side {
            Film::Apart { side_w_m2k, base_w_m2k } => (side_w_m2k, base_w_m2k),
            Film::Fixed(h) => (h, h),
            Film::StillAir { .. } => continue,
        };
        if section.has("h_water_w_m2k") && (section.has("h_side_w_m2k") || section.has("h_base_w_m2k")) {
            let what = "\"h_water_w_m2k\" is the film on side and base together";
            let fault = Fault::new(what, "h_water_w_m2k, or h_side_w_m2k and h_base_w_m2k");
            walk.fault(section.place(walk, "h_water_w_m2k"), fault);
        }
        for (key, of, nominal, limits) in [
            ("seconds", OfPhase::Seconds, phase.duration_s, range::DURATION_S),
            (
                "ambient_start_c",
                OfPhase::AmbientStart,
                phase.ambient_start_c,
                TEMPERATURE_C,
            ),
            ("ambient_end_c", OfPhase::AmbientEnd, phase.ambient_end_c, TEMPERATURE_C),
            ("h_side_w_m2k", OfPhase::Side, side, FILM_W_M2K),
            ("h_base_w_m2k", OfPhase::Base, base, FILM_W_M2K),
            ("h_water_w_m2k", OfPhase::Water, side, FILM_W_M2K),
            ("h_top_w_m2k", OfPhase::Top, phase.top_w_m2k, FILM_W_M2K),
        ] {
            uncertain.extend(band(walk, &section, key, What::Phase(index, of), nominal, limits));
        }
    }
}

/// One uncertain number: `{ low = 0.4, high = 0.5, band = "p5-p95" }`.
fn band<'t>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    key: &'static str,
    what: What,
    nominal: f64,
    limits: (f64, f64),
) -> Option<Uncertain> {
    let section = section.table(walk, key, "a band", BAND)?;
    let (least, greatest) = limits;
    let expected = format!("a number from {least} to {greatest}");
    let low = section.number(walk, "low", Must, ANY, &expected);
    let high = section.number(walk, "high", Must, ANY, &expected);
    let kinds = [
        ("p5-p95", BandKind::P5P95),
        ("printed range", BandKind::PrintedRange),
        ("instrument", BandKind::Instrument),
    ];
    let said = one_of(walk, &section, "band", Must, &kinds);
    let by_percentiles = said == Some(BandKind::P5P95);
    let shapes: &[(&'static str, bool)] = if by_percentiles {
        &[("normal", false), ("lognormal", true)]
    } else {
        &[("uniform", false), ("triangular", true)]
    };
    let other = one_of(walk, &section, "shape", May, shapes).unwrap_or(false);
    let (low, high, said) = (low?, high?, said?);
    let mut refuse = |what: String, expected: String| walk.fault(section.at.clone(), Fault::new(what, expected));
    if low >= high {
        refuse(
            format!("\"{key}\": low {low} is not below high {high}"),
            "low below high".into(),
        );
        return None;
    }
    if low < least || high > greatest {
        refuse(
            format!("\"{key}\" is {low} to {high}"),
            format!("numbers from {least} to {greatest}"),
        );
        return None;
    }
    if nominal < low || nominal > high {
        refuse(
            format!("the case's own \"{key}\" is {nominal}, outside {low} to {high}"),
            "a band round the case's own number".into(),
        );
        return None;
    }
    let shape = match (by_percentiles, other) {
        (true, false) => SpreadShape::Normal {
            p5: low,
            median: nominal,
            p95: high,
        },
        (true, true) => SpreadShape::LogNormal { p5: low, p95: high },
        (false, false) => SpreadShape::Uniform { low, high },
        (false, true) => SpreadShape::Triangular {
            low,
            mode: nominal,
            high,
        },
    };
    match Distribution::new(shape, least, greatest) {
        Ok(spread) => Some(Uncertain {
            what,
            low,
            high,
            said,
            spread,
        }),
        Err(error) => {
            refuse(
                format!("\"{key}\": {error}"),
                "numbers above 0 for a lognormal shape".into(),
            );
            None
        }
    }
}

/// A word of a list.
fn one_of<'t, T: Copy>(
    walk: &mut Walk<'t>,
    section: &Section<'_, 't>,
    key: &str,
    need: super::walk::Need,
    words: &[(&'static str, T)],
) -> Option<T> {
    let known = || words.iter().map(|(word, _)| *word);
    section.read(walk, key, need, &spell::list(known()), |text| {
        let found = words.iter().find(|(word, _)| *word == text.trim());
        let nearest = || spell::nearest(text, known());
        found.map(|(_, value)| *value).ok_or_else(|| {
            Fault::new(format!("\"{key}\" is \"{}\"", text.trim()), spell::list(known())).near(nearest())
        })
    })
}
