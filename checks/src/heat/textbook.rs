//! Worked examples of heating and cooling, exact and as printed.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::exact::{FiniteCylinder, Series, Shape};

use super::Claim;
use crate::{Check, Worst};

/// A body's temperature from what is left of its difference.
fn left(start_c: f64, around_c: f64, theta: f64) -> f64 {
    around_c + (start_c - around_c) * theta
}

/// Conduction examples: printed answer and exact answer beside ours, °C unless the name says more.
struct Example {
    computed: f64,
    printed: f64,
    exact: f64,
}

/// Purée in a steamed can, long and short; butter warming from one face.
fn geankoplis_examples() -> Result<Vec<Example>, HeatError> {
    let radius = 0.0681 / 2.0;
    let (k, diffusivity, film, seconds) = (0.830, 2.007e-7, 4540.0, 0.75 * 3600.0);
    let fo = diffusivity * seconds / (radius * radius);
    let biot = film * radius / k;
    let long = Series::new(Shape::Cylinder, biot)?.theta(fo, 0.0)?;
    let short = FiniteCylinder::new(biot, 0.1016 / 0.0681)?.theta(fo, 0.0, 0.0)?;
    let thick: f64 = 0.0462;
    let butter = Series::new(Shape::Slab, 8.52 * thick / 0.197)?;
    let fo = 0.197 / (998.0 * 2300.0) * 5.0 * 3600.0 / (thick * thick);
    let at = |place| Ok::<_, HeatError>(left(277.6, 297.1, butter.theta(fo, place)?));
    Ok(vec![
        Example {
            computed: left(29.4, 115.6, long),
            printed: 104.4,
            exact: 106.077,
        },
        Example {
            computed: left(29.4, 115.6, short),
            printed: 106.6,
            exact: 108.391,
        },
        Example {
            computed: at(1.0)?,
            printed: 292.2,
            exact: 292.389,
        },
        Example {
            computed: at((thick - 0.0254) / thick)?,
            printed: 288.3,
            exact: 288.313,
        },
        Example {
            computed: at(0.0)?,
            printed: 287.4,
            exact: 287.169,
        },
    ])
}

/// Egg in boiling water and steak in a chiller, in minutes; short brass cylinder.
fn cengel_examples() -> Result<(Vec<Example>, Vec<Example>), HeatError> {
    let egg = Series::new(Shape::Sphere, 1200.0 * 0.025 / 0.627)?;
    let egg_min = egg.fourier((70.0 - 95.0) / (5.0 - 95.0), 0.0)? * 0.025 * 0.025 / 1.51e-7 / 60.0;
    let steak = Series::new(Shape::Slab, 9.0 * 0.01 / 0.45)?;
    let steak_min = steak.fourier((2.0 + 11.0) / (25.0 + 11.0), 1.0)? * 1e-4 / 0.91e-7 / 60.0;
    let brass = FiniteCylinder::new(60.0 * 0.05 / 110.0, 0.06 / 0.05)?;
    let fo = 3.39e-5 * 900.0 / (0.05 * 0.05);
    let at = |axial| Ok::<_, HeatError>(left(120.0, 25.0, brass.theta(fo, 0.0, axial)?));
    Ok((
        vec![
            Example {
                computed: egg_min,
                printed: 14.38,
                exact: 14.3578,
            },
            Example {
                computed: steak_min,
                printed: 93.1,
                exact: 93.107,
            },
        ],
        vec![
            Example {
                computed: at(0.0)?,
                printed: 63.0,
                exact: 62.732,
            },
            Example {
                computed: at(1.0)?,
                printed: 62.0,
                exact: 62.123,
            },
        ],
    ))
}

/// Hours until an apple is at 10 °C in a refrigerator, and its middle after an hour.
fn lienhard_examples() -> Result<(Example, Example), HeatError> {
    let series = Series::new(Shape::Sphere, 6.0 * 0.05 / 0.603)?;
    let diffusivity = 0.603 / (997.6 * 4180.0);
    let hours = series.fourier((10.0 - 5.0) / (30.0 - 5.0), 0.0)? * 0.0025 / diffusivity / 3600.0;
    let after_hour = left(30.0, 5.0, series.theta(diffusivity * 3600.0 / 0.0025, 0.0)?);
    Ok((
        Example {
            computed: hours,
            printed: 6.2,
            exact: 6.1909,
        },
        Example {
            computed: after_hour,
            printed: f64::NAN,
            exact: 26.503,
        },
    ))
}

/// A plane wall of a pipe, heated from one face: the far face and the heated one.
fn incropera_examples() -> Result<Vec<Example>, HeatError> {
    let series = Series::new(Shape::Slab, 0.313)?;
    let at = |place| Ok::<_, HeatError>(left(-20.0, 60.0, series.theta(5.64, place)?));
    Ok(vec![
        Example {
            computed: at(0.0)?,
            printed: 42.92,
            exact: 43.017,
        },
        Example {
            computed: at(1.0)?,
            printed: 45.28,
            exact: 45.364,
        },
    ])
}

/// A short aluminium cylinder, 12.5 mm from the axis and 6.25 mm from an end.
fn holman_example() -> Result<Example, HeatError> {
    let body = FiniteCylinder::new(525.0 * 0.025 / 215.0, 2.0)?;
    let fo = 8.4e-5 * 60.0 / (0.025 * 0.025);
    let theta = body.theta(fo, 0.5, (0.05 - 0.00625) / 0.05)?;
    Ok(Example {
        computed: left(200.0, 70.0, theta),
        printed: 104.5,
        exact: 108.19,
    })
}

pub(super) fn textbook_exact() -> Check {
    let mut worst = Worst::default();
    let mut hold = |examples: Result<Vec<Example>, HeatError>| match examples {
        Ok(examples) => examples.iter().for_each(|e| worst.add_relative(e.computed, e.exact)),
        Err(_) => worst.add(f64::NAN, 0.0),
    };
    hold(geankoplis_examples());
    hold(cengel_examples().map(|(minutes, c)| minutes.into_iter().chain(c).collect()));
    hold(lienhard_examples().map(|(hours, c)| vec![hours, c]));
    hold(incropera_examples());
    hold(holman_example().map(|e| vec![e]));
    Claim {
        name: "textbook-conduction-exact",
        claim: "textbook examples of heating and cooling, with the chart replaced by the series",
        source: "scipy_mpmath",
        place: "inputs of the books, full series",
        mark: Mark::Computed,
        tolerance: 5e-5,
        unit: "1",
        why: "half a unit of the last digit given, five digits at the coarsest",
        note: "",
    }
    .held(&worst)
}

fn printed(
    name: &'static str,
    claim: &'static str,
    source: &'static str,
    place: &'static str,
    examples: Result<Vec<Example>, HeatError>,
    allowed: (f64, &'static str, &'static str),
    note: &'static str,
) -> Check {
    let mut worst = Worst::default();
    match examples {
        Ok(examples) => examples.iter().for_each(|e| worst.add(e.computed, e.printed)),
        Err(_) => worst.add(f64::NAN, 0.0),
    }
    let (tolerance, unit, why) = allowed;
    Claim {
        name,
        claim,
        source,
        place,
        mark: Mark::Seen,
        tolerance,
        unit,
        why,
        note,
    }
    .held(&worst)
}

const CHART: (f64, &str, &str) = (2.0, "K", "the book reads its answer from a chart");

pub(super) fn geankoplis_conduction() -> Check {
    printed(
        "geankoplis-conduction",
        "pea purée in a steamed can, long and short; butter warming from one face",
        "geankoplis",
        "examples 5.3-2, 5.3-3, 5.3-4",
        geankoplis_examples(),
        CHART,
        "the chart answers for the can lie 1.7 and 1.8 K under the exact ones",
    )
}

pub(super) fn cengel_conduction() -> Check {
    printed(
        "cengel-conduction",
        "egg in boiling water, steak in a chiller: minutes",
        "cengel_heat_mass",
        "example 4.3, problem 11-44",
        cengel_examples().map(|(minutes, _)| minutes),
        (0.04, "min", "the book keeps one term of the series and four digits"),
        "",
    )
}

pub(super) fn lienhard_apples() -> Check {
    printed(
        "lienhard-apples",
        "hours until apples in a refrigerator are at 10 °C",
        "lienhard_htt",
        "example 5.2",
        lienhard_examples().map(|(hours, _)| vec![hours]),
        (0.02, "h", "printed to the minute, from Fo read to three digits"),
        "the companion's centre temperature after one hour is a fault of its program and is not used",
    )
}

pub(super) fn incropera_wall() -> Check {
    printed(
        "incropera-pipe-wall",
        "both faces of a pipe's wall heated from inside",
        "incropera_heat_mass",
        "example 5.4",
        incropera_examples(),
        (0.11, "K", "the book takes root and weight to three digits"),
        "",
    )
}

pub(super) fn holman_cylinder() -> Check {
    printed(
        "holman-short-cylinder",
        "a point inside a short aluminium cylinder",
        "holman_heat",
        "example 4.9",
        holman_example().map(|e| vec![e]),
        (
            3.8,
            "K",
            "charts for both factors; 4 % of the 130 K between start and surroundings allows 5.2",
        ),
        "the chart answer lies 3.7 K under the exact one",
    )
}
