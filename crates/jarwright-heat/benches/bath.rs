//! How long a load in its bath takes to compute. Each has its target on two-core office hardware.

use divan::{Bencher, black_box};
use jarwright_heat::bath::{Bath, Lid};
use jarwright_heat::bath_run::{Around, Course, Inside, Load, power_for_come_up_w, run};
use jarwright_heat::jar::{Contents, JarBody};

fn main() {
    divan::main();
}

const BATH: Bath = Bath {
    water_kg: 18.0,
    vessel_j_k: 1500.0,
    burner_w: 1700.0,
    lid: Lid::On,
    surface_m2: 0.085,
    side_loss_w_k: 0.0,
    room_c: 22.0,
    rel_humidity: 0.5,
    pressure_pa: 101_325.0,
    boils_c: 99.97,
};

const HALF_PINTS: Load = Load {
    count: 12,
    body: JarBody {
        inner_radius_m: 0.032,
        food_height_m: 0.070,
        wall_m: 0.003,
        base_m: 0.004,
        glass_k_w_mk: 1.05,
        glass_density_kg_m3: 2520.0,
        glass_cp_j_kgk: 820.0,
    },
    contents: Contents {
        conductivity_w_mk: 0.45,
        density_kg_m3: 1140.0,
        heat_capacity_j_kgk: 2865.0,
    },
    inside: Inside::Conducts,
    glass_kg_each: 0.177,
    start_c: 72.0,
};

const COURSE: Course = Course {
    start_c: 82.2,
    hold_s: 900.0,
    hold_w: None,
};

/// Target: under 200 µs.
#[divan::bench]
fn twelve_jars_through_a_bath(bencher: Bencher) {
    let around = Around::Water { film_w_m2k: 1000.0 };
    bencher.bench_local(|| run(black_box(&BATH), black_box(&HALF_PINTS), around, &COURSE));
}

/// Target: under 200 µs.
#[divan::bench]
fn twelve_jars_through_steam(bencher: Bencher) {
    let bath = Bath { water_kg: 2.4, ..BATH };
    bencher.bench_local(|| run(black_box(&bath), black_box(&HALF_PINTS), Around::Steam, &COURSE));
}

/// Target: under 3 ms.
#[divan::bench]
fn burner_for_a_published_come_up(bencher: Bencher) {
    let around = Around::Water { film_w_m2k: 1000.0 };
    bencher.bench_local(|| power_for_come_up_w(black_box(&BATH), black_box(&HALF_PINTS), around, 82.2, 27.5));
}
