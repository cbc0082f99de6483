//! Where the kitchen stands: altitude, the air's pressure today, and what water boils at there.

use std::collections::BTreeMap;

use jarwright_figure::{Figure, Graph, Id, Unit};
use jarwright_matter as matter;

use crate::PlanError;
use crate::assumed::practice;
use crate::files::KitchenFile;
use crate::views::reachable_from;

/// Where the kitchen stands.
#[derive(Debug, Clone)]
pub(crate) struct Place {
    pub(crate) altitude: Id,
    pub(crate) altitude_m: f64,
    pub(crate) pressure: Id,
    pub(crate) pressure_pa: f64,
    pub(crate) water_boils: Id,
    pub(crate) boils_c: f64,
    pub(crate) sea_level_boils_c: f64,
    pub(crate) room_c: Id,
    pub(crate) rest_min: Id,
}

/// Today's air pressure, as somebody read it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Barometer {
    /// As a barometer shows it where the kitchen stands [Pa].
    Here(f64),
    /// As weather services give it, reduced to sea level [Pa].
    SeaLevel(f64),
}

/// Where the kitchen stands, as figures.
#[derive(Debug, Clone)]
pub struct Here {
    /// Height above sea level.
    pub altitude: Figure,
    /// Air pressure.
    pub air_pressure: Figure,
    /// What water boils at.
    pub water_boils: Figure,
    /// Every quantity behind them, by handle.
    pub quantities: BTreeMap<String, Figure>,
}

/// Where the kitchen stands today.
///
/// # Errors
/// [`PlanError::Physics`] for a height or pressure outside the tables.
pub fn here(kitchen: &KitchenFile, today: Option<Barometer>) -> Result<Here, PlanError> {
    let mut graph = Graph::with_samples(0);
    let place = place(&mut graph, kitchen, None, today)?;
    let ids = [place.altitude, place.pressure, place.water_boils];
    Ok(Here {
        altitude: graph.figure(place.altitude),
        air_pressure: graph.figure(place.pressure),
        water_boils: graph.figure(place.water_boils),
        quantities: reachable_from(&graph, &ids.map(|id| id.to_string())),
    })
}

/// Altitude, pressure and the boil here. An altitude given apart from the kitchen's makes the
/// kitchen file's barometer void; a reading given for today governs over both.
///
/// # Errors
/// [`PlanError::Physics`] for a height or pressure outside the tables.
pub(crate) fn place(
    graph: &mut Graph,
    kitchen: &KitchenFile,
    altitude_m: Option<f64>,
    today: Option<Barometer>,
) -> Result<Place, PlanError> {
    let (metres, by) = match altitude_m {
        Some(m) => (m, "--altitude-m"),
        None => (kitchen.altitude_m, "kitchen file"),
    };
    let physics = |e: matter::MatterError| PlanError::physics("the boiling point here", &e);
    let altitude = graph.entered("altitude", "height above sea level", Unit::Metre, metres, by);
    let in_file = kitchen
        .barometer_pa
        .filter(|_| altitude_m.is_none())
        .map(|pa| (Barometer::Here(pa), "kitchen file"));
    let pressure = match today.map(|read| (read, "read today")).or(in_file) {
        Some((Barometer::Here(pa), by)) => {
            let pa = matter::barometer_pa(pa, metres).map_err(|e| PlanError::physics("the barometer", &e))?;
            graph.entered("barometer", "air pressure", Unit::Pascal, pa, by)
        }
        Some((Barometer::SeaLevel(pa), by)) => {
            let reduced = graph.entered(
                "barometer-sea-level",
                "air pressure, reduced to sea level",
                Unit::Pascal,
                pa,
                by,
            );
            graph
                .compute(
                    "air pressure",
                    Unit::Pascal,
                    &matter::STATION_PRESSURE,
                    &[reduced, altitude],
                    |x| matter::station_pressure_pa(x[0], x[1]),
                )
                .map_err(physics)?
        }
        None => graph
            .compute(
                "air pressure",
                Unit::Pascal,
                &matter::STANDARD_ATMOSPHERE,
                &[altitude],
                |x| matter::pressure_pa(x[0]),
            )
            .map_err(physics)?,
    };
    let water_boils = graph
        .compute(
            "water boils here",
            Unit::Celsius,
            &matter::WATER_BOILS,
            &[pressure],
            |x| matter::water_boils_c(x[0]),
        )
        .map_err(physics)?;
    let sea_level_boils_c = matter::pressure_pa(0.0)
        .and_then(matter::water_boils_c)
        .map_err(physics)?;
    Ok(Place {
        altitude,
        altitude_m: metres,
        pressure,
        pressure_pa: graph.value(pressure),
        water_boils,
        boils_c: graph.value(water_boils),
        sea_level_boils_c,
        room_c: graph.entered("room", "room", Unit::Celsius, kitchen.room_c, "kitchen file"),
        rest_min: practice(graph, "rest_in_bath_min", Unit::Minute)?,
    })
}
