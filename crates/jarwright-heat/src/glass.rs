//! The wall of a jar when it meets hot or cold: how steep it gets, and what that strains it.
//!
//! Read next: `slow_grid.rs`, which marches the wall, and `media.rs` for the films.

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::heat_content::HeatTable;
use crate::jar::Contents;
use crate::media::{Medium, Stands, film_w_m2k};
use crate::slow_grid::{Body, Face, SlowGrid};

/// Registry entry of [`wall_shock`].
pub static GLASS_STRESS: Equation = Equation {
    key: "glass-stress",
    title: "Stress of a glass wall that meets hot or cold",
    text: "s = E a (T_mean - T_surface)/(1 - nu), tension where the surface is colder than the wall's mean; \
           index = greatest tension over that of the same wall plunged 42 K colder",
    source: "timoshenko_goodier",
};

/// Registry entry of [`jar_waits_s`].
pub static JAR_WAITS: Equation = Equation {
    key: "hot-jar-waits",
    title: "How long an empty hot jar stays hot",
    text: "rho c w dT/dt = -h(T) (T - T_a), h still air and radiation on the outside",
    source: "churchill_chu_1975",
};

/// Young's modulus of container glass [Pa] (`container_glass_pages`).
const YOUNG_PA: f64 = 72e9;
/// Linear expansion [1/K] (`container_glass_pages`).
const EXPANSION_PER_K: f64 = 9e-6;
/// Poisson's ratio (`timoshenko_goodier` for the form; 0.23 of soda-lime glass from memory).
const POISSON: f64 = 0.23;
/// Conductivity [W/(m K)], density [kg/m³] and heat capacity [J/(kg K)] (`container_glass_pages`).
pub const GLASS: Contents = Contents {
    conductivity_w_mk: 1.05,
    density_kg_m3: 2500.0,
    heat_capacity_j_kgk: 840.0,
};
/// Emissivity of glass (`incropera_heat_mass`).
const EMISSIVITY: f64 = 0.9;
/// Difference that bought jars usually pass, hot to cold water [K]: from memory, `astm_c149`.
pub const USUAL_PASS_K: f64 = 42.0;
/// Cold bath of that test [°C]; the index hardly depends on it.
const TEST_COLD_C: f64 = 21.0;
/// Water's speed past a jar carried by hand or in a basket [m/s]: common practice.
const CARRIED_M_S: f64 = 0.2;
/// The worst is over by then [s]: some times the wall's own w^2/alpha.
const WATCHED_S: f64 = 120.0;

/// A jar's wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Thickness [m].
    pub wall_m: f64,
    /// Height of the jar [m].
    pub high_m: f64,
    /// Diameter [m].
    pub across_m: f64,
}

/// What a face of the wall meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meets {
    /// Still air.
    Air,
    /// Food or water at rest.
    Still,
    /// Food poured in, or water that the jar is moved through.
    Moving,
}

/// What a wall went through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shock {
    /// Greatest difference between the two surfaces [K].
    pub difference_k: f64,
    /// Greatest tension at a surface [Pa].
    pub tension_pa: f64,
    /// When [s].
    pub worst_s: f64,
    /// Whether the tension is on the outside.
    pub outside: bool,
}

/// Greatest tension of a wall at one temperature that meets other temperatures at once.
///
/// ```text
/// s = E a (Tmean - Tsurface)/(1 - nu)
/// ```
///
/// A closed wall cannot bend, so only what differs from its mean strains it. Away from base, mouth and
/// scratches, where jars break first: an index between situations, no strength.
///
/// * `wall`: 1 to 12 mm thick, 20 mm to 0.5 m high, 20 mm to 0.3 m across
/// * `wall_c`: at the start; `inside`, `outside`: what each face meets, with its temperature; water and
///   food 0 to 120 °C, air -30 to 150 °C
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// `timoshenko_goodier`, from memory: plate held flat, temperature varying through it.
pub fn wall_shock(wall: &Wall, wall_c: f64, inside: (Meets, f64), outside: (Meets, f64)) -> Result<Shock, HeatError> {
    checked(wall)?;
    let table = HeatTable::constant(&GLASS)?;
    let body = Body::Layer { thick_m: wall.wall_m };
    let mut grid = SlowGrid::new(body, &table, wall_c)?;
    let stiff_pa_k = YOUNG_PA * EXPANSION_PER_K / (1.0 - POISSON);
    let mut shock = Shock {
        difference_k: 0.0,
        tension_pa: 0.0,
        worst_s: 0.0,
        outside: false,
    };
    grid.run(
        WATCHED_S,
        |inner_c, outer_c| Ok((face(wall, inside, inner_c)?, face(wall, outside, outer_c)?)),
        |now| {
            let (inner, outer) = (now.mean_c - now.surface_c, now.mean_c - now.other_surface_c);
            shock.difference_k = shock.difference_k.max((now.surface_c - now.other_surface_c).abs());
            let tension_pa = stiff_pa_k * inner.max(outer);
            if tension_pa > shock.tension_pa {
                shock = Shock {
                    tension_pa,
                    worst_s: now.time_s,
                    outside: outer > inner,
                    ..shock
                };
            }
            true
        },
    )?;
    Ok(shock)
}

/// Thermal-stress index [-]: greatest tension over that of the same wall, full of hot water, plunged into
/// water some kelvins colder.
///
/// * `pass_k`: difference of the test, 10 to 80 K; [`USUAL_PASS_K`] is usual
///
/// # Errors
/// Those of [`wall_shock`].
///
/// # Source
/// The test's form: `astm_c149`.
pub fn stress_index(wall: &Wall, shock: &Shock, pass_k: f64) -> Result<f64, HeatError> {
    OutOfRange::check("difference of the test", pass_k, 10.0, 75.0, "K", GLASS_STRESS.key)?;
    let hot_c = TEST_COLD_C + pass_k;
    let test = wall_shock(wall, hot_c, (Meets::Still, hot_c), (Meets::Moving, TEST_COLD_C))?;
    Ok(shock.tension_pa / test.tension_pa)
}

/// Coldest jar [°C] that may take a hot filling with a stress index of one.
///
/// * `food_c`: 20 to 110 °C; `room_c`: 0 to 60 °C
///
/// # Errors
/// Those of [`wall_shock`].
///
/// # Source
/// As [`stress_index`].
pub fn coldest_jar_to_fill_c(wall: &Wall, food_c: f64, room_c: f64, pass_k: f64) -> Result<f64, HeatError> {
    OutOfRange::check("food", food_c, 20.0, 110.0, "°C", GLASS_STRESS.key)?;
    OutOfRange::check("room", room_c, 0.0, 60.0, "°C", GLASS_STRESS.key)?;
    let allowed = Shock {
        tension_pa: 1.0,
        ..wall_shock(wall, food_c, (Meets::Still, food_c), (Meets::Air, room_c))?
    };
    let limit_pa = 1.0 / stress_index(wall, &allowed, pass_k)?;
    let strain = |jar_c: f64| {
        wall_shock(wall, jar_c, (Meets::Moving, food_c), (Meets::Air, room_c)).map(|shock| shock.tension_pa)
    };
    let (mut bad, mut good) = (0.0, food_c);
    if strain(bad)? <= limit_pa {
        return Ok(bad);
    }
    for _ in 0..12 {
        let middle = 0.5 * (bad + good);
        if strain(middle)? <= limit_pa {
            good = middle
        } else {
            bad = middle
        }
    }
    Ok(good)
}

/// How long [s] an empty jar from the oven stays above a temperature in still air.
///
/// ```text
/// rho c w dT/dt = -h(T)(T - Ta)
/// ```
///
/// The outside cools it; the air inside warms with it and takes little.
///
/// * `start_c`: above `until_c`, to 150 °C; `room_c`: below `until_c`
///
/// # Errors
/// [`HeatError::OutOfRange`] outside the ranges above.
///
/// # Source
/// Balance of heat; film `churchill_chu_1975` and radiation.
pub fn jar_waits_s(wall: &Wall, start_c: f64, until_c: f64, room_c: f64) -> Result<f64, HeatError> {
    checked(wall)?;
    let range = |what, got, min, max| OutOfRange::check(what, got, min, max, "°C", JAR_WAITS.key);
    let room = range("room", room_c, -20.0, 60.0)?;
    let until = range("coldest jar", until_c, room + 0.1, 150.0)?;
    let start = range("jar from the oven", start_c, -20.0, 150.0)?;
    if start <= until {
        return Ok(0.0);
    }
    // Steps of temperature, each at its middle: the film changes slowly.
    const STEPS: u32 = 60;
    let step_k = (start - until) / f64::from(STEPS);
    let holds = GLASS.density_kg_m3 * GLASS.heat_capacity_j_kgk * wall.wall_m;
    let mut time_s = 0.0;
    for i in 0..STEPS {
        let c = start - (f64::from(i) + 0.5) * step_k;
        let film = film_w_m2k(Medium::Air { speed_m_s: 0.0 }, side(wall), c, room, EMISSIVITY)?;
        time_s += holds * step_k / (film * (c - room));
    }
    Ok(time_s)
}

fn checked(wall: &Wall) -> Result<(), HeatError> {
    let range = |what, got, min, max| OutOfRange::check(what, got, min, max, "m", GLASS_STRESS.key);
    range("wall", wall.wall_m, 0.001, 0.012)?;
    range("height of the jar", wall.high_m, 0.02, 0.5)?;
    range("diameter of the jar", wall.across_m, 0.02, 0.3)?;
    Ok(())
}

fn side(wall: &Wall) -> Stands {
    Stands::Side {
        high_m: wall.high_m,
        across_m: wall.across_m,
    }
}

fn face(wall: &Wall, (meets, medium_c): (Meets, f64), surface_c: f64) -> Result<Face, HeatError> {
    let film_w_m2k = match meets {
        Meets::Air => film_w_m2k(
            Medium::Air { speed_m_s: 0.0 },
            side(wall),
            surface_c,
            medium_c,
            EMISSIVITY,
        )?,
        Meets::Still => film_w_m2k(Medium::Water { speed_m_s: 0.0 }, side(wall), surface_c, medium_c, 0.0)?,
        Meets::Moving => film_w_m2k(
            Medium::Water { speed_m_s: CARRIED_M_S },
            side(wall),
            surface_c,
            medium_c,
            0.0,
        )?,
    };
    Ok(Face { medium_c, film_w_m2k })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PINT: Wall = Wall {
        wall_m: 0.003,
        high_m: 0.12,
        across_m: 0.08,
    };

    #[test]
    fn the_test_itself_has_an_index_of_one_and_air_nearly_none() -> Result<(), HeatError> {
        let test = wall_shock(&PINT, 63.0, (Meets::Still, 63.0), (Meets::Moving, 21.0))?;
        assert!((stress_index(&PINT, &test, 42.0)? - 1.0).abs() < 1e-9);
        assert!(test.outside);
        let air = wall_shock(&PINT, 100.0, (Meets::Still, 100.0), (Meets::Air, 20.0))?;
        assert!(stress_index(&PINT, &air, 42.0)? < 0.15);
        Ok(())
    }

    #[test]
    fn no_wall_is_strained_beyond_its_full_quench() -> Result<(), HeatError> {
        let shock = wall_shock(&PINT, 100.0, (Meets::Still, 100.0), (Meets::Moving, 5.0))?;
        let full = YOUNG_PA * EXPANSION_PER_K / (1.0 - POISSON) * 95.0;
        assert!(shock.tension_pa < 0.8 * full && shock.tension_pa > 0.1 * full);
        Ok(())
    }

    #[test]
    fn a_thicker_wall_and_a_colder_jar_are_strained_more() -> Result<(), HeatError> {
        let fill = |wall: Wall, jar_c| {
            wall_shock(&wall, jar_c, (Meets::Moving, 85.0), (Meets::Air, 20.0)).map(|shock| shock.tension_pa)
        };
        assert!(fill(PINT, 20.0)? > fill(PINT, 60.0)?);
        assert!(fill(Wall { wall_m: 0.005, ..PINT }, 20.0)? > fill(PINT, 20.0)?);
        assert!(
            fill(
                Wall {
                    wall_m: f64::NAN,
                    ..PINT
                },
                20.0
            )
            .is_err()
        );
        Ok(())
    }

    #[test]
    fn a_jar_from_the_oven_waits_longer_for_a_lower_mark() -> Result<(), HeatError> {
        let short = jar_waits_s(&PINT, 110.0, 80.0, 20.0)?;
        let long = jar_waits_s(&PINT, 110.0, 50.0, 20.0)?;
        assert!(short > 30.0 && long > 2.0 * short && long < 3600.0, "{short} {long}");
        assert!(jar_waits_s(&PINT, 40.0, 50.0, 20.0)?.abs() < 1e-12);
        assert!(jar_waits_s(&PINT, 110.0, 20.0, 20.0).is_err());
        Ok(())
    }
}
