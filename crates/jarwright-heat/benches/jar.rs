//! What one jar costs. Targets stand in `targets.md`; `compare.sh` runs a general-purpose library
//! beside. Run with `cargo bench -p jarwright-heat`.

use std::sync::Arc;

use divan::{Bencher, black_box};
use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase};
use jarwright_heat::changing::{self, ChangingCase, Fineness};
use jarwright_heat::food_curves::FoodCurves;
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::{Modes, Spectrum};
use jarwright_matter::{Food, Mixing};

fn main() {
    divan::main();
}

fn phase(duration_s: f64, ambient_start_c: f64, ambient_end_c: f64, film: f64, top_w_m2k: f64) -> Phase {
    Phase {
        duration_s,
        ambient_start_c,
        ambient_end_c,
        side: Film::Fixed(film),
        top_w_m2k,
    }
}

/// Come-up, hold and air; without glass and one film for all faces, or in glass with its headspace.
fn case(glass_m: f64) -> Case {
    let top = |film: f64| if glass_m > 0.0 { 0.0 } else { film };
    Case {
        body: JarBody {
            inner_radius_m: 0.0325,
            food_height_m: 0.075,
            wall_m: glass_m,
            base_m: glass_m,
            glass_k_w_mk: 1.05,
            glass_density_kg_m3: 2520.0,
            glass_cp_j_kgk: 820.0,
        },
        contents: Contents {
            conductivity_w_mk: 0.45,
            density_kg_m3: 1150.0,
            heat_capacity_j_kgk: 3100.0,
        },
        food_start_c: 76.7,
        glass_start_c: 76.7,
        phases: vec![
            phase(600.0, 82.0, 100.0, 1200.0, top(1200.0)),
            phase(900.0, 100.0, 100.0, 1200.0, top(1200.0)),
            phase(5400.0, 22.0, 22.0, 8.0, top(8.0)),
        ],
    }
}

/// The points of a dose and the peak.
fn dose_and_peak(modes: &Modes) -> (f64, f64) {
    let points = modes.dose_points();
    let (peak_s, peak_c) = modes.peak(&points);
    (peak_s, peak_c + points.centre_c.iter().sum::<f64>())
}

#[divan::bench(args = [0.0, 0.003], name = "eigenfunctions, whole run")]
fn modes(bencher: Bencher, glass_m: f64) {
    let case = case(glass_m);
    bencher.bench_local(|| Modes::new(black_box(&case)).map(|modes| dose_and_peak(&modes)));
}

/// The same with functions made before.
#[divan::bench(args = [0.0, 0.003], name = "eigenfunctions made before, whole run")]
fn run(bencher: Bencher, glass_m: f64) {
    let case = case(glass_m);
    let Ok(spectrum) = Spectrum::new(&case, f64::INFINITY).map(Arc::new) else {
        return;
    };
    bencher.bench_local(|| spectrum.run(black_box(&case)).map(|modes| dose_and_peak(&modes)));
}

#[divan::bench(args = [0.0, 0.003], name = "eigenfunctions, 700 readings")]
fn readings(bencher: Bencher, glass_m: f64) {
    let case = case(glass_m);
    let times: Vec<f64> = (1..690).map(|i| f64::from(i) * 10.0).collect();
    bencher.bench_local(|| Modes::resolving(black_box(&case), 5.0).map(|modes| modes.answer(&times)));
}

#[divan::bench(args = [0.0, 0.003], name = "production grid")]
fn cells(bencher: Bencher, glass_m: f64) {
    let case = case(glass_m);
    let grid = Grid::usual(&case);
    bencher.bench_local(|| jar::solve(black_box(&case), &grid));
}

#[divan::bench(name = "plan's grid, in glass")]
fn plan(bencher: Bencher) {
    let case = case(0.003);
    bencher.bench_local(|| jar::solve(black_box(&case), &Grid::plan()));
}

fn curd() -> Food {
    Food {
        water_kg: 0.45,
        protein_kg: 0.045,
        fat_kg: 0.14,
        sucrose_kg: 0.355,
        fibre_kg: 0.003,
        ash_kg: 0.007,
        ..Food::default()
    }
}

fn juice() -> Food {
    Food {
        water_kg: 0.88,
        hexose_kg: 0.09,
        sucrose_kg: 0.02,
        protein_kg: 0.006,
        ash_kg: 0.004,
        ..Food::default()
    }
}

/// The glass jar of `case` with a food that changes.
fn changing(bencher: Bencher, food: &Food, start_c: f64, phases: &[Phase]) {
    let Ok(curves) = FoodCurves::food(food, Mixing::Parallel) else {
        return;
    };
    let case = ChangingCase {
        body: case(0.003).body,
        food: &curves,
        food_start_c: start_c,
        glass_start_c: start_c,
        phases,
    };
    bencher.bench_local(|| changing::solve(black_box(&case), &Fineness::usual()));
}

#[divan::bench(name = "curd that changes: come-up, hold, air")]
fn changing_heats(bencher: Bencher) {
    changing(bencher, &curd(), 76.7, &case(0.003).phases);
}

#[divan::bench(name = "juice that freezes: 6 h in a freezer")]
fn changing_freezes(bencher: Bencher) {
    changing(bencher, &juice(), 5.0, &[phase(21_600.0, -18.0, -18.0, 10.0, 5.0)]);
}

#[divan::bench(name = "a food's curves from its composition")]
fn curves(bencher: Bencher) {
    let food = curd();
    bencher.bench_local(|| FoodCurves::food(black_box(&food), Mixing::Parallel));
}
