//! How long a cooling forecast and a freezing run take.
//!
//! Targets: one freezing run on the grid under 20 ms; one cooling forecast, a pan against the two-stage rule
//! or two readings drawn on, under 50 µs.

use divan::{Bencher, black_box};
use jarwright_heat::HeatError;
use jarwright_heat::cooled_vessel::{Around, Side, Vessel};
use jarwright_heat::cooling::pan_cooling;
use jarwright_heat::heat_content::{Constants, Freezes, HeatTable};
use jarwright_heat::jar::Contents;
use jarwright_heat::media::Medium;
use jarwright_heat::slow_grid::{Body, Face, SlowGrid, middle_reaches_s};
use jarwright_heat::two_point::TwoPoint;
use jarwright_matter::Food;

fn main() {
    divan::main();
}

const MEAT: Constants = Constants {
    density_kg_m3: 1000.0,
    unfrozen_cp_j_kgk: 3600.0,
    frozen_cp_j_kgk: 1900.0,
    unfrozen_k_w_mk: 0.5,
    frozen_k_w_mk: 1.4,
    latent_j_kg: 250_000.0,
    freezes_c: -1.0,
    freezes: Freezes::ByAndBy,
};
const SAUCE: Contents = Contents {
    conductivity_w_mk: 0.55,
    density_kg_m3: 1040.0,
    heat_capacity_j_kgk: 3777.0,
};

fn sauce() -> Food {
    Food {
        water_kg: 0.88,
        hexose_kg: 0.06,
        starch_kg: 0.04,
        protein_kg: 0.02,
        ..Food::default()
    }
}

#[divan::bench]
fn freezing_grid_with_a_film_that_stays(bencher: Bencher) {
    let Ok(table) = HeatTable::freezing(&MEAT) else { return };
    let face = Face {
        medium_c: -30.0,
        film_w_m2k: 25.0,
    };
    let body = Body::Layer { thick_m: 0.05 };
    bencher.bench(|| middle_reaches_s(body, black_box(&table), 20.0, (face, face), -18.0, 1e6));
}

#[divan::bench]
fn freezing_grid_with_films_from_correlations(bencher: Bencher) {
    let Ok(table) = HeatTable::food(&sauce()) else { return };
    let pan = Vessel::Pan {
        sizes_m: [0.05, 0.5, 0.3],
    };
    let side = Side {
        wall_m: 0.0,
        wall_k_w_mk: 15.0,
    };
    let freezer = Around {
        medium: Medium::Air { speed_m_s: 1.5 },
        medium_c: -25.0,
        film_w_m2k: None,
    };
    bencher.bench(|| -> Result<f64, HeatError> {
        let mut grid = SlowGrid::new(Body::Layer { thick_m: 0.05 }, black_box(&table), 80.0)?;
        grid.run(
            1e6,
            |top, base| pan.faces(&side, &freezer, (top, base)),
            |now| now.middle_c > -18.0,
        )?;
        Ok(grid.moment().time_s)
    });
}

#[divan::bench]
fn table_of_a_food_with_its_ice(bencher: Bencher) {
    let food = sauce();
    bencher.bench(|| HeatTable::food(black_box(&food)));
}

#[divan::bench]
fn forecast_of_a_pan(bencher: Bencher) {
    bencher.bench(|| pan_cooling(black_box(0.051), black_box(&SAUCE), 16.0, 80.0, -20.0));
}

#[divan::bench]
fn forecast_from_two_readings(bencher: Bencher) {
    bencher.bench(|| {
        TwoPoint::new(black_box(57.0), 39.0, 3600.0, 3.0).and_then(|f| Ok((f.time_to_s(21.0)?, f.time_to_s(5.0)?)))
    });
}
